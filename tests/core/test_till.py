"""The till: parts sum to the whole, change and drawer agree, and the cases that a phone is held to are right."""

import json
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.cash import change, change_from, in_cash
from shop.core.money import Money
from shop.core.tax import tax_contained, tax_on_top
from shop.core.till import Drawer, FairTax, RugWanted, basket, settle
from tests.core.a_rug import problems_of

CASES = json.loads((Path(__file__).parent.parent / "till_cases.json").read_text("utf-8"))
PRICES = st.lists(st.integers(0, 200_000), min_size=1, max_size=6)
TAXES = st.builds(
    lambda rate, included: FairTax(rate=Decimal(rate).scaleb(-5), included=included), st.integers(0, 40_000), st.booleans()
)


def usd(minor):
    return None if minor is None else Money(minor, "USD")


def wanted(*prices):
    return [RugWanted(rug=str(at), tag=usd(price)) for at, price in enumerate(prices)]


def each(cases):
    return pytest.mark.parametrize("case", CASES[cases], ids=range(1, len(CASES[cases]) + 1))


def plain(pieces):
    return None if pieces is None else [[piece.minor, count] for piece, count in pieces]


@each("rounding")
def test_a_case_of_rounding(case):
    assert in_cash(usd(case["total"]), usd(case["step"])) == usd(case["cash"])


@each("change")
def test_a_case_of_change(case):
    assert plain(change(Money(case["amount"], case["currency"]))) == case["pieces"]


@each("change_from")
def test_a_case_of_change_from_a_drawer(case):
    assert plain(change_from(Money(case["amount"], case["currency"]), dict(case["drawer"]))) == case["pieces"]


@each("basket")
def test_a_case_of_a_basket(case):
    rugs = [RugWanted(rug=str(at), tag=usd(tag), agreed=usd(agreed)) for at, (tag, agreed) in enumerate(case["rugs"])]
    found = basket(
        rugs,
        FairTax(rate=Decimal(case["rate"]), included=case["included"]),
        discount=Decimal(case["discount"]),
        bargain=usd(case["bargain"]),
    )
    assert [rug.due.minor for rug in found.rugs] == case["due"]
    assert [rug.tax.minor for rug in found.rugs] == case["tax"]
    assert [rug.net.minor for rug in found.rugs] == case["net"]
    assert found.total.minor == case["total"]


@each("settle")
def test_a_case_of_paying(case):
    given_ = {"elsewhere": usd(case["elsewhere"]), "given": usd(case["given"]), "step": usd(case["step"])}
    if "refused" in case:
        assert {code for code, _ in problems_of(settle, usd(case["total"]), **given_)} == {case["refused"]}
    else:
        found = settle(usd(case["total"]), **given_)
        assert (found.cash, found.rounding, found.change) == tuple(usd(case[name]) for name in ("cash", "rounding", "change"))


@each("drawer")
def test_a_case_of_a_drawer(case):
    found = Drawer(**{name: usd(case[name]) for name in ("opening", "taken", "paid_out", "counted")})
    assert found.expected == usd(case["expected"])
    assert found.difference == usd(case["difference"])


@given(PRICES, TAXES, st.integers(0, 100), st.data())
def test_parts_sum_to_the_whole(prices, tax, percent, data):
    bargained = data.draw(st.booleans())
    bargain = usd(data.draw(st.integers(0, sum(prices)))) if bargained else None
    found = basket(
        wanted(*prices), tax, discount=Decimal(0) if bargained else Decimal(percent).scaleb(-2), bargain=bargain
    )
    assert sum(rug.due.minor for rug in found.rugs) == found.due.minor
    assert sum(rug.tax.minor for rug in found.rugs) == found.tax.minor
    assert sum(rug.net.minor for rug in found.rugs) == found.total.minor - found.tax.minor
    assert sum(rug.off.minor for rug in found.rugs) == found.off.minor
    assert found.tags.minor == sum(prices) == found.due.minor + found.off.minor
    assert found.tax == (tax_contained if tax.included else tax_on_top)(found.due, tax.rate)
    assert all(0 <= rug.due.minor <= rug.tag.minor for rug in found.rugs)
    if bargain is not None:
        assert found.due == bargain


