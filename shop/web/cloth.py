"""Cloth: the pieces in hand as swatches, each with what it cost by every measure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from flask import Blueprint, Response, request, url_for
from werkzeug.datastructures import MultiDict

from shop.core.errors import Problem
from shop.core.measure import Length
from shop.usecases import cutting, haul_list
from shop.usecases import piece as pieces
from shop.web.cloth_shown import PieceShown, piece_shown
from shop.web.fields import LengthField
from shop.web.forms import ShopForm
from shop.web.haul import HaulRow, haul_row
from shop.web.pages import page, show
from shop.web.shell import store_now, words_now
from shop.words import mark

room = Blueprint("cloth", __name__, url_prefix="/cloth")

HAULS_SHOWN: Final = 5
DRAWERS: Final[dict[str, tuple[str, str]]] = {
    "in-hand": ("in hand", mark("In hand")),
    "to-wash": ("to wash", mark("To wash")),
    "ready": ("ready", mark("Ready")),
    "gone": ("gone", mark("Gone")),
}
"""What of the cloth is shown: its word in the address, the shop's word, its name."""


class StripForm(ShopForm):
    """The width of strip that costs are shown for; asked for in the page's address."""

    class Meta(ShopForm.Meta):
        """Asking changes nothing."""

        csrf = False

    strip = LengthField(mark("Width of a strip"), least=pieces.NARROWEST)

    @classmethod
    def asked(cls, usual: Length, **begin: str) -> StripForm:
        """The form as asked in the address, already looked over; what is not asked is as usual."""
        names = ("strip", *begin)
        typed = {name: request.args[name][:120] for name in names if request.args.get(name, "").strip()}
        form = cls(MultiDict({"strip": words_now().typed_length(usual), **begin, **typed}))
        form.validate()
        return form

    def validate(self, extra_validators: Mapping[str, Any] | None = None) -> bool:
        """Whether there can be such a strip."""
        readable = super().validate(extra_validators)
        if self.strip.data is not None and self.strip.data > pieces.WIDEST:
            self.refuse(Problem("length.most", "strip", {"most": pieces.WIDEST}))
            return False
        return readable

    def strip_or(self, usual: Length) -> Length:
        """The strip that was asked for, if there can be such a one."""
        return usual if self.strip.errors else self.strip.data


@dataclass(frozen=True, slots=True)
class Drawer:
    """A choice of what is shown; ``here`` is the value of ``aria-current``, or nothing."""

    name: str
    address: str
    here: str


@page("cloth/cloth.html")
class ClothPage:
    """The cloth.

    Attributes:
        strip: the width of strip that costs are for, in words.
        drawer: which of ``DRAWERS`` is open.
    """

    form: StripForm
    strip: str
    pieces: tuple[PieceShown, ...]
    drawers: tuple[Drawer, ...]
    drawer: str
    find: str
    further: str
    newest: str
    hauls: tuple[HaulRow, ...]


@room.get("")
def show_cloth() -> Response:
    """The cloth, newest first."""
    store, args = store_now(), request.args
    drawer = args.get("show", "") if args.get("show", "") in DRAWERS else "in-hand"
    find, below = args.get("find", "")[:120], args.get("below", "")
    usual = cutting.usual_strip(store, units=words_now().units)
    form = StripForm.asked(usual)
    strip = form.strip_or(usual)
    found = pieces.pieces(
        store,
        shown=DRAWERS[drawer][0],
        words=find,
        strip=strip,
        below=int(below) if below.isascii() and below.isdigit() and len(below) < 19 else None,
    )
    typed = words_now().typed_length(strip) if strip != usual else ""
    kept = {"strip": typed or None, "find": find or None}
    context = ClothPage(
        form=form,
        strip=words_now().length(strip),
        pieces=tuple(piece_shown(card, strip=typed) for card in found.pieces),
        drawers=tuple(_drawer(key, drawer, kept) for key in DRAWERS),
        drawer=drawer,
        find=find,
        further=_address(drawer, {**kept, "below": str(found.further)}) if found.further else "",
        newest=_address(drawer, kept) if below else "",
        hauls=tuple(haul_row(line) for line in haul_list.hauls(store, limit=HAULS_SHOWN).hauls),
    )
    return show(context, status=422 if form.errors else 200)


def _drawer(key: str, here: str, kept: dict[str, str | None]) -> Drawer:
    return Drawer(words_now().say(DRAWERS[key][1]), _address(key, kept), "page" if key == here else "")


def _address(drawer: str, kept: dict[str, str | None]) -> str:
    return url_for("cloth.show_cloth", show=drawer if drawer != "in-hand" else None, **kept)
