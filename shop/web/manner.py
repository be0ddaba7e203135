"""The fields by which a shop says how it writes: locale, currency, units, time zone."""

from __future__ import annotations

from shop.web.fields import ChoiceField
from shop.web.forms import ShopForm
from shop.web.shell import words_now
from shop.words import mark
from shop.words.locales import currency_names, locale_names, time_zones

UNITS = (
    ("imperial", mark("Feet, inches, yards, ounces and pounds")),
    ("metric", mark("Centimetres, metres, grams and kilograms")),
)


def _currencies() -> list[tuple[str, str]]:
    return list(currency_names(words_now().locale))


class MannerForm(ShopForm):
    """How the shop writes."""

    locale = ChoiceField(
        mark("Language and country"),
        hint=mark("Decides the language, and how numbers, dates and money are written."),
        choices=lambda: list(locale_names()),
        named=True,
        where="shop.locale",
    )
    currency = ChoiceField(
        mark("Currency"),
        hint=mark("Cannot change once money has been written down."),
        choices=_currencies,
        named=True,
        where="shop.currency",
    )
    time_zone = ChoiceField(
        mark("Time zone"),
        choices=lambda: [(zone, zone) for zone in time_zones()],
        named=True,
        where="shop.time_zone",
    )
    units = ChoiceField(mark("Measures"), choices=UNITS, buttons=True, where="shop.units")
