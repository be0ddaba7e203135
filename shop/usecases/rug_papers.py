"""Which rugs go on tags and lists: by numbers as they are typed, by where they are, or as they are packed for a fair."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from shop.core.errors import NotFound, Problem, Refusal, Unreadable
from shop.core.money import Money
from shop.store import fair as fair_table
from shop.store import packing, rug_list
from shop.store import rug as table
from shop.store.engine import Store
from shop.usecases import labels
from shop.usecases.given import is_number_of_a_row
from shop.usecases.labels import MOST, NAMED, written_numbers
from shop.usecases.rug_card import SHOWN, RugCard, cards_in

_CODES: Final = {"label.numbers": "rug.numbers", "label.none": "rug.no_numbers", "label.many": "rug.many"}


def read_numbers(text: str) -> tuple[int, ...]:
    """The numbers of rugs in a text such as ``3-9, 12``, in the order written, each once.

    Raises:
        Unreadable: ``rug.numbers``, ``rug.no_numbers``, or ``rug.many`` for more than can be printed in one go.
    """
    try:
        return labels.read_numbers(text)
    except Unreadable as error:
        (found,) = error.problems
        raise Unreadable(Problem(_CODES[found.code], found.where, found.values)) from None


def numbers_in(store: Store, *, shown: str = "home", outlet: int | None = None) -> tuple[int, ...]:
    """The newest rugs in a place of ``SHOWN``, in the order of their numbers; so many as can be printed in one go."""
    with store.reading() as session:
        rows = rug_list.newest(session, places=SHOWN[shown], outlet_id=outlet, limit=MOST)
        return tuple(sorted(row.number for row in rows))


def rugs_to_print(store: Store, *, numbers: Sequence[int]) -> tuple[RugCard, ...]:
    """The rugs of these numbers, in the same order; a few queries, however many there are.

    Raises:
        Refusal: ``rug.no_numbers``, ``rug.many`` or ``rug.missing`` at ``numbers``.
    """
    if not numbers:
        raise Refusal(Problem("rug.no_numbers", "numbers"))
    if len(numbers) > MOST:
        raise Refusal(Problem("rug.many", "numbers", {"most": MOST}))
    with store.reading() as session:
        cards = {card.number: card for card in cards_in(session, table.by_numbers(session, numbers))}
    missing = [number for number in numbers if number not in cards]
    if missing:
        told = written_numbers(missing[:NAMED]) + (" …" if len(missing) > NAMED else "")
        raise Refusal(Problem("rug.missing", "numbers", {"text": told}))
    return tuple(cards[number] for number in numbers)


def packed_rugs(store: Store, *, fair: int) -> tuple[RugCard, ...]:
    """The rugs that are packed for a fair, in the order of their numbers, each with what it is to bring there.

    Raises:
        NotFound: ``fair.unknown``.
    """
    with store.reading() as session:
        found = fair_table.by_number(session, fair) if is_number_of_a_row(fair) else None
        if found is None:
            raise NotFound(Problem("fair.unknown", values={"number": fair}))
        packed = packing.packed_for(session, found.id)
        cards = cards_in(session, [rug for _, rug in packed])
        there = {rug.id: one.price for one, rug in packed}
    prices = {rug_id: None if minor is None else Money(minor, found.currency) for rug_id, minor in there.items()}
    return tuple(replace(card, price=prices[card.id]) for card in cards)
