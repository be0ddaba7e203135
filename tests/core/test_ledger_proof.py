"""The proof of the ledger, entry by entry: it holds for what can happen, and says of each kind of fault what it is."""

from dataclasses import replace
from datetime import date
from itertools import count

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.ledger import ROUTES, WHOLE, Holding, Kind, Movement, Place
from shop.core.ledger_proof import Replay

DAY = date(2026, 3, 17)
HALF = WHOLE // 2


def entry(number, kind, *, share=0, cost=0, way=None, **given):
    source, target = way or ROUTES[kind][0]
    return Movement(
        **{
            "id": number,
            "piece": 1,
            "kind": kind,
            "share": share,
            "cost": cost,
            "source": source,
            "target": target,
            "on": DAY,
            **given,
        }
    )


def undone(number, one, **given):
    """The entry that undoes another."""
    back = {"id": number, "kind": Kind.REVERSED, "source": one.target, "target": one.source, "reverses": one.id}
    return replace(one, **{**back, "part_of": None, **given})


def played(*movements):
    """The codes of what does not hold, and the ledger afterwards."""
    replay = Replay()
    found = [(fault.code, fault.id) for one in movements for fault in replay.play(one)]
    return [*found, *((fault.code, fault.id) for fault in replay.finish())], replay


HOME = entry(1, Kind.BROUGHT_HOME, share=WHOLE, cost=1001)
DRAWN = entry(2, Kind.DRAWN, share=HALF, cost=501, job=7)
BACK = entry(3, Kind.GIVEN_BACK, share=HALF, cost=501, job=7)
LATER = entry(3, Kind.LATER_COST, cost=50)
OFF = entry(3, Kind.CUT_OFF, share=HALF, cost=501)
FROM = entry(4, Kind.CUT_FROM, share=WHOLE, cost=501, piece=2, part_of=3)


