"""A saved quote as its two papers: what the customer gets, and what the weaver keeps."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

from shop.core.cloth import Fibre
from shop.core.loom import FrameLoom, ShaftLoom
from shop.core.reckoning import ClothUse, Reckoning
from shop.core.stripes import slices
from shop.paper.cost_sheet import CostSheet, cost_sheet_pdf, sections_of
from shop.paper.drawing import MOST_BANDS, UNDYED, Band, RugDrawing, ends_of
from shop.paper.letterhead import ShopHead
from shop.paper.quote import CustomerQuote, Material, PriceLine, TaxLine, quote_pdf
from shop.usecases.drafting import OpenQuote
from shop.usecases.shop import Shop
from shop.words import Words
from shop.words.explained import sheet_in_words, warnings_in_words


def customer_quote_of(opened: OpenQuote, words: Words) -> bytes:
    """The quote for the customer as a PDF, from the figures that it was saved with."""
    return quote_pdf(customer_quote(opened, words), words)


def customer_quote(
    opened: OpenQuote, words: Words, *, day: date | None = None, holds_until: date | None = None, promised: date | None = None
) -> CustomerQuote:
    """The quote for the customer.

    Args:
        opened: the quote as it was saved.
        words: of the shop.
        day: on the paper; that on which it was saved, unless another is given.
        holds_until: the last day that it holds; by the shop's custom, unless another is given.
        promised: the day by which the rug is to be ready.
    """
    quote, reckoning = opened.quote, opened.reckoning
    room, price = opened.planned.room, reckoning.price
    rule = reckoning.plan.price
    on = day or words.today(quote.updated_at)
    tax = None
    if rule.tax_rate:
        tax = TaxLine(room.pricing.tax_name, rule.tax_rate, price.tax, rule.tax_included)
    return CustomerQuote(
        number=str(quote.number),
        day=on,
        holds_until=holds_until or on + timedelta(days=room.pricing.holds_days),
        promised=promised,
        shop=shop_head(room.shop),
        customer=quote.customer_name,
        title=quote.title,
        rug=rug_on_paper(reckoning, words),
        weave=_weave(reckoning, words),
        materials=_materials(opened, words),
        each=price.asking + price.discount,
        price=price.asking + price.discount,
        lines=(PriceLine(words.say("Discount"), -price.discount),) if price.discount else (),
        tax=tax,
        total=price.total,
        deposit=price.deposit or None,
        balance=price.total - price.deposit if price.deposit else None,
    )


def cost_sheet_of(opened: OpenQuote, words: Words) -> bytes:
    """The cost sheet for the weaver, every figure with its formula."""
    quote, reckoning = opened.quote, opened.reckoning
    facts = [
        (words.say("Size"), words.size(reckoning.made.size)),
        (words.say("Loom"), reckoning.plan.loom.name or words.say("A frame of 25 pegs, to begin with")),
        (words.say("For"), quote.customer_name),
    ]
    return cost_sheet_pdf(
        CostSheet(
            number=str(quote.number),
            day=words.today(quote.updated_at),
            shop=shop_head(opened.planned.room.shop),
            title=quote.title,
            facts=tuple((label, text) for label, text in facts if text),
            sections=sections_of(sheet_in_words(reckoning, words), words),
            notes=warnings_in_words(reckoning, words),
        ),
        words,
    )


def shop_head(shop: Shop) -> ShopHead:
    """The shop as papers name it."""
    contact = tuple(line for line in shop.contact.splitlines() if line.strip())
    return ShopHead(name=shop.name, address=shop.address, contact=contact, colours=shop.mark)


def rug_on_paper(reckoning: Reckoning, words: Words) -> RugDrawing:
    """A reckoned rug as papers draw it."""
    cloths = [use.cloth for use in reckoning.cloths]
    return RugDrawing(
        size=reckoning.made.size,
        bands=tuple(
            Band(cloths[cloth].colour, share, cloths[cloth].name or words.say("thrifted cloth"))
            for cloth, share in slices(reckoning.bands, MOST_BANDS)
        ),
        ends=ends_of(reckoning.plan.loom),
        across=max(1, (reckoning.warp.passes or reckoning.warp.ends // 2) * reckoning.made.panels),
        rows=int(reckoning.rows.middle),
        warp_colour=cloths[0].colour if reckoning.plan.yarn is None else UNDYED,
        panels=reckoning.made.panels,
    )


def _weave(reckoning: Reckoning, words: Words) -> str:
    if reckoning.made.panels > 1:
        return words.say(
            "Woven by hand in %(panels)s panels of rag weft, seamed by hand.", panels=reckoning.made.panels
        )
    if isinstance(reckoning.plan.loom, FrameLoom):
        return words.say("Woven by hand on a peg frame, warp and weft of rag.")
    if isinstance(reckoning.plan.loom, ShaftLoom):
        return words.say("Woven by hand on a shaft loom, rag weft on a yarn warp.")
    return words.say("Woven by hand on pegs, rag weft on a doubled yarn warp.")


def _materials(opened: OpenQuote, words: Words) -> tuple[Material, ...]:
    reckoning = opened.reckoning
    cloths = tuple(
        Material(
            use.cloth.name or words.say("Thrifted cloth"),
            _fibre_of(reckoning, place, use),
            use.cloth.colour,
            _mixture_of(opened, place),
        )
        for place, use in enumerate(reckoning.cloths)
    )
    if reckoning.plan.yarn is None:
        return cloths
    return (*cloths, Material(words.say("Warp yarn %(yarn)s", yarn=reckoning.plan.yarn.text), ""))


def _mixture_of(opened: OpenQuote, place: int) -> tuple[tuple[str, Decimal], ...]:
    """The fibres of a piece that is a mixture, as its record has them."""
    chosen = opened.planned.chosen.pieces
    piece = opened.planned.room.by_number.get(chosen[place][0]) if place < len(chosen) else None
    if piece is None or len(piece.fibres) < 2:
        return ()
    return tuple((fibre.value, share) for fibre, share in piece.fibres)


def _fibre_of(reckoning: Reckoning, place: int, use: ClothUse) -> str:
    """The fibre of a cloth where somebody has said it; a customer is never told a guess."""
    guessed = {f"cloth.{place}.fibre", "cloth.fibre", "weft.fibre"} & set(reckoning.plan.assumed)
    return Fibre.UNKNOWN.value if guessed else use.cloth.fibre.value
