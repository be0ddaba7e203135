"""The pages for rates: an hour, minutes, and the price rule; right and wrong entries, and what each comes to."""

import re
from decimal import Decimal

import pytest

from shop.core.spread import Basis
from shop.usecases import pace, price, rates
from shop.usecases.given import fresh_token
from shop.usecases.pace import paces_on
from shop.usecases.rates import MOST_LINES
from tests.builders import a_kept_loom, a_loom, a_shaft_loom, money

HOUR = {
    "wage": "20",
    "overhead": "budget",
    "productive_hours": "800",
    "yearly-0-kind": "rent",
    "yearly-0-per_year": "1,200.00",
    "yearly-1-kind": "power",
    "yearly-2-kind": "other",
    "yearly-2-name": "Stall insurance",
    "yearly-2-per_year": "140",
    "wear-0-name": "Floor loom",
    "wear-0-cost": "900",
    "wear-0-resale": "300",
    "wear-0-years": "10",
    "postage": "18",
    "label": "0.85",
}
PRICE = {
    "by": "markup",
    "share": "40",
    "retail_times": "2",
    "area_unit": "ft2",
    "fee_share": "2.9",
    "fee_fixed": "0.30",
    "tax_name": "Sales tax",
    "tax_rate": "6",
    "tax_included": "no",
    "step": "5",
    "rounding": "up",
    "deposit": "50",
    "holds_days": "30",
    "cost": "100",
}


def field_of(html, name):
    """Everything from a field's own entry to the next one."""
    return html.split(f'name="{name}"', 1)[1].split("<label", 1)[0]


# --- an hour ------------------------------------------------------------------------------------


def test_the_rates_are_kept_empty_rows_left_out(owner, sqlite_store):
    assert owner.press("/rates/", **HOUR).status_code == 303
    kept = rates.current(sqlite_store)
    assert (kept.wage, kept.postage, kept.label, kept.mat) == (money("20"), money("18"), money("0.85"), None)
    assert [line.kind for line in kept.lines] == ["rent", "other", "loom_wear"]
    assert kept.budget == money("1400")
    assert kept.overhead_per_hour == Decimal("1.75")


def test_an_hour_is_shown_reckoned(owner, page_of):
    owner.press("/rates/", **HOUR)
    html = page_of(owner.get("/rates/"))
    for told in ("$1,400.00 ÷ 800 h = $1.75 an hour", "$21.75", "$60.00", 'value="1200.00"', "Stall insurance"):
        assert told in html


def test_overhead_as_a_share_of_labour(owner, page_of):
    html = page_of(owner.press("/rates/", **{**HOUR, "overhead": "percent", "overhead_share": "25"}, act="look"))
    assert "25% of $20.00 = $5.00 an hour" in html


def test_a_step_paid_at_a_rate_of_its_own_is_kept_and_shown(owner, sqlite_store, page_of):
    assert '<details class="more">' in page_of(owner.get("/rates/"))
    owner.press("/rates/", **HOUR, pay_cut="12", pay_office="0")
    assert rates.current(sqlite_store).pay == (("cut", money("12")), ("office", money("0")))
    html = page_of(owner.get("/rates/"))
    assert '<details class="more" open>' in html
    for told in ("$13.75", "$12.00 of pay, $1.75 of overhead", 'value="12.00"', 'value="0.00"'):
        assert told in html
    owner.press("/rates/", **HOUR)
    assert rates.current(sqlite_store).pay == ()


def test_a_share_of_labour_is_taken_of_what_a_step_is_paid(owner, page_of):
    typed = {**HOUR, "overhead": "percent", "overhead_share": "25", "pay_cut": "12"}
    html = page_of(owner.press("/rates/", **typed, act="look"))
    assert "$12.00 of pay, $3.00 of overhead" in html
    assert "$15.00" in html


