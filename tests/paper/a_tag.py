"""Tags and lists of rugs to test with, and the sheets as a printer lays them down."""

import io
import json
from datetime import date

from PIL import Image

from shop import places
from shop.paper.price_list import ListedRug
from shop.paper.tag import RugTag, tag_texts, tags_pdf
from tests.paper.a_label import on_screen, printable
from tests.paper.a_paper import US, a_shop

DAY = date(2026, 11, 25)
BASE = "http://192.168.1.20:8000"
STRIPES = (("#2f4470", 0.2), ("#efe6d2", 0.6), ("#9c3b2e", 0.2))


def a_tag(number=42, **given):
    usual = {
        "number": number,
        "name": "Farmhouse runner",
        "price": "$475.00",
        "size": "2 ft 2 in × 8 ft",
        "content": "80% cotton, 20% unknown fibres",
        "care": "Wash cold and mild, by itself. Do not wring; dry flat.",
        "stripes": STRIPES,
        "long": 96 / 26,
        "address": f"{BASE}/rug/{number}",
    }
    return RugTag(**(usual | given))


def some_tags(count, **given):
    return [a_tag(number, **given) for number in range(1, count + 1)]


def a_listed_rug(number=42, **given):
    usual = {
        "number": number,
        "name": "Farmhouse runner",
        "size": "2 ft 2 in × 8 ft",
        "content": "80% cotton, 20% unknown fibres",
        "price": "$475.00",
        "weight": "6.9 lb",
        "stripes": STRIPES,
    }
    return ListedRug(**(usual | given))


def printed_tags(tags, size, **given):
    return tags_pdf(tags, size, **{"shop": a_shop(), "day": DAY, "words": US, **given})


def pictures(tags, size, *, ppi=200, **given):
    """The sheets as a printer lays them down, in grey: the same texts on the same source."""
    texts = printable(tag_texts(tags, size, **{"shop": a_shop(), "words": US, **given}))
    made = on_screen().compile(
        (places.templates() / "papers" / "tags.typ").read_bytes(),
        format="png",
        ppi=ppi,
        sys_inputs={"data": json.dumps({**texts, "note": ""})},
    )
    pages = made if isinstance(made, list) else [made]
    return [Image.open(io.BytesIO(page)).convert("L") for page in pages]
