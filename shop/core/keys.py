"""The names that a described rug may hold, and the starting guesses for what it leaves out."""

from __future__ import annotations

import re
from decimal import Decimal
from enum import Enum
from typing import Final

from shop.core.hours import PACES, STEPS
from shop.core.measure import Length
from shop.core.money import Money, decimals_of
from shop.core.warp import PricePerWeight

KEYS: Final[dict[str, frozenset[str]]] = {
    "": frozenset("measured guessed shop rug loom weft cloth stripe hours rates bought_in price doubt".split()),
    "shop": frozenset("currency locale units".split()),
    "rug": frozenset("width length rugs_on_warp".split()),
    "loom": frozenset(
        "kind name pegs spacing length bar_places passes_per_peg turn tail sett width draw_in take_up "
        "relaxation waste selvedge_ends hem cut_space knot yarn yarn_price".split()
    ),
    "weft": frozenset(
        "strip cloth_weight fibre rows_per_inch rows_per_cm packing take_up joins way tool waste repeats "
        "mirrored to_the_end".split()
    ),
    "cloth": frozenset(
        "name colour paid width length pieces price_per_yard share cloth_weight fibre tears".split()
    ),
    "stripe": frozenset("cloth rows length share rest border turn seed least most".split()),
    "doubt": frozenset("of spread rug day rugs kind cloth quick".split()),
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
MONEY_GUESSES: Final[dict[str, int]] = {"wage": 1800, "overhead": 300, "yarn_lb": 1600, "yarn_kg": 3500, "cloth": 500}
"""Starting guesses of money, in hundredths of a dollar: an hour wanted, its overhead, a pound and a kilogram of yarn,
a piece of cloth."""
ROUGHLY: Final[dict[str, Decimal]] = {
    code: Decimal(times)
    for times, codes in {
        "0.3": "BHD JOD KWD OMR",
        "2": "BAM BGN BYN",
        "3": "AED GEL ILS PEN QAR SAR TND",
        "4": "BRL MYR PLN RON",
        "7": "BOB BWP CNY DKK GHS GTQ HKD HNL",
        "10": "MAD MDL NOK SEK ZMW",
        "20": "CZK MXN SZL LSL NAD ZAR",
        "40": "MKD THB TRY TWD UAH UYU",
        "60": "DOP PHP RUB",
        "100": "BDT INR JPY KES NPR RSD",
        "130": "ISK",
        "300": "HUF LKR PKR",
        "400": "AMD KZT",
        "500": "CRC XAF XOF",
        "1000": "ARS CLP KRW NGN",
        "3000": "MGA TZS UGX",
        "4000": "COP KHR",
        "15000": "IDR",
        "25000": "VND",
    }.items()
    for code in codes.split()
}
"""How many of a currency do the work of a dollar, very roughly and for years: only so that a first guess has the
right number of digits. No rate of exchange; any other currency is taken at its face, a hundred of its smallest coins."""
MARKUP_GUESS: Final = Decimal("0.35")
DEPOSIT_GUESS: Final = Decimal("0.5")
STRIP_GUESS: Final[dict[str, dict[str, Length]]] = {
    "imperial": {"frame": Length.of(2, "in"), "shaft": Length.of(1, "in"), "plank": Length.of("1.5", "in")},
    "metric": {"frame": Length.of(5, "cm"), "shaft": Length.of("2.5", "cm"), "plank": Length.of(4, "cm")},
}
"""The width of a strip by the shop's units and the kind of loom, in a round figure of those units."""
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


def money_guess(what: str, currency: str) -> Money:
    """A starting guess of money, in a currency's own size: 18.00 dollars an hour, 180.00 kronor, 1,800 yen.

    Args:
        what: a key of ``MONEY_GUESSES``.
        currency: ISO 4217 code.

    Raises:
        NotPossible: ``money.currency`` when no such currency is known.
    """
    decimals = decimals_of(currency)
    coins = MONEY_GUESSES[what]
    if currency in ROUGHLY:
        coins = int(ROUGHLY[currency].scaleb(decimals - 2) * coins)
    step = 10 ** max(0, len(str(coins)) - 2)
    return Money((coins + step // 2) // step * step, currency)


def yarn_guess(currency: str, units: Units) -> PricePerWeight:
    """The starting guess of what warp yarn costs: by the pound, or by the kilogram where the shop is metric."""
    unit = "lb" if units is Units.IMPERIAL else "kg"
    return PricePerWeight(money_guess(f"yarn_{unit}", currency).amount, unit)


def strip_guess(kind: str, units: Units) -> Length:
    """The usual width of a strip on a kind of loom."""
    return STRIP_GUESS[units.value][kind]
