"""Public holidays: published dates, unknown countries, parts of a country, languages, and spans."""

from datetime import date, timedelta

import holidays
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.usecases import public_holidays as room
from shop.usecases.public_holidays import MOST_YEARS, PublicHoliday, PublicHolidays, public_holidays


def of(country, year=2026, **given):
    return public_holidays(country=country, first=date(year, 1, 1), last=date(year, 12, 31), **given)


def named(found):
    return {holiday.day: holiday.name for holiday in found.in_order()}


PUBLISHED = [
    ("US", date(2026, 1, 1)),  # New Year's Day, from memory
    ("US", date(2026, 1, 19)),  # third Monday of January, Martin Luther King's birthday, from memory
    ("US", date(2026, 5, 25)),  # last Monday of May, Memorial Day, from memory
    ("US", date(2026, 6, 19)),  # Juneteenth, from memory
    ("US", date(2026, 7, 3)),  # observed for 4 July, a Saturday; from memory of the federal rule
    ("US", date(2026, 7, 4)),  # Independence Day, from memory
    ("US", date(2026, 9, 7)),  # first Monday of September, Labor Day, from memory
    ("US", date(2026, 11, 26)),  # fourth Thursday of November, Thanksgiving, from memory
    ("US", date(2026, 12, 25)),  # Christmas Day, from memory
    ("SE", date(2026, 1, 6)),  # Epiphany, from memory
    ("SE", date(2026, 4, 3)),  # Good Friday; Easter 2026 is 5 April, from memory
    ("SE", date(2026, 4, 6)),  # Easter Monday, from memory
    ("SE", date(2026, 5, 14)),  # Ascension, 39 days after Easter, from memory
    ("SE", date(2026, 6, 6)),  # National Day, from memory
    ("SE", date(2026, 6, 20)),  # Midsummer Day, the Saturday from 20 to 26 June, from memory of the law
    ("SE", date(2026, 10, 31)),  # All Saints' Day, the Saturday from 31 October, from memory of the law
    ("DE", date(2026, 10, 3)),  # Day of German Unity, from memory
]


@pytest.mark.parametrize(("country", "day"), PUBLISHED)
def test_published_holidays(country, day):
    found = of(country)
    assert found.known
    assert day in found.days


@pytest.mark.parametrize(
    ("country", "day"),
    [
        ("US", date(2026, 11, 27)),  # the day after Thanksgiving is no federal holiday, from memory
        ("SE", date(2026, 6, 19)),  # Midsummer Eve is free by custom, not by law; from memory
        ("SE", date(2026, 7, 4)),
        ("US", date(2026, 4, 3)),  # Good Friday is no federal holiday, from memory
    ],
)
def test_days_that_are_none(country, day):
    assert day not in of(country).days


def test_a_new_year_on_a_saturday_is_kept_in_the_year_before():
    """1 January 2028 is a Saturday, so that federal offices close on Friday 31 December 2027; from memory of the rule."""
    found = public_holidays(country="US", first=date(2027, 12, 31), last=date(2027, 12, 31))
    assert found.days == {date(2027, 12, 31)}


@pytest.mark.parametrize("country", ["ZZ", "XX", "", "S", "USA", "UK", "NYSE", "é1", "U\n", "SE-AB", "12"])
def test_an_unknown_country_has_none_and_says_so(country):
    """``ZZ`` and ``XX`` are given to no country; Britain is ``GB`` in ISO 3166, from memory."""
    assert of(country) == PublicHolidays(known=False)


def test_an_unknown_part_of_a_country_has_none_and_says_so():
    assert of("US", part="QQ") == PublicHolidays(known=False)
    assert of("US", part="SE-AB") == PublicHolidays(known=False)


