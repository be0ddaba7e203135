"""Wage, overhead, paces and the price rule."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest

from shop.core.cost import OverheadPerHour, OverheadShare
from shop.core.errors import Clash, Refusal
from shop.core.hours import PACES, STEPS, pace_guess
from shop.core.money import Money
from shop.core.price import PriceBy
from shop.core.spread import Basis
from shop.usecases import pace, price, rates, shop
from shop.usecases.given import fresh_token
from shop.usecases.pace import PaceGiven
from shop.usecases.planning import planned
from shop.usecases.rates import BudgetLine
from tests.builders import a_price_rule, an_open_shop, codes, money, some_rates
from tests.store.test_engine import together


def change_rates(store, now, given, revision=0):
    return rates.change(store, rates=given, revision=revision, saving=fresh_token(), now=now)


def change_price(store, now, given, revision=0):
    return price.change(store, pricing=given, revision=revision, saving=fresh_token(), now=now)


def change_paces(store, now, *given, revision=None):
    shown = pace.sheet(store).revision if revision is None else revision
    return pace.change(store, paces=given, revision=shown, by="Ida", saving=fresh_token(), now=now)


def test_overhead_is_the_years_budget_with_wear_over_productive_hours(store, now):
    found = change_rates(store, now, some_rates())
    assert found == rates.current(store)
    assert found.budget == money("1260")  # 1,200 of rent and (900 - 300) / 10 of wear
    assert found.overhead_per_hour == Decimal("1.575")
    assert found.borne == OverheadPerHour(Decimal("1.575"))
    assert [line.kind for line in found.lines] == ["rent", "loom_wear"]


def test_overhead_may_be_a_share_of_labour_or_nothing(store, now):
    assert rates.current(store).borne is None
    share = change_rates(store, now, some_rates(overhead="percent", overhead_share=Decimal("0.25")))
    assert share.borne == OverheadShare(Decimal("0.25"))
    none = change_rates(store, now, some_rates(overhead="none"), revision=1)
    assert none.borne == OverheadPerHour(Decimal(0))


def test_lines_are_replaced_and_kept_in_order(store, now):
    change_rates(store, now, some_rates())
    lines = tuple(BudgetLine(kind="other", name=name, per_year=money("10")) for name in "dbca")
    found = change_rates(store, now, some_rates(lines=lines), revision=1)
    assert [line.name for line in found.lines] == list("dbca")


def test_a_step_may_be_paid_at_a_rate_of_its_own(store, now):
    pay = (("cut", money("12")), ("finish", money("0")), ("office", money("30.50")))
    found = change_rates(store, now, some_rates(pay=pay))
    assert found == rates.current(store)
    assert found.pay == pay
    assert change_rates(store, now, some_rates(), revision=1).pay == ()


def test_pay_is_kept_in_the_order_of_the_steps(store, now):
    every = tuple((step, money(place + 10)) for place, step in enumerate(STEPS))
    assert change_rates(store, now, some_rates(pay=every[::-1])).pay == every


@pytest.mark.parametrize(
    ("pay", "problem"),
    [
        ((("cut", money("-1")),), ("rates.pay.cut", "money.negative")),
        ((("cut", money("12", "EUR")),), ("rates.pay.cut", "money.mixed")),
        ((("weave", Money(10**18, "USD")),), ("rates.pay.weave", "money.large")),
        ((("dancing", money("12")),), ("rates.pay.dancing", "choice.unknown")),
        ((("cut", money("12")), ("cut", money("13"))), ("rates.pay.cut", "rates.pay_twice")),
    ],
)
def test_nonsense_pay_of_a_step_is_told_and_nothing_changes(store, now, pay, problem):
    with pytest.raises(Refusal) as refused:
        change_rates(store, now, some_rates(pay=pay))
    assert codes(refused) == {problem}
    assert rates.current(store).revision == 0


def test_pay_of_a_step_fixes_the_currency_as_a_wage_does(store, now):
    an_open_shop(store, now)
    assert not shop.current(store).currency_fixed
    change_rates(store, now, rates.RatesGiven(pay=(("cut", money("12")),)))
    assert shop.current(store).currency_fixed


def test_a_rug_planned_in_the_shop_pays_each_step_as_the_rates_say(store, now):
    before = planned(store).reckoning
    wage = before.plan.wage.amount
    change_rates(store, now, some_rates(wage=None, pay=(("cut", money("12")), ("weave", money("0")))))
    after = planned(store)
    assert after.document["rates"]["pay"] == {"cut": "12.00", "weave": "0.00"}
    minutes = {step: Decimal(repr(each.middle)) for step, each in after.reckoning.minutes.items()}
    hours = sum(minutes.values()) / 60
    off = minutes["cut"] / 60 * (wage - 12) + minutes["weave"] / 60 * wage
    assert after.reckoning.cost.labour == Money.rounded(hours * wage - off, "USD")
    assert after.reckoning.cost.labour < before.cost.labour


def test_nonsense_rates_are_told_in_full_and_nothing_changes(store, now):
    lines = (
        BudgetLine(kind="rent"),
        BudgetLine(kind="loom_wear", cost=money("5"), resale=money("9"), years=Decimal(2)),
        BudgetLine(kind="loom_wear", cost=money("5"), years=Decimal(0)),
        BudgetLine(kind="castles", per_year=money("5", "EUR")),
    )
    wrong = some_rates(wage=money("-1"), overhead="budget", productive_hours=Decimal(0), lines=lines)
    with pytest.raises(Refusal) as refused:
        change_rates(store, now, wrong)
    assert codes(refused) == {
        ("rates.wage", "money.negative"),
        ("rates.productive_hours", "overhead.no_hours"),
        ("rates.lines.0.per_year", "money.missing"),
        ("rates.lines.1.resale", "wear.resale"),
        ("rates.lines.2.years", "wear.years"),
        ("rates.lines.3.kind", "choice.unknown"),
        ("rates.lines.3.per_year", "money.mixed"),
    }
    assert rates.current(store).revision == 0


def test_rates_changed_in_the_meantime_are_not_lost(store, now):
    came = together(3, lambda: change_rates(store, now, some_rates()))
    assert sum(isinstance(one, Clash) for one in came) == 2
    assert rates.current(store).revision == 1


def test_paces_set_in_the_meantime_are_not_lost(store, now):
    wanted = PaceGiven(loom_kind="any", key="office", minutes=Decimal(30))
    came = together(3, lambda: change_paces(store, now, wanted, revision=0))
    assert sum(isinstance(one, Clash) for one in came) == 2
    assert pace.sheet(store).revision == 1
    with pytest.raises(Clash) as refused:
        change_paces(store, now, replace(wanted, minutes=Decimal(31)), revision=0)
    assert codes(refused) == {("", "pace.changed")}
    assert pace.sheet(store).revision == 1
    assert pace.paces_on(pace.paces(store), "frame")["office"].minutes == 30


def test_the_same_press_of_the_paces_twice_is_one_act(store, now):
    token, wanted = fresh_token(), (PaceGiven(loom_kind="any", key="office", minutes=Decimal(30)),)
    for _ in range(2):
        pace.change(store, paces=wanted, revision=0, by="Ida", saving=token, now=now)
    assert pace.sheet(store).revision == 1


def test_every_pace_is_a_guess_until_it_is_set(store):
    found = pace.paces(store)
    assert {line.basis for line in found} == {Basis.GUESS}
    for kind in pace.LOOM_KINDS:
        on = pace.paces_on(found, kind)
        assert set(on) == set(PACES)
        assert {key: float(line.minutes) for key, line in on.items() if key in pace.BY_LOOM} == {
            key: getattr(pace_guess(kind), key) for key in pace.BY_LOOM
        }


def test_a_pace_says_who_set_it_when_and_on_what_ground(store, now):
    change_paces(
        store,
        now,
        PaceGiven(loom_kind="frame", key="weave_per_row", minutes=Decimal("0.25"), measured=True),
        PaceGiven(loom_kind="any", key="office", minutes=Decimal(30)),
    )
    frame = pace.paces_on(pace.paces(store), "frame")
    assert (frame["weave_per_row"].minutes, frame["weave_per_row"].basis) == (Decimal("0.25"), Basis.MEASURED)
    assert (frame["weave_per_row"].set_by, frame["weave_per_row"].set_at) == ("Ida", now)
    assert (frame["office"].minutes, frame["office"].basis) == (Decimal(30), Basis.SETTING)
    assert pace.paces_on(pace.paces(store), "shaft")["weave_per_row"].basis is Basis.GUESS


def test_a_pace_said_again_keeps_its_date_and_one_forgotten_is_a_guess_again(store, now):
    wanted = PaceGiven(loom_kind="shaft", key="warp_per_end", minutes=Decimal("1.5"))
    change_paces(store, now, wanted)
    change_paces(store, now + timedelta(days=9), wanted)
    line = pace.paces_on(pace.paces(store), "shaft")["warp_per_end"]
    assert line.set_at == now
    change_paces(store, now, PaceGiven(loom_kind="shaft", key="warp_per_end", minutes=None))
    assert pace.paces_on(pace.paces(store), "shaft")["warp_per_end"].basis is Basis.GUESS


@pytest.mark.parametrize(
    ("kind", "key", "minutes", "code"),
    [
        ("frame", "weave_per_row", "-1", "number.small"),
        ("frame", "weave_per_row", "NaN", "number.missing"),
        ("frame", "weave_per_row", "1e9", "number.large"),
        ("frame", "dancing", "1", "choice.unknown"),
        ("frame", "office", "1", "choice.unknown"),
        ("any", "weave_per_row", "1", "choice.unknown"),
        ("warp-weighted", "weave_per_row", "1", "choice.unknown"),
    ],
)
def test_a_nonsense_pace_is_told_and_not_set(store, now, kind, key, minutes, code):
    with pytest.raises(Refusal) as refused:
        change_paces(store, now, PaceGiven(loom_kind=kind, key=key, minutes=Decimal(minutes)))
    assert codes(refused) == {(f"pace.{kind}.{key}", code)}
    assert {line.basis for line in pace.paces(store)} == {Basis.GUESS}


def test_the_price_rule_is_the_one_that_the_arithmetic_knows(store, now):
    guess = price.current(store)
    assert (guess.revision, guess.by, guess.holds_days) == (0, "markup", 30)
    found = change_price(store, now, a_price_rule())
    assert found == price.current(store)
    rule = found.rule
    assert (rule.by, rule.share, rule.tax_rate) == (PriceBy.MARKUP, Decimal("0.4"), Decimal("0.06"))
    assert (rule.step, rule.fee_fixed) == (money("5"), money("0.30"))


@pytest.mark.parametrize(
    ("unit", "by_metre"), [("m2", Decimal(12)), ("ft2", Decimal(12) / Decimal("0.3048") ** 2)]
)
def test_a_rate_for_an_area_is_turned_into_square_metres(store, now, unit, by_metre):
    found = change_price(store, now, a_price_rule(by="area", area_rate=money("12"), area_unit=unit))
    assert found.rule.area_rate == by_metre
    assert (found.area_rate, found.area_unit) == (money("12"), unit)


def test_a_nonsense_price_rule_is_told_in_full_and_nothing_changes(store, now):
    wrong = a_price_rule(
        by="margin", share=Decimal(1), tax_rate=Decimal("0.25"), tax_included=True, fee_share=Decimal("0.8"),
        deposit=Decimal("1.5"), discount=Decimal(-1), retail_times=Decimal("0.5"), holds_days=0, area_unit="acre",
        step=money("-5"), fee_fixed=money("1", "SEK"), tax_name="x" * 41,
    )  # fmt: skip
    with pytest.raises(Refusal) as refused:
        change_price(store, now, wrong)
    assert codes(refused) == {
        ("price.share", "margin.range"),
        ("price.fee_share", "fee.range"),
        ("price.deposit", "deposit.range"),
        ("price.discount", "discount.range"),
        ("price.retail_times", "number.small"),
        ("price.holds_days", "number.small"),
        ("price.area_unit", "choice.unknown"),
        ("price.step", "money.negative"),
        ("price.fee_fixed", "money.mixed"),
        ("price.tax_name", "text.long"),
    }
    assert price.current(store).revision == 0


@pytest.mark.parametrize(
    ("changed", "problem"),
    [
        ({"share": Decimal("NaN")}, ("price.share", "share.missing")),
        ({"by": "area"}, ("price.area_rate", "money.missing")),
        ({"by": "hand"}, ("price.by", "choice.unknown")),
        ({"tax_rate": Decimal(1)}, ("price.tax_rate", "tax.range")),
        ({"share": Decimal("0.3333333333333")}, ("price.share", "number.finer")),
    ],
)
def test_one_thing_wrong_with_a_price_rule_is_told_by_itself(store, now, changed, problem):
    with pytest.raises(Refusal) as refused:
        change_price(store, now, a_price_rule(**changed))
    assert codes(refused) == {problem}


def test_a_price_rule_changed_in_the_meantime_is_not_lost(store, now):
    an_open_shop(store, now)
    change_price(store, now, a_price_rule())
    with pytest.raises(Clash) as refused:
        change_price(store, now, a_price_rule(share=Decimal("0.9")))
    assert codes(refused) == {("", "price.changed")}
    assert price.current(store).share == Decimal("0.4")