def test_the_labour_of_a_quote_follows_the_pay_of_its_steps(owner, page_of):
    rug = {"width": "25 in", "length": "37 1/2 in", "minutes_cut": "60", "minutes_weave": "120", "act": "reckon",
           "tool": "rotary", "way": "along", "joins": "overlap", "new_kind": "sheeting", "new_colour": "#7d8a99",
           "minutes_wash": "0", "minutes_warp": "0", "minutes_finish": "0", "minutes_office": "0"}  # fmt: skip

    def labour():
        html = page_of(owner.press("/quotes/new", **rug))
        said = re.search(r'"figure-name">Labour.*?"figure-value">([^<]*)<', html, re.DOTALL)
        return said[1].strip()

    owner.press("/rates/", **HOUR)
    assert labour() == "$60.00"
    owner.press("/rates/", **HOUR, pay_cut="12")
    assert labour() == "$52.00"


def test_looking_at_the_rates_keeps_nothing(owner, sqlite_store, page_of):
    answer = owner.press("/rates/", **HOUR, act="look")
    assert answer.status_code == 200
    assert "$21.75" in page_of(answer)
    assert rates.current(sqlite_store).revision == 0


def test_more_rows_keep_what_was_typed_and_save_nothing(owner, sqlite_store, page_of):
    before = page_of(owner.get("/rates/")).count('name="yearly-')
    answer = owner.press("/rates/", **{**HOUR, "yearly-0-per_year": "a lot"}, act="rows")
    html = page_of(answer)
    assert answer.status_code == 200
    assert html.count('name="yearly-') > before
    assert 'value="a lot"' in html
    assert 'value="Stall insurance"' in html
    assert rates.current(sqlite_store).revision == 0


def test_the_budget_grows_no_longer_than_it_may(owner, page_of):
    many = {f"yearly-{row}-per_year": "1" for row in range(200)}
    html = page_of(owner.press("/rates/", **{**HOUR, **many, "act": "rows"}))
    assert html.count('-per_year" type') == MOST_LINES
    answer = owner.press("/rates/", **{**HOUR, **many})
    assert answer.status_code == 422
    assert "The budget can have at most 60 lines." in page_of(answer)


def test_without_rates_the_page_says_what_quotes_take(owner, page_of):
    html = page_of(owner.get("/rates/"))
    assert "quotes reckon with $18.00 for an hour’s work and $3.00 of overhead" in html


@pytest.mark.parametrize(
    ("name", "typed", "sentence"),
    [
        ("wage", "-5", "is less than nothing"),
        ("wage", "twenty", "is not an amount we can read"),
        ("wage", "20,50", "could be meant in two ways"),
        ("wage", "20.505", "cannot have so many decimals"),
        ("wage", "9" * 30, "more money than this can hold"),
        ("wage", "🧶", "is not an amount we can read"),
        ("wage", "1" * 10_000, "use at most 40 characters"),
        ("productive_hours", "", "Overhead needs productive hours"),
        ("productive_hours", "0", "Overhead needs productive hours"),
        ("productive_hours", "-1", "This must be at least 0."),
        ("productive_hours", "9000", "This must be at most 8,784."),
        ("productive_hours", "NaN", "is not a number we can read"),
        ("yearly-0-per_year", "lots", "is not an amount we can read"),
        ("yearly-2-per_year", "", "Please write an amount"),
        ("yearly-0-kind", "yacht", "is not one of the choices"),
        ("wear-0-cost", "", "Please write an amount"),
        ("wear-0-resale", "1000", "It would sell for more than it cost"),
        ("wear-0-years", "0", "A loom must last at least some part of a year."),
        ("wear-0-years", "", "A loom must last at least some part of a year."),
        ("wear-0-years", "201", "This must be at most 200."),
        ("wear-0-name", "x" * 10_000, "use at most 120 characters"),
        ("mat", "5 lb", "is not an amount we can read"),
        ("pay_cut", "-5", "is less than nothing"),
        ("pay_weave", "half", "is not an amount we can read"),
        ("pay_office", "12.505", "cannot have so many decimals"),
    ],
)
@pytest.mark.parametrize("act", ["save", "look"])
def test_a_wrong_rate_is_told_beside_its_field_and_changes_nothing(
    owner, sqlite_store, page_of, name, typed, sentence, act
):
    answer = owner.press("/rates/", **{**HOUR, name: typed, "act": act})
    html = page_of(answer)
    assert answer.status_code == 422
    assert sentence in field_of(html, name)
    assert "Nothing has been changed yet." in html
    assert 'value="Stall insurance"' in html
    if typed and not name.endswith("kind"):
        assert f'value="{typed}"' in html
    assert rates.current(sqlite_store).revision == 0


