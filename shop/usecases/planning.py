"""Planning a rug from what the shop has: its looms, its cloth, its paces, rates and price rule.

What is chosen for a rug is turned into a described rug, the one document that the arithmetic reads; a quote
keeps both, so that it can be opened again and its figures never change behind anybody's back.
"""

from __future__ import annotations

from dataclasses import dataclass

from shop.core.described import plan_of
from shop.core.errors import CannotMake, NotFound, Problem, Refusal
from shop.core.loom import Fit, Size, looms_that_can
from shop.core.reckon import reckon
from shop.core.reckoning import Reckoning
from shop.store.engine import Store
from shop.usecases.chosen import Chosen
from shop.usecases.describing import describe
from shop.usecases.loom import LoomCard
from shop.usecases.workroom import Workroom, first_choice, workroom


@dataclass(frozen=True, slots=True, kw_only=True)
class LoomAnswer:
    """A loom's answer to a size: how it makes it, or why it cannot."""

    card: LoomCard
    made: Fit | None
    refusal: CannotMake | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """A rug planned.

    Attributes:
        room: what it was planned with.
        chosen: what was chosen, the loom filled in.
        answers: each loom's answer to the size.
        document: the described rug.
        reckoning: what it comes to; ``None`` when it cannot be.
        refusal: why not.
    """

    room: Workroom
    chosen: Chosen
    answers: tuple[LoomAnswer, ...]
    document: dict[str, object]
    reckoning: Reckoning | None
    refusal: Refusal | None

    @property
    def loom_id(self) -> int:
        """The loom that it is planned on."""
        return loom_for(self.answers, self.chosen.loom_id).id


def planned(store: Store, *, chosen: Chosen | None = None) -> Planned:
    """Plan a rug with what the shop has, and reckon it; nothing is kept.

    Args:
        store: the shop's database.
        chosen: what is chosen; a rug to begin with when ``None``.
    """
    if chosen is None:
        room = workroom(store)
        return plan_in(room, first_choice(room))
    room = workroom(store, also=tuple(number for number, _ in chosen.pieces), loom_id=chosen.loom_id)
    return plan_in(room, chosen)


def plan_in(room: Workroom, chosen: Chosen) -> Planned:
    """Plan a rug in a workroom already read; what it names and is not there is refused, not replaced."""
    answers = _answers(room, Size(chosen.width, chosen.length))
    card = loom_for(answers, chosen.loom_id)
    document = describe(room, chosen, card)
    found: Reckoning | None = None
    why: Refusal | None = None
    try:
        _all_there(room, chosen)
        found = reckon(plan_of(document))
    except Refusal as refusal:
        why = refusal
    return Planned(
        room=room, chosen=chosen, answers=answers, document=document, reckoning=found, refusal=why
    )


def _all_there(room: Workroom, chosen: Chosen) -> None:
    """Refuse a loom or a piece of cloth that the shop does not have.

    Raises:
        NotFound: ``loom.unknown`` at ``loom``, ``piece.unknown`` at ``cloth``.
    """
    problems = []
    if chosen.loom_id and chosen.loom_id not in {card.id for card in room.looms}:
        problems.append(Problem("loom.unknown", "loom"))
    problems += [
        Problem("piece.unknown", "cloth", {"number": str(number)})
        for number, _ in chosen.pieces
        if number not in room.by_number
    ]
    if problems:
        raise NotFound(*problems)


def _answers(room: Workroom, asked: Size) -> tuple[LoomAnswer, ...]:
    found = looms_that_can(tuple(card.loom for card in room.looms), asked)
    return tuple(
        LoomAnswer(
            card=card,
            made=answer if isinstance(answer, Fit) else None,
            refusal=answer if isinstance(answer, CannotMake) else None,
        )
        for card, (_, answer) in zip(room.looms, found, strict=True)
    )


def loom_for(answers: tuple[LoomAnswer, ...], loom_id: int) -> LoomCard:
    """The loom chosen; else one that makes it in one piece; else one that makes it; else the first."""
    for answer in answers:
        if loom_id and answer.card.id == loom_id:
            return answer.card
    able = sorted((a for a in answers if a.made), key=lambda a: a.made.panels if a.made else 0)
    return (able or list(answers))[0].card
