"""Looms: the list of them, a new one, changing one, putting one away and taking it out again."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from flask import Blueprint, Response, abort, redirect, request, url_for

from shop.core.errors import Clash, Refusal
from shop.usecases import loom as looms
from shop.web.loom_card import KINDS, KINDS_FOR, LoomComesTo, LoomShown, comes_to, shown
from shop.web.loom_drawing import LoomDrawing, draw
from shop.web.loom_form import LoomForm
from shop.web.loom_kinds import FORMS, form_of, new_form, sent_form, usual
from shop.web.pages import page, show
from shop.web.shell import moment, store_now, tell, words_now
from shop.words import mark
from shop.words.problems import problem_sentences

room = Blueprint("loom", __name__, url_prefix="/looms")

LOOK: Final = "look"
"""The value of the button that only shows what a form comes to."""


@page("loom/list.html")
class LoomsPage:
    """The shop's looms, and those put away."""

    looms: tuple[LoomShown, ...]
    away: tuple[LoomShown, ...]
    wrong: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class KindChoice:
    """A kind of loom to choose: its name, what it is for, drawn."""

    name: str
    why: str
    address: str
    drawing: LoomDrawing


@page("loom/kinds.html")
class KindsPage:
    """Choosing the kind of a new loom."""

    kinds: tuple[KindChoice, ...]


@page("loom/loom.html")
class LoomPage:
    """A loom, new or changed: its form, and beside it what it comes to (nothing while that cannot be told)."""

    form: LoomForm
    kind: str
    kind_name: str
    kind_why: str
    name: str
    address: str
    away: bool
    number: int
    comes_to: LoomComesTo | None


def _list(*wrong: str, status: int = 200) -> Response:
    store = store_now()
    return show(
        LoomsPage(
            looms=tuple(shown(card) for card in looms.looms(store)),
            away=tuple(shown(card) for card in looms.looms(store, archived=True)),
            wrong=wrong,
        ),
        status=status,
    )


@room.get("/")
def show_looms() -> Response:
    """The list."""
    return _list()


@room.get("/new")
def choose_kind() -> Response:
    """The three kinds."""
    say = words_now().say
    kinds = tuple(
        KindChoice(say(name), say(KINDS_FOR[kind]), url_for("loom.new_loom", kind=kind), draw(usual(kind)))
        for kind, name in KINDS.items()
    )
    return show(KindsPage(kinds=kinds))


@room.get("/new/<kind>")
def new_loom(kind: str) -> Response:
    """The form of a new loom."""
    _known(kind)
    return _page(new_form(kind), kind, None, None)


@room.post("/new/<kind>")
def take_new_loom(kind: str) -> Response:
    """Keep a new loom, or show what it comes to."""
    _known(kind)
    return _take(sent_form(kind), kind, None)


@room.get("/<int:number>")
def show_loom(number: int) -> Response:
    """A loom of the shop."""
    card = looms.loom(store_now(), loom_id=number)
    return _page(form_of(card), card.loom.kind, card, comes_to(card))


@room.post("/<int:number>")
def take_loom(number: int) -> Response:
    """Change a loom, or show what the change comes to."""
    card = looms.loom(store_now(), loom_id=number)
    return _take(sent_form(card.loom.kind), card.loom.kind, card)


@room.post("/<int:number>/put-away")
def put_away(number: int) -> Response:
    """Put a loom away."""
    card = looms.put_away(store_now(), loom_id=number)
    tell(mark("%(name)s is put away. Its quotes stay as they are."), name=card.loom.name)
    return _to_list()


@room.post("/<int:number>/take-out")
def take_out(number: int) -> Response:
    """Take a loom out again."""
    try:
        card = looms.take_back(store_now(), loom_id=number)
    except Clash as clash:
        return _list(*problem_sentences(clash.problems, words_now()), status=409)
    tell(mark("%(name)s is in use again."), name=card.loom.name)
    return _to_list()


def _take(form: LoomForm, kind: str, card: looms.LoomCard | None) -> Response:
    if not form.validate():
        return _page(form, kind, card, None, status=422)
    found: LoomComesTo | None = None
    try:
        given = form.given()
        found = comes_to(given)
        if request.form.get("act") == LOOK:
            return _page(form, kind, card, found)
        kept = looms.keep(
            store_now(),
            loom=given,
            loom_id=card.id if card else None,
            revision=form.revision.data or 0,
            saving=form.saving.data,
            now=moment(),
        )
    except Refusal as refusal:
        form.refuse(refusal)
        return _page(form, kind, card, found, status=422)
    tell(mark("%(name)s is kept."), name=kept.loom.name)
    return _to_list()


def _page(
    form: LoomForm, kind: str, card: looms.LoomCard | None, found: LoomComesTo | None, *, status: int = 200
) -> Response:
    say = words_now().say
    address = url_for("loom.take_loom", number=card.id) if card else url_for("loom.take_new_loom", kind=kind)
    return show(
        LoomPage(
            form=form,
            kind=kind,
            kind_name=say(KINDS[kind]),
            kind_why=say(KINDS_FOR[kind]),
            name=card.loom.name if card else "",
            address=address,
            away=card.archived if card else False,
            number=card.id if card else 0,
            comes_to=found,
        ),
        status=status,
    )


def _known(kind: str) -> None:
    if kind not in FORMS:
        abort(404)


def _to_list() -> Response:
    return redirect(url_for("loom.show_looms"), 303)  # type: ignore[return-value]