def test_costs_that_no_rug_bears_are_not_passed_over(owner, sqlite_store, page_of):
    for act in ("look", "save"):
        answer = owner.press("/rates/", **{**HOUR, "overhead": "none"}, act=act)
        assert answer.status_code == 422
        assert "Costs of the year are filled in, but no rug bears them." in page_of(answer)
    assert rates.current(sqlite_store).revision == 0


def test_before_anything_is_set_both_sides_say_the_same(owner, page_of):
    html = page_of(owner.get("/rates/"))
    assert "$3.00 of overhead, both starting guesses" in html
    assert "Rugs bear no overhead" not in html
    assert "$21.00" in html


def test_a_way_to_bear_overhead_that_does_not_exist(owner, sqlite_store, page_of):
    answer = owner.press("/rates/", **{**HOUR, "overhead": "hope"})
    assert answer.status_code == 422
    assert "is not one of the choices" in page_of(answer)
    assert rates.current(sqlite_store).revision == 0


def test_a_share_of_labour_must_be_said(owner, page_of):
    answer = owner.press("/rates/", **{**HOUR, "overhead": "percent"})
    assert answer.status_code == 422
    assert 'aria-invalid="true"' in field_of(page_of(answer), "overhead_share")


def test_the_same_press_of_the_rates_twice_is_one_act(owner, sqlite_store):
    hidden = owner.hidden("/rates/")
    for _ in range(2):
        assert owner.client.post("/rates/", data={**hidden, **HOUR}).status_code == 303
    assert rates.current(sqlite_store).revision == 1
    assert len(rates.current(sqlite_store).lines) == 3


def test_rates_changed_elsewhere_are_not_overwritten(owner, sqlite_store, page_of):
    stale = owner.hidden("/rates/")
    owner.press("/rates/", **HOUR)
    answer = owner.client.post("/rates/", data={**stale, **HOUR, "wage": "1"})
    assert answer.status_code == 422
    assert "The rates were changed in another window" in page_of(answer)
    assert rates.current(sqlite_store).wage == money("20")


# --- minutes ------------------------------------------------------------------------------------


def test_a_pace_is_set_timed_and_forgotten_again(owner, sqlite_store, now, page_of):
    a_kept_loom(sqlite_store, now)
    typed = {"minutes-frame-weave_per_row": "0.5", "timed-frame-weave_per_row": "y", "minutes-any-office": "30"}
    assert owner.press("/rates/minutes/", **typed).status_code == 303
    lines = paces_on(pace.paces(sqlite_store), "frame")
    assert (lines["weave_per_row"].minutes, lines["weave_per_row"].basis) == (Decimal("0.5"), Basis.MEASURED)
    assert (lines["office"].basis, lines["office"].set_by) == (Basis.SETTING, "astrid")
    html = page_of(owner.get("/rates/minutes/"))
    assert "astrid," in html
    assert 'class="basis measured"' in html
    assert 'class="basis setting"' in html
    owner.press("/rates/minutes/", **{"minutes-frame-weave_per_row": "", "minutes-any-office": "30"})
    assert paces_on(pace.paces(sqlite_store), "frame")["weave_per_row"].basis is Basis.GUESS


