"""Described rugs: what they mean, and every problem of theirs at its place, at once."""

import pytest
from hypothesis import HealthCheck, given, settings

from shop.core.cloth import Fibre
from shop.core.described import manner_of, plan_of
from shop.core.errors import Refusal
from shop.core.explain import explain
from shop.core.keys import KEYS, MONEY_GUESSES, ROUGHLY, Units, money_guess
from shop.core.loom import FrameLoom, PlankLoom, ShaftLoom
from shop.core.measure import Length
from shop.core.money import Money
from shop.core.price import PriceBy
from shop.core.reckon import reckon
from shop.core.sheet import sheet
from shop.core.strips import Tool, Way
from shop.words import Words
from shop.words.problems import problem_sentence
from tests.core.a_rug import PLANK, a_plan, attempted, described, problems_of
from tests.core.any_rug import NONSENSE, SENSIBLE, documents

SLOW = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
ENGLISH = Words()


def deep(depth):
    nest = []
    for _ in range(depth):
        nest = [nest]
    return nest


def reckoned_or_refused(document):
    """A document is a rug with all its figures, or a refusal of which every problem has its sentence."""
    found, problems = attempted(lambda: reckon(plan_of(document)))
    assert all(problem_sentence(problem, ENGLISH) for problem in problems)
    if not problems:
        assert explain(found)
        assert sheet(found)


@SLOW
@given(documents(odd=True))
def test_any_document_is_a_rug_or_a_refusal_that_can_be_said(document):
    reckoned_or_refused(document)


EXTREME = {
    "huge numbers": {"rug": {"width": 10**5000}, "loom": {"kind": 10**5000, "sett": 10**5000, "yarn": 10**5000}},
    "huge numbers of cloth": {"cloth": {"cloth_weight": 10**5000, "name": 10**5000, "tears": 10**5000, "colour": "🧶"}},
    "huge names": {"🧶" * 10_000: 1, "weft": {"strip": "🧵" * 10_000, "fibre": "x" * 10_000, "x" * 10_000: 1}},
    "deep nests": {"rug": {"width": deep(50_000)}, "loom": {"kind": deep(50_000), "yarn": deep(50_000)}},
    "deep names": {"measured": deep(50_000), "weft": {"joins": deep(50_000)}, "loom": {"bar_places": deep(50_000)}},
    "no cloth": {"cloth": []},
    "cloth that is none": {"cloth": [None]},
    "too many cloths": {"cloth": [{}] * 41},
    "tables that are none": {"rug": None, "loom": [], "weft": "", "hours": {"pace": 3}, "price": True, "shop": 1.5},
    "names that are none": {"": {"": ""}, "rug": {"": 1, "%(x)s": 2, "width.length": 3}},
    "not strings": {"rug": {3: 1, None: 2}, 4: 5},
}


@pytest.mark.parametrize("document", EXTREME.values(), ids=EXTREME)
def test_documents_that_no_file_would_hold(document):
    reckoned_or_refused(document)


@SLOW
@given(NONSENSE)
def test_nonsense_in_the_place_of_a_document_is_refused_or_empty(nonsense):
    if isinstance(nonsense, dict):
        nonsense = {f"odd {name}": value for name, value in nonsense.items()}
    assert problems_of(plan_of, nonsense) or nonsense == {}


def test_an_empty_document_is_a_rug_of_guesses():
    plan = plan_of({})
    assert isinstance(plan.loom, FrameLoom)
    assert {"loom.pegs", "weft.strip", "weft.take_up", "rates.wage", "price.markup"} <= set(plan.assumed)


def test_every_name_that_a_document_may_hold_is_tried_above():
    for table, names in KEYS.items():
        tried = SENSIBLE
        for name in table.split(".") if table else ():
            tried = tried[name]
        assert set(tried) == set(names), table


def test_what_is_wrong_with_known_names_is_told_beside_unknown_ones():
    document = {"rug": {"widht": "30 in", "length": "-2 in"}, "loom": {"kind": "card"}}
    assert problems_of(plan_of, document) == {
        ("key.unknown", "rug.widht"),
        ("length.negative", "rug.length"),
        ("choice.unknown", "loom.kind"),
    }


