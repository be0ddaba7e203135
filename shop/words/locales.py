"""The ways of writing that a shop can choose: its locale, its units, its currency.

What is slow to ask of Babel is asked once and kept.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Final
from zoneinfo import available_timezones

from babel import Locale, UnknownLocaleError
from babel.core import get_global
from babel.localedata import locale_identifiers
from babel.numbers import get_currency_name, get_decimal_symbol, get_territory_currencies

from shop.core.errors import Problem, Unreadable
from shop.words.catalogue import languages

UNITS: Final = ("imperial", "metric")


@cache
def locale_of(name: str) -> Locale:
    """A locale by its name, ``"en_US"`` or ``"sv-SE"``.

    Raises:
        Unreadable: ``locale.unknown``, also for one that does not write a point or a comma as its
            decimal mark.
    """
    try:
        locale = Locale.parse(name.replace("-", "_"))
    except (UnknownLocaleError, ValueError, TypeError):
        raise Unreadable(Problem("locale.unknown", values={"text": name[:24]})) from None
    if get_decimal_symbol(locale, numbering_system="latn") not in (".", ","):
        raise Unreadable(Problem("locale.unknown", values={"text": name[:24]}))
    return locale


@cache
def language_of(name: str) -> str:
    """The language of a locale, by its code.

    Raises:
        Unreadable: as ``locale_of``.
    """
    return locale_of(name).language


@cache
def offered_locales() -> tuple[str, ...]:
    """Every locale that a shop can be kept in: the languages there are, each with its countries."""
    offered = []
    for name in locale_identifiers():
        language, _, territory = name.partition("_")
        if language in languages() and len(territory) == 2:
            offered.append(name)
    return tuple(sorted(offered))


@cache
def locale_names() -> tuple[tuple[str, str], ...]:
    """(locale, its name in its own language), for choosing from; sorted by language and name."""
    named = [(name, str(locale_of(name).get_display_name() or name)) for name in offered_locales()]
    return tuple(sorted(named, key=lambda pair: (languages().index(pair[0].split("_")[0]), pair[1].lower())))


@cache
def currencies() -> tuple[str, ...]:
    """The ISO 4217 currencies that are money in some country now."""
    current: set[str] = set()
    by_territory: dict[str, Iterable[tuple[str, object, object, bool]]] = get_global("territory_currencies")  # type: ignore[assignment]
    for entries in by_territory.values():
        current.update(code for code, _, until, tender in entries if until is None and tender)
    return tuple(sorted(current))


@lru_cache(maxsize=64)
def currency_names(locale: str) -> tuple[tuple[str, str], ...]:
    """(code, "code – name") of each currency, named in a locale."""
    return tuple((code, f"{code} – {get_currency_name(code, locale=locale)}") for code in currencies())


@cache
def decimal_mark(locale: str) -> str:
    """What stands before the decimals: ``"."`` or ``","``."""
    return get_decimal_symbol(locale_of(locale), numbering_system="latn")


@cache
def prefers_imperial(locale: str) -> bool:
    """Whether people there measure cloth in inches and yards; a first guess when a shop is made."""
    return locale_of(locale).territory in {"US", "LR", "MM"}


@cache
def prefers_letter(locale: str) -> bool:
    """Whether paper there is Letter and not A4."""
    letter = {"US", "CA", "MX", "PH", "CL", "CO", "CR", "GT", "NI", "PA", "SV", "VE", "PR"}
    return locale_of(locale).territory in letter


@cache
def time_zones() -> tuple[str, ...]:
    """The time zones by which people say where they are, such as ``Europe/Stockholm``; and UTC."""
    regions = {
        "Africa",
        "America",
        "Antarctica",
        "Arctic",
        "Asia",
        "Atlantic",
        "Australia",
        "Europe",
        "Indian",
        "Pacific",
    }
    return ("UTC", *sorted(zone for zone in available_timezones() if zone.split("/")[0] in regions))


@dataclass(frozen=True, slots=True)
class UsualThere:
    """What most shops of a country write with.

    Attributes:
        currency: ISO 4217 code.
        units: ``"imperial"`` or ``"metric"``.
        zone: IANA name of the time zone.
    """

    currency: str
    units: str
    zone: str

    @property
    def city(self) -> str:
        """The time zone by its city alone: ``Stockholm``."""
        return self.zone.rsplit("/", 1)[-1].replace("_", " ")


_CHIEF_ZONES: Final = {
    "AU": "Australia/Sydney", "CA": "America/Toronto", "CY": "Asia/Nicosia", "DE": "Europe/Berlin",
    "ES": "Europe/Madrid", "FM": "Pacific/Pohnpei", "ID": "Asia/Jakarta", "KI": "Pacific/Tarawa",
    "MH": "Pacific/Majuro", "MY": "Asia/Kuala_Lumpur", "NZ": "Pacific/Auckland", "PG": "Pacific/Port_Moresby",
    "PT": "Europe/Lisbon", "UM": "Pacific/Wake", "US": "America/New_York",
}  # fmt: skip
"""Where a country has several zones, the one in which most of its people or its government live."""


@cache
def usual_there(locale: str) -> UsualThere:
    """The currency, units and time zone of a locale's country; a first guess when a shop is made."""
    territory = locale_of(locale).territory or ""
    tender = [code for code in get_territory_currencies(territory) if code in currencies()]
    own = [code for code in tender if code.startswith(territory)]
    there: dict[str, str] = get_global("zone_territories")  # type: ignore[assignment]
    zones = [zone for zone in time_zones() if there.get(zone) == territory]
    return UsualThere(
        currency=(own or tender or ["USD"])[0],
        units="imperial" if prefers_imperial(locale) else "metric",
        zone=_CHIEF_ZONES.get(territory) or (zones or ["UTC"])[0],
    )
