"""Labels for pieces of cloth: chosen, looked at on their sheet, and printed as a PDF."""

from __future__ import annotations

from dataclasses import dataclass
from ipaddress import ip_address
from typing import Final
from urllib.parse import urlsplit

from flask import Blueprint, Response, request, session, url_for

from shop.core.errors import Problem, Refusal
from shop.paper.label_sheets import LabelSheet
from shop.paper.labels import PieceLabel, code_fits, labels_pdf, next_label, sheets_needed
from shop.paper.letterhead import ShopHead
from shop.usecases import haul_list, labels
from shop.usecases.fabric import SET_ASIDE, PieceCard
from shop.web.cloth_shown import FIBRES, size_shown
from shop.web.labels_form import REMEMBERED, LabelsForm
from shop.web.pages import page, show
from shop.web.shell import moment, public_address, shell_now, store_now, words_now
from shop.words import Words

room = Blueprint("labels", __name__, url_prefix="/cloth/labels")

HAULS_SHOWN: Final = 5


@dataclass(frozen=True, slots=True)
class Shortcut:
    """Pieces that can be chosen by one press."""

    name: str
    address: str


@dataclass(frozen=True, slots=True)
class LabelPlace:
    """A label in the picture of the first sheet, in millimetres; ``number`` is empty where none is printed."""

    x: str
    y: str
    number: str
    colour: str
    used: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPicture:
    """The first sheet, small.

    Attributes:
        width, height: of the paper, in millimetres.
        label_width, label_height: of a label.
        letters: how high the numbers are.
        places: every label of the sheet.
    """

    width: str
    height: str
    label_width: str
    label_height: str
    letters: str
    places: tuple[LabelPlace, ...]


@page("cloth/labels.html")
class LabelsPage:
    """Choosing the labels.

    Attributes:
        picture: of the first sheet, where the choice can be printed.
        count, sheets: how many labels and sheets there will be.
        next: at which label of the last sheet to begin the next time; 1 where it is full.
        to_cut: the sheet is plain paper, to be cut.
        address: what the code of the first label opens.
        unreachable: a phone cannot open that address.
        no_cloth: there is nothing to label yet.
    """

    form: LabelsForm
    picture: SheetPicture | None
    count: int
    sheets: int
    next: int
    to_cut: bool
    address: str
    unreachable: bool
    no_cloth: bool
    some: tuple[Shortcut, ...]
    hauls: tuple[Shortcut, ...]


@room.get("")
def show_labels() -> Response:
    """Choose the labels, and see them on their sheet."""
    form = LabelsForm.asked()
    no_cloth = not request.args and not form.numbers.data
    pieces = () if no_cloth else _chosen(form)
    return _page(form, pieces, no_cloth=no_cloth, status=422 if form.errors else 200)


@room.get("/labels.pdf")
def print_labels() -> Response:
    """The labels, as a PDF to be printed; or the page again, where they cannot be."""
    form = LabelsForm.asked()
    pieces = _chosen(form)
    if form.errors:
        return _page(form, pieces, no_cloth=False, status=422)
    words = words_now()
    session[REMEMBERED] = form.chosen.key
    pdf = labels_pdf(
        [_label(card, words) for card in pieces],
        form.chosen,
        begin=form.first,
        shop=ShopHead(name=shell_now().shop_name),
        day=words.today(moment()),
        words=words,
    )
    answer = Response(pdf, mimetype="application/pdf")
    answer.headers["Content-Disposition"] = 'inline; filename="labels.pdf"'
    return answer


def _chosen(form: LabelsForm) -> tuple[PieceCard, ...]:
    """The pieces that were asked for; what is wrong with the asking stands in the form."""
    form.validate()
    pieces: tuple[PieceCard, ...] = ()
    if not form.numbers.errors:
        try:
            pieces = labels.pieces_to_label(store_now(), numbers=form.numbers.data)
        except Refusal as refusal:
            form.refuse(refusal)
    longest = max((_address(card.number) for card in pieces), key=len, default="")
    if not form.sheet.errors and not code_fits(form.chosen, longest):
        form.refuse(Problem("label.code", "sheet"))
    return pieces


