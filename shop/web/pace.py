"""Minutes: how fast the shop works, step by step, on each kind of loom that it has."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Final

from flask import Blueprint, Response, redirect, request, url_for
from flask_login import current_user

from shop.core.errors import Refusal
from shop.core.spread import Basis
from shop.usecases import loom as looms
from shop.usecases import pace as paces_room
from shop.usecases.loom import LoomCard
from shop.usecases.pace import LOOM_KINDS, SLOWEST, PaceGiven, PaceLine, paces_on
from shop.usecases.rates_sample import pace_sample
from shop.web.fields import CheckField, NumberField, RevisionField, SavingField
from shop.web.forms import ShopForm
from shop.web.loom_card import KINDS
from shop.web.pages import page, show
from shop.web.shell import moment, store_now, tell, words_now
from shop.words import Words, mark

room = Blueprint("pace", __name__, url_prefix="/rates/minutes")

ANY: Final = "any"
NAMES: Final[dict[str, str]] = {
    "wash_per_kg": mark("Wash and sort"),
    "cut_tear_per_m": mark("Tear strips"),
    "cut_rotary_per_m": mark("Cut strips, rotary cutter"),
    "cut_scissors_per_m": mark("Cut strips, scissors"),
    "warp_set_up": mark("Set up for a warp"),
    "warp_per_pass": mark("Warp, a strip up or down"),
    "warp_per_end": mark("Warp, an end of yarn"),
    "weave_per_row": mark("Weave, a row however wide"),
    "weave_per_row_m": mark("Weave, more for the width"),
    "band_change": mark("Change to another cloth"),
    "finish_set_up": mark("Set up for finishing"),
    "finish_per_edge": mark("Finish an end of the rug"),
    "seam_per_m": mark("Sew a seam"),
    "office": mark("Office: quote, photographs, packing"),
}
ELSEWHERE: Final = {"frame": ("warp_per_end",), "shaft": ("warp_per_pass",), "plank": ("warp_per_pass",)}
"""Paces of other kinds of loom: a frame has no ends of yarn, the others no passes of strip."""
PLACES, TYPED_PLACES = 9, 3
"""Decimals that a pace is kept with, and those that anybody types."""


@dataclass(frozen=True, slots=True)
class Unit:
    """What minutes are counted for: its name, and how many of the unit that is kept make one of it."""

    name: str
    times: Decimal = Decimal(1)


def unit_of(key: str, words: Words) -> Unit:
    """The unit of a pace, as the shop measures."""
    imperial = words.units == "imperial"
    if key.endswith("_per_kg"):
        return Unit(words.say("min a pound"), Decimal("0.45359237")) if imperial else Unit(words.say("min a kilogram"))
    if key == "weave_per_row_m":
        return Unit(words.say("min a yard of row"), Decimal("0.9144")) if imperial else Unit(words.say("min a metre of row"))
    if key.endswith("_per_m"):
        return Unit(words.say("min a yard"), Decimal("0.9144")) if imperial else Unit(words.say("min a metre"))
    return Unit(words.say("min"))


class PaceForm(ShopForm):
    """The token, and which sheet was shown; each pace adds its two fields by name."""

    saving = SavingField()
    revision = RevisionField(default=0)


def _minutes(line: PaceLine) -> str:
    return f"minutes-{line.loom_kind}-{line.key}"


def _timed(line: PaceLine) -> str:
    return f"timed-{line.loom_kind}-{line.key}"


def form_for(lines: tuple[PaceLine, ...]) -> type[PaceForm]:
    """The form with the fields of these paces."""
    fields: dict[str, Any] = {}
    for line in lines:
        where = f"pace.{line.loom_kind}.{line.key}"
        fields[_minutes(line)] = NumberField(NAMES[line.key], needed=False, most=SLOWEST, where=where)
        fields[_timed(line)] = CheckField(mark("Timed with a clock"), where=f"{where}.timed")
    return type("PaceForm", (PaceForm,), fields)


@dataclass(frozen=True, slots=True)
class PaceRow:
    """A pace on the page: its two fields, its unit, who set it and when (nothing for a guess)."""

    minutes: NumberField
    timed: CheckField
    unit: str
    who: str


@dataclass(frozen=True, slots=True)
class PaceGroup:
    """The paces of a kind of loom, or those that are the same on all; and what they come to."""

    key: str
    name: str
    rows: tuple[PaceRow, ...]
    comes_to: tuple[str, ...]


@page("rates/pace.html")
class PacePage:
    """The shop's paces."""

    form: PaceForm
    groups: tuple[PaceGroup, ...]
    no_loom: bool


@dataclass(frozen=True, slots=True)
class _Shop:
    """What the page is made from."""

    lines: tuple[PaceLine, ...]
    shown: tuple[PaceLine, ...]
    cards: tuple[LoomCard, ...]
    revision: int


