"""The fibre content of a job's rug, by weight, from what was really drawn for it."""

from __future__ import annotations

from shop.core.errors import Refusal
from shop.core.fibre_content import ContentLine, FibrePart, fibre_content
from shop.core.ledger import WHOLE
from shop.store import ledger
from shop.store.engine import Store
from shop.usecases.fabric import cards_in
from shop.usecases.job import job_in


def content_of(store: Store, *, job: int) -> tuple[ContentLine, ...]:
    """The lines of the label; none while nothing that weighs anything is in the job or its rug.

    Raises:
        NotFound: ``job.unknown``.
    """
    with store.reading() as session:
        row = job_in(session, job)
        lies = ledger.cloth_of_job(session, row.id)
        waste = ledger.usual_waste(session, row.id)
        cards = {card.id: card for card in cards_in(session, [piece for _, piece in lies])}
        parts = [
            FibrePart(
                grams=cards[piece.id].grams * max(0, one.share + one.rug_share - waste.get(piece.id, 0)) / WHOLE,
                fibres=cards[piece.id].fibres,
            )
            for one, piece in lies
        ]
    try:
        return fibre_content(parts).lines() if parts else ()
    except Refusal:
        return ()
