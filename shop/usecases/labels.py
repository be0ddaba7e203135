"""Which pieces of cloth get a label: numbers as they are typed, a haul, or the newest in hand."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from shop.core.errors import NotFound, Problem, Refusal, Unreadable
from shop.store import fabric as table
from shop.store import fabric_list
from shop.store.engine import Store
from shop.usecases.fabric import PieceCard, cards_in
from shop.usecases.given import LARGEST_NUMBER, Given, is_number_of_a_row

MOST: Final = 300
"""So many labels in one go; a haul has at most 200 pieces."""
LONGEST: Final = 4000
"""Signs in a text of numbers: 300 long ones, none in a row, still go in."""
NAMED: Final = 12
"""So many missing numbers are named in a problem."""
_PART: Final = re.compile(r"([0-9]{1,19})(?:\s*[-–—]\s*([0-9]{1,19}))?")
_BETWEEN: Final = re.compile(r"\s*[,;]\s*|\s*\n\s*|(?<=[0-9])\s+(?=[0-9])")


def read_numbers(text: str) -> tuple[int, ...]:
    """The numbers of pieces in a text such as ``3-9, 12``, in the order written, each once.

    Raises:
        Unreadable: ``label.numbers``, ``label.none``, or ``label.many`` for more than can be printed in one go.
    """
    if len(text) > LONGEST:
        raise Unreadable(Problem("label.many", values={"most": MOST}))
    parts = [part for part in _BETWEEN.split(text.strip()) if part]
    found: dict[int, None] = {}
    for part in parts:
        match = _PART.fullmatch(part)
        if match is None:
            raise Unreadable(Problem("label.numbers", values={"text": part[:24]}))
        first, last = int(match[1]), int(match[2] or match[1])
        if not 0 < first <= last <= LARGEST_NUMBER:
            raise Unreadable(Problem("label.numbers", values={"text": part[:24]}))
        if last - first >= MOST:
            raise Unreadable(Problem("label.many", values={"most": MOST}))
        found |= dict.fromkeys(range(first, last + 1))
        if len(found) > MOST:
            raise Unreadable(Problem("label.many", values={"most": MOST}))
    if not found:
        raise Unreadable(Problem("label.none"))
    return tuple(found)


def written_numbers(numbers: Sequence[int]) -> str:
    """Numbers as they would be typed, those in a row as one: ``3-9, 12``."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][1] + 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    return ", ".join(str(first) if first == last else f"{first}-{last}" for first, last in runs)


def numbers_of_haul(store: Store, *, haul_id: int) -> tuple[int, ...]:
    """The pieces that a haul brought home, in order; but not those of which nothing is left.

    Raises:
        NotFound: ``haul.unknown``.
    """
    with store.reading() as session:
        if not is_number_of_a_row(haul_id) or table.haul_by_id(session, haul_id) is None:
            raise NotFound(Problem("haul.unknown"))
        cards = cards_in(session, table.pieces_of_haul(session, haul_id)[:MOST])
        return tuple(card.number for card in cards if card.left)


def newest_numbers(store: Store, *, shown: str = "in hand", most: int = MOST) -> tuple[int, ...]:
    """The newest pieces, in the order of their numbers.

    Args:
        store: the shop's database.
        shown: ``in hand`` or ``to wash``.
        most: so many at most.

    Raises:
        Refusal: ``choice.unknown``.
    """
    given = Given()
    given.choice("shown", shown, ("in hand", "to wash"))
    given.done()
    with store.reading() as session:
        rows = fabric_list.newest(session, which=shown, words=(), below=None, limit=min(most, MOST))
        return tuple(sorted(row.number for row in rows))


def pieces_to_label(store: Store, *, numbers: Sequence[int]) -> tuple[PieceCard, ...]:
    """The pieces of these numbers, in the same order; a few queries, however many there are.

    Raises:
        Refusal: ``label.none``, ``label.many`` or ``label.missing`` at ``numbers``.
    """
    if not numbers:
        raise Refusal(Problem("label.none", "numbers"))
    if len(numbers) > MOST:
        raise Refusal(Problem("label.many", "numbers", {"most": MOST}))
    with store.reading() as session:
        cards = {card.number: card for card in cards_in(session, table.pieces_by_number(session, numbers))}
    missing = [number for number in numbers if number not in cards]
    if missing:
        told = written_numbers(missing[:NAMED]) + (" …" if len(missing) > NAMED else "")
        raise Refusal(Problem("label.missing", "numbers", {"text": told}))
    return tuple(cards[number] for number in numbers)
