"""Cloth: the shelf as swatches in the order of their colours, each with what it cost by every measure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from flask import Blueprint, Response, request, url_for
from werkzeug.datastructures import MultiDict

from shop.core.errors import Problem, Refusal
from shop.core.loom import Size
from shop.core.measure import Length
from shop.usecases import cutting, haul_list, shelf
from shop.usecases import piece as pieces
from shop.usecases.shelf import Asked
from shop.web.cloth_shown import COLOUR_WORDS, FIBRES, PieceShown, piece_shown
from shop.web.fields import ChoiceField, LengthField
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
FILTERS: Final = ("colour", "fibre", "tears", "stuff", "order", "wide", "long")
"""The entries of the form that choose among the cloth, by their names in the address."""


class StripForm(ShopForm):
    """The width of strip that costs are shown for; asked for in the page's address."""

    class Meta(ShopForm.Meta):
        """Asking changes nothing."""

        csrf = False

    strip = LengthField(mark("Width of a strip"), least=pieces.NARROWEST)

    @classmethod
    def asked(cls, usual: Length, **begin: str) -> Any:
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


class ShelfForm(StripForm):
    """What is looked for on the shelf."""

    colour = ChoiceField(
        mark("Near"), choices=tuple(COLOUR_WORDS.items()), blank=mark("Any colour"), needed=False
    )
    fibre = ChoiceField(
        mark("Mostly"),
        choices=(*FIBRES.items(), ("unknown", mark("Unknown"))),
        blank=mark("Any fibre"),
        needed=False,
    )
    tears = ChoiceField(
        mark("Tear test"),
        choices=(("yes", mark("Tears straight")), ("no", mark("Does not tear")), ("untried", mark("Not tried"))),
        blank=mark("Either way"),
        needed=False,
    )
    stuff = ChoiceField(
        mark("Cloth or yarn"),
        choices=(("cloth", mark("Cloth")), ("yarn", mark("Warp yarn"))),
        blank=mark("Both"),
        needed=False,
    )
    order = ChoiceField(
        mark("In the order"),
        choices=(("colour", mark("of colours")), ("newest", mark("of coming home, newest first"))),
    )
    wide = LengthField(mark("For a rug of width"), needed=False, where="size")
    long = LengthField(mark("and length"), needed=False)


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
        filtered: something is chosen among the cloth; ``plain`` is the address without.
        enough: what a rug of the asked size takes, in words.
    """

    form: ShelfForm
    strip: str
    pieces: tuple[PieceShown, ...]
    drawers: tuple[Drawer, ...]
    drawer: str
    find: str
    filtered: bool
    plain: str
    enough: str
    further: str
    newest: str
    hauls: tuple[HaulRow, ...]


@room.get("")
def show_cloth() -> Response:
    """The cloth, by colour."""
    store, args = store_now(), request.args
    drawer = args.get("show", "") if args.get("show", "") in DRAWERS else "in-hand"
    find, after = args.get("find", "")[:120], args.get("after", "")[:40]
    usual = cutting.usual_strip(store, units=words_now().units)
    form: ShelfForm = ShelfForm.asked(usual, **{**dict.fromkeys(FILTERS, ""), "order": "colour"})
    strip = form.strip_or(usual)
    asked = _asked(form, DRAWERS[drawer][0], find)
    try:
        found = shelf.look(store, asked=asked, strip=strip, after=after)
    except Refusal as refusal:
        form.refuse(refusal)
        found = shelf.look(store, asked=Asked(state=asked.state, words=find), strip=strip)
    typed = words_now().typed_length(strip) if strip != usual else ""
    chosen = {name: args[name][:120] for name in FILTERS if args.get(name, "").strip()}
    if chosen.get("order") == "colour":
        del chosen["order"]
    kept = {"strip": typed or None, "find": find or None, **chosen}
    context = ClothPage(
        form=form,
        strip=words_now().length(strip),
        pieces=tuple(piece_shown(card, strip=typed) for card in found.pieces),
        drawers=tuple(_drawer(key, drawer, kept) for key in DRAWERS),
        drawer=drawer,
        find=find,
        filtered=bool(chosen),
        plain=_address(drawer, {"strip": typed or None, "find": find or None}),
        enough=_enough(found),
        further=_address(drawer, {**kept, "after": found.further}) if found.further else "",
        newest=_address(drawer, kept) if after else "",
        hauls=tuple(haul_row(line) for line in haul_list.hauls(store, limit=HAULS_SHOWN).hauls),
    )
    return show(context, status=422 if form.errors else 200)


def _asked(form: ShelfForm, state: str, find: str) -> Asked:
    """What is asked; an entry that cannot be read asks nothing."""
    size = None
    wide, long = form.wide, form.long
    if isinstance(wide.data, Length) and isinstance(long.data, Length) and not wide.errors and not long.errors:
        size = Size(wide.data, long.data)
    elif bool(wide.data) != bool(long.data) and not wide.errors and not long.errors:
        form.refuse(Problem("length.missing", "long" if wide.data else "size"))

    def word(field: Any) -> str:
        return "" if field.errors else str(field.data or "")

    return Asked(
        state=state,
        order=word(form.order) or "colour",
        words=find,
        colour=word(form.colour),
        fibre=word(form.fibre),
        tears=word(form.tears),
        stuff=word(form.stuff),
        size=size,
    )


def _enough(found: shelf.ShelfPage) -> str:
    if found.needed_m2 is None:
        return ""
    return words_now().area(found.needed_m2)


def _drawer(key: str, here: str, kept: Mapping[str, str | None]) -> Drawer:
    return Drawer(words_now().say(DRAWERS[key][1]), _address(key, kept), "page" if key == here else "")


def _address(drawer: str, kept: Mapping[str, str | None]) -> str:
    return url_for("cloth.show_cloth", show=drawer if drawer != "in-hand" else None, **kept)
