"""Finished rugs: entered by hand, corrected, priced, looked through, photographed."""

from datetime import timedelta
from decimal import Decimal

import pytest

from shop.core.errors import Clash, NotFound, Refusal
from shop.core.measure import Weight
from shop.usecases import price as prices
from shop.usecases import rug, rug_page, rug_papers, rug_picture, shop
from shop.usecases.given import fresh_token
from tests.builders import (
    a_price_rule,
    a_rug_entered,
    a_rug_given,
    a_shop,
    an_open_shop,
    an_outlet,
    codes,
    inches,
    money,
)
from tests.usecases.a_photograph import a_photograph, opened


@pytest.fixture
def open_store(store, now):
    an_open_shop(store, now)
    return store


def test_a_rug_entered_by_hand_is_marked_as_an_estimate(open_store, now):
    card = a_rug_entered(open_store, now)
    assert (card.number, card.job, card.place, card.guessed) == (1, None, "home", True)
    assert card.cost.total == money("117.00")
    assert card.price == money("150.00")
    assert card.colour == "#2f4470"
    assert card.stripes == (("#efe6d2", 0.2), ("#2f4470", 0.6), ("#efe6d2", 0.2))
    assert card.content == {"fibres": "100% cotton", "care": "Wash cold."}
    assert rug.rug(open_store, number=1) == card


def test_the_same_press_twice_enters_one_rug(open_store, now):
    token = fresh_token()
    first = rug.enter(open_store, rug=a_rug_given(), saving=token, now=now)
    assert rug.enter(open_store, rug=a_rug_given(), saving=token, now=now) == first
    with pytest.raises(Clash):
        rug.enter(open_store, rug=a_rug_given(name="Another"), saving=token, now=now)
    assert len(rug.rugs(open_store).rugs) == 1


def test_every_problem_is_told_at_once(open_store, now):
    wrong = a_rug_given(
        name=" ", made_on=now.date() + timedelta(days=2), width=inches(1), length=inches(9000), weight=Weight(0),
        stripes=(("blue", Decimal(1)),), cloth=money("4.00", "SEK"), labour=money("-1"), minutes=Decimal(10**6), price=money("-5"),
    )  # fmt: skip
    with pytest.raises(Refusal) as refused:
        rug.enter(open_store, rug=wrong, saving=fresh_token(), now=now)
    assert codes(refused) == {
        ("rug.name", "text.missing"),
        ("rug.made_on", "date.future"),
        ("rug.width", "length.small"),
        ("rug.length", "length.most"),
        ("rug.weight", "weight.zero"),
        ("rug.stripes", "colour.unreadable"),
        ("rug.cost.cloth", "money.mixed"),
        ("rug.cost.labour", "money.negative"),
        ("rug.minutes", "number.large"),
        ("rug.price", "money.negative"),
    }
    assert rug.rugs(open_store).rugs == ()
    assert a_rug_entered(open_store, now).number == 1


def test_a_rug_is_corrected_and_a_change_in_another_window_is_kept(open_store, now):
    a_rug_entered(open_store, now)
    given = a_rug_given(name="Blue and linen ladder", width=inches(25), price=None)
    card = rug.correct(open_store, number=1, rug=given, revision=1, saving=fresh_token(), now=now)
    assert (card.name, card.size.width, card.price, card.revision) == ("Blue and linen ladder", inches(25), None, 2)
    with pytest.raises(Clash) as refused:
        rug.correct(open_store, number=1, rug=a_rug_given(), revision=1, saving=fresh_token(), now=now)
    assert codes(refused) == {("", "rug.changed")}
    assert [one.name for one in rug.rugs(open_store, find="linen").rugs] == ["Blue and linen ladder"]


def test_every_price_that_it_had_is_kept(open_store, now):
    a_rug_entered(open_store, now)
    for revision, price in enumerate((money("160"), money("160"), None, money("140")), 1):
        rug.set_price(open_store, number=1, price=price, revision=revision, saving=fresh_token(), now=now)
    found = rug_page.opened(open_store, number=1)
    assert [price for price, _ in found.prices] == [money("140"), None, money("160"), money("150")]
    with pytest.raises(Clash):
        rug.set_price(open_store, number=1, price=money("1"), revision=1, saving=fresh_token(), now=now)


