"""Numbers written down in a locale. Babel does the writing; each figure is written once and remembered."""

from __future__ import annotations

from datetime import date, time
from decimal import ROUND_HALF_UP, Decimal
from functools import lru_cache
from math import gcd
from typing import Final, Literal

from babel.dates import format_date, format_time
from babel.numbers import format_currency, format_decimal, format_percent

from shop.core.measure import LENGTH_UNITS, Length
from shop.core.money import decimals_of

DateStyle = Literal["full", "long", "medium", "short"]
REMEMBERED: Final = 8192
_STEPS: Final = tuple(Decimal(1).scaleb(-places) for places in range(10))
_PATTERNS: Final = {places: "#,##0" + ("." + "0" * places if places else "") for places in range(10)}
_TRIMMED: Final = {places: "#,##0" + ("." + "#" * places if places else "") for places in range(10)}


def rounded(value: Decimal | float, places: int) -> Decimal:
    """To so many decimals, half-up as people round by hand; not for money, which comes rounded."""
    exact = value if isinstance(value, Decimal) else Decimal(repr(value))
    return exact.quantize(_STEPS[places], rounding=ROUND_HALF_UP)


@lru_cache(maxsize=REMEMBERED)
def number_text(value: Decimal | int, places: int, locale: str, *, trimmed: bool = False) -> str:
    """With thousands set apart and so many decimals; ``trimmed`` leaves off noughts at the end."""
    patterns = _TRIMMED if trimmed else _PATTERNS
    return format_decimal(value, format=patterns[places], locale=locale, numbering_system="latn")


@lru_cache(maxsize=REMEMBERED)
def money_text(amount: Decimal, currency: str, locale: str) -> str:
    """With the currency's sign where the locale puts it, and the currency's own decimals."""
    return format_currency(amount, currency, locale=locale, numbering_system="latn")


@lru_cache(maxsize=REMEMBERED)
def unit_cost_text(amount: Decimal, currency: str, locale: str) -> str:
    """As money, with up to two decimals more than its coins have while three figures need them: ``$0.0235``."""
    coins = decimals_of(currency)
    places = min(coins + 2, max(coins, 2 - amount.adjusted())) if amount else coins
    return format_currency(
        rounded(amount, places), currency, locale=locale, numbering_system="latn", decimal_quantization=False
    )


@lru_cache(maxsize=REMEMBERED)
def percent_text(share: Decimal, places: int, locale: str) -> str:
    """A share of one as per cent, with at most so many decimals."""
    pattern = _TRIMMED[places] + ("%" if locale.startswith("en") else "\u00a0%")
    return format_percent(share, pattern, locale=locale, numbering_system="latn")


@lru_cache(maxsize=REMEMBERED)
def date_text(day: date, style: DateStyle, locale: str) -> str:
    """A day, ``"long"`` or ``"medium"``."""
    return format_date(day, style, locale=locale)


@lru_cache(maxsize=REMEMBERED)
def time_text(at: time, locale: str) -> str:
    """A time of day, to the minute."""
    return format_time(at.replace(second=0, microsecond=0), "short", locale=locale)


def inch_parts(length: Length, parts: int) -> int:
    """A length in eighths of an inch, or other parts; to the nearest, half-up."""
    inch = LENGTH_UNITS["in"]
    return (2 * length.nm * parts + inch) // (2 * inch)


def inch_text(count: int, parts: int) -> str:
    """So many parts of an inch, as inches with a vulgar fraction: 300 eighths are ``37 1/2``."""
    whole, rest = divmod(count, parts)
    if not rest:
        return str(whole)
    common = gcd(rest, parts)
    part = f"{rest // common}/{parts // common}"
    return f"{whole} {part}" if whole else part


def exact_text(value: Decimal, mark: str) -> str:
    """All its decimals and no noughts at the end, nothing set apart; for typing back in."""
    text = f"{value:f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return text.replace(".", mark)


def typed_length(length: Length, units: str, mark: str) -> str:
    """A length as a person would type it, and exactly: reading it gives the same length back.

    In inches with a fraction, or in centimetres, by the shop's units; a length that was plainly typed in
    the other ones stays in those.
    """
    in_inches = (_as_fraction(length, 16), _as_decimal(length, "in", 25_400))
    in_centimetres = _as_decimal(length, "cm", 100_000)
    metric = f"{exact_text(in_centimetres, mark)} cm" if in_centimetres is not None else None
    fraction = f"{in_inches[0]} in" if in_inches[0] is not None else None
    decimal = f"{exact_text(in_inches[1], mark)} in" if in_inches[1] is not None else None
    order = (fraction, metric, decimal) if units == "imperial" else (metric, fraction, decimal)
    for text in order:
        if text is not None:
            return text
    finest = _as_fraction(length, 64)
    if finest is not None:
        return f"{finest} in"
    return f"{exact_text(Decimal(length.nm).scaleb(-7), mark)} cm"


def _as_fraction(length: Length, parts: int) -> str | None:
    count, rest = divmod(length.nm * parts, LENGTH_UNITS["in"])
    return None if rest else inch_text(count, parts)


def _as_decimal(length: Length, unit: str, step_nm: int) -> Decimal | None:
    if length.nm % step_nm:
        return None
    return Decimal(length.nm) / Decimal(LENGTH_UNITS[unit])
