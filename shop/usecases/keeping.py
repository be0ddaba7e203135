"""Correcting what is known of a piece. What it cost and where it went is the ledger's, and is not touched."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Final

from shop.core.cloth import HEAVIEST, LIGHTEST
from shop.core.colour import shelf_place
from shop.core.errors import Clash, Problem
from shop.core.ledger import Kind
from shop.core.measure import Length, Weight
from shop.core.spread import Basis
from shop.store import ledger
from shop.store import saving as presses
from shop.store.engine import Store
from shop.store.folding import folded
from shop.usecases.fabric import CLOTH_KINDS, CONDITIONS, FIBRES, PieceCard, cards_in, piece_in
from shop.usecases.given import Given
from shop.usecases.haul import HEAVIEST_PIECE, LARGEST, SMALLEST

COMING: Final = (Kind.BROUGHT_HOME, Kind.CUT_FROM)


@dataclass(frozen=True, slots=True, kw_only=True)
class FactsGiven:
    """What is known of a piece.

    Attributes:
        name, colour, cloth, fibres, tears, condition, kept: as in ``shop.usecases.haul.PieceGiven``.
        weight: of the whole piece, on a scale; of a cone it stays as it was bought.
        grams_per_m2: weight per area, where known without a scale.
        width, length: usable, of the whole piece.
    """

    name: str
    colour: str
    cloth: str = ""
    fibres: tuple[tuple[str, Decimal], ...] = ()
    tears: bool | None = None
    condition: str = ""
    kept: str = ""
    weight: Weight | None = None
    grams_per_m2: Decimal | None = None
    width: Length = Length(0)
    length: Length = Length(0)


def size_is_open(card: PieceCard) -> bool:
    """Whether its size can still be corrected: shares of it that went somewhere were reckoned from it."""
    return not card.is_yarn and not any(step.share for step in card.steps if step.kind not in COMING)


def said_weight(card: PieceCard) -> Decimal | None:
    """The weight per area that was said of a piece without a scale; ``None`` where it was weighed or guessed."""
    return Decimal(repr(card.grams_per_m2)) if card.weight_basis is Basis.SETTING else None


def correct(
    store: Store, *, number: int, facts: FactsGiven, revision: int, saving: str, now: datetime
) -> PieceCard:
    """Correct what is known of a piece.

    Args:
        store: the shop's database.
        number: of the piece.
        facts: all of them.
        revision: of the piece that the form showed.
        saving: the form's token.
        now: the time, zoned.

    Raises:
        NotFound: ``piece.unknown``.
        Clash: ``piece.changed`` when it has been corrected since the form was shown.
        Refusal: with every problem found, as for a piece that comes home; ``piece.size_fixed`` for another size once some of
            it has gone somewhere; ``piece.yarn`` for the size of a cone.
    """
    with store.writing() as session:
        row = piece_in(session, number, lock=True)
        act = f"piece.correct.{row.id}"
        if presses.claim(session, act=act, token=saving, given=facts, now=now) is None:
            given = Given()
            name = given.line("facts.name", facts.name, required=True)
            colour = given.colour("facts.colour", facts.colour)
            kept = given.line("facts.kept", facts.kept)
            given.choice("facts.condition", facts.condition, CONDITIONS)
            if facts.cloth:
                given.choice("facts.cloth", facts.cloth, CLOTH_KINDS)
            _check_fibres(given, facts)
            given.weight("facts.weight", facts.weight, HEAVIEST_PIECE)
            if facts.grams_per_m2 is not None and not LIGHTEST <= facts.grams_per_m2 <= HEAVIEST:
                given.note("cloth_weight.range", "facts.grams_per_m2", least=LIGHTEST, most=HEAVIEST)
            resized = not row.yarn and (facts.width, facts.length) != (row.width, row.length)
            if resized:
                given.length("facts.width", facts.width, SMALLEST, LARGEST)
                given.length("facts.length", facts.length, SMALLEST, LARGEST)
                if ledger.has_left(session, row.id):
                    given.note("piece.size_fixed", "facts.width")
            given.done()
            if row.revision != revision:
                raise Clash(Problem("piece.changed", values={"number": number}))
            row.name, row.name_key, row.kept, row.condition = name, folded(name), kept, facts.condition
            row.colour, row.shade = colour, shelf_place(colour)
            row.cloth, row.tears = facts.cloth, facts.tears
            row.fibres = [[fibre, f"{share:f}"] for fibre, share in facts.fibres]
            row.fibre = max(facts.fibres, key=lambda pair: pair[1])[0] if facts.fibres else ""
            if not row.yarn:
                row.weight, row.grams_per_m2 = facts.weight, facts.grams_per_m2
                row.width, row.length = facts.width, facts.length
            row.revision = revision + 1
            session.flush()
        return cards_in(session, [row])[0]


def _check_fibres(given: Given, facts: FactsGiven) -> None:
    names = [given.choice("facts.fibres", name, FIBRES) for name, _ in facts.fibres]
    if len(set(names)) < len(names):
        given.note("fibre.twice", "facts.fibres")
    if facts.fibres and sum(share for _, share in facts.fibres) != 1:
        given.note("fibre.sum", "facts.fibres")
