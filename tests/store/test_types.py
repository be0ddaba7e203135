"""Columns keep the trade's values exactly, and refuse what they could not."""

from datetime import UTC, datetime, timedelta, timezone
from decimal import Decimal

import pytest
from sqlalchemy import select
from sqlalchemy.exc import StatementError

from shop.core.errors import Clash
from shop.core.measure import Length, Weight
from shop.store.fabric import Haul, Piece
from shop.store.ledger import Movement
from shop.store.quote import Quote


def a_piece_row(now, **changed):
    haul = Haul(
        place="market", on=now.date(), tax=0, discount=0, washing=0, trip=0, spread_by="price", currency="USD",
        note="", created_at=now,
    )  # fmt: skip
    given = {
        "number": 1, "name": "sheet", "name_key": "sheet", "cloth": "", "colour": "#ffffff",
        "fibres": [], "width": Length(1), "length": Length(9_999_999_999_999), "paid": 0,
        "yarn": "", "shade": 0, "fibre": "", "condition": "", "kept": "", "came": 0, "later": 0,
        "left": 0, "left_cost": 0, "state": "used up", "revision": 1,
    }  # fmt: skip
    return Piece(haul=haul, **{**given, **changed})


def kept(store, row):
    with store.writing() as session:
        session.add(row)
    with store.reading() as session:
        return session.get(type(row), row.id)


def test_a_length_and_a_weight_come_back_to_the_nanometre_and_nanogram(store, now):
    found = kept(store, a_piece_row(now, weight=Weight(123_456_789_012_345)))
    assert (found.width, found.length) == (Length(1), Length(9_999_999_999_999))
    assert found.weight == Weight(123_456_789_012_345)


@pytest.mark.parametrize("text", ["0", "0.1", "0.3", "115.123456789", "-2.5", "9000000000"])
def test_an_exact_number_comes_back_as_it_was(store, now, text):
    found = kept(store, a_piece_row(now, grams_per_m2=Decimal(text)))
    assert found.grams_per_m2 == Decimal(text)
    assert f"{found.grams_per_m2:f}" == text


@pytest.mark.parametrize(
    "number", [Decimal("0.0000000001"), Decimal("NaN"), Decimal("Infinity"), Decimal("1e12")]
)
def test_a_number_that_would_not_fit_is_refused_and_nothing_is_kept(store, now, number):
    with pytest.raises(StatementError, match=r"billionth|not a number"), store.writing() as session:
        session.add(a_piece_row(now, grams_per_m2=number))
    with store.reading() as session:
        assert session.execute(select(Piece)).first() is None


def test_a_time_comes_back_in_utc_with_its_microseconds(store):
    there = datetime(2026, 3, 17, 1, 2, 3, 456789, tzinfo=timezone(timedelta(hours=5, minutes=30)))
    found = kept(store, a_piece_row(there).haul)
    assert found.created_at == there
    assert found.created_at.tzinfo is UTC


def test_a_time_without_a_zone_is_refused(store, now):
    with pytest.raises(StatementError, match="without a zone"), store.writing() as session:
        session.add(a_piece_row(now.replace(tzinfo=None)))


def test_a_document_keeps_its_order_its_letters_and_its_numbers(store, now):
    document = {"z": ["åäö", "地毯", "\U0001f9f6"], "a": {"n": 0.1, "yes": True, "none": None}}
    quote = Quote(
        number=1, state="draft", customer_name="", customer_contact="", title="", described=document,
        figures={}, stripes=[], width=Length(1), length=Length(1), asking=1, total=1, currency="USD", created_at=now,
        updated_at=now, search_text="", revision=1,
    )  # fmt: skip
    found = kept(store, quote)
    assert found.described == document
    assert list(found.described) == ["z", "a"]


def test_a_document_takes_no_number_that_is_none(store, now):
    piece = a_piece_row(now, fibres=[float("nan")])
    with pytest.raises((StatementError, ValueError), match="not JSON compliant"), store.writing() as session:
        session.add(piece)


def test_a_movement_must_belong_to_a_piece(store, now):
    with pytest.raises(Clash), store.writing() as session:
        session.add(
            Movement(
                piece_id=77, kind="ready", share=0, cost=0, source="shelf", target="shelf", on=now.date(), at=now, note=""
            )
        )
