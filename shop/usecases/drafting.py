"""Working on a quote: beginning one, opening one that was saved, and keeping it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import cast

from shop.core.described import plan_of
from shop.core.errors import Problem, Refusal
from shop.core.reckon import reckon
from shop.core.reckoning import Reckoning
from shop.core.sheet import sheet
from shop.core.stripes import slices
from shop.store.engine import Store
from shop.usecases import quote as quotes
from shop.usecases.chosen import Chosen, read_back, written_down
from shop.usecases.describing import describe
from shop.usecases.planning import Planned, loom_for, plan_in, planned
from shop.usecases.quote import MOST_STRIPES, DraftGiven, QuoteView
from shop.usecases.workroom import Workroom, workroom


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenQuote:
    """A saved quote, opened.

    Attributes:
        quote: as it was saved.
        planned: its choices with what it came to when it was saved, reckoned from the rates of that day.
        moved_on: the shop's rates, loom or cloth have changed since, so that reckoning it anew would differ.
    """

    quote: QuoteView
    planned: Planned
    moved_on: bool

    @property
    def reckoning(self) -> Reckoning:
        """What it came to."""
        if self.planned.reckoning is None:
            raise Refusal(Problem("quote.unreadable"))
        return self.planned.reckoning


def open_quote(store: Store, *, number: int) -> OpenQuote:
    """Open a saved quote, with the figures that it was saved with.

    Raises:
        NotFound: ``quote.unknown``.
        Refusal: ``quote.unreadable`` when what it was reckoned from can no longer be read.
    """
    view = quotes.open_quote(store, number=number)
    document, chosen = _kept(view)
    room = workroom(store, also=tuple(piece for piece, _ in chosen.pieces), loom_id=chosen.loom_id)
    found = plan_in(room, chosen)
    try:
        reckoning = reckon(plan_of(document))
    except Refusal:
        raise Refusal(Problem("quote.unreadable")) from None
    as_saved = Planned(
        room=room,
        chosen=chosen,
        answers=found.answers,
        document=document,
        reckoning=reckoning,
        refusal=None,
    )
    return OpenQuote(quote=view, planned=as_saved, moved_on=_described_now(room, found) != document)


def _described_now(room: Workroom, found: Planned) -> dict[str, object]:
    return describe(room, found.chosen, loom_for(found.answers, found.chosen.loom_id))


def _kept(view: QuoteView) -> tuple[dict[str, object], Chosen]:
    try:
        document = dict(cast("Mapping[str, object]", view.described["document"]))
        return document, read_back(cast("Mapping[str, object]", view.described["chosen"]), view.asking.currency)
    except (KeyError, TypeError, ValueError, Refusal):
        raise Refusal(Problem("quote.unreadable")) from None


def like(store: Store, *, number: int) -> Planned:
    """A rug chosen like that of a saved quote, reckoned by today's rates.

    Raises:
        NotFound: ``quote.unknown``.
    """
    _, chosen = _kept(quotes.open_quote(store, number=number))
    return planned(store, chosen=chosen)


@dataclass(frozen=True, slots=True, kw_only=True)
class Customer:
    """Whom a quote is for, and what the rug is called."""

    name: str = ""
    contact: str = ""
    title: str = ""


def stripes_of(reckoning: Reckoning) -> tuple[tuple[str, float], ...]:
    """The bands of a rug for a small drawing: colour and share, rounded to a thousandth."""
    colours = [use.cloth.colour for use in reckoning.cloths]
    return tuple((colours[cloth], round(share, 3)) for cloth, share in slices(reckoning.bands, MOST_STRIPES))


def keep(
    store: Store,
    *,
    plan: Planned,
    customer: Customer,
    number: int | None,
    revision: int,
    saving: str,
    now: datetime,
) -> QuoteView:
    """Keep a planned rug as a draft, with everything it was reckoned from and what it came to.

    Args:
        store: the shop's database.
        plan: as the page showed it.
        customer: whom it is for.
        number: of the quote that is saved again; ``None`` for a new one.
        revision: of the quote that the page showed.
        saving: the form's token; the same one twice saves once.
        now: the time, zoned.

    Raises:
        Refusal: why the rug cannot be, or what is wrong with the customer's lines.
        Clash: ``quote.changed``.
    """
    if plan.reckoning is None:
        raise plan.refusal or Refusal(Problem("quote.unreadable"))
    price = plan.reckoning.price
    draft = DraftGiven(
        customer_name=customer.name,
        customer_contact=customer.contact,
        title=customer.title,
        described={"document": plan.document, "chosen": written_down(plan.chosen)},
        figures=sheet(plan.reckoning),
        size=plan.reckoning.made.size,
        stripes=stripes_of(plan.reckoning),
        asking=price.asking,
        total=price.total,
    )
    return quotes.save_draft(store, draft=draft, number=number, revision=revision, saving=saving, now=now)
