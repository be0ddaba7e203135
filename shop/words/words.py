"""``Words``: how one shop says things. Its language, its way of writing numbers, its units, its clock."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from zoneinfo import ZoneInfo

from babel.lists import format_list

from shop.core.loom import Size
from shop.core.measure import LENGTH_UNITS, Length, Weight
from shop.core.money import Money
from shop.words.catalogue import Catalogue, catalogue
from shop.words.figures import (
    DateStyle,
    date_text,
    exact_text,
    inch_parts,
    inch_text,
    money_text,
    number_text,
    percent_text,
    rounded,
    time_text,
    typed_length,
    unit_cost_text,
)
from shop.words.locales import decimal_mark, language_of

_OUNCES_PER_YARD2 = 0.9144**2 / 28.349523125
_SQUARE_FEET = 1 / 0.3048**2
_NOTHING: Mapping[str, str] = {}


@dataclass(frozen=True, slots=True)
class Words:
    """How one shop says things.

    Attributes:
        locale: whose way of writing numbers, dates and money, and which language: ``"en_US"``.
        units: ``"imperial"`` or ``"metric"``.
        zone: the IANA name of the shop's time zone.
        currency: the shop's own ISO 4217 currency.
    """

    locale: str = "en_US"
    units: str = "imperial"
    zone: str = "UTC"
    currency: str = "USD"

    # --- sentences ---------------------------------------------------------------------------

    @property
    def catalogue(self) -> Catalogue:
        """The translations of the shop's language."""
        return catalogue(language_of(self.locale))

    @property
    def language(self) -> str:
        """The language of the sentences, as a page or a paper declares it: ``"sv"``."""
        return self.catalogue.language

    def say(self, msgid: str, /, **values: object) -> str:
        """A sentence in the shop's language, its ``%(name)s`` filled in and written as the shop writes.

        A per cent sign in the sentence is written twice.
        """
        return self.catalogue.one(msgid) % (self._written(values) if values else _NOTHING)

    def say_n(self, singular: str, plural: str, number: int, /, **values: object) -> str:
        """The same where the sentence changes with a number, which it may name as ``%(n)s``."""
        return self.catalogue.many(singular, plural, number) % self._written({"n": number, **values})

    def _written(self, values: dict[str, object]) -> dict[str, str]:
        return {
            name: value if isinstance(value, str) else self.written(value) for name, value in values.items()
        }

    def written(self, value: object) -> str:
        """Any value as this shop writes it: text as it is, a length, an amount, a date, several of them."""
        match value:
            case str():
                return value
            case Length():
                return self.length(value)
            case Weight():
                return self.weight(value)
            case Money():
                return self.money(value)
            case Size():
                return self.size(value)
            case dt.datetime():
                return self.datetime(value)
            case dt.date():
                return self.date(value)
            case int() | float() | Decimal():
                return self.number(value)
            case list() | tuple():
                return self.either(value)
        return str(value)

    def either(self, values: Sequence[object]) -> str:
        """Several things with the word "or" before the last."""
        return format_list([self.written(value) for value in values], style="or", locale=self.locale)

    def all_of(self, values: Sequence[object]) -> str:
        """Several things with the word "and" before the last."""
        return format_list([self.written(value) for value in values], locale=self.locale)

    # --- lengths and weights ------------------------------------------------------------------

    def length(self, length: Length, *, as_size: bool = False) -> str:
        """A length to read: ``37 1/2 in`` (to the nearest eighth), ``109 yd`` from ten yards on, or ``95.3 cm``.

        Args:
            length: what to say.
            as_size: in feet and inches, as rugs are called; in centimetres where the shop is metric.
        """
        if self.units == "metric":
            return self._metric_length(length, as_size=as_size)
        if not as_size and length.nm >= 10 * LENGTH_UNITS["yd"]:
            return self.strip_length(length.metres)
        if not as_size or length.nm < 12 * 25_400_000:
            return self.say("%(number)s in", number=inch_text(inch_parts(length, 8), 8))
        feet, rest = divmod(inch_parts(length, 8), 96)
        if not rest:
            return self.say("%(feet)s ft", feet=str(feet))
        inches = inch_text(rest, 8)
        return self.say("%(feet)s ft %(inches)s in", feet=str(feet), inches=inches)

    def _metric_length(self, length: Length, *, as_size: bool) -> str:
        if length.nm < 10_000_000:
            return self.say("%(number)s mm", number=self.number(length.millimetres, 1, trimmed=True))
        if as_size or length.nm < 2_000_000_000:
            return self.say("%(number)s cm", number=self.number(length.metres * 100, 1, trimmed=True))
        return self.say("%(number)s m", number=self.number(length.metres, 2, trimmed=True))

    def size(self, size: Size) -> str:
        """Width by length: ``2 ft 6 in × 4 ft``."""
        width = self.length(size.width, as_size=True)
        return self.say("%(width)s × %(length)s", width=width, length=self.length(size.length, as_size=True))

    def sides(self, width: Length, length: Length) -> str:
        """A piece of cloth by its two sides, both in one unit: ``81 in × 96 in``, ``150 cm × 240 cm``."""
        first, second = (self.length(side, as_size=self.units == "metric") for side in (width, length))
        return self.say("%(width)s × %(length)s", width=first, length=second)

    def strip_length(self, metres: float) -> str:
        """A length of strip or yarn, in yards or metres: ``54 yd``, ``8.2 yd``."""
        if self.units == "metric":
            return self.say("%(number)s m", number=self._rough(metres))
        return self.say("%(number)s yd", number=self._rough(metres / 0.9144))

    def area(self, square_metres: float) -> str:
        """An area of rug or cloth, in square feet or square metres."""
        if self.units == "metric":
            return self.say("%(number)s m²", number=self.number(square_metres, 2))
        return self.say("%(number)s sq ft", number=self.number(square_metres * _SQUARE_FEET, 1))

    def weight(self, weight: Weight | float) -> str:
        """A weight, given as such or in grams: ``3.2 lb``, ``1 lb 6 oz``, ``8.5 oz``, ``1.45 kg``, ``265 g``.

        One of whole ounces that no two decimals of a pound say is told in pounds and ounces, as a scale tells it.
        """
        grams = weight.grams if isinstance(weight, Weight) else weight
        if self.units == "metric":
            if grams < 1000:
                return self.say("%(number)s g", number=self.number(grams, 0))
            return self.say("%(number)s kg", number=self.number(grams / 1000, 2 if grams < 10_000 else 1))
        pounds = grams / 453.59237
        if isinstance(weight, Weight) and (ounces := _whole_ounces(weight)):
            return self.say("%(pounds)s lb %(ounces)s oz", pounds=self.number(ounces // 16, 0), ounces=self.number(ounces % 16, 0))
        if pounds < 1:
            return self.say("%(number)s oz", number=self.number(pounds * 16, 1, trimmed=True))
        return self.say("%(number)s lb", number=self.number(pounds, 2 if pounds < 10 else 1))

    def cloth_weight(self, grams_per_square_metre: float) -> str:
        """How heavy a cloth is: ``115 g/m²``, ``3.4 oz/yd²``."""
        if self.units == "metric":
            return self.say("%(number)s g/m²", number=self.number(grams_per_square_metre, 0))
        ounces = grams_per_square_metre * _OUNCES_PER_YARD2
        return self.say("%(number)s oz/yd²", number=self.number(ounces, 1))

    # --- numbers, money and time --------------------------------------------------------------

    def number(self, value: float | Decimal, places: int | None = None, *, trimmed: bool = False) -> str:
        """A number; without ``places`` a whole one has none, and any other at most two."""
        if places is None:
            places, trimmed = (0, False) if isinstance(value, int) else (2, True)
        shown = value if isinstance(value, int) else rounded(value, places)
        return number_text(shown, places, self.locale, trimmed=trimmed)

    def _rough(self, value: float) -> str:
        """Three figures are enough of a length of strip."""
        return self.number(value, 0 if value >= 100 else 1, trimmed=True)

    def money(self, money: Money) -> str:
        """An amount with its currency's sign and decimals: ``$12.50``, ``12,50 kr``."""
        return money_text(money.amount, money.currency, self.locale)

    def unit_cost(self, amount: Decimal, currency: str) -> str:
        """What one yard, pound or metre cost, finer than a coin where it is little: ``$0.0235``."""
        return unit_cost_text(amount, currency, self.locale)

    def percent(self, share: float | Decimal, places: int = 1) -> str:
        """A share of one as per cent: ``35%``, ``35 %``, ``12.5%``."""
        return percent_text(rounded(share, places + 2), places, self.locale)

    def date(self, day: dt.date, style: DateStyle = "long") -> str:
        """A day that people agreed on: ``March 4, 2026``."""
        return date_text(day, style, self.locale)

    def datetime(self, moment: dt.datetime) -> str:
        """A moment, on the shop's clock.

        Raises:
            ValueError: the moment does not say its zone.
        """
        if moment.tzinfo is None:
            raise ValueError("A moment without a zone cannot be shown.")
        shown = moment.astimezone(ZoneInfo(self.zone))
        return f"{self.date(shown.date(), 'medium')} {time_text(shown.time(), self.locale)}"

    def today(self, now: dt.datetime) -> dt.date:
        """Which day it is in the shop at a moment in UTC."""
        return now.astimezone(ZoneInfo(self.zone)).date()

    def duration(self, minutes: float) -> str:
        """Working time: ``3 h 20 min``, ``45 min``."""
        hours, rest = divmod(int(rounded(minutes, 0)), 60)
        if not hours:
            return self.say("%(minutes)s min", minutes=rest)
        if not rest:
            return self.say("%(hours)s h", hours=hours)
        return self.say("%(hours)s h %(minutes)s min", hours=hours, minutes=rest)

    # --- for typing -----------------------------------------------------------------------------

    @property
    def decimal_mark(self) -> str:
        """What stands before the decimals when a number is typed."""
        return decimal_mark(self.locale)

    @property
    def bare_length(self) -> str:
        """The unit of a length typed without one."""
        return "in" if self.units == "imperial" else "cm"

    @property
    def bare_weight(self) -> str:
        """The unit of a weight typed without one."""
        return "lb" if self.units == "imperial" else "kg"

    def typed_length(self, length: Length) -> str:
        """A length for an entry field; read again it is the same, to the nanometre."""
        return typed_length(length, self.units, self.decimal_mark)

    def typed_weight(self, weight: Weight) -> str:
        """A weight for an entry field; read again it is the same, to the nanogram."""
        if self.units == "imperial" and (ounces := _whole_ounces(weight)):
            return f"{ounces // 16} lb {ounces % 16} oz"
        for unit in ("lb", "oz") if self.units == "imperial" else ():
            hundredths = Decimal(round(weight.to(unit) * 100)).scaleb(-2)
            if Weight.of(hundredths, unit) == weight:
                return f"{exact_text(hundredths, self.decimal_mark)} {unit}"
        return f"{exact_text(Decimal(weight.ng).scaleb(-9), self.decimal_mark)} g"

    def typed_number(self, value: float | Decimal) -> str:
        """A number for an entry field."""
        exact = value if isinstance(value, Decimal) else Decimal(repr(value))
        return exact_text(exact, self.decimal_mark)

    def typed_money(self, money: Money) -> str:
        """An amount for an entry field, with the currency's decimals and no sign."""
        return money.plain().replace(".", self.decimal_mark)

    def typed_share(self, share: float | Decimal) -> str:
        """A share of one for an entry field, in per cent: 0.35 is ``35``."""
        exact = share if isinstance(share, Decimal) else Decimal(repr(share))
        return exact_text(exact * 100, self.decimal_mark)


def _whole_ounces(weight: Weight) -> int:
    """The ounces of a weight above a pound that is one of whole ounces and not of whole hundredths of a pound; nought for any other."""
    ounces = round(weight.to("oz"))
    if ounces < 16 or ounces * 25 % 4 == 0 or Weight.of(ounces, "oz") != weight:
        return 0
    return ounces