@pytest.mark.parametrize(
    "movements",
    [
        (HOME,),
        (HOME, DRAWN, BACK),
        (HOME, DRAWN, undone(3, DRAWN)),
        (HOME, DRAWN, LATER, undone(4, LATER)),
        (HOME, OFF, FROM),
        (HOME, OFF, FROM, undone(5, FROM), undone(6, OFF, part_of=5)),
        (HOME, DRAWN, entry(3, Kind.USUAL_WASTE, share=HALF // 10, job=7)),
        (HOME, DRAWN, entry(3, Kind.SPOILED, share=HALF, cost=501, job=7)),
        (HOME, DRAWN, entry(3, Kind.WOVEN, share=HALF, cost=501, job=7)),
        (HOME, entry(2, Kind.GIVEN_AWAY, share=WHOLE, cost=1001)),
        (HOME, entry(2, Kind.READY), entry(3, Kind.SET_ASIDE)),
    ],
)
def test_what_can_happen_holds(movements):
    found, replay = played(*movements)
    assert found == []
    assert replay.movements == len(movements)
    assert replay.standing.adds_up


FAULTS = {
    "ledger.negative": [
        (HOME, replace(DRAWN, share=-HALF)),
        (replace(HOME, cost=-1),),
    ],
    "ledger.job": [
        (HOME, replace(DRAWN, job=None)),
        (replace(HOME, job=7),),
    ],
    "ledger.route": [
        (HOME, replace(DRAWN, target=Place.RUG)),
        (HOME, replace(DRAWN, reverses=1)),
        (HOME, entry(2, Kind.READY, cost=5)),
        (HOME, entry(2, Kind.READY, share=5)),
    ],
    "ledger.unpaired": [
        (HOME, DRAWN, undone(3, DRAWN, reverses=None)),
        (HOME, DRAWN, undone(3, DRAWN, reverses=99)),
        (HOME, DRAWN, undone(3, DRAWN, reverses=3)),
        (HOME, DRAWN, undone(3, DRAWN), undone(4, undone(3, DRAWN))),
    ],
    "ledger.twice": [(HOME, DRAWN, undone(3, DRAWN), undone(4, DRAWN))],
    "ledger.differs": [
        (HOME, DRAWN, undone(3, DRAWN, cost=500)),
        (HOME, DRAWN, undone(3, DRAWN, share=HALF - 1)),
        (HOME, DRAWN, undone(3, DRAWN, piece=2)),
        (HOME, DRAWN, undone(3, DRAWN, job=8)),
        (HOME, DRAWN, undone(3, DRAWN, target=Place.WRITTEN_OFF)),
    ],
    "ledger.whole": [
        (replace(HOME, share=HALF),),
        (HOME, replace(LATER, share=1)),
    ],
    "ledger.unfair": [
        (HOME, replace(DRAWN, cost=500)),
        (HOME, replace(DRAWN, share=0, cost=0)),
        (HOME, DRAWN, replace(BACK, share=HALF // 2, cost=1)),
    ],
    "ledger.below": [
        (DRAWN,),
        (HOME, DRAWN, replace(DRAWN, id=3, share=WHOLE)),
        (HOME, DRAWN, entry(3, Kind.GIVEN_AWAY, share=HALF, cost=500), replace(BACK, id=4, job=8)),
        (HOME, DRAWN, undone(3, HOME)),
    ],
    "ledger.half_cut": [
        (HOME, OFF),
        (HOME, OFF, replace(FROM, cost=500)),
        (HOME, OFF, replace(FROM, part_of=None)),
    ],
}


@pytest.mark.parametrize(("code", "movements"), [(code, one) for code, many in FAULTS.items() for one in many])
def test_each_fault_is_found_and_named(code, movements):
    found, _ = played(*movements)
    assert code in {name for name, _ in found}


def test_a_fault_names_its_entry():
    found, _ = played(HOME, replace(DRAWN, cost=500))
    assert found == [("ledger.unfair", 2)]
    found, _ = played(HOME, DRAWN, undone(3, DRAWN), undone(4, DRAWN, share=0, cost=0))
    assert found == [("ledger.twice", 4)]


def test_it_remembers_what_came_what_was_paid_later_and_the_state():
    ready, aside = entry(2, Kind.READY), entry(3, Kind.SET_ASIDE)
    _, replay = played(HOME, ready, aside)
    assert replay.state == {1: Kind.SET_ASIDE}
    _, replay = played(HOME, ready, aside, undone(4, aside))
    assert replay.state == {1: Kind.READY}
    _, replay = played(HOME, ready, undone(3, ready))
    assert replay.state == {1: Kind.SET_ASIDE}
    _, replay = played(HOME, LATER, replace(LATER, id=4, cost=7), undone(5, LATER))
    assert (replay.came, replay.later) == ({1: 1001}, {1: 7})


STEPS = st.lists(
    st.tuples(
        st.sampled_from(["draw", "back", "spoil", "weave", "give", "later", "undo"]),
        st.integers(1, WHOLE),
        st.integers(1, 3),
    ),
    max_size=25,
)


@given(cost=st.integers(0, 10**7), steps=STEPS)
def test_whatever_is_done_by_the_rule_adds_up(cost, steps):
    """Draws, left-overs, waste, rugs and undoings at random, each at its share: no fault, and not a coin lost."""
    replay, numbers = Replay(), count(1)
    last = None

    def play(one):
        nonlocal last
        assert list(replay.play(one)) == []
        last = one if one.kind is not Kind.REVERSED else None

    play(entry(next(numbers), Kind.BROUGHT_HOME, share=WHOLE, cost=cost))
    paid = cost
    for what, share, job in steps:
        if what == "undo":
            if last is not None and last.kind is not Kind.BROUGHT_HOME:
                paid -= last.cost if last.kind is Kind.LATER_COST else 0
                play(undone(next(numbers), last))
            continue
        on_shelf = what in ("draw", "give", "later")
        held = replay.shelf[1] if on_shelf else replay.jobs.get((job, 1), Holding())
        if not held.share:
            continue
        if what == "later":
            paid += share
            play(entry(next(numbers), Kind.LATER_COST, cost=share))
            continue
        kind = {
            "draw": Kind.DRAWN,
            "back": Kind.GIVEN_BACK,
            "spoil": Kind.SPOILED,
            "weave": Kind.WOVEN,
            "give": Kind.GIVEN_AWAY,
        }[what]
        taken = held.share if what in ("weave", "give") else min(share, held.share)
        play(
            entry(
                next(numbers), kind, share=taken, cost=held.cost_of(taken), job=None if what == "give" else job
            )
        )
    standing = replay.standing
    assert list(replay.finish()) == []
    assert standing.adds_up
    assert standing.paid == paid
    assert standing.on_shelf == replay.shelf[1].cost
    assert standing.in_jobs == sum(lies.cost for lies in replay.jobs.values())
    assert standing.in_rugs == sum(lies.cost for lies in replay.rugs.values())
