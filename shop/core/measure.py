"""Lengths and weights, kept exactly, and read from text as people write it.

A length is a whole number of nanometres and a weight a whole number of nanograms. The inch is
25,400,000 nm exactly, so every inch fraction down to 1/64 and every decimal of a millimetre has an
exact place; a pound is 453,592,370,000 ng exactly. Factors: NIST Handbook 44, appendix C.

Reading is strict: a number uses the decimal mark it was told to expect, and text that could be meant
in two ways is refused with a ``Problem`` instead of being guessed at.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction
from typing import Final

from shop.core.errors import Problem, Unreadable

NM_PER_METRE: Final = 1_000_000_000
NG_PER_GRAM: Final = 1_000_000_000
SQUARE_METRES_PER_SQUARE_FOOT: Final = 0.3048**2
GRAMS_PER_SQUARE_METRE_PER_OUNCE_YARD: Final = 28.349523125 / 0.9144**2
LONGEST_TEXT: Final = 40
LARGEST: Final = {"length": 10_000 * NM_PER_METRE, "weight": 10_000_000 * NG_PER_GRAM}
"""Ten kilometres and ten tonnes: anything beyond is a slip of the hand."""

LENGTH_UNITS: Final[dict[str, int]] = {
    "mm": 1_000_000,
    "cm": 10_000_000,
    "m": NM_PER_METRE,
    "in": 25_400_000,
    "ft": 304_800_000,
    "yd": 914_400_000,
}
WEIGHT_UNITS: Final[dict[str, int]] = {
    "g": NG_PER_GRAM,
    "kg": 1000 * NG_PER_GRAM,
    "oz": 28_349_523_125,
    "lb": 453_592_370_000,
}
_LENGTH_WORDS: Final[dict[str, str]] = {
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), "mm"),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter", "centimeters"), "cm"),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), "m"),
    **dict.fromkeys(("in", "inch", "inches", "tum", '"', "″", "”", "“", "''"), "in"),
    **dict.fromkeys(("ft", "foot", "feet", "fot", "'", "′", "’", "‘"), "ft"),
    **dict.fromkeys(("yd", "yds", "yard", "yards"), "yd"),
}
_WEIGHT_WORDS: Final[dict[str, str]] = {
    **dict.fromkeys(("g", "gram", "grams", "gr"), "g"),
    **dict.fromkeys(("kg", "kilo", "kilos", "kilogram", "kilograms"), "kg"),
    **dict.fromkeys(("oz", "ounce", "ounces"), "oz"),
    **dict.fromkeys(("lb", "lbs", "pound", "pounds"), "lb"),
}
_VULGAR: Final[dict[str, str]] = {
    "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3", "⅔": "2/3",
}  # fmt: skip
_SPACES: Final = dict.fromkeys(map(ord, "\u00a0\u202f\u2009\t"), " ")


@dataclass(frozen=True, slots=True, order=True)
class Length:
    """A length, exact to the nanometre."""

    nm: int

    @classmethod
    def of(cls, value: float | Decimal | Fraction | str, unit: str) -> Length:
        """So many of a unit: ``Length.of("2.5", "in")``; rounded half-even to the nanometre."""
        return cls(_whole(value, LENGTH_UNITS[unit]))

    @property
    def metres(self) -> float:
        """In metres, for the arithmetic of estimates."""
        return self.nm / NM_PER_METRE

    @property
    def millimetres(self) -> float:
        """In millimetres."""
        return self.nm / 1_000_000

    @property
    def inches(self) -> float:
        """In inches."""
        return self.nm / 25_400_000

    def to(self, unit: str) -> Fraction:
        """Exactly, as a fraction of a unit: ``mm cm m in ft yd``."""
        return Fraction(self.nm, LENGTH_UNITS[unit])

    def canonical(self) -> str:
        """Exact text that every reader here understands: ``"609.6 mm"``."""
        return f"{_plain(Decimal(self.nm).scaleb(-6))} mm"

    def __add__(self, other: Length) -> Length:
        return Length(self.nm + other.nm)

    def __sub__(self, other: Length) -> Length:
        return Length(self.nm - other.nm)

    def __mul__(self, times: int) -> Length:
        return Length(self.nm * times)

    __rmul__ = __mul__

    def __bool__(self) -> bool:
        return self.nm != 0


@dataclass(frozen=True, slots=True, order=True)
class Weight:
    """A weight (mass), exact to the nanogram."""

    ng: int

    @classmethod
    def of(cls, value: float | Decimal | Fraction | str, unit: str) -> Weight:
        """So many of a unit: ``Weight.of("1.5", "lb")``; rounded half-even to the nanogram."""
        return cls(_whole(value, WEIGHT_UNITS[unit]))

    @property
    def grams(self) -> float:
        """In grams, for the arithmetic of estimates."""
        return self.ng / NG_PER_GRAM

    def to(self, unit: str) -> Fraction:
        """Exactly, as a fraction of a unit: ``g kg oz lb``."""
        return Fraction(self.ng, WEIGHT_UNITS[unit])

    def canonical(self) -> str:
        """Exact text that every reader here understands: ``"453.59237 g"``."""
        return f"{_plain(Decimal(self.ng).scaleb(-9))} g"

    def __add__(self, other: Weight) -> Weight:
        return Weight(self.ng + other.ng)

    def __sub__(self, other: Weight) -> Weight:
        return Weight(self.ng - other.ng)

    def __bool__(self) -> bool:
        return self.ng != 0


def _whole(value: float | Decimal | Fraction | str, factor: int) -> int:
    exact = Fraction(value) * factor
    return round(exact)


def _plain(number: Decimal) -> str:
    text = f"{number:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def ceil_count(value: float) -> int:
    """The least whole number not below ``value``, forgiving the last bits of floating point.

    Ends, rows and pegs are counted up: 25.000000000001 pegs are 25.
    """
    return math.ceil(round(value, 9))


def floor_count(value: float) -> int:
    """The greatest whole number not above ``value``, forgiving the last bits of floating point."""
    return math.floor(round(value, 9))


# --- reading -----------------------------------------------------------------------------------

_NUMBER = re.compile(r"[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+")
_FRACTION = re.compile(r"(?:([0-9]+)\s+|([0-9]+)-)?([0-9]+)\s*/\s*([0-9]+)")
_PART = re.compile(
    r"\s*(?P<number>(?:[0-9]+(?:\s+|-))?[0-9]+\s*/\s*[0-9]+|[0-9]*[.,]?[0-9]+)\s*"
    r"(?P<unit>''|[^\W\d_]+\.?|[\"'″”“′’‘])?\s*,?"
)
_GROUPED = {
    ".": re.compile(r"[0-9]{1,3}(?:,[0-9]{2,3})*,[0-9]{3}(?:\.[0-9]+)?"),
    ",": re.compile(r"[0-9]{1,3}(?:\.[0-9]{3})+(?:,[0-9]+)?"),
}


def parse_number(text: str, *, decimal_mark: str = ".", grouped: bool = False) -> Decimal:
    """A plain number, such as ``12``, ``0.75`` or ``2 1/2``.

    Args:
        text: as typed.
        decimal_mark: ``"."`` or ``","``; the other one is refused as a decimal mark.
        grouped: whether thousands may be set apart, by a space, an apostrophe or the other mark.

    Raises:
        Unreadable: with code ``number.missing``, ``number.unreadable``, ``number.mark`` or ``text.long``.
    """
    cleaned = _clean(text, "number")
    sign = 1
    if cleaned[:1] in ("-", "−"):
        sign, cleaned = -1, cleaned[1:].strip()
    value = _fraction(cleaned)
    if value is not None:
        return sign * Decimal(value.numerator) / Decimal(value.denominator)
    if grouped:
        other = "," if decimal_mark == "." else "."
        squeezed = re.sub(r"(?<=[0-9])[ '’](?=[0-9]{3}(?:\D|$))", "", cleaned)
        if _GROUPED[decimal_mark].fullmatch(squeezed):
            squeezed = squeezed.replace(other, "")
        cleaned = squeezed
    if not _NUMBER.fullmatch(cleaned):
        raise Unreadable(Problem("number.unreadable", values={"text": _shown(text)}))
    return sign * _decimal(cleaned, decimal_mark, text)


_HOURS: Final = re.compile(r"(?P<hours>.+?) ?(?:h|hr|hrs|hours?|t|tim|timm?ar|timme)\.?(?: ?(?P<minutes>[0-9].*))?", re.IGNORECASE)
_MINUTES: Final = re.compile(r"(?P<minutes>.+?) ?(?:m|min|mins|minutes?|minut|minuter)\.?", re.IGNORECASE)
_CLOCK: Final = re.compile(r"(?P<hours>[0-9]{1,4}):(?P<minutes>[0-5][0-9])")


def parse_minutes(text: str, *, decimal_mark: str = ".") -> Decimal:
    """A time in minutes as people write it: ``170``, ``2:50``, ``2 h 50 min``, ``1.5 h``, ``50 min``.

    Raises:
        Unreadable: with code ``minutes.unreadable``, or what ``parse_number`` refuses.
    """
    cleaned = _clean(text, "number")
    if clock := _CLOCK.fullmatch(cleaned):
        return Decimal(clock["hours"]) * 60 + Decimal(clock["minutes"])
    try:
        if hours := _HOURS.fullmatch(cleaned):
            rest = hours["minutes"] or "0"
            of_it = _MINUTES.fullmatch(rest)
            said = parse_number(of_it["minutes"] if of_it else rest, decimal_mark=decimal_mark)
            return parse_number(hours["hours"], decimal_mark=decimal_mark) * 60 + said
        only = _MINUTES.fullmatch(cleaned)
        return parse_number(only["minutes"] if only else cleaned, decimal_mark=decimal_mark, grouped=True)
    except Unreadable as error:
        if error.problems[0].code != "number.unreadable":
            raise
        raise Unreadable(Problem("minutes.unreadable", values={"text": _shown(text)})) from None


def parse_length(text: str, *, decimal_mark: str = ".", bare_unit: str | None = None) -> Length:
    """A length as people write it: ``2 ft 6 in``, ``2'6"``, ``30"``, ``2 1/2 in``, ``76 cm``, ``1.5 m``.

    Args:
        text: as typed.
        decimal_mark: ``"."`` or ``","``.
        bare_unit: the unit of a number without one; ``None`` refuses it.

    Raises:
        Unreadable: with code ``length.missing``, ``length.unreadable``, ``length.unit``, ``length.unit_missing``,
            ``number.mark``,
            ``length.negative``, ``length.large`` or
            ``text.long``.
    """
    return Length(_parse_parts(text, "length", LENGTH_UNITS, _LENGTH_WORDS, decimal_mark, bare_unit))


def parse_weight(text: str, *, decimal_mark: str = ".", bare_unit: str | None = None) -> Weight:
    """A weight as people write it: ``1.5 kg``, ``300 g``, ``2 lb 3 oz``.

    Raises:
        Unreadable: as ``parse_length``, the codes beginning with ``weight.``.
    """
    return Weight(_parse_parts(text, "weight", WEIGHT_UNITS, _WEIGHT_WORDS, decimal_mark, bare_unit))


def _parse_parts(
    text: str, kind: str, units: dict[str, int], words: dict[str, str], mark: str, bare_unit: str | None
) -> int:
    cleaned = _clean(text, kind)
    if cleaned[0] in "-−":
        raise Unreadable(Problem(f"{kind}.negative", values={"text": _shown(text)}))
    unreadable = Unreadable(Problem(f"{kind}.unreadable", values={"text": _shown(text)}))
    total = Fraction(0)
    smallest: int | None = None
    place = 0
    while place < len(cleaned):
        part = _PART.match(cleaned, place)
        if part is None or part.end() == place:
            raise unreadable
        place = part.end()
        word = (part["unit"] or "").rstrip(".").lower()
        if word and word not in words:
            raise Unreadable(Problem(f"{kind}.unit", values={"text": _shown(text), "unit": _shown(word)}))
        unit = words[word] if word else _unit_unsaid(smallest, bare_unit, units)
        if unit is None:
            raise Unreadable(Problem(f"{kind}.unit_missing", values={"text": _shown(text)}))
        factor = units[unit]
        if smallest is not None and factor >= smallest:  # "6 in 2 ft" is a slip of the hand
            raise unreadable
        smallest = factor
        amount = _fraction(part["number"])
        if amount is None:
            amount = Fraction(_decimal(part["number"], mark, text))
        total += amount * factor
        if total > LARGEST[kind]:
            raise Unreadable(Problem(f"{kind}.large", values={"text": _shown(text)}))
    return round(total)


def _unit_unsaid(smallest: int | None, bare_unit: str | None, units: dict[str, int]) -> str | None:
    """The unit of a number that names none: ``2' 6`` ends in inches, ``5 lb 3`` in ounces."""
    if smallest is None:
        return bare_unit
    follows = {units.get("ft"): "in", units.get("lb"): "oz", units.get("m"): "cm"}
    return follows.get(smallest)