def test_a_part_of_a_country_keeps_days_of_its_own():
    """Cesar Chavez Day is kept in California on 31 March, Assumption in Saarland on 15 August; from memory."""
    for country, part, day in (("US", "CA", date(2026, 3, 31)), ("DE", "SL", date(2026, 8, 15))):
        assert day not in of(country).days
        assert day in of(country, part=part).days
        assert of(country, part=part) == of(country, part=f"{country}-{part}".lower())


def test_small_letters_name_a_country_too():
    assert of("se") == of(" SE ") == of("SE")


def test_years_that_are_not_known_are_said_to_be():
    beyond = of("SE", 2999)
    assert beyond == PublicHolidays(known=False)
    span = public_holidays(country="SE", first=date(2100, 12, 1), last=date(2101, 12, 31))
    assert not span.known
    assert {day.year for day in span.days} == {2100}


def test_names_are_said_in_the_language_asked_for_or_the_country_s_own():
    midsummer = date(2026, 6, 20)
    for language, name in (
        ("sv", "Midsommardagen"),
        ("sv_SE", "Midsommardagen"),
        ("sv-FI", "Midsommardagen"),
        ("en_US", "Midsummer Day"),
        ("en_GB", "Midsummer Day"),
        ("en", "Midsummer Day"),
        ("tlh", "Midsommardagen"),
        (None, "Midsommardagen"),
    ):
        assert named(of("SE", language=language))[midsummer] == name


def test_the_machine_s_language_changes_nothing(monkeypatch):
    """The same arguments give the same names on every machine."""
    names = []
    for language in ("en_US.UTF-8", "th_TH.UTF-8"):
        monkeypatch.setenv("LANGUAGE", language)
        room._of_year.cache_clear()  # noqa: SLF001 - so that the library is asked again
        names.append(named(of("SE")))
    assert names[0] == names[1]


def test_a_year_is_asked_of_the_library_once(monkeypatch):
    room._of_year.cache_clear()  # noqa: SLF001 - so that nothing is known yet
    asked = []
    ask = holidays.country_holidays
    monkeypatch.setattr(
        holidays,
        "country_holidays",
        lambda *args, **given: asked.append(given.get("years")) or ask(*args, **given),
    )
    for _ in range(3):
        public_holidays(country="NO", first=date(2026, 2, 1), last=date(2027, 5, 1))
    assert [years for years in asked if years] == [2026, 2027]


def test_both_ends_are_included_and_an_empty_span_has_none():
    christmas = date(2026, 12, 25)
    both = public_holidays(country="SE", first=christmas, last=christmas + timedelta(days=1), language="en")
    assert both.in_order() == (
        PublicHoliday(christmas, "Christmas Day"),
        PublicHoliday(date(2026, 12, 26), "Second Day of Christmas"),
    )
    for back in (1, 400):
        empty = public_holidays(country="SE", first=christmas, last=christmas - timedelta(days=back))
        assert empty == PublicHolidays(known=True)
        unknown = public_holidays(country="ZZ", first=christmas, last=christmas - timedelta(days=back))
        assert unknown == PublicHolidays(known=False)


def test_a_span_of_too_many_years_is_refused():
    last = date(2000 + MOST_YEARS, 1, 1)
    with pytest.raises(ValueError, match="years"):
        public_holidays(country="SE", first=date(2000, 12, 31), last=last)
    assert public_holidays(country="SE", first=date(2001, 1, 1), last=last).known


DAYS = st.dates(date(2020, 1, 1), date(2030, 12, 31))


@given(st.sampled_from(["US", "SE", "GB", "JP"]), st.tuples(DAYS, DAYS, DAYS))
def test_a_span_is_the_sum_of_its_parts(country, days):
    first, middle, last = sorted(days)
    whole = public_holidays(country=country, first=first, last=last)
    before = public_holidays(country=country, first=first, last=middle)
    after = public_holidays(country=country, first=middle + timedelta(days=1), last=last)
    assert whole.holidays == before.holidays | after.holidays
    assert not before.days & after.days
    assert all(first <= day <= last for day in whole.days)