def _read() -> _Shop:
    store = store_now()
    sheet, cards = paces_room.sheet(store), looms.looms(store)
    lines = sheet.lines
    kinds = {card.loom.kind for card in cards} | {line.loom_kind for line in lines if line.basis is not Basis.GUESS}
    kinds = (kinds or set(LOOM_KINDS)) | {ANY}
    shown = (
        line for line in lines if line.loom_kind in kinds and line.key not in ELSEWHERE.get(line.loom_kind, ())
    )
    return _Shop(lines, tuple(shown), cards, sheet.revision)


@room.get("/")
def show_paces() -> Response:
    """The page."""
    return _filled(_read())


def _filled(shop: _Shop) -> Response:
    words, form = words_now(), form_for(shop.shown)(formdata=None)
    form.revision.data = shop.revision
    for line in shop.shown:
        if line.basis is not Basis.GUESS:
            form[_minutes(line)].data = _shown(line.minutes, unit_of(line.key, words))
        form[_timed(line)].data = line.basis is Basis.MEASURED
    return _page(form, shop)


def _shown(minutes: Decimal, unit: Unit) -> Decimal:
    """Minutes for the unit that the shop counts in: as they were typed, or to two figures where they were turned."""
    exactly = round(minutes * unit.times, 6)
    if exactly == round(exactly, TYPED_PLACES):
        return exactly.normalize() + 0
    return round(exactly, max(2, 1 - exactly.adjusted())).normalize() + 0


@room.post("/")
def take_paces() -> Response:
    """Set the paces; an empty one goes back to its starting guess."""
    shop, words = _read(), words_now()
    form = form_for(shop.shown)()
    if not form.validate():
        return _page(form, shop, status=422)
    try:
        given = tuple(_given(line, form, words) for line in shop.shown if _minutes(line) in request.form)
        paces_room.change(
            store_now(),
            paces=given,
            revision=form.revision.data or 0,
            by=current_user.name,
            saving=form.saving.data,
            now=moment(),
        )
    except Refusal as refusal:
        form.refuse(refusal)
        return _page(form, shop, status=422)
    tell(mark("Saved."))
    return redirect(url_for("pace.show_paces"), 303)  # type: ignore[return-value]


def _given(line: PaceLine, form: PaceForm, words: Words) -> PaceGiven:
    minutes, unit = form[_minutes(line)].data, unit_of(line.key, words)
    if minutes is not None:
        same = line.basis is not Basis.GUESS and minutes == _shown(line.minutes, unit)
        minutes = line.minutes if same else round(Decimal(minutes) / unit.times, PLACES)
    return PaceGiven(
        loom_kind=line.loom_kind, key=line.key, minutes=minutes, measured=bool(form[_timed(line)].data)
    )


def _page(form: PaceForm, shop: _Shop, *, status: int = 200) -> Response:
    words, groups = words_now(), []
    for kind in (*LOOM_KINDS, ANY):
        lines = [line for line in shop.shown if line.loom_kind == kind]
        if lines:
            name = words.say(KINDS[kind]) if kind != ANY else words.say("On every loom")
            rows = tuple(_row(line, form, words) for line in lines)
            groups.append(PaceGroup(kind, name, rows, _comes_to(kind, shop, words)))
    return show(PacePage(form=form, groups=tuple(groups), no_loom=not shop.cards), status=status)


def _row(line: PaceLine, form: PaceForm, words: Words) -> PaceRow:
    field, unit = form[_minutes(line)], unit_of(line.key, words)
    field.guess = words.number(_shown(line.guess, unit), 2, trimmed=True)
    field.basis = line.basis.value if line.basis is not Basis.GUESS else ""
    who = ""
    if line.set_at is not None:
        who = words.say("%(name)s, %(day)s", name=line.set_by, day=words.date(words.today(line.set_at), "medium"))
    return PaceRow(field, form[_timed(line)], unit.name, who)


def _comes_to(kind: str, shop: _Shop, words: Words) -> tuple[str, ...]:
    """What the paces kept come to on each loom of this kind."""
    told = []
    for card in shop.cards:
        if card.loom.kind != kind:
            continue
        try:
            sample = pace_sample(paces_on(shop.lines, kind), card.loom, units=words.units)
        except Refusal:
            continue
        values = {"name": card.loom.name, "width": words.length(sample.width, as_size=True), "warp": words.duration(sample.warp)}
        if sample.rows is None:
            told.append(words.say("%(name)s, a rug %(width)s wide: %(warp)s to warp.", **values))
        else:
            rows = words.number(sample.rows, 0)
            told.append(
                words.say("%(name)s, a rug %(width)s wide: %(warp)s to warp, %(rows)s rows an hour.", rows=rows, **values)
            )
    return tuple(told)
