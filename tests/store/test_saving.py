"""The same press of a button twice is one act."""

import pytest

from shop.core.errors import Refusal
from shop.store import saving

TOKEN = "a-token-of-a-form"


def press(store, now, about, *, act="loom.keep", token=TOKEN):
    with store.writing() as session:
        earlier = saving.claim(session, act=act, token=token, now=now)
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


def test_a_press_that_came_to_nothing_may_be_made_again(store, now):
    with pytest.raises(KeyError), store.writing() as session:  # noqa: PT012 - the whole act fails
        saving.claim(session, act="loom.keep", token=TOKEN, now=now)
        raise KeyError
    assert press(store, now, 7) is None


@pytest.mark.parametrize(
    "token", ["", "short", "x" * 65, "sixteen letters!", "a-token-of-a-form\n", "å" * 20]
)
def test_a_form_without_a_usable_token_is_refused(store, now, token):
    with pytest.raises(Refusal) as refused:
        press(store, now, 7, token=token)
    assert [problem.code for problem in refused.value.problems] == ["saving.token"]