def _page(form: LabelsForm, pieces: tuple[PieceCard, ...], *, no_cloth: bool, status: int) -> Response:
    sheet, begin = form.chosen, form.first
    kept = {"sheet": sheet.key, "begin": begin if begin > 1 else None}
    words = words_now()
    wait = Shortcut(
        words.say("All that wait to be washed"), url_for("labels.show_labels", show="to-wash", **kept)
    )
    newest = Shortcut(words.say("The newest in hand"), url_for("labels.show_labels", **kept))
    latest = haul_list.hauls(store_now(), limit=HAULS_SHOWN).hauls
    context = LabelsPage(
        form=form,
        picture=_picture(sheet, begin, pieces) if pieces and not form.errors else None,
        count=len(pieces),
        sheets=sheets_needed(sheet, len(pieces), begin=begin),
        next=next_label(sheet, len(pieces), begin=begin),
        to_cut=sheet.to_cut,
        address=_address(pieces[0].number) if pieces else "",
        unreachable=only_this_machine(public_address()),
        no_cloth=no_cloth,
        some=(newest, wait),
        hauls=tuple(
            Shortcut(
                f"{haul.place}, {words.date(haul.on, 'medium')}",
                url_for("labels.show_labels", haul=haul.id, **kept),
            )
            for haul in latest
        ),
    )
    return show(context, status=status)


def _picture(sheet: LabelSheet, begin: int, pieces: tuple[PieceCard, ...]) -> SheetPicture:
    width, height = sheet.size
    label_height = sheet.millimetres(sheet.height)
    places = []
    for place in range(sheet.count):
        x, y = sheet.corner(place)
        at = place - (begin - 1)
        card = pieces[at] if 0 <= at < len(pieces) else None
        number, colour = (str(card.number), card.colour) if card else ("", "")
        places.append(LabelPlace(f"{x:.2f}", f"{y:.2f}", number, colour, at < 0))
    return SheetPicture(
        width=f"{width:.1f}",
        height=f"{height:.1f}",
        label_width=f"{sheet.millimetres(sheet.width):.2f}",
        label_height=f"{label_height:.2f}",
        letters=f"{min(9.0, label_height * 0.34):.1f}",
        places=tuple(places),
    )


def _label(card: PieceCard, words: Words) -> PieceLabel:
    return PieceLabel(
        number=card.number,
        name=card.name,
        facts=(*_measures(card, words), _fibres(card, words), card.kept),
        colour=card.colour,
        to_wash=card.state == SET_ASIDE,
        address=_address(card.number),
    )


def _measures(card: PieceCard, words: Words) -> tuple[str, ...]:
    if not card.is_yarn:
        return (size_shown(card.width, card.length),)
    run = words.strip_length(card.length.metres)
    weight = words.weight(card.weight) if card.weight else ""
    return (
        words.say("Warp yarn %(yarn)s", yarn=card.yarn),
        " · ".join(part for part in (weight, run) if part),
    )


def _fibres(card: PieceCard, words: Words) -> str:
    """Shorter than on a page: ``Cotton 60%, Polyester 40%``."""
    if not card.fibres:
        return words.say("fibre not known")
    named = [(words.say(FIBRES[fibre.value]), share) for fibre, share in card.fibres]
    if len(named) == 1:
        return named[0][0]
    return ", ".join(f"{name} {words.percent(share, 0)}" for name, share in named)


def _address(number: int) -> str:
    """What the code of a piece opens: how much of it is drawn."""
    return f"{public_address()}/cloth/pieces/{number}/draw"


def only_this_machine(address: str) -> bool:
    """Whether an address leads back to whoever opens it, so that a phone would look for the shop in itself."""
    host = urlsplit(address).hostname or ""
    if host == "localhost" or host.endswith(".localhost"):
        return True
    try:
        there = ip_address(host)
    except ValueError:
        return False
    return there.is_loopback or there.is_unspecified