def test_what_the_rule_asks_and_what_the_hour_earns(open_store, now):
    """Cost 117.00 and 40 % make 163.80; with 2.9 % and 0.30 in fees 169.00; steps of five: 170.00."""
    prices.change(open_store, pricing=a_price_rule(), revision=0, saving=fresh_token(), now=now)
    a_rug_entered(open_store, now)
    found = rug_page.opened(open_store, number=1)
    assert found.by_rule.asking == money("170.00")
    assert found.at_price.asking == money("150.00")
    # 150.00 less 4.35 and 0.30 in fees, 6.00 of materials, 10.00 overhead, 1.00 bought in: 128.35 in five hours.
    assert found.hour == money("25.67")
    assert not found.really
    assert found.per_area == money("25.00")


def test_a_rug_without_hours_earns_nobody_knows_what(open_store, now):
    a_rug_entered(open_store, now, minutes=Decimal(0))
    assert rug_page.opened(open_store, number=1).hour is None


def test_the_list_goes_on_where_a_page_ended(open_store, now):
    for number in range(7):
        a_rug_entered(open_store, now, name=f"Rug {number}", note="Heathered" if number % 2 else "")
    first = rug.rugs(open_store, limit=3)
    assert [card.number for card in first.rugs] == [7, 6, 5]
    assert [card.number for card in rug.rugs(open_store, below=first.further, limit=9).rugs] == [4, 3, 2, 1]
    assert [card.number for card in rug.rugs(open_store, find="HEATHER").rugs] == [6, 4, 2]
    assert [card.number for card in rug.rugs(open_store, find="rug 4").rugs] == [5, 4]
    assert rug.rugs(open_store, find="100%").rugs == ()
    assert rug.rugs(open_store, shown="sold").rugs == ()
    with pytest.raises(Refusal):
        rug.rugs(open_store, shown="lost")


@pytest.mark.parametrize("number", [0, -1, 5, 10**30])
def test_a_rug_that_is_not_there(open_store, now, number):
    a_rug_entered(open_store, now)
    for look in (rug.rug, rug_page.opened):
        with pytest.raises(NotFound) as refused:
            look(open_store, number=number)
        assert codes(refused) == {("", "rug.unknown")}


def test_queries_are_as_many_for_many_rugs_as_for_few(open_store, now, count_queries):
    place = an_outlet(open_store, now)
    for _ in range(2):
        a_rug_entered(open_store, now)
    with count_queries(open_store) as few:
        rug.rugs(open_store)
    for _ in range(20):
        a_rug_entered(open_store, now)
    with count_queries(open_store) as many:
        rug.rugs(open_store)
    assert len(many) == len(few)
    assert place.rugs == 0


def test_the_currency_stays_once_a_rug_is_entered(open_store, now):
    assert not shop.current(open_store).currency_fixed
    a_rug_entered(open_store, now)
    with pytest.raises(Refusal):
        shop.change(open_store, shop=a_shop(currency="SEK"), revision=1, saving=fresh_token(), now=now)


def test_a_photograph_is_drawn_anew_and_its_small_one_stays_small(open_store, now):
    a_rug_entered(open_store, now)
    noisy = a_photograph(size=(900, 1200), quality=95)
    rug_picture.put_up(open_store, number=1, content=noisy, saving=fresh_token(), now=now)
    small = rug_picture.shown(open_store, number=1, small=True)
    large = rug_picture.shown(open_store, number=1, small=False)
    assert opened(large.content).size == (900, 1200)
    assert len(small.content) <= rug_picture.SMALL
    assert rug.rug(open_store, number=1).photograph == large.digest
    rug_picture.take_away(open_store, number=1, saving=fresh_token(), now=now)
    assert rug.rug(open_store, number=1).photograph == ""
    with pytest.raises(NotFound):
        rug_picture.shown(open_store, number=1, small=True)


def test_numbers_for_papers_are_read_as_they_are_typed(open_store, now):
    for _ in range(4):
        a_rug_entered(open_store, now)
    assert rug_papers.read_numbers("3-4, 1") == (3, 4, 1)
    assert [card.number for card in rug_papers.rugs_to_print(open_store, numbers=(3, 1))] == [3, 1]
    assert rug_papers.numbers_in(open_store) == (1, 2, 3, 4)
    for text, code in (("three", "rug.numbers"), ("", "rug.no_numbers"), ("1-301", "rug.many")):
        with pytest.raises(Refusal) as refused:
            rug_papers.read_numbers(text)
        assert codes(refused) == {("", code)}
    with pytest.raises(Refusal) as refused:
        rug_papers.rugs_to_print(open_store, numbers=(4, 5, 6))
    assert codes(refused) == {("numbers", "rug.missing")}
    assert refused.value.problems[0].values["text"] == "5-6"