@pytest.mark.parametrize(
    ("document", "where", "nearest"),
    [
        ({"rug": {"widht": "30 in"}}, "rug.widht", "width"),
        ({"loom": {"pegz": 25}}, "loom.pegz", "pegs"),
        ({"wefts": {}}, "wefts", "weft"),
        ({"hours": {"pace": {"weave_per_rows": 1}}}, "hours.pace.weave_per_rows", "weave_per_row"),
        ({"cloth": [{}, {"pade": 1}]}, "cloth.pade", "paid"),
        ({"rates": {"markup": 0.3}}, "rates.markup", "markup"),
    ],
)
def test_an_unknown_name_is_an_error_that_names_the_nearest(document, where, nearest):
    with pytest.raises(Refusal) as refusal:
        plan_of(document)
    (problem,) = refusal.value.problems
    assert (problem.code, problem.where, problem.values["nearest"]) == ("key.unknown", where, nearest)


def test_a_name_like_no_other_is_told_what_can_stand_there():
    with pytest.raises(Refusal) as refusal:
        plan_of({"rug": {"🧶": 1}})
    (problem,) = refusal.value.problems
    assert problem.code == "key.unknown_none"
    assert problem.values["known"] == ("length", "rugs_on_warp", "width")


def test_every_problem_is_told_at_once():
    found = problems_of(
        plan_of,
        {
            "rug": {"width": "wide", "length": -3},
            "loom": {"kind": "frame", "pegs": 1_000_000, "sett": "12/in"},
            "cloth": {"paid": "1.005", "colour": "blue"},
            "price": {"markup": 0.3, "margin": 0.3},
            "rates": {"overhead_percent": 0.2, "overhead_per_hour": 3},
            "weft": {"rows_per_inch": 2, "rows_per_cm": 1},
        },
    )
    assert found == {
        ("length.unreadable", "rug.width"),
        ("length.negative", "rug.length"),
        ("number.range", "loom.pegs"),
        ("loom.not_for_kind", "loom.sett"),
        ("money.finer", "cloth.paid"),
        ("colour.unreadable", "cloth.colour"),
        ("price.two_rules", "price.margin"),
        ("overhead.twice", "rates.overhead_percent"),
        ("rows.twice", "weft.rows_per_cm"),
    }


@pytest.mark.parametrize(
    ("tables", "problem"),
    [
        ({"price": {"margin": 1}}, ("margin.range", "price.margin")),
        ({"price": {"margin": "100 %"}}, ("margin.range", "price.margin")),
        ({"shop": {"currency": "WOO"}}, ("money.currency", "shop.currency")),
        ({"shop": {"currency": "usd"}}, ("money.currency", "shop.currency")),
        ({"shop": {"units": "cubits"}}, ("choice.unknown", "shop.units")),
        ({"loom": {"kind": "card"}}, ("choice.unknown", "loom.kind")),
        ({"loom": {"yarn_price": "14.50"}}, ("yarn_price.unreadable", "loom.yarn_price")),
        ({"loom": {"yarn_price": "99999999999/lb"}}, ("money.large", "loom.yarn_price")),
        ({"loom": {"draw_in": 0.51}}, ("share.described", "loom.draw_in")),
        ({"weft": {"strip": 0}}, ("length.zero", "weft.strip")),
        ({"weft": {"strip": "1 mm"}}, ("length.small", "weft.strip")),
        ({"weft": {"joins": "knot"}}, ("length.unreadable", "weft.joins")),
        ({"cloth": {"paid": 5, "price_per_yard": 2}}, ("cloth.price_twice", "cloth.price_per_yard")),
        ({"cloth": {"share": 0}}, ("number.range", "cloth.share")),
        ({"cloth": []}, ("cloth.many", "cloth")),
        ({"measured": ["weft.colour"]}, ("names.unknown", "measured")),
        ({"measured": "weft.take_up"}, ("names.list", "measured")),
        ({"rug": "wide"}, ("key.table", "rug")),
        ({"price": {"tax_included": "yes"}}, ("choice.unknown", "price.tax_included")),
    ],
)
def test_a_value_that_will_not_do_is_refused_at_its_place(tables, problem):
    assert problem in problems_of(plan_of, described(**tables))


def test_the_tables_of_a_rug_on_a_shaft_loom():
    plan = a_plan(
        loom={"sett": "2.5/cm", "draw_in": 0.05, "yarn": "2020 m/kg", "yarn_price": "30/kg", "hem": "10 cm"},
        weft={"strip": "20 mm", "fibre": "wool", "joins": "slit", "tool": "scissors", "way": "across", "waste": "10 %"},
        cloth={"price_per_yard": "3.00", "width": "44 in", "length": "4 yd", "paid": None, "pieces": 2},
        rates={"wage": "20.00", "overhead_percent": 0.6},
        price={"margin": "40 %", "round_to": 5, "round_how": "nearest", "fee_percent": 0.03},
        bought_in={"postage": "14.50"},
    )
    assert isinstance(plan.loom, ShaftLoom)
    assert (plan.loom.draw_in, plan.loom.hem) == (0.05, Length.of(10, "cm"))
    assert (plan.tool, plan.way, plan.waste) == (Tool.SCISSORS, Way.ACROSS, 0.1)
    assert plan.join_loss == Length.of(2, "in")
    ((cloth, share),) = plan.cloths
    assert (cloth.paid, cloth.fibre, cloth.pieces, share) == (Money(1200, "USD"), Fibre.WOOL, 2, 1.0)
    assert (plan.price.by, plan.price.up) == (PriceBy.MARGIN, False)
    assert plan.bought_in == (("postage", Money(1450, "USD")),)


