"""The sentences for problems of what is kept in the rooms: looms, hauls, pieces, rates, prices, quotes."""

from __future__ import annotations

from typing import Final

from shop.words.catalogue import mark

LOOM: Final[dict[str, str]] = {
    "loom.unknown": mark("There is no such loom here."),
    "loom.changed": mark(
        "This loom was changed in another window since this page was loaded. Load it again first."
    ),
    "loom.name_taken": mark("There is a loom called %(name)s already."),
    "loom.places": mark("A bar can have at most %(most)s places."),
}
FABRIC: Final[dict[str, str]] = {
    "haul.unknown": mark("There is no such haul here."),
    "haul.empty": mark("A haul needs at least one piece of cloth."),
    "haul.large": mark("A haul can have at most %(most)s pieces. Enter the rest as another haul."),
    "haul.discount": mark("The discount is larger than what the pieces cost."),
    "date.future": mark("That day is still to come."),
    "fibre.twice": mark("A fibre is named twice."),
    "fibre.sum": mark("The shares of the fibres must add up to 100%%."),
    "piece.unknown": mark("There is no piece %(number)s here."),
    "piece.gone": mark("Piece %(number)s is used up or given away."),
    "step.unknown": mark("There is no such entry in the record of this piece."),
    "step.undone": mark("That entry has been undone already."),
    "step.fixed": mark("That entry cannot be undone."),
}
MONEY: Final[dict[str, str]] = {
    "rates.lines": mark("The budget can have at most %(most)s lines."),
    "rates.pay_twice": mark("The pay of this step is given twice."),
    "rates.changed": mark(
        "The rates were changed in another window since this page was loaded. Load it again first."
    ),
    "pace.changed": mark(
        "The minutes were changed in another window since this page was loaded. Load it again first."
    ),
    "price.changed": mark(
        "The price rule was changed in another window since this page was loaded. Load it again first."
    ),
}
QUOTE: Final[dict[str, str]] = {
    "quote.unknown": mark("There is no quote %(number)s here."),
    "quote.changed": mark(
        "Quote %(number)s was saved in another window since this page was loaded. Nothing is lost: "
        "open it again beside this one and compare."
    ),
    "quote.unreadable": mark("What this quote was reckoned from can no longer be read."),
    "page.unknown": mark("There is no such page of the list. Begin at its top."),
}
ROOMS: Final[dict[str, str]] = {**LOOM, **FABRIC, **MONEY, **QUOTE}
