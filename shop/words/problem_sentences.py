"""The sentence for each problem, by its code; grouped by the room that finds it."""

from __future__ import annotations

from typing import Final

from shop.words.catalogue import mark

TYPING: Final[dict[str, str]] = {
    "text.long": mark("That is too long to be read here: use at most %(most)s characters."),
    "text.missing": mark("Please fill this in."),
    "number.missing": mark("Please write a number."),
    "minutes.unreadable": mark("“%(text)s” is not a time that can be read here. Write it like 170, 2:50 or 2 h 50 min."),
    "number.unreadable": mark(
        "“%(text)s” is not a number we can read. Write it like 12, %(example_number)s or 2 1/2."
    ),
    "number.mark": mark(
        "“%(text)s” could be meant in two ways. Use “%(mark)s” before the decimals and nothing else."
    ),
    "number.small": mark("This must be at least %(least)s."),
    "number.large": mark("This must be at most %(most)s."),
    "number.whole": mark("This must be a whole number."),
    "number.negative": mark("This cannot be less than nothing."),
    "length.missing": mark("Please write a length, like 2 ft 6 in, 30 in or 76 cm."),
    "length.unreadable": mark(
        "“%(text)s” is not a length we can read. Write it like 2 ft 6 in, 30 in, 76 cm or %(example_metres)s."
    ),
    "length.unit": mark(
        "“%(text)s” is not a length we can read: “%(unit)s” is no unit we know. "
        "Write it like 2 ft 6 in, 30 in, 76 cm or %(example_metres)s."
    ),
    "length.unit_missing": mark("“%(text)s” does not say its unit. Write it like 30 in or 76 cm."),
    "length.negative": mark("“%(text)s” is less than nothing. Write a length like 30 in or 76 cm."),
    "length.large": mark("“%(text)s” is longer than anything woven here. Please check it."),
    "length.zero": mark("A length of nothing will not do here."),
    "length.small": mark("This must be at least %(least)s."),
    "weight.missing": mark("Please write a weight, like 2 lb 3 oz, 300 g or 1 kg."),
    "weight.unreadable": mark(
        "“%(text)s” is not a weight we can read. Write it like 2 lb 3 oz, 300 g or 1 kg."
    ),
    "weight.unit": mark(
        "“%(text)s” is not a weight we can read: “%(unit)s” is no unit we know. "
        "Write it like 2 lb 3 oz, 300 g or 1 kg."
    ),
    "weight.unit_missing": mark("“%(text)s” does not say its unit. Write it like 2 lb, 12 oz or 300 g."),
    "weight.zero": mark("A weight of nothing will not do here."),
    "weight.negative": mark("“%(text)s” is less than nothing. Write a weight like 12 oz or 300 g."),
    "weight.large": mark("“%(text)s” is heavier than anything woven here. Please check it."),
    "money.missing": mark("Please write an amount, like %(example_money)s."),
    "money.unreadable": mark(
        "“%(text)s” is not an amount we can read. Write it like 12 or %(example_money)s."
    ),
    "money.negative": mark("“%(text)s” is less than nothing. Write an amount like %(example_money)s."),
    "money.large": mark("That is more money than this can hold. Please check it."),
    "money.finer": mark("An amount in %(currency)s cannot have so many decimals."),
    "money.currency": mark(
        "“%(currency)s” is not a currency we know. Use its three letters, such as USD, SEK or JPY."
    ),
    "money.mixed": mark("Amounts in %(one)s and %(other)s cannot be added up."),
    "share.missing": mark("Please write a percentage, like 35."),
    "share.unreadable": mark(
        "“%(text)s” is not a percentage we can read. Write it like 35 or %(example_number)s."
    ),
    "share.small": mark("This must be at least %(share)s."),
    "share.large": mark("This must be at most %(share)s."),
    "share.range": mark("A share must be at least 0%% and less than 90%%; this is %(share)s."),
    "share.none": mark("There is nothing to share it over."),
    "share.negative": mark("A share cannot be less than nothing."),
    "date.missing": mark("Please give a day."),
    "date.unreadable": mark(
        "“%(text)s” is not a day we can read. Write it as year-month-day, like 2026-03-04."
    ),
    "colour.unreadable": mark("“%(text)s” is not a colour we can read. Write it like #7a2c2c."),
    "choice.missing": mark("Please choose one."),
    "choice.unknown": mark("“%(text)s” is not one of the choices."),
    "locale.unknown": mark(
        "“%(text)s” is not a language and country we can write in, such as en_US or sv_SE."
    ),
    "zone.unknown": mark("“%(text)s” is not a time zone we know, such as Europe/Stockholm."),
}
LOOMS: Final[dict[str, str]] = {
    "yarn.unreadable": mark(
        "“%(text)s” is not a yarn we can read. Write its count like 8/4, or how far it goes like "
        "1600 yd/lb, 2020 m/kg or 385 tex."
    ),
    "yarn.range": mark("“%(text)s” is finer or thicker than any warp yarn we know. Please check it."),
    "sett.unreadable": mark("“%(text)s” is not a sett we can read. Write it like 12/in or 5/cm."),
    "sett.range": mark("“%(text)s” is outside 1 to 100 ends to the inch. Please check it."),
    "loom.no_width": mark(
        "This loom has no width to weave in: check its pegs and their spacing, or its width."
    ),
    "loom.length": mark("This loom cannot make a rug %(length)s long. The nearest it makes is %(nearest)s."),
    "rug.small": mark("A rug must measure at least %(least)s."),
    "rug.width_large": mark("A rug can be at most %(most)s wide here."),
    "rug.length_large": mark("A rug can be at most %(most)s long here."),
}
CLOTH: Final[dict[str, str]] = {
    "cloth_weight.unreadable": mark(
        "“%(text)s” is not a weight of cloth we can read. Write it like 115 g/m2 or 4 oz/yd2."
    ),
    "cloth_weight.range": mark("A cloth weighs between %(least)s and %(most)s grams a square metre."),
    "cloth.no_tear": mark(
        "%(name)s failed its tear test, so it cannot be torn. Cut it, or take another cloth."
    ),
    "cloth.small": mark(
        "No strip %(strip)s wide comes out of %(name)s, which measures %(width)s by %(length)s. "
        "Take a narrower strip or a larger cloth."
    ),
    "portion.range": mark("You can use between nothing and the whole of a piece; this is %(share)s."),
    "strip.none": mark("A strip must have a width."),
    "tear.way": mark("Cloth tears along its grain only: strips back and forth or in a spiral have to be cut."),
    "join.long": mark("A join takes up as much as a strip is long. Take a shorter join or longer cloth."),
}
COSTS: Final[dict[str, str]] = {
    "wear.years": mark("A loom must last at least some part of a year."),
    "wear.resale": mark("It would sell for more than it cost, so there is no wear to count."),
    "overhead.no_hours": mark("Overhead needs productive hours to be spread over."),
    "overhead.unborne": mark(
        "Costs of the year are filled in, but no rug bears them. Choose how rugs bear them, or empty their rows."
    ),
    "overhead.no_labour": mark("Overhead as a share of labour needs some labour."),
    "markup.range": mark("A markup can be from 0%% to 1,000%% of the cost; this is %(share)s."),
    "margin.range": mark(
        "A margin is a share of the price, so it must stay below 100%%; this is %(share)s. "
        "If you meant a share of the cost, choose markup."
    ),
    "fee.range": mark("Fees and tax together would take the whole price. Fees of %(share)s cannot be borne."),
    "tax.range": mark("A tax rate must be at least 0%% and less than 100%%; this is %(rate)s."),
    "tax.no_lines": mark("There is nothing to tax."),
    "discount.range": mark("A discount can be from 0%% to 100%%; this is %(share)s."),
    "deposit.range": mark("A deposit can be from 0%% to 100%% of the price; this is %(share)s."),
    "hourly.no_hours": mark("A rug that takes no time earns nothing an hour: check the hours."),
    "break_even.none": mark("Each sale leaves nothing over, so no number of sales would bear the cost."),
}
SENTENCES: Final[dict[str, str]] = {**TYPING, **LOOMS, **CLOTH, **COSTS}
