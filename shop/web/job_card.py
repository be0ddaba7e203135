"""The job card on a phone: strips to tick, the warp, the rows of each band with a place to tick at the loom."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any, Final

from flask import Blueprint, Response, redirect, request, url_for

from shop.core.errors import Problem, Refusal
from shop.core.loom import FrameLoom, PlankLoom
from shop.core.reckoning import Reckoning
from shop.paper.job_card import Card, CardBand, CardCut, job_card_pdf
from shop.paper.rug_label import RugLabel, rug_label_pdf
from shop.usecases import job_card as cards
from shop.usecases import measuring, rug_content
from shop.usecases import shop as shops
from shop.usecases.job_card import CutLine, JobCardSheet, RowsLine
from shop.web.asked import number_of
from shop.web.content_words import content_text
from shop.web.cutting_plan import how_many
from shop.web.fields import NumberField, SavingField
from shop.web.forms import PressForm, ShopForm, pressed
from shop.web.job import JobRow, job_row
from shop.web.pages import page, show
from shop.web.quote_papers import rug_on_paper, shop_head
from shop.web.rug_drawing import Drawing, drawing_of
from shop.web.shell import moment, store_now, tell, words_now
from shop.words import Words, mark
from shop.words.explained import warnings_in_words

room = Blueprint("card", __name__, url_prefix="/jobs")

TICKS: Final = 80
"""Strips of one piece that have a place of their own to tick; beyond, ticks stand for several."""
STEPS: Final = (1, 2, 5)
"""Rows that are marked with one tap."""


class RowsForm(ShopForm):
    """Rows woven, typed."""

    rows = NumberField(mark("I am at row"), whole=True, least=0, most=1_000_000, where="rows")
    saving = SavingField()


class CutForm(ShopForm):
    """Strips cut, typed."""

    strips = NumberField(mark("Strips cut"), whole=True, least=1, most=100_000, where="strips")
    saving = SavingField()


@dataclass(frozen=True, slots=True, kw_only=True)
class CutShown:
    """A piece on the cut list.

    Attributes:
        ticks: (strips up to here, whether they are cut); ``each_tick`` strips that one stands for.
        took: what was drawn, in words, once it is; ``undo`` the movement to undo it by.
    """

    id: int
    name: str
    number: int
    address: str
    colour: str
    band: str
    how: str
    measure: str
    kept: str
    strips: int
    cut: int
    ticks: tuple[tuple[int, bool], ...]
    each_tick: int
    told: str
    drawn: bool
    undo: int | None
    form: CutForm


@dataclass(frozen=True, slots=True, kw_only=True)
class BandShown:
    """A band of rows on the card."""

    name: str
    colour: str
    second: str
    rows: str
    until: str
    panel: str
    done: bool
    here: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class AtTheLoom:
    """Where the weaving is.

    Attributes:
        told: “row 212 of 289”; ``band`` “14 rows of blue left”; ``panel`` which panel, where there are several.
        next_row: the cloth of the next row, where two take turns.
        next_band: what comes after, in words.
        steps: (rows then, words) of each button that goes on.
        back: rows after one is taken back; ``None`` at the beginning.
        end: rows at the end of this band.
    """

    told: str
    band: str
    panel: str
    colour: str
    second: str
    next_row: str
    next_band: str
    share: str
    steps: tuple[tuple[int, str], ...]
    back: int | None
    end: int | None
    finished: bool


@page("card/card.html")
class CardPage:
    """The card of a job."""

    job: JobRow
    known: bool
    cuts: tuple[CutShown, ...]
    all_cut: bool
    warp: tuple[tuple[str, str], ...]
    yarn: bool
    drawing: Drawing | None
    at: AtTheLoom | None
    bands: tuple[BandShown, ...]
    form: RowsForm
    act: PressForm
    cautions: tuple[str, ...]
    is_open: bool


@room.get("/<int:number>/card")
def show_card(number: int) -> Response:
    """The card."""
    return _page(cards.card(store_now(), number=number), RowsForm(formdata=None))


def _page(sheet: JobCardSheet, form: RowsForm, *, wrong: tuple[int, CutForm] | None = None, status: int = 200) -> Response:
    words = words_now()
    rug = sheet.rug
    if rug is not None and form.rows.raw_data is None and form.rows.data is None:
        form.rows.data = sheet.woven
    context = CardPage(
        job=job_row(sheet.line),
        known=rug is not None,
        cuts=tuple(_cut(one, words, wrong) for one in sheet.cuts),
        all_cut=bool(sheet.cuts) and all(one.drawn for one in sheet.cuts),
        warp=warp_in_words(rug.reckoning, words) if rug else (),
        yarn=rug is not None and rug.reckoning.plan.yarn is not None,
        drawing=drawing_of(rug.reckoning, words) if rug else None,
        at=_at(sheet, words) if rug else None,
        bands=_bands(sheet, words) if rug else (),
        form=form,
        act=PressForm(formdata=None),
        cautions=cautions_of(rug.reckoning, words) if rug else (),
        is_open=sheet.line.is_open,
    )
    return show(context, status=status)


def _cut(one: CutLine, words: Words, wrong: tuple[int, CutForm] | None) -> CutShown:
    form = wrong[1] if wrong and wrong[0] == one.id else CutForm(formdata=None, prefix=_prefix(one.id))
    if form.strips.data is None and not form.strips.errors:
        form.strips.data = one.cut or one.strips
    step = max(1, -(-one.strips // TICKS))
    marks = [*range(step, one.strips, step), one.strips]
    torn = words.say("to tear") if one.torn else words.say("to cut")
    return CutShown(
        id=one.id,
        name=one.piece.name,
        number=one.piece.number,
        address=url_for("piece.show_piece", number=one.piece.number),
        colour=one.piece.colour,
        band=one.band_name,
        how=how_many(one.strips, one.way, words),
        measure=words.say("%(strip)s wide, each %(each)s long, %(torn)s", strip=one.strip, each=one.each, torn=torn),
        kept=one.piece.kept,
        strips=one.strips,
        cut=one.cut,
        ticks=tuple((upto, upto <= one.cut) for upto in marks),
        each_tick=step,
        told=words.say("%(cut)s of %(strips)s cut", cut=words.number(one.cut), strips=words.number(one.strips)),
        drawn=one.drawn,
        undo=one.step,
        form=form,
    )


def warp_in_words(reckoning: Reckoning, words: Words) -> tuple[tuple[str, str], ...]:
    """The warp as (what, how much), in the order in which it is made."""
    plan, made, warp, say = reckoning.plan, reckoning.made, reckoning.warp, words.say
    found: list[tuple[str, str]] = [(say("Loom"), plan.loom.name or say("no loom entered yet"))]
    if made.panels > 1:
        found.append((say("Panels"), say("%(n)s, each %(width)s wide", n=str(made.panels), width=made.panel_width)))
    if isinstance(plan.loom, FrameLoom):
        cloths = words.all_of([use.cloth.name or say("cloth still to be bought") for use in reckoning.cloths])
        found += [
            (say("Pegs"), say("%(n)s at each end", n=str(made.pegs))),
            (say("Passes"), str(warp.passes)),
            (say("Warp strip"), say("%(length)s, in one continuous strip", length=words.strip_length(warp.one.metres))),
            (say("Warp cloth"), cloths),
        ]
        return tuple(found)
    if plan.yarn is not None:
        found.append((say("Yarn"), plan.yarn.text))
    found.append((say("Ends"), str(warp.ends)))
    if isinstance(plan.loom, PlankLoom):
        found.append((say("Pegs"), say("%(n)s, a doubled warp on each", n=str(made.pegs))))
    else:
        found.append((say("Width in the reed"), words.length(warp.reed_width)))
    found += [
        (say("Each end"), words.length(warp.one)),
        (say("Yarn in all"), words.strip_length(warp.length_m)),
        (say("Woven length"), say("%(length)s under tension", length=warp.woven)),
    ]
    if warp.pieces > 1:
        found.append((say("On this warp"), words.say_n("%(n)s rug or panel", "%(n)s rugs or panels", warp.pieces)))
    return tuple(found)


def cloth_names(line: RowsLine, reckoning: Reckoning, words: Words) -> str:
    """The cloth of a band; of two that take turns, both."""
    names = [use.cloth.name or words.say("cloth still to be bought") for use in reckoning.cloths]
    if line.band.second is None:
        return names[line.band.cloth]
    return words.say("%(first)s and %(second)s, row by row", first=names[line.band.cloth], second=names[line.band.second])


def _bands(sheet: JobCardSheet, words: Words) -> tuple[BandShown, ...]:
    if sheet.rug is None:
        return ()
    reckoning = sheet.rug.reckoning
    colours = [use.cloth.colour for use in reckoning.cloths]
    in_panel, now = len(reckoning.bands), sheet.now
    return tuple(
        BandShown(
            name=cloth_names(line, reckoning, words),
            colour=colours[line.band.cloth],
            second=colours[line.band.second] if line.band.second is not None else "",
            rows=words.number(line.band.rows),
            until=words.number(line.until),
            panel=words.say("Panel %(n)s", n=str(at // in_panel + 1)) if reckoning.made.panels > 1 and at % in_panel == 0 else "",
            done=line.done == line.band.rows,
            here=line is now,
        )
        for at, line in enumerate(sheet.rows)
    )


def _at(sheet: JobCardSheet, words: Words) -> AtTheLoom:
    if sheet.rug is None:
        raise TypeError("A job without a rug has no place at the loom.")
    reckoning, now = sheet.rug.reckoning, sheet.now
    colours = [use.cloth.colour for use in reckoning.cloths]
    place = sheet.rows.index(now) if now else len(sheet.rows)
    after = sheet.rows[place + 1] if place + 1 < len(sheet.rows) else None
    left = now.band.rows - now.done if now else 0
    band = ""
    if now:
        band = words.say_n(
            "%(n)s row of %(cloth)s left", "%(n)s rows of %(cloth)s left", left, cloth=cloth_names(now, reckoning, words)
        )
    panels = reckoning.made.panels
    return AtTheLoom(
        told=words.say("Row %(at)s of %(whole)s", at=words.number(sheet.woven), whole=words.number(sheet.whole)),
        band=band,
        panel=words.say("Panel %(n)s of %(panels)s", n=str(min(panels, place // len(reckoning.bands) + 1)), panels=str(panels))
        if panels > 1
        else "",
        colour=colours[now.band.cloth] if now else "",
        second=colours[now.band.second] if now and now.band.second is not None else "",
        next_row=_next_row(now, reckoning, words) if now and now.band.second is not None else "",
        next_band=words.say_n("Then %(n)s row of %(cloth)s", "Then %(n)s rows of %(cloth)s", after.band.rows, cloth=cloth_names(after, reckoning, words))
        if now and after
        else "",
        share=f"{100 * sheet.woven / sheet.whole:.2f}" if sheet.whole else "0",
        steps=tuple(
            (sheet.woven + step, words.say_n("+%(n)s row", "+%(n)s rows", step))
            for step in STEPS
            if sheet.woven + step <= sheet.whole
        ),
        back=sheet.woven - 1 if sheet.woven else None,
        end=now.until if now and left > 1 else None,
        finished=now is None,
    )


def _next_row(now: RowsLine, reckoning: Reckoning, words: Words) -> str:
    """Which of two cloths that take turns comes next."""
    place = now.band.cloth if now.done % 2 == 0 or now.band.second is None else now.band.second
    name = reckoning.cloths[place].cloth.name or words.say("cloth still to be bought")
    return words.say("The next row is %(cloth)s.", cloth=name)


def cautions_of(reckoning: Reckoning, words: Words) -> tuple[str, ...]:
    """What to be careful of, from cutting to finishing, and what the plan itself warns of."""
    say = words.say
    return (
        say("Rotary cutter: close the blade when you put it down, and cut away from the hand."),
        say("Cutting and tearing raise lint: air the room, and wear a mask if it bothers you."),
        say("Change your work every hour, and stop when wrists or back say so."),
        *warnings_in_words(reckoning, words),
    )


@room.post("/<int:number>/card/rows")
def mark_rows(number: int) -> Response:
    """So many rows are woven: as a button says, or as it is typed."""
    form = RowsForm()
    tapped = number_of(request.form.get("row", ""))
    if tapped is not None:
        form.rows.data, form.rows.problems = tapped, []
    if not form.validate():
        return _page(cards.card(store_now(), number=number), form, status=422)
    try:
        cards.mark_rows(store_now(), job=number, rows=form.rows.data, saving=form.saving.data, now=moment())
    except Refusal as refusal:
        if not any(problem.where == "rows" for problem in refusal.problems):
            raise
        form.refuse(refusal)
        return _page(cards.card(store_now(), number=number), form, status=422)
    return redirect(url_for("card.show_card", number=number, _anchor="at"), 303)  # type: ignore[return-value]


def _line_asked() -> int:
    return number_of(request.form.get("cut", "")) or 0


def _prefix(line: int) -> str:
    """What the entries of a line of the cut list are called by, so that no two are called the same."""
    return f"cut{line}-"


@room.post("/<int:number>/card/ticks")
def tick(number: int) -> Response:
    """So many strips of a piece are cut."""
    return _press_on(number, cards.tick, strips=number_of(request.form.get("upto", "")) or 0)


@room.post("/<int:number>/card/given-up")
def give_up(number: int) -> Response:
    """A piece is not cut for it after all."""
    return _press_on(number, cards.give_up, told=mark("What was held of it is free again."))


def _press_on(number: int, act: Callable[..., Any], *, told: str = "", **more: int) -> Response:
    line = _line_asked()
    act(store_now(), job=number, cut=line, saving=pressed(CutForm(prefix=_prefix(line))), now=moment(), **more)
    if told:
        tell(told)
    return redirect(url_for("card.show_card", number=number, _anchor=f"cut-{line}"), 303)  # type: ignore[return-value]


@room.post("/<int:number>/card/drawn")
def draw_cut(number: int) -> Response:
    """The strips that were really cut go into the job."""
    line = _line_asked()
    form = CutForm(prefix=_prefix(line))
    if not form.validate():
        return _page(cards.card(store_now(), number=number), RowsForm(formdata=None), wrong=(line, form), status=422)
    try:
        cards.draw_cut(
            store_now(), job=number, cut=line, strips=form.strips.data, saving=form.saving.data, now=moment()
        )
    except Refusal as refusal:
        if not any(problem.where == "strips" for problem in refusal.problems):
            raise
        form.refuse(refusal)
        return _page(cards.card(store_now(), number=number), RowsForm(formdata=None), wrong=(line, form), status=422)
    tell(mark("Drawn into the job: what was really cut."))
    return redirect(url_for("card.show_card", number=number, _anchor=f"cut-{line}"), 303)  # type: ignore[return-value]


@room.get("/<int:number>/card.pdf")
def print_card(number: int) -> Response:
    """The card on paper."""
    words = words_now()
    sheet = cards.card(store_now(), number=number)
    content = job_card_pdf(_on_paper(sheet, words), words)
    answer = Response(content, mimetype="application/pdf")
    answer.headers["Content-Disposition"] = f'inline; filename="job-{number}.pdf"'
    return answer


def _on_paper(sheet: JobCardSheet, words: Words) -> Card:
    reckoning = sheet.rug.reckoning if sheet.rug else None
    colours = [use.cloth.colour for use in reckoning.cloths] if reckoning else []
    panels = reckoning.made.panels if reckoning else 1
    in_panel = len(reckoning.bands) if reckoning else 1
    return Card(
        number=sheet.line.number,
        name=sheet.line.name,
        note=sheet.note,
        day=words.today(moment()),
        shop=shop_head(shops.current(store_now())),
        rug=rug_on_paper(reckoning, words) if reckoning else None,
        warp=warp_in_words(reckoning, words) if reckoning else (),
        cuts=tuple(
            CardCut(
                piece=words.say("%(name)s, No. %(number)s", name=one.piece.name, number=str(one.piece.number)),
                colour=one.piece.colour,
                kept=one.piece.kept,
                how=f"{how_many(one.strips, one.way, words)}, {words.length(one.strip)} × {words.length(one.each)}",
                band=one.band_name,
                strips=one.strips,
                cut=one.cut,
            )
            for one in sheet.cuts
        ),
        bands=tuple(
            CardBand(
                cloth=cloth_names(line, reckoning, words),
                colours=(colours[line.band.cloth], *([colours[line.band.second]] if line.band.second is not None else [])),
                rows=line.band.rows,
                until=line.until,
                done=line.done,
                panel=words.say("Panel %(n)s", n=str(at // in_panel + 1)) if panels > 1 and at % in_panel == 0 else "",
                ends=line.until % (sheet.whole // panels) == 0,
            )
            for at, line in enumerate(sheet.rows)
        )
        if reckoning
        else (),
        cautions=cautions_of(reckoning, words) if reckoning else (),
    )


@room.get("/<int:number>/label.pdf")
def print_label(number: int) -> Response:
    """A label for the rug."""
    words = words_now()
    sheet = cards.card(store_now(), number=number)
    if sheet.rug is None:
        raise Refusal(Problem("plan.no_rug", values={"number": number}))
    reckoning = sheet.rug.reckoning
    measured = measuring.measured(store_now(), job=number)
    cloths = [use.cloth.name or words.say("thrifted cloth") for use in reckoning.cloths]
    size = measured.size if measured else reckoning.made.size
    label = RugLabel(
        number=number,
        name=sheet.line.name,
        day=words.today(moment()),
        shop=shop_head(shops.current(store_now())),
        rug=replace(rug_on_paper(reckoning, words), size=size),
        size=words.size(size),
        weight=words.weight(measured.weight) if measured and measured.weight else "",
        cloths=tuple(dict.fromkeys(cloths)),
        fibres=tuple(use.cloth.fibre.value for use in reckoning.cloths),
        content=content_text(rug_content.content_of(store_now(), job=number), words),
    )
    answer = Response(rug_label_pdf(label, words), mimetype="application/pdf")
    answer.headers["Content-Disposition"] = f'inline; filename="rug-{number}.pdf"'
    return answer
