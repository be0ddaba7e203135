"""The public holidays of a country, as dates on which a shop may want to be closed.

They are proposals: the library knows the law of many countries up to the day it was made, and days that follow the moon
are only estimated. A country that it does not know has none here, and is said to be unknown.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from typing import Final

import holidays

MOST_YEARS: Final = 20
"""The longest span that can be asked for, in calendar years touched."""
_COUNTRY: Final = re.compile(r"[A-Z]{2}")


@dataclass(frozen=True, slots=True, order=True)
class PublicHoliday:
    """A public holiday.

    Attributes:
        day: when.
        name: what it is called; several names of one day are joined with semicolons.
    """

    day: date
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PublicHolidays:
    """The public holidays of a country between two dates.

    Attributes:
        known: whether the country, its part and every year of the span are known. If not, days may be missing.
        holidays: those that are known.
    """

    known: bool
    holidays: frozenset[PublicHoliday] = frozenset()

    @property
    def days(self) -> frozenset[date]:
        """The dates alone."""
        return frozenset(holiday.day for holiday in self.holidays)

    def in_order(self) -> tuple[PublicHoliday, ...]:
        """From the first to the last."""
        return tuple(sorted(self.holidays))


def public_holidays(
    *, country: str, first: date, last: date, part: str | None = None, language: str | None = None
) -> PublicHolidays:
    """The public holidays of a country from one date to another, both of them included.

    Args:
        country: ISO 3166-1 code of two letters: ``"SE"``.
        first: the first date.
        last: the last date; before the first there are none.
        part: ISO 3166-2 code of a part of the country, with the country's or without: ``"US-CA"``, ``"CA"``. Without it,
            only what is kept in the whole country.
        language: of the names, ``"sv"`` or ``"en_US"``; the country's own where they are not known in it.

    Raises:
        ValueError: more than ``MOST_YEARS`` years were asked for.
    """
    if last.year - first.year >= MOST_YEARS:
        raise ValueError(f"No more than {MOST_YEARS} years of public holidays at once.")
    code = country.strip().upper()
    within = (part or "").strip().upper().removeprefix(f"{code}-")
    years = [_of_year(code, within, year, language or "") for year in range(first.year, last.year + 1)]
    if not years:
        years = [_of_year(code, within, first.year, language or "")]
    return PublicHolidays(
        known=all(year.known for year in years),
        holidays=frozenset(
            holiday for year in years for holiday in year.holidays if first <= holiday.day <= last
        ),
    )


@lru_cache(maxsize=256)
def _of_year(code: str, part: str, year: int, language: str) -> PublicHolidays:
    """The public holidays of one year, asked of the library once."""
    calendar = _calendar_of(code)
    if calendar is None:
        return PublicHolidays(known=False)
    parts = {name.upper(): name for name in calendar.subdivisions}
    if (part and part not in parts) or not calendar.start_year <= year <= calendar.end_year:
        return PublicHolidays(known=False)
    kept = holidays.country_holidays(
        code,
        subdiv=parts.get(part),
        years=year,
        expand=False,
        language=next(_languages(calendar, language), calendar.default_language),
    )
    return PublicHolidays(
        known=True, holidays=frozenset(PublicHoliday(day, name) for day, name in kept.items())
    )


@lru_cache(maxsize=256)
def _calendar_of(code: str) -> holidays.HolidayBase | None:
    """A country as the library knows it; ``None`` for one that it does not, and for what is no country's code."""
    if not _COUNTRY.fullmatch(code):
        return None
    try:
        calendar = holidays.country_holidays(code)
    except NotImplementedError:
        return None
    return calendar if calendar.country == code else None


def _languages(calendar: holidays.HolidayBase, wanted: str) -> Iterator[str]:
    """The languages that the names are known in and that are like the one wanted, the most alike first."""
    wanted = wanted.replace("-", "_")
    language = wanted.partition("_")[0]
    if not language:
        return
    known = calendar.supported_languages
    yield from (name for name in (wanted, language) if name in known)
    yield from (name for name in known if name.partition("_")[0] == language)
