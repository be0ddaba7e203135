"""The names that a described rug may hold, and the starting guesses for what it leaves out."""

from __future__ import annotations

import re
from decimal import Decimal
from enum import Enum
from typing import Final

from shop.core.hours import PACES, STEPS
from shop.core.measure import Length

KEYS: Final[dict[str, frozenset[str]]] = {
    "": frozenset("measured guessed shop rug loom weft cloth hours rates bought_in price".split()),
    "shop": frozenset("currency locale units".split()),
    "rug": frozenset("width length rugs_on_warp".split()),
    "loom": frozenset(
        "kind name pegs spacing length bar_places passes_per_peg turn tail sett width draw_in take_up "
        "relaxation waste selvedge_ends hem cut_space knot yarn yarn_price".split()
    ),
    "weft": frozenset(
        "strip cloth_weight fibre rows_per_inch rows_per_cm packing take_up joins way tool waste repeats".split()
    ),
    "cloth": frozenset(
        "name colour paid width length pieces price_per_yard share cloth_weight fibre tears".split()
    ),
    "hours": frozenset((*STEPS, "pace")),
    "hours.pace": frozenset(PACES),
    "rates": frozenset("wage pay overhead_per_hour overhead_percent".split()),
    "rates.pay": frozenset(STEPS),
    "bought_in": frozenset("postage label mat".split()),
    "price": frozenset(
        "markup margin trade_markup retail_times per_square_foot per_square_metre asking fee_percent fee_fixed "
        "tax_rate tax_included round_to round_how discount below_floor deposit".split()
    ),
}
"""The tables of a described rug (``""`` is the top) and the names that each may hold."""

LOOM_KINDS: Final = ("frame", "shaft", "plank")
OWN_KEYS: Final[dict[str, str]] = {
    "frame": "pegs spacing length bar_places passes_per_peg turn tail",
    "shaft": "sett width draw_in take_up relaxation waste selvedge_ends hem cut_space yarn yarn_price",
    "plank": "pegs spacing knot yarn yarn_price",
}
WAGE_GUESS: Final = 1800
OVERHEAD_GUESS: Final = 300
YARN_GUESS: Final = 1600
CLOTH_GUESS: Final = 500
"""Starting guesses of money, in the smallest coins of whatever currency: 18.00 dollars or 1,800 yen an hour
wanted, 3.00 of overhead, 16.00 a pound of yarn, 5.00 a piece of cloth."""
MARKUP_GUESS: Final = Decimal("0.35")
DEPOSIT_GUESS: Final = Decimal("0.5")
STRIP_GUESS: Final[dict[str, Length]] = {
    "frame": Length.of(2, "in"),
    "shaft": Length.of(1, "in"),
    "plank": Length.of("1.5", "in"),
}
YARN_KIND_GUESS: Final = "8/4"
DEAREST_YARN: Final = 10**9
"""An amount for a pound or a kilogram beyond which, in any currency, the hand has slipped."""
SHEETING: Final = 115.0
NO_SMALLER: Final = Length.of("0.125", "in")
COLOUR: Final = re.compile(r"#[0-9a-fA-F]{6}")


class LoomKind(Enum):
    """The three kinds of loom."""

    FRAME = "frame"
    SHAFT = "shaft"
    PLANK = "plank"


class RoundHow(Enum):
    """Which price step a price goes to."""

    UP = "up"
    NEAREST = "nearest"


class Units(Enum):
    """The units that a shop speaks in."""

    IMPERIAL = "imperial"
    METRIC = "metric"
