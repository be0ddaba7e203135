"""The job card on paper: what to cut, how to warp, how many rows of what, each with a box to tick."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Final

from shop.paper.drawing import RugDrawing, colour, drawing_texts
from shop.paper.letterhead import ShopHead, missing_note, sheet_texts
from shop.paper.press import Texts, printed
from shop.words import Words

MOST_BOXES: Final = 120
"""Strips of one piece that each have a box; beyond, a line to count on."""
MOST_BANDS: Final = 400
MOST_ROW_BOXES: Final = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class CardCut:
    """Strips of a piece to cut.

    Attributes:
        piece: what it is called, with its number; ``kept`` where it lies.
        how: how many, how wide and how long.
        band: the cloth of the rug that they are for.
        strips: how many boxes; ``cut`` of them are ticked already.
    """

    piece: str
    colour: str
    kept: str
    how: str
    band: str
    strips: int
    cut: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CardBand:
    """A band of rows.

    Attributes:
        cloth: what it is woven of, with its ``colours``.
        rows: of it; ``until`` rows of the rug once it is woven; ``done`` of its rows are woven.
        panel: the name of the panel that begins with it; else empty.
        ends: it is the last of its panel.
    """

    cloth: str
    colours: tuple[str, ...]
    rows: int
    until: int
    done: int
    panel: str
    ends: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """All that a job card says.

    Attributes:
        number: of the job; ``name`` what its rug is called; ``note`` of the job.
        day: the date on it.
        shop: whose it is.
        rug: its drawing; ``None`` where nobody knows the rug.
        warp: (what, how much).
        cuts: the cut list.
        bands: the rows.
        cautions: what to be careful of.
    """

    number: int
    name: str
    note: str
    day: date
    shop: ShopHead
    rug: RugDrawing | None
    warp: tuple[tuple[str, str], ...]
    cuts: tuple[CardCut, ...]
    bands: tuple[CardBand, ...]
    cautions: tuple[str, ...]


def job_card_pdf(card: Card, words: Words) -> bytes:
    """The card as a PDF, over as many pages as it takes."""
    return printed("job_card", job_card_texts(card, words), day=card.day, note=missing_note(words))


def job_card_texts(card: Card, words: Words) -> Texts:
    """Everything that stands on the card, as finished text."""
    say = words.say
    title = say("Job card %(number)s", number=str(card.number))
    if card.name:
        title = say("Job card %(number)s: %(name)s", number=str(card.number), name=card.name)
    return {
        **sheet_texts(card.shop, words, title=title, foot=title),
        "heading": say("Job card %(number)s", number=str(card.number)),
        "name": card.name,
        "job_note": card.note,
        "date": words.date(card.day),
        "rug": drawing_texts(card.rug, words) if card.rug else None,
        "warp_heading": say("Warp"),
        "warp": [{"what": what, "much": much} for what, much in card.warp],
        "cut_heading": say("Cut"),
        "no_cuts": "" if card.cuts else say("No cutting plan is held for this job yet."),
        "cuts": [_cut(one, words) for one in card.cuts],
        "rows_heading": say("Weave"),
        "columns": [say("Cloth"), say("Rows"), say("Row then"), say("Tick every tenth row, and the end")],
        "bands": [_band(one, words) for one in card.bands[:MOST_BANDS]],
        "more_bands": words.say_n("And %(n)s more band.", "And %(n)s more bands.", len(card.bands) - MOST_BANDS)
        if len(card.bands) > MOST_BANDS
        else "",
        "cautions_heading": say("Please mind"),
        "cautions": list(card.cautions),
    }


def _cut(one: CardCut, words: Words) -> Texts:
    kept = words.say("Kept: %(where)s", where=one.kept) if one.kept else ""
    return {
        "piece": one.piece,
        "colour": colour(one.colour),
        "facts": " · ".join(part for part in (words.say("for %(cloth)s", cloth=one.band) if one.band else "", kept) if part),
        "how": one.how,
        "boxes": min(one.strips, MOST_BOXES),
        "ticked": min(one.cut, MOST_BOXES),
        "more": words.say("and more, to %(n)s", n=words.number(one.strips)) if one.strips > MOST_BOXES else "",
    }


def _band(one: CardBand, words: Words) -> Texts:
    return {
        "cloth": one.cloth,
        "colours": [colour(text) for text in one.colours],
        "rows": words.number(one.rows),
        "until": words.number(one.until),
        "panel": one.panel,
        "boxes": min(MOST_ROW_BOXES, one.rows // 10 + 1),
        "ticked": min(MOST_ROW_BOXES, one.rows // 10 + 1) if one.done == one.rows else one.done // 10,
        "ends": one.ends,
    }