def test_only_the_kinds_of_loom_in_the_shop_are_shown(owner, sqlite_store, now, page_of):
    assert "so the paces of all three kinds are shown" in page_of(owner.get("/rates/minutes/"))
    a_kept_loom(sqlite_store, now, a_loom(a_shaft_loom()))
    html = page_of(owner.get("/rates/minutes/"))
    assert 'name="minutes-shaft-warp_per_end"' in html
    assert "minutes-frame-" not in html
    assert "minutes-shaft-warp_per_pass" not in html
    assert "rows an hour" in html


def test_minutes_a_yard_come_back_as_they_were_typed(owner, sqlite_store, page_of):
    """The shop counts in yards; what is kept is for a metre."""
    for _ in range(2):
        owner.press("/rates/minutes/", **{"minutes-any-cut_tear_per_m": "0.15", "minutes-any-wash_per_kg": "9"})
    assert 'value="0.15"' in page_of(owner.get("/rates/minutes/"))
    lines = paces_on(pace.paces(sqlite_store), "frame")
    assert lines["cut_tear_per_m"].minutes == round(Decimal("0.15") / Decimal("0.9144"), 9)
    assert lines["wash_per_kg"].minutes == round(9 / Decimal("0.45359237"), 9)


def test_a_pace_turned_into_other_units_is_shown_short_and_does_not_drift(owner, sqlite_store, now, page_of):
    kept = pace.PaceGiven(loom_kind="any", key="cut_rotary_per_m", minutes=Decimal("0.12"), measured=True)
    pace.change(sqlite_store, paces=(kept,), revision=0, by="astrid", saving=fresh_token(), now=now)
    for _ in range(2):
        shown = re.search(r'name="minutes-any-cut_rotary_per_m"[^>]*value="([^"]*)"', page_of(owner.get("/rates/minutes/")))
        assert shown[1] == "0.11"
        owner.press("/rates/minutes/", **{"minutes-any-cut_rotary_per_m": shown[1], "timed-any-cut_rotary_per_m": "y"})
        assert paces_on(pace.paces(sqlite_store), "frame")["cut_rotary_per_m"].minutes == Decimal("0.12")
    owner.press("/rates/minutes/", **{"minutes-any-cut_rotary_per_m": "0.1"})
    assert "0.1093613" in str(paces_on(pace.paces(sqlite_store), "frame")["cut_rotary_per_m"].minutes)


def test_a_pace_that_is_not_on_the_form_stays_as_it_is(owner, sqlite_store):
    owner.press("/rates/minutes/", **{"minutes-any-office": "30"})
    owner.press("/rates/minutes/", **{"minutes-any-seam_per_m": "12"})
    assert paces_on(pace.paces(sqlite_store), "frame")["office"].minutes == 30


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("-1", "This must be at least 0."),
        ("10001", "This must be at most 10,000."),
        ("an hour", "is not a number we can read"),
        ("1,5", "could be meant in two ways"),
        ("Infinity", "is not a number we can read"),
        ("🧶" * 30, "is not a number we can read"),
        ("1" * 10_000, "use at most 40 characters"),
    ],
)
def test_a_wrong_pace_is_told_and_changes_nothing(owner, sqlite_store, page_of, typed, sentence):
    answer = owner.press("/rates/minutes/", **{"minutes-any-office": typed, "minutes-any-wash_per_kg": "5"})
    html = page_of(answer)
    assert answer.status_code == 422
    assert sentence in field_of(html, "minutes-any-office")
    assert f'value="{typed}"' in html
    assert all(line.basis is Basis.GUESS for line in pace.paces(sqlite_store))


def test_minutes_set_in_another_window_are_not_overwritten(owner, sqlite_store, page_of):
    stale = owner.hidden("/rates/minutes/")
    owner.press("/rates/minutes/", **{"minutes-any-office": "30"})
    for _ in range(2):
        answer = owner.client.post("/rates/minutes/", data={**stale, "minutes-any-office": "44.5"})
        html = page_of(answer)
        assert answer.status_code == 422
        assert "The minutes were changed in another window" in html
        assert "Nothing has been changed yet." in html
        assert 'value="44.5"' in html
        assert paces_on(pace.paces(sqlite_store), "frame")["office"].minutes == 30
        stale = dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', html))