def test_a_plank_has_its_own_yarn():
    plan = a_plan(PLANK, loom={"knot": "5 in"})
    assert isinstance(plan.loom, PlankLoom)
    assert plan.yarn is not None
    assert plan.loom.knot == Length.of(5, "in")


def test_a_weight_said_once_is_for_every_cloth_that_has_none_of_its_own():
    plan = a_plan(weft={"cloth_weight": "90 g/m2"}, cloth=[{"paid": 5}, {"paid": 5, "cloth_weight": "340 g/m2"}])
    assert [cloth.grams_per_m2 for cloth, _ in plan.cloths] == [90, 340]


def test_metric_shops_say_bare_numbers_in_centimetres():
    plan = plan_of({"shop": {"units": "metric", "currency": "SEK"}, "rug": {"width": 60, "length": "37.5 in"}})
    assert plan.size.width == Length.of(60, "cm")
    assert manner_of({"shop": {"units": "metric"}}).units is Units.METRIC


def test_the_decimal_mark_of_text_is_the_one_told():
    document = {
        "rug": {"width": "0,75 m", "length": "1,5 m"},
        "loom": {"kind": "shaft", "yarn_price": "14,50/kg"},
        "weft": {"cloth_weight": "115,5 g/m2"},
        "cloth": {"paid": "6,50"},
    }
    plan = plan_of(document, decimal_mark=",")
    assert plan.size.width == Length.of(75, "cm")
    assert str(plan.yarn_price.amount) == "14.50"
    assert plan.cloths[0][0].grams_per_m2 == 115.5
    assert plan.cloths[0][0].paid == Money(650, "USD")
    assert ("number.mark", "loom.yarn_price") in problems_of(plan_of, document)


def test_a_pace_of_a_step_whose_minutes_are_given_is_no_guess():
    assumed = a_plan(hours={"weave": 200}).assumed
    assert not any(name.startswith("hours.pace.weave") for name in assumed)
    assert "hours.pace.band_change" not in assumed
    assert "hours.pace.cut_rotary_per_m" in assumed
    assert "hours.pace.cut_tear_per_m" not in assumed


@pytest.mark.parametrize(
    ("currency", "wage", "overhead"),
    [
        ("USD", "18.00", "3.00"),
        ("SEK", "180.00", "30.00"),
        ("CZK", "360.00", "60.00"),
        ("JPY", "1800", "300"),
        ("KWD", "5.400", "0.900"),
        ("IDR", "270000.00", "45000.00"),
        ("FJD", "18.00", "3.00"),
    ],
)
def test_money_guesses_have_the_size_of_the_currency(currency, wage, overhead):
    plan = plan_of({"shop": {"currency": currency}})
    assert plan.wage.plain() == wage
    assert Money.of(plan.overhead.rate, currency).plain() == overhead


def test_guesses_of_yarn_and_strip_are_round_in_the_units_of_the_shop():
    inches = plan_of({"loom": {"kind": "shaft"}})
    metric = plan_of({"loom": {"kind": "shaft"}, "shop": {"currency": "SEK", "units": "metric"}})
    assert (str(inches.yarn_price.amount), inches.yarn_price.unit) == ("16.00", "lb")
    assert (str(metric.yarn_price.amount), metric.yarn_price.unit) == ("350.00", "kg")
    assert (inches.strip, metric.strip) == (Length.of(1, "in"), Length.of("2.5", "cm"))


@pytest.mark.parametrize("currency", sorted(ROUGHLY))
def test_every_currency_of_another_size_is_known_and_its_guesses_are_round(currency):
    for what in MONEY_GUESSES:
        guess = money_guess(what, currency)
        assert guess
        assert len(str(guess.minor).rstrip("0")) <= 2


def test_a_number_is_named_once_among_the_guesses():
    assumed = a_plan(guessed=["weft.take_up", "weft.take_up", "rates.wage"]).assumed
    assert assumed.count("weft.take_up") == assumed.count("rates.wage") == 1
