"""The sentences for problems of a described rug, and for what a reckoning warns of, by their codes."""

from __future__ import annotations

from typing import Final

from shop.words.catalogue import mark

DESCRIBED: Final[dict[str, str]] = {
    "key.unknown": mark("“%(key)s” means nothing here. Did you mean “%(nearest)s”?"),
    "key.unknown_none": mark("“%(key)s” means nothing here. What can stand there: %(known)s."),
    "key.table": mark("This should be a table of its own, with names and values in it."),
    "number.range": mark("“%(text)s” is outside what this can be: from %(least)s to %(most)s."),
    "text.wanted": mark("This should be text in quotation marks."),
    "loom.not_for_kind": mark("“%(key)s” has no meaning on a loom of the kind “%(kind)s”. Leave it out."),
    "loom.bar_places": mark("The places of the end bar should be a list of lengths, such as [“30 in”, “37 1/2 in”]."),
    "cloth.many": mark("Name from one to %(most)s cloths."),
    "cloth.none": mark("Choose a cloth to weave with."),
    "cloth.price_twice": mark("Give either what the piece cost or its price by the yard, not both."),
    "overhead.twice": mark("Give overhead by the hour or as a share of labour, not both."),
    "rows.twice": mark("Give the rows counted to the inch or to the centimetre, not both."),
    "price.two_rules": mark("There are two rules for the price, “%(one)s” and “%(other)s”. Keep one."),
    "yarn_price.unreadable": mark(
        "“%(text)s” is not a price by weight. Say the amount and the weight, like 14.50/lb or 30/kg."
    ),
    "names.list": mark("This should be a list of names, such as [“weft.take_up”]."),
    "names.unknown": mark("“%(name)s” is not the name of a number that a rug is described by."),
    "share.described": mark("“%(text)s” will not do: write a share like 0.35 or “35 %%”, at most %(share)s."),
}
WARNINGS: Final[dict[str, str]] = {
    "warn.size": mark("Asked for %(asked)s; this loom makes it %(made)s."),
    "warn.panels": mark("Wider than the loom: woven in %(panels)s panels of %(width)s, seamed together."),
    "warn.pack": mark(
        "%(name)s is heavy cloth for a sett of %(sett)s: it may not pack. An open warp, or doubled ends, packs it."
    ),
    "warn.short": mark("%(name)s may run out: to be safe, have %(metres)s more of strip, or plan another cloth with it."),
    "warn.raised": mark("The rule came out below the floor, so the price was raised to it: %(floor)s."),
    "warn.below_floor": mark("This price is below the floor of %(floor)s: it does not pay for the materials."),
}