def test_the_same_press_of_the_minutes_twice_is_one_act(owner, sqlite_store):
    hidden = owner.hidden("/rates/minutes/")
    for _ in range(2):
        assert owner.client.post("/rates/minutes/", data={**hidden, "minutes-any-office": "30"}).status_code == 303
    assert paces_on(pace.paces(sqlite_store), "frame")["office"].minutes == 30


# --- the price rule -----------------------------------------------------------------------------


def test_the_price_rule_is_kept(owner, sqlite_store):
    assert owner.press("/rates/price/", **PRICE).status_code == 303
    kept = price.current(sqlite_store)
    assert (kept.by, kept.share, kept.tax_rate, kept.tax_included) == ("markup", Decimal("0.4"), Decimal("0.06"), False)
    assert (kept.fee_share, kept.fee_fixed, kept.step, kept.up) == (Decimal("0.029"), money("0.30"), money("5"), True)
    assert (kept.deposit, kept.discount, kept.holds_days, kept.tax_name) == (Decimal("0.5"), 0, 30, "Sales tax")


def test_a_round_cost_is_worked_through(owner, page_of):
    """140 wanted; (140 + 0.30) / 0.971 = 144.49, up to 145; 6 % of tax on top is 8.70."""
    html = page_of(owner.press("/rates/price/", **PRICE, act="look"))
    for told in ("A rug that costs $100.00 would be asked at $145.00.", "Sales tax on top", "$8.70", "$153.70", "$76.85"):
        assert told in html


def test_markup_and_margin_are_kept_apart(owner, page_of):
    html = page_of(owner.press("/rates/price/", **{**PRICE, "share": "25"}, act="look"))
    for told in ("A markup of 25% makes $100.00 into $125.00.", "A margin of 25% makes $100.00 into $133.33.",
                 "Your markup of 25% is a margin of 20%."):  # fmt: skip
        assert told in html
    html = page_of(owner.press("/rates/price/", **{**PRICE, "by": "margin", "share": "20"}, act="look"))
    assert "Your margin of 20% is a markup of 25%." in html


def test_contained_tax_and_a_trade_price(owner, page_of):
    typed = {**PRICE, "by": "trade", "share": "10", "tax_included": "yes", "tax_rate": "25", "fee_share": "", "fee_fixed": "",
             "step": ""}  # fmt: skip
    html = page_of(owner.press("/rates/price/", **typed, act="look"))
    for told in ("Price to shops", "$110.00", "$275.00", "Sales tax in it", "$55.00"):
        assert told in html


def test_a_price_for_the_area(owner, sqlite_store, page_of):
    html = page_of(owner.press("/rates/price/", **{**PRICE, "by": "area", "area_rate": "30", "share": ""}, act="look"))
    assert "A rug of 6 square feet" in html
    owner.press("/rates/price/", **{**PRICE, "by": "area", "area_rate": "30", "share": ""})
    assert price.current(sqlite_store).area_rate == money("30")


def test_an_unset_rule_says_that_it_is_a_guess(owner, page_of):
    html = page_of(owner.get("/rates/price/"))
    assert "Nothing is set yet" in html
    assert 'class="basis guess"' in html
    owner.press("/rates/price/", **PRICE)
    assert 'class="basis guess"' not in page_of(owner.get("/rates/price/"))


def test_where_tax_is_a_caution_stands(owner, page_of):
    assert "Rates and rules differ by place" in page_of(owner.get("/rates/price/"))