@given(PRICES, TAXES, st.data())
def test_no_rug_bears_more_than_a_coin_beyond_its_part(prices, tax, data):
    bargain = data.draw(st.integers(0, sum(prices)))
    found = basket(wanted(*prices), tax, bargain=usd(bargain))
    whole = sum(prices)
    for price, rug in zip(prices, found.rugs, strict=True):
        assert abs(rug.due.minor * whole - bargain * price) < max(whole, 1)


@given(st.integers(0, 10**7), st.data(), st.sampled_from([0, 5, 50, 100, 500]))
def test_what_is_paid_covers_the_total_but_for_rounding(total, data, step):
    elsewhere = data.draw(st.integers(0, total))
    more = data.draw(st.integers(0, 10**5))
    exact = settle(usd(total), elsewhere=usd(elsewhere), given=None, step=usd(step))
    assert not exact.change
    assert exact.elsewhere + exact.cash == exact.total + exact.rounding
    assert 2 * abs(exact.rounding.minor) <= step
    with_more = settle(usd(total), elsewhere=usd(elsewhere), given=exact.cash + usd(more), step=usd(step))
    assert with_more.change == usd(more)
    assert with_more.cash == exact.cash
    if elsewhere == total:
        assert not exact.cash


@given(st.integers(0, 10**5), st.lists(st.tuples(st.integers(0, 10**5), st.integers(0, 10**4)), max_size=9), st.integers(0, 999))
def test_the_drawer_holds_what_was_laid_down_less_what_went_back(opening, sales, paid_out):
    lies, taken = opening, usd(0)
    for total, more in sales:
        cash = in_cash(usd(total), usd(100))
        paid = settle(usd(total), elsewhere=usd(0), given=cash + usd(more), step=usd(100))
        lies += paid.given.minor - paid.change.minor
        taken = taken + paid.cash
    drawer = Drawer(opening=usd(opening), taken=taken, paid_out=usd(paid_out), counted=usd(lies - paid_out))
    assert not drawer.difference


def test_every_reason_against_a_basket_is_told_at_once():
    rugs = [RugWanted(rug="7", tag=usd(100)), RugWanted(rug="7", tag=usd(-1)), RugWanted(rug="8", tag=usd(5), agreed=usd(-5))]
    assert problems_of(basket, rugs, FairTax(), discount=Decimal(2), bargain=usd(10**6)) == {
        ("till.twice", "rugs.1"),
        ("till.price", "rugs.1"),
        ("till.price", "rugs.2"),
        ("discount.range", "discount"),
        ("till.bargain", "bargain"),
    }
    assert problems_of(basket, [], FairTax()) == {("till.empty", "rugs")}
    assert problems_of(basket, wanted(100), FairTax(), discount=Decimal("0.1"), bargain=usd(90)) == {("till.two_ways", "bargain")}
    assert problems_of(basket, wanted(100), FairTax(), bargain=usd(101)) == {("till.bargain", "bargain")}
    assert problems_of(basket, wanted(100), FairTax(), bargain=usd(-1)) == {("till.bargain", "bargain")}
    assert problems_of(basket, wanted(100), FairTax(rate=Decimal(1))) == {("tax.range", "price.tax_rate")}


def test_a_gift_is_no_trouble():
    found = basket(wanted(0, 0), FairTax(rate=Decimal("0.25")), bargain=usd(0))
    assert not found.total
    assert settle(found.total, elsewhere=usd(0), given=None, step=usd(5)).change == usd(0)


def test_a_card_can_pay_no_less_than_nothing():
    assert problems_of(settle, usd(10), elsewhere=usd(-1), given=None, step=usd(0)) == {("till.elsewhere", "elsewhere")}
