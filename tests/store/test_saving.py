"""The same press of a button twice is one act."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

import pytest

from shop.core.errors import Clash, Refusal
from shop.core.money import Money
from shop.core.strips import Way
from shop.store import saving

TOKEN = "a-token-of-a-form"


def press(store, now, about, *, act="loom.keep", token=TOKEN, given="Blue runner"):
    with store.writing() as session:
        earlier = saving.claim(session, act=act, token=token, given=given, now=now)
        if earlier is None:
            saving.settle(session, act=act, token=token, about=about)
        return earlier


def test_the_second_press_finds_what_the_first_one_saved(store, now):
    assert press(store, now, 7) is None
    assert press(store, now, 8) == 7
    assert press(store, now, 9) == 7


def test_another_form_or_another_act_is_a_press_of_its_own(store, now):
    press(store, now, 7)
    assert press(store, now, 8, token=TOKEN + "2") is None
    assert press(store, now, 9, act="quote.save") is None


def test_the_same_form_with_other_content_is_no_second_press(store, now):
    press(store, now, 7)
    with pytest.raises(Clash) as refused:
        press(store, now, 8, given="Green runner")
    assert [problem.code for problem in refused.value.problems] == ["saving.other"]
    assert press(store, now, 9) == 7


@dataclass(frozen=True)
class Sheet:
    """A sheet, as a form may give one."""

    name: str
    paid: Money
    part: Decimal = Decimal(1)
    shape: object = ()


def a_sheet(**given):
    return Sheet(**{"name": "Sheet", "paid": Money(450, "USD"), **given})


@pytest.mark.parametrize(
    "other",
    [
        {"name": "sheet"},
        {"paid": Money(451, "USD")},
        {"paid": Money(450, "SEK")},
        {"part": Decimal("0.5")},
        {"shape": (1, 2)},
        {"shape": {"a": None}},
        {"shape": ("1",)},
        {"shape": (1,)},
        {"shape": (True,)},
        {"shape": date(2026, 3, 17)},
        {"shape": "2026-03-17"},
        {"shape": b"picture"},
        {"shape": Way.TUBE},
    ],
)
def test_what_differs_in_anything_has_another_digest(other):
    assert saving.digest_of(a_sheet(**other)) != saving.digest_of(a_sheet())


def test_the_same_content_has_the_same_digest_however_it_is_held():
    one = a_sheet(part=Decimal("1.50"), shape={"a": (1, 2.5), "b": Way.ALONG, "big": 10**5000})
    other = a_sheet(part=Decimal("1.5"), shape={"big": 10**5000, "b": "along", "a": [1, 2.5]})
    assert saving.digest_of(one) == saving.digest_of(other)


def test_what_no_form_gives_is_still_digested_for_its_act_to_refuse():
    deep = {}
    for _ in range(5000):
        deep = {"a": deep}
    assert saving.digest_of(deep) == saving.digest_of(deep)
    assert saving.digest_of({1, 2}) == saving.digest_of({2, 1})
    assert saving.digest_of(float("nan")) == saving.digest_of(float("nan"))


def test_a_press_that_came_to_nothing_may_be_made_again(store, now):
    with pytest.raises(KeyError), store.writing() as session:  # noqa: PT012 - the whole act fails
        saving.claim(session, act="loom.keep", token=TOKEN, given=None, now=now)
        raise KeyError
    assert press(store, now, 7) is None


@pytest.mark.parametrize(
    "token", ["", "short", "x" * 65, "sixteen letters!", "a-token-of-a-form\n", "å" * 20]
)
def test_a_form_without_a_usable_token_is_refused(store, now, token):
    with pytest.raises(Refusal) as refused:
        press(store, now, 7, token=token)
    assert [problem.code for problem in refused.value.problems] == ["saving.token"]
