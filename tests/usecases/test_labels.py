"""Which pieces get a label: numbers as typed, a haul, the newest in hand."""

import pytest

from shop.core.errors import NotFound, Refusal
from shop.usecases import labels, piece
from shop.usecases.given import fresh_token
from tests.builders import a_blanket, a_haul_at_home, a_sheet, codes


@pytest.mark.parametrize(
    ("text", "numbers"),
    [
        ("7", (7,)),
        ("3-9, 12", (3, 4, 5, 6, 7, 8, 9, 12)),
        ("3 – 5; 1", (3, 4, 5, 1)),
        ("12 3 4", (12, 3, 4)),
        ("1,2,\n2-3,", (1, 2, 3)),
        (" 5-5 ", (5,)),
        ("9223372036854775807", (9223372036854775807,)),
    ],
)
def test_numbers_are_read_as_people_write_them(text, numbers):
    assert labels.read_numbers(text) == numbers


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "none"),
        (" , ", "none"),
        ("seven", "numbers"),
        ("3-", "numbers"),
        ("9-3", "numbers"),
        ("0", "numbers"),
        ("-4", "numbers"),
        ("1.5", "numbers"),
        ("٣", "numbers"),
        ("9223372036854775808", "numbers"),
        ("9" * 40, "numbers"),
        ("1-301", "many"),
        ("1-9223372036854775807", "many"),
        ("1-200, 301-401", "many"),
        ("1," * 2001, "many"),
    ],
)
def test_what_is_no_numbers_is_told(text, code):
    with pytest.raises(Refusal) as refused:
        labels.read_numbers(text)
    assert codes(refused) == {("", f"label.{code}")}


@pytest.mark.parametrize(
    ("numbers", "text"), [((), ""), ((7,), "7"), ((3, 4, 5, 9, 1, 2), "3-5, 9, 1-2"), ((5, 4, 3), "5, 4, 3")]
)
def test_numbers_in_a_row_are_written_as_one_and_read_again(numbers, text):
    assert labels.written_numbers(numbers) == text
    assert not numbers or labels.read_numbers(text) == numbers


def test_a_long_choice_can_be_written_and_read_again():
    numbers = tuple(range(1_000_001, 1_000_001 + 2 * labels.MOST, 2))
    assert labels.read_numbers(labels.written_numbers(numbers)) == numbers


def test_the_pieces_come_in_the_order_that_was_asked(store, now):
    a_haul_at_home(store, now, a_sheet(count=3), a_blanket())
    found = labels.pieces_to_label(store, numbers=(4, 1, 2))
    assert [card.number for card in found] == [4, 1, 2]
    assert found[0].name == "Grey wool blanket"


def test_pieces_that_are_not_there_are_named(store, now):
    a_haul_at_home(store, now, a_sheet(count=3))
    with pytest.raises(Refusal) as refused:
        labels.pieces_to_label(store, numbers=(2, 7, 8, 9, 12))
    assert codes(refused) == {("numbers", "label.missing")}
    assert refused.value.problems[0].values["text"] == "7-9, 12"
    with pytest.raises(Refusal) as refused:
        labels.pieces_to_label(store, numbers=tuple(range(100, 200)))
    assert refused.value.problems[0].values["text"].endswith("…")


@pytest.mark.parametrize(("numbers", "code"), [((), "label.none"), (tuple(range(1, 302)), "label.many")])
def test_none_and_too_many_are_refused(store, numbers, code):
    with pytest.raises(Refusal) as refused:
        labels.pieces_to_label(store, numbers=numbers)
    assert codes(refused) == {("numbers", code)}


def test_a_haul_gives_its_pieces_but_not_what_is_gone(store, now):
    a_haul_at_home(store, now, a_sheet())
    home = a_haul_at_home(store, now, a_sheet(count=2), a_blanket())
    piece.give_away(store, number=3, saving=fresh_token(), now=now)
    assert labels.numbers_of_haul(store, haul_id=home.id) == (2, 4)
    for unknown in (0, 99, 2**70):
        with pytest.raises(NotFound):
            labels.numbers_of_haul(store, haul_id=unknown)


def test_the_newest_in_hand_and_what_waits_to_be_washed(store, now):
    a_haul_at_home(store, now, a_sheet(count=3), a_blanket(ready=True))
    piece.give_away(store, number=2, saving=fresh_token(), now=now)
    assert labels.newest_numbers(store) == (1, 3, 4)
    assert labels.newest_numbers(store, most=2) == (3, 4)
    assert labels.newest_numbers(store, shown="to wash") == (1, 3)
    with pytest.raises(Refusal):
        labels.newest_numbers(store, shown="gone")


def test_three_hundred_pieces_take_as_many_queries_as_one(store, now, count_queries):
    for _ in range(3):
        a_haul_at_home(store, now, a_sheet(count=50), a_blanket(count=50))
    with count_queries(store) as few:
        labels.pieces_to_label(store, numbers=(1,))
    with count_queries(store) as many:
        assert len(labels.pieces_to_label(store, numbers=range(1, 301))) == 300
    assert len(many) == len(few)
