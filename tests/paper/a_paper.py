"""Papers to test with: an invented shop's quote and cost sheet, and what a reader finds in a PDF."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from io import BytesIO

from pypdf import PdfReader

from shop.core.loom import Size
from shop.core.measure import Length
from shop.core.money import Money
from shop.core.spread import Basis
from shop.paper.cost_sheet import CostSheet, SheetLine, SheetSection
from shop.paper.drawing import Band, Ends, RugDrawing
from shop.paper.letterhead import ShopHead
from shop.paper.quote import CustomerQuote, Material, PriceLine, TaxLine
from shop.words import Words

US = Words("en_US", "imperial", "America/New_York", "USD")
SWEDEN = Words("sv_SE", "metric", "Europe/Stockholm", "SEK")


def a_shop(**given) -> ShopHead:
    usual = {
        "name": "Blue Door Rag Rugs",
        "address": ("14 Mill Lane", "Harrow Falls"),
        "contact": ("hello@bluedoor.example",),
        "colours": ("#2b3f6b", "#e6dac2", "#9a3324"),
    }
    return ShopHead(**(usual | given))


def a_rug(**given) -> RugDrawing:
    usual = {
        "size": Size(Length.of(30, "in"), Length.of(48, "in")),
        "bands": (Band("#34466f", 0.3, "Navy denim"), Band("#e8e0d0", 0.4, "Sheeting"), Band("#34466f", 0.3)),
        "ends": Ends.FRINGE,
        "across": 379,
        "rows": 110,
    }
    return RugDrawing(**(usual | given))


def a_quote(**given) -> CustomerQuote:
    usual = {
        "number": "Q-14",
        "day": date(2026, 11, 25),
        "holds_until": date(2026, 12, 25),
        "shop": a_shop(),
        "customer": "Miriam Oakes",
        "title": "Hall rug in blues",
        "wording": "Thank you for asking.\n\nThe denim is kept back for you.",
        "rug": a_rug(),
        "weave": "Rag weft on a cotton warp",
        "materials": (Material("Navy denim", "cotton", "#34466f"), Material("Sheeting", None, "#e8e0d0")),
        "each": Money(18500, "USD"),
        "price": Money(18500, "USD"),
        "lines": (PriceLine("Postage", Money(1450, "USD")),),
        "tax": TaxLine("Sales tax", Decimal("0.07"), Money(1397, "USD"), contained=False),
        "total": Money(21347, "USD"),
        "deposit": Money(10674, "USD"),
        "balance": Money(10673, "USD"),
    }
    return CustomerQuote(**(usual | given))


def a_line(name="Rows", **given) -> SheetLine:
    usual = {
        "value": "262",
        "between": "207 to 331",
        "formula": "50.5 in ÷ 0.193 in",
        "basis": Basis.GUESS,
    }
    return SheetLine(name=name, **(usual | given))


def a_cost_sheet(**given) -> CostSheet:
    total = SheetLine(name="What it costs", value="$211.21", between="$186.10 to $240.00", is_total=True)
    usual = {
        "number": "Q-14",
        "day": date(2026, 11, 25),
        "shop": a_shop(),
        "title": "Hall rug in blues",
        "facts": (("Loom", "Floor loom, 36 in"),),
        "sections": (
            SheetSection("Weft", (a_line(), a_line("Take-up", value="1.12", basis=Basis.MEASURED))),
            SheetSection("Cost", (a_line("Warp yarn", value="$8.41", basis=Basis.SETTING), total)),
        ),
        "notes": ("Close the blade of the rotary cutter.",),
    }
    return CostSheet(**(usual | given))


def opened(pdf: bytes) -> PdfReader:
    return PdfReader(BytesIO(pdf))


def text_of(pdf: bytes) -> str:
    """All its text, in one line, words broken at a line's end or anywhere else joined as they were."""
    pages = "\n".join(page.extract_text() for page in opened(pdf).pages)
    return " ".join(pages.replace("\u200b", "").replace("\u00a0", " ").split())


def tags_of(pdf: bytes) -> list[tuple[str, str]]:
    """Every tag in reading order, with its alternative text."""
    found: list[tuple[str, str]] = []

    def walk(node) -> None:
        node = node.get_object() if hasattr(node, "get_object") else node
        if isinstance(node, list):
            for child in node:
                walk(child)
        elif isinstance(node, dict) and "/S" in node:
            found.append((str(node["/S"]).lstrip("/"), str(node.get("/Alt", ""))))
            if "/K" in node:
                walk(node["/K"])

    walk(opened(pdf).trailer["/Root"]["/StructTreeRoot"]["/K"])
    return found