@pytest.mark.parametrize(
    ("changed", "name", "sentence"),
    [
        ({"by": "margin", "share": "100"}, "share", "it must stay below 100%; this is 100%"),
        ({"share": "2000"}, "share", "A markup can be from 0% to 1,000%"),
        ({"share": ""}, "share", "Please write a percentage"),
        ({"share": "-5"}, "share", "This must be at least 0%."),
        ({"share": "a third"}, "share", "is not a percentage we can read"),
        ({"share": "33,3"}, "share", "could be meant in two ways"),
        ({"by": "trade", "retail_times": ""}, "retail_times", "Please write a number."),
        ({"retail_times": "0.5"}, "retail_times", "This must be at least 1."),
        ({"by": "area", "area_rate": ""}, "area_rate", "Please write an amount"),
        ({"area_unit": "acre"}, "area_unit", "is not one of the choices"),
        ({"fee_share": "100"}, "fee_share", "would take the whole price"),
        ({"fee_fixed": "-1"}, "fee_fixed", "is less than nothing"),
        ({"tax_rate": "100"}, "tax_rate", "must be at least 0% and less than 100%"),
        ({"tax_included": "yes", "tax_rate": "99", "fee_share": "60"}, "fee_share", "would take the whole price"),
        ({"tax_name": "x" * 10_000}, "tax_name", "use at most 40 characters"),
        ({"tax_included": "perhaps"}, "tax_included", "is not one of the choices"),
        ({"step": "0.001"}, "step", "cannot have so many decimals"),
        ({"deposit": "101"}, "deposit", "This must be at most 100%."),
        ({"discount": "101"}, "discount", "This must be at most 100%."),
        ({"holds_days": "0"}, "holds_days", "This must be at least 1."),
        ({"holds_days": ""}, "holds_days", "Please write a number."),
        ({"holds_days": "1.5"}, "holds_days", "This must be a whole number."),
        ({"holds_days": "100000"}, "holds_days", "This must be at most 730."),
        ({"cost": "🧶"}, "cost", "is not an amount we can read"),
    ],
)  # fmt: skip
@pytest.mark.parametrize("act", ["save", "look"])
def test_a_wrong_price_rule_is_told_beside_its_field_and_changes_nothing(
    owner, sqlite_store, page_of, changed, name, sentence, act
):
    answer = owner.press("/rates/price/", **{**PRICE, **changed, "act": act})
    html = page_of(answer)
    assert answer.status_code == 422
    assert sentence in field_of(html, name)
    assert "Nothing has been changed yet." in html
    assert price.current(sqlite_store).revision == 0


def test_a_rule_that_does_not_exist(owner, page_of):
    answer = owner.press("/rates/price/", **{**PRICE, "by": "hand"})
    assert answer.status_code == 422
    assert "is not one of the choices" in page_of(answer)


def test_the_same_press_of_the_rule_twice_is_one_act(owner, sqlite_store):
    hidden = owner.hidden("/rates/price/")
    for _ in range(2):
        assert owner.client.post("/rates/price/", data={**hidden, **PRICE}).status_code == 303
    assert price.current(sqlite_store).revision == 1


def test_a_rule_changed_elsewhere_is_not_overwritten(owner, sqlite_store, page_of):
    stale = owner.hidden("/rates/price/")
    owner.press("/rates/price/", **PRICE)
    answer = owner.client.post("/rates/price/", data={**stale, **PRICE, "share": "1"})
    assert answer.status_code == 422
    assert "The price rule was changed in another window" in page_of(answer)
    assert price.current(sqlite_store).share == Decimal("0.4")


@pytest.mark.parametrize(("currency", "locale", "asked"), [("JPY", "ja_JP", "13,500"), ("KWD", "en_US", "135.000")])
def test_a_currency_with_other_decimals(visitor, open_shop, page_of, currency, locale, asked):
    open_shop(currency=currency, locale=locale)
    visitor.sign_in()
    assert asked in page_of(visitor.get("/rates/price/"))
    fine = {"JPY": "0.5", "KWD": "0.0005"}[currency]
    answer = visitor.press("/rates/price/", **{**PRICE, "fee_fixed": fine})
    assert answer.status_code == 422
    assert "cannot have so many decimals" in field_of(page_of(answer), "fee_fixed")
