"""A label for a rug: its stripes to scale, its name, its size, what it is woven of, and how to care for it."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date

from shop.paper.advice import care_lines
from shop.paper.drawing import RugDrawing, drawing_texts
from shop.paper.letterhead import ShopHead, missing_note, sheet_texts
from shop.paper.press import Texts, printed
from shop.words import Words


@dataclass(frozen=True, slots=True, kw_only=True)
class RugLabel:
    """All that a rug's label says.

    Attributes:
        number: of its job.
        name: what it is called.
        day: the date on it.
        shop: whose it is.
        rug: its drawing.
        size: in words; as measured where it was.
        weight: in words; empty until it was weighed.
        cloths: it is woven of, by name.
        fibres: that are known to be in it, for the care.
        content: its fibre content in words, by weight; empty while nobody knows what went in.
    """

    number: int
    name: str
    day: date
    shop: ShopHead
    rug: RugDrawing
    size: str
    cloths: tuple[str, ...]
    weight: str = ""
    fibres: Collection[str | None] = ()
    content: str = ""


def rug_label_pdf(label: RugLabel, words: Words) -> bytes:
    """The label as a PDF of its own size, 105 by 74 mm: a quarter of a sheet of A5."""
    return printed("rug_label", rug_label_texts(label, words), day=label.day, note=missing_note(words))


def rug_label_texts(label: RugLabel, words: Words) -> Texts:
    """Everything that stands on the label, as finished text."""
    say = words.say
    title = say("Label of rug %(number)s: %(name)s", number=str(label.number), name=label.name)
    return {
        **sheet_texts(label.shop, words, title=title, foot=""),
        "name": label.name,
        "size": say("%(size)s, %(weight)s", size=label.size, weight=label.weight) if label.weight else label.size,
        "number": say("No. %(number)s", number=str(label.number)),
        "woven_of": say("Woven by hand of thrifted cloth: %(cloths)s.", cloths=words.all_of(label.cloths)),
        "content": label.content,
        "local": say("Content is reckoned by weight from the cloth used. Rules depend on where you sell; check them locally.")
        if label.content
        else "",
        "care": " ".join(care_lines(words, label.fibres)[1:3]),
        "mat": say("On a hard floor lay it on a non-slip mat."),
        "rug": drawing_texts(label.rug, words),
    }
