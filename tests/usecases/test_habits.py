"""The shop's rule for usual waste: a starting guess until it is set, and set once a press."""

from decimal import Decimal

import pytest

from shop.core.errors import Clash, Refusal
from shop.core.spread import Basis
from shop.usecases import habits
from shop.usecases.given import fresh_token
from tests.builders import codes


def change(store, now, share, revision=0, saving=None):
    return habits.change(
        store, usual_waste=Decimal(share), revision=revision, saving=saving or fresh_token(), now=now
    )


def test_it_is_a_guess_until_the_shop_sets_it(store, now):
    begun = habits.current(store)
    assert (begun.usual_waste, begun.basis, begun.revision) == (Decimal("0.05"), Basis.GUESS, 0)
    kept = change(store, now, "0.08")
    assert (kept.usual_waste, kept.basis, kept.revision) == (Decimal("0.08"), Basis.SETTING, 1)
    assert habits.current(store) == kept
    assert change(store, now, "0", revision=1).usual_waste == 0


@pytest.mark.parametrize(
    ("share", "code"),
    [
        ("-0.01", "number.small"),
        ("1.01", "number.large"),
        ("0.00000000001", "number.finer"),
        ("NaN", "number.missing"),
    ],
)
def test_a_share_that_cannot_be_changes_nothing(store, now, share, code):
    with pytest.raises(Refusal) as refused:
        change(store, now, share)
    assert codes(refused) == {("usual_waste", code)}
    assert habits.current(store).revision == 0


def test_the_same_press_twice_is_one_change(store, now):
    token = fresh_token()
    assert change(store, now, "0.1", saving=token) == change(store, now, "0.1", saving=token)
    with pytest.raises(Clash):
        change(store, now, "0.2", saving=token)
    assert habits.current(store).usual_waste == Decimal("0.1")


def test_what_was_changed_in_another_window_is_not_overwritten(store, now):
    change(store, now, "0.1")
    with pytest.raises(Clash) as refused:
        change(store, now, "0.2")
    assert codes(refused) == {("", "habit.changed")}
    assert habits.current(store).usual_waste == Decimal("0.1")
