"""How a shop says lengths, weights, money, numbers and times; and that what it types, it can read."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.errors import Unreadable
from shop.core.loom import Size
from shop.core.measure import LARGEST, Length, Weight, parse_length, parse_number, parse_weight
from shop.core.money import Money, parse_money
from shop.words import Words
from shop.words.locales import currencies, decimal_mark, locale_of, offered_locales, time_zones

AMERICAN = Words()
SWEDISH = Words("sv_SE", "metric", "Europe/Stockholm", "SEK")
SHOPS = [
    AMERICAN,
    SWEDISH,
    Words("en_GB", "imperial"),
    Words("en_DE", "metric"),
    Words("en_IN", "metric"),
    Words("de_CH", "metric"),
    Words("fr_FR", "imperial"),
    Words("sv_FI", "imperial"),
]
shops = st.sampled_from(SHOPS)


def inches(text):
    return Length.of(text, "in")


@pytest.mark.parametrize(
    ("length", "plain", "as_size"),
    [
        (inches("37.5"), "37 1/2 in", "3 ft 1 1/2 in"),
        (inches(30), "30 in", "2 ft 6 in"),
        (inches(24), "24 in", "2 ft"),
        (inches("0.75"), "3/4 in", "3/4 in"),
        (inches("35.97"), "36 in", "3 ft"),
        (inches("23.95"), "24 in", "2 ft"),
        (Length(0), "0 in", "0 in"),
    ],
)
def test_an_american_shop_says_feet_and_inches(length, plain, as_size):
    assert (AMERICAN.length(length), AMERICAN.length(length, as_size=True)) == (plain, as_size)


@pytest.mark.parametrize(
    ("metres", "plain", "as_size"),
    [
        ("0.76", "76 cm", "76 cm"),
        ("2.345", "2,35 m", "234,5 cm"),
        ("0.006", "6 mm", "6 mm"),
        ("0.025", "2,5 cm", "2,5 cm"),
    ],
)
def test_a_swedish_shop_says_centimetres(metres, plain, as_size):
    length = Length.of(metres, "m")
    assert (SWEDISH.length(length), SWEDISH.length(length, as_size=True)) == (plain, as_size)


def test_a_size_is_width_by_length():
    assert AMERICAN.size(Size(inches(30), inches(48))) == "2 ft 6 in × 4 ft"
    assert SWEDISH.size(Size(Length.of(70, "cm"), Length.of(140, "cm"))) == "70 cm × 140 cm"
    assert SWEDISH.sides(Length.of(150, "cm"), Length.of("2.4", "m")) == "150 cm × 240 cm"
    assert AMERICAN.length(Length.of(100, "m")) == "109 yd"
    assert AMERICAN.length(Length.of(359, "in")) == "359 in"
    assert AMERICAN.sides(Length.of(81, "in"), Length.of(96, "in")) == "81 in × 96 in"


@given(shops, st.integers(1, LARGEST["length"]))
def test_a_length_typed_by_the_shop_reads_back_the_same(shop, nm):
    typed = shop.typed_length(Length(nm))
    assert parse_length(typed, decimal_mark=shop.decimal_mark, bare_unit=shop.bare_length) == Length(nm)


@given(shops, st.integers(1, 64 * 2000))
def test_so_does_every_fraction_of_an_inch(shop, sixty_fourths):
    length = inches(sixty_fourths) if sixty_fourths > 64_000 else Length(sixty_fourths * 396_875)
    typed = shop.typed_length(length)
    assert parse_length(typed, decimal_mark=shop.decimal_mark, bare_unit=shop.bare_length) == length


def test_a_length_stays_in_the_units_it_was_plainly_typed_in():
    assert AMERICAN.typed_length(Length.of(76, "cm")) == "76 cm"
    assert SWEDISH.typed_length(inches("2.5")) == "6,35 cm"
    assert (
        AMERICAN.typed_length(inches("12.7")) == "32.258 cm"
        or AMERICAN.typed_length(inches("12.7")) == "12.7 in"
    )


@given(shops, st.integers(1, LARGEST["weight"]))
def test_a_weight_typed_by_the_shop_reads_back_the_same(shop, ng):
    typed = shop.typed_weight(Weight(ng))
    assert parse_weight(typed, decimal_mark=shop.decimal_mark, bare_unit=shop.bare_weight) == Weight(ng)


@given(shops, st.integers(1, 10**6))
def test_so_does_a_weight_in_ounces(shop, hundredths):
    weight = Weight.of(Decimal(hundredths) / 100, "oz")
    typed = shop.typed_weight(weight)
    assert parse_weight(typed, decimal_mark=shop.decimal_mark, bare_unit=shop.bare_weight) == weight


@given(st.integers(1, 10**6), st.sampled_from(["oz", "lb"]))
def test_a_weight_typed_in_pounds_or_ounces_stays_in_them(hundredths, unit):
    typed = AMERICAN.typed_weight(Weight.of(Decimal(hundredths) / 100, unit))
    assert typed.endswith((" oz", " lb"))


@pytest.mark.parametrize(
    ("typed", "told"),
    [("1 lb 6 oz", "1 lb 6 oz"), ("3 lb 2 oz", "3 lb 2 oz"), ("2.5 lb", "2.50 lb"), ("9 oz", "9 oz"), ("40 lb 3 oz", "40 lb 3 oz")],
)
def test_a_weight_of_pounds_and_ounces_is_told_as_it_was_typed(typed, told):
    weight = parse_weight(typed)
    assert AMERICAN.weight(weight) == told
    assert parse_weight(AMERICAN.typed_weight(weight)) == weight
    if typed.endswith(" oz"):
        assert AMERICAN.typed_weight(weight) == typed


def test_a_weight_that_no_hundredth_of_an_ounce_says_is_in_grams():
    assert AMERICAN.typed_weight(Weight.of("6.3", "oz")) == "6.3 oz"
    assert AMERICAN.typed_weight(Weight.of(100, "g")) == "100 g"
    assert SWEDISH.typed_weight(Weight.of("6.3", "oz")) == "178,601995688 g"


@given(shops, st.integers(0, 10**12), st.sampled_from(["USD", "JPY", "KWD", "SEK"]))
def test_an_amount_typed_by_the_shop_reads_back_the_same(shop, minor, currency):
    typed = shop.typed_money(Money(minor, currency))
    assert parse_money(typed, currency, decimal_mark=shop.decimal_mark) == Money(minor, currency)


@given(shops, st.decimals(0, 10**6, places=6))
def test_a_number_typed_by_the_shop_reads_back_the_same(shop, number):
    assert parse_number(shop.typed_number(number), decimal_mark=shop.decimal_mark) == number


@pytest.mark.parametrize(
    ("shop", "money", "said"),
    [
        (AMERICAN, Money(123456, "USD"), "$1,234.56"),
        (AMERICAN, Money(1800, "JPY"), "¥1,800"),
        (SWEDISH, Money(123456, "SEK"), "1\u00a0234,56\u00a0kr"),
        (SWEDISH, Money(1250, "KWD"), "1,250\u00a0KWD"),
    ],
)
def test_money_has_its_currency_s_own_decimals(shop, money, said):
    assert shop.money(money) == said


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        (AMERICAN.weight(1200.0), "2.65 lb"),
        (AMERICAN.weight(Weight.of("8.5", "oz")), "8.5 oz"),
        (SWEDISH.weight(1450.0), "1,45 kg"),
        (SWEDISH.weight(265.0), "265 g"),
        (AMERICAN.strip_length(49.378), "54 yd"),
        (SWEDISH.strip_length(123.4), "123 m"),
        (AMERICAN.area(1.393546), "15.0 sq ft"),
        (SWEDISH.area(1.393546), "1,39 m²"),
        (AMERICAN.cloth_weight(115), "3.4 oz/yd²"),
        (SWEDISH.cloth_weight(115), "115 g/m²"),
        (AMERICAN.percent(0.35), "35%"),
        (SWEDISH.percent(Decimal("0.125")), "12,5\u00a0%"),
        (AMERICAN.number(1234567.891), "1,234,567.89"),
        (AMERICAN.number(7), "7"),
        (AMERICAN.number(2.5, 0), "3"),
        (AMERICAN.duration(200), "3 h 20 min"),
        (AMERICAN.duration(45.4), "45 min"),
        (AMERICAN.duration(59.6), "1 h"),
        (AMERICAN.date(date(2026, 3, 4)), "March 4, 2026"),
        (SWEDISH.date(date(2026, 3, 4)), "4 mars 2026"),
    ],
)
def test_figures_are_written_as_the_shop_writes(said, expected):
    assert said == expected


def test_a_moment_is_shown_on_the_shop_s_clock():
    late = datetime(2026, 3, 31, 22, 30, tzinfo=UTC)
    assert "00:30" in SWEDISH.datetime(late)
    assert SWEDISH.today(late) == date(2026, 4, 1)
    assert AMERICAN.today(late + timedelta(hours=1)) == date(2026, 3, 31)


def test_a_moment_without_a_zone_is_refused():
    with pytest.raises(ValueError, match="without a zone"):
        AMERICAN.datetime(datetime(2026, 3, 4, 12, 0))  # noqa: DTZ001 - that is the point


def test_a_sentence_writes_its_values_as_the_shop_does():
    sentence = SWEDISH.say("%(a)s %(b)s %(c)s 5%%", a=Length.of(76, "cm"), b=Money(100, "SEK"), c="x")
    assert sentence == "76 cm 1,00\u00a0kr x 5%"


def test_every_locale_offered_writes_a_point_or_a_comma():
    assert {decimal_mark(name) for name in offered_locales()} == {".", ","}
    assert "sv_SE" in offered_locales()


@pytest.mark.parametrize("name", ["xx_XX", "", "../../etc", "x" * 500])
def test_a_locale_that_cannot_be_written_in_is_refused(name):
    with pytest.raises(Unreadable) as refused:
        locale_of(name)
    assert refused.value.problems[0].code == "locale.unknown"


def test_money_of_today_and_places_of_today_are_offered():
    assert {"USD", "SEK", "JPY", "KWD", "EUR"} <= set(currencies())
    assert "DEM" not in currencies()
    assert {"UTC", "Europe/Stockholm", "America/New_York"} <= set(time_zones())
