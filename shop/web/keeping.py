"""Correcting what is known of a piece."""

from __future__ import annotations

from decimal import Decimal
from typing import Any, Final

from flask import Blueprint, Response, redirect, url_for

from shop.core.errors import Refusal
from shop.usecases import keeping
from shop.usecases import piece as pieces
from shop.usecases.fabric import PieceCard
from shop.usecases.keeping import FactsGiven
from shop.web.cloth_shown import CLOTHS, CONDITIONS, FIBRES, PieceShown, piece_shown
from shop.web.fields import (
    ChoiceField,
    ColourField,
    LengthField,
    RevisionField,
    SavingField,
    ShareField,
    TextField,
    WeightField,
)
from shop.web.forms import ShopForm
from shop.web.pages import page, show
from shop.web.shell import moment, store_now, tell
from shop.words import mark

room = Blueprint("keeping", __name__, url_prefix="/cloth/pieces/<int:number>/facts")

HALF: Final = Decimal("0.5")


class FactsForm(ShopForm):
    """What is known of a piece."""

    name = TextField(mark("What it is"), where="facts.name")
    colour = ColourField(mark("Colour"), where="facts.colour")
    cloth = ChoiceField(
        mark("Kind of cloth"), choices=tuple(CLOTHS.items()), blank=mark("Not known"), needed=False, where="facts.cloth"
    )
    fibres = ChoiceField(
        mark("Fibre"), choices=tuple(FIBRES.items()), blank=mark("Unknown"), needed=False, where="facts.fibres"
    )
    mixed = ChoiceField(mark("Mixed with"), choices=tuple(FIBRES.items()), blank=mark("Nothing else"), needed=False)
    mixed_share = ShareField(
        mark("Share of that"), least=Decimal("0.01"), most=Decimal("0.99"), needed=False
    )
    width = LengthField(mark("Width"), where="facts.width")
    length = LengthField(mark("Length"), where="facts.length")
    weight = WeightField(mark("Weight of the whole piece, if weighed"), needed=False, where="facts.weight")
    tears = ChoiceField(
        mark("Tear test"),
        choices=(("yes", mark("Tears straight")), ("no", mark("Does not tear"))),
        blank=mark("Not tried"),
        needed=False,
    )
    condition = ChoiceField(
        mark("Condition"), choices=tuple(CONDITIONS.items()), blank=mark("Not looked at"), needed=False
    )
    kept = TextField(
        mark("Kept where"), needed=False, hint=mark("Such as “shelf B”."), where="facts.kept"
    )
    revision = RevisionField()
    saving = SavingField()

    def given(self, card: PieceCard) -> FactsGiven:
        """What was given; what the form does not ask for stays as it is."""
        return FactsGiven(
            name=self.name.data,
            colour=self.colour.data,
            cloth=self.cloth.data or "",
            fibres=self._fibres(card),
            tears={"yes": True, "no": False}.get(self.tears.data or ""),
            condition=self.condition.data or "",
            kept=self.kept.data or "",
            weight=card.weight if card.is_yarn else self.weight.data,
            grams_per_m2=keeping.said_weight(card),
            width=card.width if card.is_yarn else self.width.data,
            length=card.length if card.is_yarn else self.length.data,
        )

    def _fibres(self, card: PieceCard) -> tuple[tuple[str, Decimal], ...]:
        """Two fibres are asked for; a cloth of more keeps them as long as its first two stay as they are."""
        if len(card.fibres) > 2 and self.fibres.data == card.fibres[0][0].value and self.mixed.data == card.fibres[1][0].value:
            return tuple((fibre.value, share) for fibre, share in card.fibres)
        if not self.fibres.data:
            return ()
        if not self.mixed.data:
            return ((self.fibres.data, Decimal(1)),)
        share = self.mixed_share.data or HALF
        return ((self.fibres.data, 1 - share), (self.mixed.data, share))


@page("cloth/keeping.html")
class KeepingPage:
    """A piece whose facts are corrected; ``resizable`` while nothing of it has gone anywhere."""

    piece: PieceShown
    form: FactsForm
    resizable: bool


@room.get("")
def show_keeping(number: int) -> Response:
    """The facts as they are."""
    card = pieces.piece(store_now(), number=number)
    return _page(card, FactsForm(formdata=None, data=_begun(card)))


@room.post("")
def correct(number: int) -> Response:
    """Correct them."""
    card = pieces.piece(store_now(), number=number)
    form = FactsForm()
    if card.is_yarn:
        form.width.needed = form.length.needed = False
    if form.validate():
        try:
            keeping.correct(
                store_now(),
                number=number,
                facts=form.given(card),
                revision=form.revision.data or 0,
                saving=form.saving.data,
                now=moment(),
            )
        except Refusal as refusal:
            form.refuse(refusal)
        else:
            tell(mark("Corrected."))
            return redirect(url_for("piece.show_piece", number=number), 303)  # type: ignore[return-value]
    return _page(card, form, status=422)


def _begun(card: PieceCard) -> dict[str, Any]:
    fibres = card.fibres
    return {
        "name": card.name,
        "colour": card.colour,
        "cloth": card.cloth,
        "fibres": fibres[0][0].value if fibres else "",
        "mixed": fibres[1][0].value if len(fibres) > 1 else "",
        "mixed_share": fibres[1][1] if len(fibres) > 1 else HALF,
        "width": card.width,
        "length": card.length,
        "weight": card.weight,
        "tears": {True: "yes", False: "no", None: ""}[card.tears],
        "condition": card.condition,
        "kept": card.kept,
        "revision": card.revision,
    }


def _page(card: PieceCard, form: FactsForm, *, status: int = 200) -> Response:
    context = KeepingPage(piece=piece_shown(card), form=form, resizable=keeping.size_is_open(card))
    return show(context, status=status)
