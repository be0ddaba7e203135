"""The shop's looms."""

from decimal import Decimal

import pytest

from shop.core.errors import Clash, NotFound, Refusal
from shop.core.loom import Sett
from shop.core.measure import Length
from shop.core.warp import PricePerWeight
from shop.usecases import loom
from shop.usecases.given import fresh_token
from tests.builders import (
    a_frame,
    a_kept_loom,
    a_loom,
    a_plank,
    a_shaft_loom,
    an_open_shop,
    codes,
    inches,
)
from tests.store.test_engine import together


def keep(store, now, given, **known):
    return loom.keep(store, loom=given, saving=known.pop("saving", None) or fresh_token(), now=now, **known)


@pytest.mark.parametrize(
    "made",
    [
        a_frame(pegs=31, passes_per_peg=1, turn=Length.of("1.25", "in")),
        a_shaft_loom(sett=Sett(Decimal("2.5"), "cm"), draw_in=0.0712, take_up=0.1, relaxation=0.0),
        a_plank(knot=Length.of("15.5", "cm")),
    ],
)
def test_a_loom_comes_back_as_it_was(store, now, made):
    kept = keep(store, now, a_loom(made, packing=Decimal("2.35"), weft_take_up=Decimal("1.12")))
    found = loom.loom(store, loom_id=kept.id)
    assert found == kept
    assert found.loom == made
    assert (found.packing, found.weft_take_up) == (Decimal("2.35"), Decimal("1.12"))


def test_a_loom_keeps_its_yarn_and_what_that_costs(store, now):
    kept = keep(store, now, a_loom(a_shaft_loom(), yarn=" 8/4 "))
    assert (kept.yarn, kept.yarn_price) == ("8/4", PricePerWeight(Decimal("14.5"), "lb"))


def test_looms_are_listed_by_name_without_those_put_away(store, now):
    for name in ("Älvsborg", "beater", "Anna"):
        a_kept_loom(store, now, a_loom(a_frame(name=name)))
    away = a_kept_loom(store, now, a_loom(a_plank(name="Old plank")))
    assert loom.put_away(store, loom_id=away.id).archived
    assert [card.loom.name for card in loom.looms(store)] == ["Anna", "beater", "Älvsborg"]
    assert [card.loom.name for card in loom.looms(store, archived=True)] == ["Old plank"]


def test_a_changed_loom_may_become_another_kind(store, now):
    kept = a_kept_loom(store, now)
    changed = keep(store, now, a_loom(a_plank(name="Peg frame")), loom_id=kept.id, revision=kept.revision)
    assert changed.loom == a_plank(name="Peg frame")
    assert (changed.id, changed.revision) == (kept.id, kept.revision + 1)


def test_two_looms_in_use_cannot_bear_one_name(store, now):
    first = a_kept_loom(store, now)
    with pytest.raises(Clash) as refused:
        keep(store, now, a_loom(a_plank(name="PEG  frame")))
    assert codes(refused) == {("loom.name", "loom.name_taken")}
    loom.put_away(store, loom_id=first.id)
    second = keep(store, now, a_loom(a_plank(name="Peg frame")))
    with pytest.raises(Clash):
        loom.take_back(store, loom_id=first.id)
    loom.put_away(store, loom_id=second.id)
    assert not loom.take_back(store, loom_id=first.id).archived


def test_five_at_once_that_want_one_name_give_one_loom(store, now):
    an_open_shop(store, now)
    came = together(5, lambda: a_kept_loom(store, now))
    assert len(loom.looms(store)) == 1
    assert sum(isinstance(one, Clash) for one in came) == 4


def test_the_same_press_twice_keeps_one_loom(store, now):
    token = fresh_token()
    came = together(3, lambda: keep(store, now, a_loom(), saving=token))
    assert [one.id for one in came] == [came[0].id] * 3
    assert len(loom.looms(store)) == 1


def test_a_change_made_in_the_meantime_is_not_lost(store, now):
    kept = a_kept_loom(store, now)
    keep(store, now, a_loom(a_frame(pegs=20)), loom_id=kept.id, revision=kept.revision)
    with pytest.raises(Clash) as refused:
        keep(store, now, a_loom(a_frame(pegs=30)), loom_id=kept.id, revision=kept.revision)
    assert codes(refused) == {("", "loom.changed")}
    assert loom.loom(store, loom_id=kept.id).loom.pegs == 20


def test_a_nonsense_frame_is_told_in_full_and_not_kept(store, now):
    wrong = a_frame(
        name="", pegs=1_000_000, spacing=Length(0), length=Length.of(1, "m") * 1000, bar_places=(Length(0),),
        passes_per_peg=0, turn=Length(-1), tail=inches(10_000),
    )  # fmt: skip
    with pytest.raises(Refusal) as refused:
        keep(store, now, a_loom(wrong, strip=Length(0), packing=Decimal("NaN"), weft_take_up=Decimal(99)))
    assert codes(refused) == {
        ("loom.name", "text.missing"),
        ("loom.pegs", "number.large"),
        ("loom.spacing", "length.small"),
        ("loom.length", "length.most"),
        ("loom.bar_places", "length.small"),
        ("loom.passes_per_peg", "number.small"),
        ("loom.turn", "length.small"),
        ("loom.tail", "length.most"),
        ("loom.strip", "length.small"),
        ("loom.packing", "number.missing"),
        ("loom.weft_take_up", "number.large"),
    }
    assert loom.looms(store) == ()


def test_a_nonsense_shaft_loom_is_told_in_full(store, now):
    wrong = a_shaft_loom(draw_in=0.9, take_up=float("nan"), relaxation=-0.1, selvedge_ends=-2)
    given = a_loom(wrong, yarn="fluff", yarn_price=PricePerWeight(Decimal(-1), "stone"))
    with pytest.raises(Refusal) as refused:
        keep(store, now, given)
    assert codes(refused) == {
        ("loom.draw_in", "number.large"),
        ("loom.take_up", "number.missing"),
        ("loom.relaxation", "number.small"),
        ("loom.selvedge_ends", "number.small"),
        ("loom.yarn", "yarn.unreadable"),
        ("loom.yarn_price", "number.small"),
        ("loom.yarn_price", "choice.unknown"),
    }


def test_a_share_finer_than_the_store_keeps_is_told(store, now):
    with pytest.raises(Refusal) as refused:
        keep(store, now, a_loom(a_shaft_loom(draw_in=0.07123456789123)))
    assert codes(refused) == {("loom.draw_in", "number.finer")}


@pytest.mark.parametrize("loom_id", [0, -1, 99, 2**63, 10**40])
def test_a_loom_that_is_not_there_is_told(store, loom_id):
    with pytest.raises(NotFound) as refused:
        loom.loom(store, loom_id=loom_id)
    assert codes(refused) == {("", "loom.unknown")}
