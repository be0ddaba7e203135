"""A number explains itself: every formula, worked again from the terms that it names, gives its figure."""

import pytest
from hypothesis import HealthCheck, given, settings

from shop.core.described import plan_of
from shop.core.errors import Refusal
from shop.core.explain import explain
from shop.core.hours import STEPS
from shop.core.reckon import reckon
from shop.core.spread import Basis
from shop.words.formulas import FORMULAS
from tests.core.a_rug import FRAME, LOOMS, PLANK, RULES, SHAFT, a_reckoning
from tests.core.any_rug import documents
from tests.core.formulae import FORMULAE, off, plain, terms_of

STRIPED = [
    {"paid": "5.00", "width": "66 in", "length": "96 in", "cloth_weight": "115 g/m2"},
    {"paid": "7.50", "width": "44 in", "length": "4 yd", "cloth_weight": "340 g/m2", "share": 0.5},
]
STRIPES = [{"cloth": 1, "rows": 4, "border": True}, {"cloth": [1, 2], "turn": "pick", "length": "4 in"}, {"cloth": 2, "rest": True}]
FEES = {"fee_percent": 0.03, "fee_fixed": "0.30", "round_to": "5.00", "discount": 0.1, "tax_rate": 0.25}
VARIED = [
    *({"base": base, "price": rule} for base in LOOMS.values() for rule in RULES.values()),
    *(
        {"base": SHAFT, "price": {**rule, **FEES, "tax_included": inside}}
        for rule in RULES.values()
        for inside in (True, False)
    ),
    *({"base": base, "cloth": STRIPED, "weft": {"repeats": 3}} for base in LOOMS.values()),
    *({"base": base, "cloth": STRIPED, "stripe": STRIPES, "weft": {"mirrored": True}} for base in LOOMS.values()),
    *({"base": base, "rug": {"width": "70 in"}} for base in LOOMS.values()),
    *(
        {"base": SHAFT, "weft": {"way": way, "joins": "bias"}}
        for way in ("along", "across", "zigzag", "tube")
    ),
    *({"base": SHAFT, "weft": {"way": way, "tool": "tear"}} for way in ("along", "across")),
    *({"base": base, "weft": {"rows_per_inch": 3}} for base in LOOMS.values()),
    *({"base": base, "rug": {"rugs_on_warp": 3}} for base in LOOMS.values()),
    {"base": SHAFT, "loom": {"yarn_price": "30/kg"}, "shop": {"currency": "SEK", "units": "metric"}},
    {"base": SHAFT, "rates": {"wage": "20.00", "pay": {"cut": "11.50", "office": 14}}},
    {"base": SHAFT, "bought_in": {"postage": "14.50", "mat": "9.99"}, "rates": {"overhead_percent": 0.6}},
    {"base": FRAME, "hours": {"wash": 20, "weave": 300, "office": 0}},
    {
        "base": PLANK,
        "price": {"markup": 0, "discount": 1, "round_to": "2.50", "tax_rate": 0.2, "tax_included": True},
    },
]


@pytest.mark.parametrize("tables", VARIED)
def test_every_figure_follows_from_the_terms_that_it_shows(tables):
    assert off(a_reckoning(**tables)) == []


def test_these_rugs_use_every_formula_there_is():
    used = {one.formula for tables in VARIED for one in explain(a_reckoning(**tables))}
    written = {name for name in FORMULAS if not name.startswith("price.asking.")} | {
        "cost.bought_in", "cloth.rows", "weft.pitch.mixed", "weft.rows.stripes",
    }  # fmt: skip
    asked = {name for name in FORMULAE if name.startswith("price.asking.")}
    assert used == written | asked
    assert set(FORMULAE) == used - {"cloth.rows", "cloth.rows.stripes"}


@settings(deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much])
@given(documents())
def test_any_rugs_figures_follow_from_their_terms(document):
    try:
        found = reckon(plan_of(document))
    except Refusal:
        return
    assert off(found) == []


@pytest.mark.parametrize("base", LOOMS.values())
@pytest.mark.parametrize("weft", [{}, {"rows_per_inch": 3}])
def test_the_rows_of_a_cloth_follow_from_how_the_cloths_pack(base, weft):
    found = a_reckoning(base, cloth=STRIPED, weft=weft)
    rows = [one for one in explain(found) if one.formula == "cloth.rows"]
    assert len(rows) == len(STRIPED)
    for one in rows:
        terms = terms_of(one, "USD")
        wanted = terms["share"] * terms["woven"] / terms["pitch"]
        assert abs(one.result.value - wanted) <= 1  # whole rows, shared out so that they add up
    assert sum(one.result.value for one in rows) == found.rows.middle


@pytest.mark.parametrize("base", LOOMS.values())
def test_an_end_is_shown_on_either_side_or_not_at_all(base):
    for one in explain(a_reckoning(base)):
        assert (one.low is None) == (one.high is None)
        if one.low is not None:
            assert plain(one.low) <= plain(one.result) <= plain(one.high), one.key


def test_a_figure_is_no_surer_than_its_least_sure_input():
    explained = {
        one.key: one for one in explain(a_reckoning(weft={"take_up": 1.1}, measured=["weft.take_up"]))
    }
    assert {term.name: term.basis for term in explained["weft.length"].terms}["take_up"] is Basis.MEASURED
    assert explained["weft.length"].basis is Basis.GUESS  # how the joins are made was not said
    assert explained["warp.reed_width"].basis is Basis.GUESS
    assert explained["hours.total"].basis is Basis.GUESS  # its steps rest on paces that nobody has timed
    assert explained["price.asking"].basis is Basis.GUESS
    assert explained["weft.area"].terms[0].worked_out


def test_nothing_is_a_guess_where_everything_is_set():
    steps = dict.fromkeys(STEPS, 10)
    loom = {
        "draw_in": 0.1,
        "take_up": 0.1,
        "relaxation": 0.1,
        "waste": "1 m",
        "hem": "1 in",
        "cut_space": "1 in",
    }
    loom |= {"selvedge_ends": 2, "yarn": "8/4", "yarn_price": "16/lb", "sett": "8/in", "width": "36 in"}
    weft = {
        "strip": "1 in",
        "take_up": 1.1,
        "packing": 2,
        "joins": "2 in",
        "tool": "rotary",
        "waste": 0.1,
        "cloth_weight": "120 g/m2",
        "fibre": "cotton",
    }
    found = a_reckoning(
        SHAFT,
        loom=loom,
        weft=weft,
        hours=steps,
        rates={"wage": 20, "overhead_per_hour": 2},
        price={"markup": 0.3, "deposit": 0.5},
    )
    assert {one.key for one in explain(found) if one.basis is Basis.GUESS} == set()


def test_what_was_said_of_a_cloth_in_its_own_table_is_a_setting():
    (piece,) = (one for one in explain(a_reckoning()) if one.key == "cloth.strip_of_piece")
    assert {term.name: term.basis for term in piece.terms}["cloth_width"] is Basis.SETTING
