"""A value of a formula as it stands on the cost sheet: each unit written in the shop's own."""

from __future__ import annotations

from shop.core.explanation import Quantity, Shown
from shop.core.measure import Length, ceil_count
from shop.core.money import Money
from shop.words.words import Words


def written(value: Shown, words: Words) -> str:
    """A value as it stands in a formula."""
    if isinstance(value, Length):
        return words.length(value) if value.metres < 5 else words.strip_length(value.metres)
    if isinstance(value, Money):
        return words.money(value)
    return _quantity(value, words)


def _quantity(quantity: Quantity, words: Words) -> str:
    value = quantity.value
    match quantity.unit:
        case "mm":
            if words.units == "imperial":
                return words.say("%(number)s in", number=words.number(value / 25.4, 3))
            return words.say("%(number)s mm", number=words.number(value, 1))
        case "mm2":
            return words.say("%(number)s mm²", number=words.number(value, 2))
        case "m":
            return words.strip_length(value)
        case "m2":
            return words.area(value)
        case "g":
            return words.weight(value)
        case "kg":
            return words.weight(value * 1000)
        case "min":
            return words.duration(value)
        case "min_each":
            return words.say("%(number)s min", number=words.number(value, 2, trimmed=True))
        case "min_per_m":
            if words.units == "imperial":
                return words.say("%(number)s min/yd", number=words.number(value * 0.9144, 2, trimmed=True))
            return words.say("%(number)s min/m", number=words.number(value, 2, trimmed=True))
        case "min_per_kg":
            if words.units == "imperial":
                return words.say("%(number)s min/lb", number=words.number(value * 0.45359237, 2, trimmed=True))
            return words.say("%(number)s min/kg", number=words.number(value, 2, trimmed=True))
        case "whole":
            return words.number(ceil_count(value))
        case "share":
            return words.percent(value, 3)
        case "per_m":
            if words.units == "imperial":
                return words.say("%(number)s to the inch", number=words.number(value * 0.0254, 2, trimmed=True))
            return words.say("%(number)s to the centimetre", number=words.number(value / 100, 2, trimmed=True))
        case "g_per_m2":
            return words.cloth_weight(value)
        case "g_per_cm3":
            return words.say("%(number)s g/cm³", number=words.number(value, 2))
        case "m_per_kg":
            if words.units == "imperial":
                yards = value * 0.45359237 / 0.9144
                return words.say("%(number)s yd/lb", number=words.number(yards, 0))
            return words.say("%(number)s m/kg", number=words.number(value, 0))
        case "count":
            return words.number(value, 0 if value == int(value) else 2, trimmed=True)
    return words.number(value, 3, trimmed=True)
