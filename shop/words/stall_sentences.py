"""Sentences about fairs: prices of a batch, the fair's cost, its chances, the till and cash."""

from __future__ import annotations

from typing import Final

from shop.words.catalogue import mark

STALL: Final[dict[str, str]] = {
    "cash.negative": mark("A sum in cash cannot be less than nothing."),
    "cash.pieces": mark("Write how many there are of each note and coin: none, or up to %(most)s."),
    "till.empty": mark("There is no rug in the basket yet."),
    "till.twice": mark("This rug is in the basket already."),
    "till.price": mark("A price cannot be less than nothing."),
    "till.two_ways": mark("Take something off, or agree on a sum for all; not both at once."),
    "till.bargain": mark("A sum agreed for all lies between nothing and what the rugs come to, %(prices)s."),
    "till.elsewhere": mark("By card and other means no more than the total, %(total)s, can be paid."),
    "till.short": mark("The cash given is %(short)s short."),
    "points.step": mark("Price steps cannot be less than nothing."),
    "points.ending": mark("What a price ends in must be less than a step: with steps of 10, for example 5."),
    "points.list": mark("Write the prices of the list in rising order, each more than nothing and none twice."),
    "points.negative": mark("A price cannot be less than nothing."),
    "ladder.area": mark("Without its size a rug finds no place among the others. Measure it first."),
    "fair.negative": mark("This cannot be less than nothing."),
    "fair.days": mark("A fair lasts at least one day."),
    "fair.card_used": mark("Of all sales, between none and all are paid by card; %(share)s is not possible."),
    "fair.share_sold": mark("Of what is brought, more than nothing and at most all is sold; %(share)s is not possible."),
    "fair.sold": mark("No more rugs can be sold than were brought."),
    "fair.chance": mark("A chance lies between never and always; %(share)s is not possible."),
    "fair.days_kinds": mark("Kinds of day need weights and factors that are not below nothing."),
    "fair.draws": mark("Draw at least one fair."),
    "fair.no_years": mark("There is no fair to look back on yet."),
}