def _clean(text: str, kind: str) -> str:
    cleaned = text.translate(_SPACES).strip()
    if not cleaned:
        raise Unreadable(Problem(f"{kind}.missing"))
    if len(cleaned) > LONGEST_TEXT:
        raise Unreadable(Problem("text.long", values={"most": LONGEST_TEXT}))
    for sign, plain in _VULGAR.items():
        if sign in cleaned:
            cleaned = cleaned.replace(sign, f" {plain}").strip()
    return cleaned


def _fraction(text: str) -> Fraction | None:
    match = _FRACTION.fullmatch(text.strip())
    if match is None or int(match[4]) == 0:
        return None
    return int(match[1] or match[2] or 0) + Fraction(int(match[3]), int(match[4]))


def _decimal(text: str, mark: str, typed: str) -> Decimal:
    wrong = "," if mark == "." else "."
    if wrong in text:
        raise Unreadable(Problem("number.mark", values={"text": _shown(typed), "mark": mark}))
    if "/" in text:  # n/0
        raise Unreadable(Problem("number.unreadable", values={"text": _shown(typed)}))
    return Decimal(text.replace(",", "."))


def _shown(text: str) -> str:
    """What was typed, short enough to be named in a sentence."""
    stripped = " ".join(text.split())
    return stripped if len(stripped) <= 24 else f"{stripped[:23]}…"


def round_decimal(value: float, places: int) -> Decimal:
    """A float as a Decimal of so many places, half-even; for figures that are shown, never for money."""
    return Decimal(repr(value)).quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_EVEN)
