"""What a phone may say is read strictly, and nothing that it sends breaks the reading."""

import json
from contextlib import suppress
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core import till_entry
from shop.core.errors import Unreadable
from shop.core.till_entry import RugSaid, SaleSaid, UndoSaid, counted_time, key_of, said_of, time_of, undo_key
from shop.store import order_money
from shop.store import till as table
from tests.a_fair import a_key, a_sale, an_entry, an_undo, some_cash

ANY_JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4),
    max_leaves=12,
)


def refused(raw, key="k"):
    with pytest.raises(Unreadable) as found:
        said_of(raw, key, "USD")
    return {problem.code for problem in found.value.problems}


def test_the_words_of_the_core_are_those_of_the_tables():
    assert till_entry.MEANS == order_money.MEANS
    assert till_entry.CASH == table.CASH
    assert {*till_entry.WHATS, "other"} == set(table.WHATS)


def test_a_sale_is_read():
    said = said_of(a_sale(a_key(1), 7, 8, means="card"), a_key(1), "USD")
    assert isinstance(said, SaleSaid)
    assert said.rugs == (RugSaid(7, 4500, 4500), RugSaid(8, 4500, 4500))
    assert (said.total, said.means, said.given) == (9000, "card", 0)


def test_tax_on_top_and_rounding_are_part_of_what_is_paid():
    on_top = {"contained": False, "tax": 270, "total": 4770, "given": 5000, "change": 230}
    assert said_of(a_sale(a_key(1), 7, **on_top), a_key(1), "USD").total == 4770
    rounded = {**on_top, "rounding": -5, "total": 4765, "given": 4765, "change": 0}
    assert said_of(a_sale(a_key(1), 7, **rounded), a_key(1), "USD").rounding == -5
    assert refused(a_sale(a_key(1), 7, **{**on_top, "total": 4500, "given": 4730})) == {"entry.sum"}
    card = {**rounded, "given": 0, "means": "card"}
    assert refused(a_sale(a_key(1), 7, **card)) == {"entry.sum"}, "only cash is rounded"


def test_undoing_names_its_sale_in_its_key():
    said = said_of(an_undo(a_key(1)), undo_key(a_key(1)), "USD")
    assert said == UndoSaid(a_key(1), "")
    assert refused(an_undo(a_key(1)), a_key(2)) == {"entry.undo"}


@pytest.mark.parametrize("key", ["k" * 66, "k" * 70, undo_key("k" * 30)])
def test_a_sale_whose_undoing_could_have_no_key_of_its_own_is_refused(key):
    assert key_of({"key": key}) == key
    assert refused(a_sale(key, 7), key) == {"entry.sale_key"}
    longest = "k" * 65
    assert isinstance(said_of(a_sale(longest, 7), longest, "USD"), SaleSaid)
    assert said_of(an_undo(longest), key_of(an_undo(longest)), "USD") == UndoSaid(longest, "")


def test_nothing_counts_as_having_happened_after_it_was_received():
    at, fast = time_of(an_entry(a_key(1), "cash", {})), time_of(an_entry(a_key(1), "cash", {}, at="2199-01-01T00:00:00Z"))
    received = at + timedelta(minutes=30)
    assert (counted_time(at, received), counted_time(fast, received)) == (at, received)


def test_every_value_that_will_not_do_is_named():
    raw = a_sale(a_key(1), 7, tax="much", mail=5, means="shells", more=1)
    with pytest.raises(Unreadable) as found:
        said_of(raw, a_key(1), "USD")
    assert {problem.where for problem in found.value.problems} == {"tax", "mail", "means", "more"}


@pytest.mark.parametrize("at", ["", "yesterday", None, 5, "0001-01-01T00:00:00", "2026-13-01T00:00:00Z", "1999-12-31T00:00:00Z", "9999-12-31T23:59:59-23:59", "2026-03-17T15:30:00", "2026-03-17", 20260317])
def test_a_time_that_no_clock_shows_is_none(at):
    assert time_of({"at": at}) is None
    assert refused(an_entry(a_key(1), "cash", {}, at=at)) == {"entry.time"}


@pytest.mark.parametrize("key", ["", "short", "k" * 71, "with a space in it, and long", None, 5, "ключ" * 6])
def test_a_key_that_cannot_be_used_is_none(key):
    assert key_of({"key": key}) is None
    assert key_of([key]) is None


@given(raw=ANY_JSON, what=st.sampled_from([*table.WHATS, "x"]), content=ANY_JSON)
def test_whatever_is_sent_is_read_or_refused_with_a_reason(raw, what, content):
    key_of(raw)
    for one in ({"key": a_key(1), "what": what, "at": "2026-03-17T15:30:00Z", "content": content}, {"key": raw, "what": what}):
        with suppress(Unreadable):
            assert isinstance(said_of(one, a_key(1), "USD"), till_entry.Said)


@given(st.data())
def test_a_sale_with_one_value_spoiled_is_refused_or_still_adds_up(data):
    sale = json.loads(json.dumps(a_sale(a_key(1), 7, 8)))
    name = data.draw(st.sampled_from(sorted(sale["content"])))
    sale["content"][name] = data.draw(ANY_JSON)
    try:
        said = said_of(sale, a_key(1), "USD")
    except Unreadable:
        return
    prices = sum(one.price for one in said.rugs)
    assert prices + (0 if said.contained else said.tax) + said.rounding == said.total
    assert said.given - said.change == said.total
    assert len({one.rug for one in said.rugs}) == len(said.rugs)


def test_cash_is_read():
    said = said_of(some_cash(a_key(1), "put in", 500), a_key(1), "USD")
    assert (said.what, said.amount) == ("put in", 500)
    assert refused(some_cash(a_key(1), "stolen", 500)) == {"entry.value"}
