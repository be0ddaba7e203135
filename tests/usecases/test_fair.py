"""Fairs: kept whole, refused with every problem at once, opened and over, begun as the last one was."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from shop.core.errors import Clash, NotFound, Refusal
from shop.core.money import Money
from shop.usecases import account, fair, fair_card
from shop.usecases.given import fresh_token
from shop.usecases.shop import ShopGiven


def money(minor, currency="USD"):
    return Money(minor, currency)


NOTHING = money(0)
HARVEST = fair_card.FairGiven(
    name="Harvest fair", series="", place="Lower meadow", note="Bring the long table.",
    first_on=date(2026, 9, 12), last_on=date(2026, 9, 13),
    stall=money(180_00), travel=money(42_50), nights=money(90_00), helper=NOTHING, permits=money(15_00), other=NOTHING,
    card_percent=Decimal("0.0275"), card_fixed=money(10), card_share=Decimal("0.7"),
    hours_stood=Decimal(16), hours_travelled=Decimal("3.5"), tax_name="Sales tax", tax_rate=Decimal("0.07"),
    tax_contained=False, cash_step=NOTHING, price_step=money(5_00), price_points=(money(60_00), money(25_00)),
    opening_float=money(80_00),
)  # fmt: skip


@pytest.fixture
def shop(store, now):
    given = ShopGiven(name="Warp & Rag")
    account.open_shop(store, name="ida", password="blue and madder stripes", shop=given, saving=fresh_token(), now=now)
    return store


def kept(shop, now, given=HARVEST, **options):
    return fair.keep(shop, fair=given, saving=fresh_token(), now=now, **options)


def codes(refused):
    return {(problem.where, problem.code) for problem in refused.value.problems}


def test_a_fair_comes_back_as_it_was_given(shop, now):
    card = kept(shop, now)
    assert (card.number, card.state, card.series, card.days) == (1, "planned", "Harvest fair", 2)
    assert card.costs == money(327_50)
    assert card.price_points == (money(25_00), money(60_00))
    assert card.hours == Decimal("19.5")
    assert fair.fair(shop, number=1) == card


def test_the_same_press_twice_is_one_fair(shop, now):
    token = fresh_token()
    first = fair.keep(shop, fair=HARVEST, saving=token, now=now)
    assert fair.keep(shop, fair=HARVEST, saving=token, now=now) == first
    assert len(fair.fairs(shop).fairs) == 1
    with pytest.raises(Clash):
        fair.keep(shop, fair=replace(HARVEST, name="Another"), saving=token, now=now)


def test_every_problem_is_told_at_once_and_nothing_is_kept(shop, now):
    wrong = replace(
        HARVEST, name=" ", last_on=date(2026, 9, 11), stall=money(-1), travel=money(1, "SEK"), card_share=Decimal("1.5"),
        hours_stood=Decimal(-1), price_points=(NOTHING,),
    )  # fmt: skip
    with pytest.raises(Refusal) as refused:
        kept(shop, now, wrong)
    assert codes(refused) == {
        ("fair.name", "text.missing"), ("fair.last_on", "fair.backwards"), ("fair.stall", "money.negative"), ("fair.travel", "money.mixed"),
        ("fair.card_share", "number.large"), ("fair.hours_stood", "number.small"), ("fair.price_points", "fair.point"),
    }  # fmt: skip
    assert fair.fairs(shop).fairs == ()


def test_a_fair_of_more_than_a_month_is_none(shop, now):
    with pytest.raises(Refusal) as refused:
        kept(shop, now, replace(HARVEST, last_on=date(2026, 10, 13)))
    assert codes(refused) == {("fair.last_on", "fair.long")}
    assert kept(shop, now, replace(HARVEST, last_on=date(2026, 10, 12))).days == 31


def test_a_change_of_what_was_changed_meanwhile_is_refused(shop, now):
    card = kept(shop, now)
    changed = kept(shop, now, replace(HARVEST, stall=money(200_00)), number=1, revision=card.revision)
    assert changed.stall == money(200_00)
    with pytest.raises(Clash):
        kept(shop, now, HARVEST, number=1, revision=card.revision)
    with pytest.raises(NotFound):
        kept(shop, now, HARVEST, number=99, revision=1)
    assert fair.fair(shop, number=1) == changed


def test_a_fair_begins_ends_and_may_be_on_after_all(shop, now):
    kept(shop, now)
    assert fair.open_till(shop, number=1, saving=fresh_token(), now=now).state == "open"
    over = fair.end(shop, number=1, saving=fresh_token(), now=now)
    assert (over.state, over.ended_at) == ("over", now)
    again = fair.open_till(shop, number=1, saving=fresh_token(), now=now)
    assert (again.state, again.ended_at) == ("open", None)
    with pytest.raises(Clash):
        fair.call_off(shop, number=1, saving=fresh_token(), now=now)


def test_what_is_called_off_stays_so(shop, now):
    card = kept(shop, now)
    assert fair.call_off(shop, number=1, saving=fresh_token(), now=now).state == "called off"
    for act in (fair.open_till, fair.end, fair.call_off):
        with pytest.raises(Clash):
            act(shop, number=1, saving=fresh_token(), now=now)
    with pytest.raises(Clash):
        kept(shop, now, HARVEST, number=1, revision=card.revision + 1)


def test_a_new_fair_begins_as_the_last_one_was(shop, now):
    first = fair.usual(shop, today=date(2026, 3, 17))
    assert (first.stall, first.card_percent, first.name) == (NOTHING, fair.USUAL_CARD_PERCENT, "")
    kept(shop, now)
    begun = fair.usual(shop, today=date(2026, 3, 17))
    assert begun == replace(HARVEST, name="", series="", place="", note="", first_on=date(2026, 3, 17), last_on=date(2026, 3, 17), price_points=(money(25_00), money(60_00)))


def test_fairs_turn_page_by_page_the_latest_first_whatever_their_days(shop, now):
    days = [date(2026, 5, 2), date(2026, 9, 12), date(2025, 9, 13), date(2026, 5, 2), date(2027, 1, 1)]
    for day in days:
        kept(shop, now, replace(HARVEST, first_on=day, last_on=day))
    seen, below = [], None
    while True:
        page = fair.fairs(shop, below=below, limit=2)
        seen += [(one.first_on, one.number) for one in page.fairs]
        below = page.further
        if below is None:
            break
    assert seen == sorted(((day, place + 1) for place, day in enumerate(days)), reverse=True)
    assert fair.series(shop) == ("Harvest fair",)
