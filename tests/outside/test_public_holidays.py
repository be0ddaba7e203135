"""Days off by law, against the laws that name them (from memory).

United States: 5 U.S.C. 6103 names New Year's Day, the third Monday of January, the third Monday of February, the last Monday
of May, 19 June, 4 July, the first Monday of September, the second Monday of October, 11 November, the fourth Thursday of
November and 25 December; one that falls on a Saturday is kept on the Friday before. Sweden: lagen (1989:253) om allmänna
helgdagar; its midsummer's day is the Saturday from 20 to 26 June, its all saints' day the Saturday from 31 October to
6 November, and Easter is reckoned by the church.
"""

from datetime import date

from shop.usecases.public_holidays import public_holidays

UNITED_STATES_2026 = {
    (1, 1), (1, 19), (2, 16), (5, 25), (6, 19), (7, 3), (9, 7), (10, 12), (11, 11), (11, 26), (12, 25),
}  # fmt: skip
SWEDEN_2026 = {(1, 1), (1, 6), (4, 3), (4, 5), (4, 6), (5, 1), (5, 14), (5, 24), (6, 6), (6, 20), (10, 31), (12, 25), (12, 26)}


def of_2026(country):
    return {(day.month, day.day) for day in public_holidays(country=country, first=date(2026, 1, 1), last=date(2026, 12, 31)).days}


def test_federal_holidays_of_the_united_states():
    assert of_2026("US") >= UNITED_STATES_2026


def test_public_holidays_of_sweden():
    assert of_2026("SE") >= SWEDEN_2026
