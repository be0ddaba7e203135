"""Labels to test with, and what a camera would read off the printed sheet."""

import io
import json
from datetime import date
from functools import cache

import typst
import zxingcpp
from PIL import Image

from shop import places
from shop.paper.labels import PieceLabel, label_texts, labels_pdf
from shop.paper.press import boxed_text, clean
from tests.paper.a_paper import US, a_shop

DAY = date(2026, 11, 25)
BASE = "http://192.168.1.20:8000"


def a_label(number=42, **given):
    usual = {
        "number": number,
        "name": "Blue striped sheet",
        "facts": ("81 in × 96 in", "Cotton", "Shelf 3, left"),
        "colour": "#5577aa",
        "to_wash": True,
        "address": f"{BASE}/cloth/pieces/{number}/draw",
    }
    return PieceLabel(**(usual | given))


def some_labels(count, **given):
    return [a_label(number, **given) for number in range(1, count + 1)]


def printed_labels(labels, sheet, **given):
    return labels_pdf(labels, sheet, **{"shop": a_shop(), "day": DAY, "words": US, **given})


def pictures(labels, sheet, *, ppi=200, **given):
    """The sheets as a printer lays them down, in grey: the same texts on the same source."""
    texts = printable(label_texts(labels, sheet, **{"shop": a_shop(), "words": US, **given}))
    made = on_screen().compile(
        (places.templates() / "papers" / "labels.typ").read_bytes(),
        format="png",
        ppi=ppi,
        sys_inputs={"data": json.dumps({**texts, "note": ""})},
    )
    pages = made if isinstance(made, list) else [made]
    return [Image.open(io.BytesIO(page)).convert("L") for page in pages]


@cache
def on_screen():
    """A compiler like that of the press, for pictures."""
    fonts = typst.Fonts(include_system_fonts=False, include_embedded_fonts=True)
    return typst.Compiler(root=places.templates() / "papers", font_paths=fonts, ignore_system_fonts=True)


def printable(value):
    """Texts as the press sets them where its letters lack a sign."""
    if isinstance(value, str):
        return boxed_text(clean(value))
    if isinstance(value, dict):
        return {key: printable(inner) for key, inner in value.items()}
    return [printable(inner) for inner in value] if isinstance(value, list | tuple) else value


def codes_read(picture, ppi=200):
    """What each code of a sheet opens, with the millimetres of its middle from the upper left corner."""
    found = {}
    for code in zxingcpp.read_barcodes(picture):
        at = code.position
        corners = (at.top_left, at.top_right, at.bottom_left, at.bottom_right)
        middle = [sum(getattr(corner, way) for corner in corners) / 4 / ppi * 25.4 for way in ("x", "y")]
        found[code.text] = tuple(middle)
    return found
