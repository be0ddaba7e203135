"""The letters that went out by e-mail or did not; those in trouble can be sent again or let go."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from flask import Blueprint, Response, redirect, request, url_for

from shop.usecases import outbox
from shop.usecases.outbox import IN_TROUBLE, LetterCard
from shop.web.asked import number_of
from shop.web.forms import PressForm, pressed
from shop.web.letter_words import LETTER_STATES, TROUBLES
from shop.web.offer import letters_are_sent
from shop.web.pages import page, show
from shop.web.shell import moment, store_now, tell, words_now
from shop.words import mark

room = Blueprint("letters", __name__, url_prefix="/offers/letters")


@dataclass(frozen=True, slots=True, kw_only=True)
class LetterRow:
    """A letter, in words; ``asks`` that the weaver must see to it."""

    id: int
    to: str
    subject: str
    put: str
    state: str
    trouble: str
    reply: str
    asks: bool


@page("offer/letters.html")
class LettersPage:
    """The letters, newest first."""

    rows: tuple[LetterRow, ...]
    further: str
    are_sent: bool
    act: PressForm


@room.get("")
def show_letters() -> Response:
    """The letters."""
    found = outbox.letters(store_now(), below=number_of(request.args.get("below", "")))
    context = LettersPage(
        rows=tuple(_row(one) for one in found.letters),
        further=url_for("letters.show_letters", below=found.further) if found.further else "",
        are_sent=letters_are_sent(),
        act=PressForm(formdata=None),
    )
    return show(context)


def _row(one: LetterCard) -> LetterRow:
    words = words_now()
    return LetterRow(
        id=one.id,
        to=one.to,
        subject=one.subject,
        put=words.datetime(one.put_at),
        state=words.say(LETTER_STATES[one.state]),
        trouble=words.say(TROUBLES[one.trouble]) if one.trouble else "",
        reply=one.reply,
        asks=one.state in IN_TROUBLE,
    )


@room.post("/<int:letter_id>/again")
def send_again(letter_id: int) -> Response:
    """Send a letter after all."""
    return _done(letter_id, outbox.send_again, mark("It is sent again in a moment."))


@room.post("/<int:letter_id>/unsent")
def let_go(letter_id: int) -> Response:
    """Leave a letter unsent."""
    return _done(letter_id, outbox.let_go, mark("It is left unsent."))


def _done(letter_id: int, act: Callable[..., LetterCard], told: str) -> Response:
    act(store_now(), letter_id=letter_id, saving=pressed(), now=moment())
    tell(told)
    return redirect(url_for("letters.show_letters"), 303)  # type: ignore[return-value]
