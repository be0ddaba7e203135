"""Quotes: saving a draft, opening one, taking a copy, and looking through them all."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from typing import Any, Final

from shop.core.errors import Clash, NotFound, Problem
from shop.core.loom import LONGEST, SMALLEST, WIDEST, Size
from shop.core.money import Money
from shop.core.order import OfferState, state_on
from shop.store import history_entry, quote_list
from shop.store import job as job_table
from shop.store import offer as offer_table
from shop.store import quote as table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.store.folding import words_of
from shop.store.numbering import take
from shop.usecases.given import Given, is_number_of_a_row
from shop.usecases.shop import shop_in

PAGE: Final = 25
LONGEST_SEARCH: Final = 200
MOST_WORDS: Final = 6
MOST_STRIPES: Final = 60
"""More bands than these are not to be told apart in a small drawing."""
_EPOCH: Final = datetime(1970, 1, 1, tzinfo=UTC)
_PLACE: Final = re.compile(r"(-?[0-9]{1,18})-([0-9]{1,18})")


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftGiven:
    """A quote as it is to be saved.

    Attributes:
        customer_name, customer_contact: may be empty in a draft.
        title: what the rug is called.
        described: the rug as described, a nested document.
        figures: what it came to, a nested document; kept as it is and not reckoned again.
        size: of the rug.
        stripes: its bands, each a colour and a share of the length.
        asking: the price asked; ``total`` what the customer pays, tax and all.
    """

    customer_name: str = ""
    customer_contact: str = ""
    title: str = ""
    described: Mapping[str, object]
    figures: Mapping[str, object]
    size: Size
    stripes: tuple[tuple[str, float], ...] = ()
    asking: Money
    total: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteView(DraftGiven):
    """A quote as it was saved.

    Attributes:
        number: by which people call it.
        state: ``draft``.
        revision: goes up with each save.
    """

    number: int
    state: str
    created_at: datetime
    updated_at: datetime
    revision: int


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteLine:
    """A quote in a list.

    Attributes:
        offered: the state of its newest offer as it is kept, and until when that holds; ``None`` if it was never offered.
        job: the number and the state of the newest job that was begun from it.
    """

    number: int
    state: str
    customer_name: str
    title: str
    size: Size
    stripes: tuple[tuple[str, float], ...]
    asking: Money
    total: Money
    created_at: datetime
    updated_at: datetime
    offered: tuple[OfferState, date] | None
    job: tuple[int, str] | None

    def offer_on(self, today: date) -> OfferState | None:
        """What has become of its newest offer by a day."""
        return state_on(*self.offered, today) if self.offered else None


@dataclass(frozen=True, slots=True)
class QuotePage:
    """A page of the list, newest first.

    Attributes:
        quotes: a search may bring fewer than a full page, or none, and yet have further to look.
        further: where the next page begins, for an address; ``None`` at the end.
    """

    quotes: tuple[QuoteLine, ...]
    further: str | None


def save_draft(
    store: Store,
    *,
    draft: DraftGiven,
    number: int | None = None,
    revision: int = 0,
    saving: str,
    now: datetime,
) -> QuoteView:
    """Save a draft: a new one, or one that has been worked on.

    Args:
        store: the shop's database.
        draft: all of it.
        number: which quote is saved again; ``None`` for a new one, which gets the next number.
        revision: of the quote that the page showed.
        saving: the form's token.
        now: the time, zoned.

    Raises:
        Refusal: with every problem found, at ``quote.title`` and so on: ``text.long``, ``text.control``,
            ``length.small``, ``length.most``, ``money.negative``, ``money.large``, ``money.mixed``,
            ``document.unusable``.
        Clash: ``quote.changed`` when it has been saved since the page was shown; nothing is lost by it;
            ``saving.other``.
        NotFound: ``quote.unknown``.
    """
    with store.writing() as session:
        earlier = presses.claim(
            session, act="quote.save_draft", token=saving, given=(number, draft), now=now
        )
        if earlier is not None:
            return _view(_row(session, earlier))
        row = table.Quote(state="draft", revision=0, created_at=now)
        if number is not None:
            row = _row(session, number, lock=True)
            if row.revision != revision:
                raise Clash(Problem("quote.changed", values={"number": number}))
        return _save(session, row, draft, saving=saving, act="quote.save_draft", now=now)


def duplicate(store: Store, *, number: int, saving: str, now: datetime) -> QuoteView:
    """A new draft like a quote there is, under a number of its own.

    Raises:
        NotFound: ``quote.unknown``.
    """
    with store.writing() as session:
        earlier = presses.claim(session, act="quote.duplicate", token=saving, given=number, now=now)
        if earlier is not None:
            return _view(_row(session, earlier))
        like = _view(_row(session, number))
        row = table.Quote(state="draft", revision=0, created_at=now)
        return _save(session, row, like, saving=saving, act="quote.duplicate", now=now)


def open_quote(store: Store, *, number: int) -> QuoteView:
    """A quote by its number.

    Raises:
        NotFound: ``quote.unknown``.
    """
    with store.reading() as session:
        return _view(_row(session, number))


def quotes(store: Store, *, words: str = "", after: str = "", limit: int = PAGE) -> QuotePage:
    """Look through the quotes, newest first.

    Args:
        store: the shop's database.
        words: words, or beginnings of words, of customer, contact or title; or a quote's number, which
            then comes first.
        after: ``further`` of the page before.
        limit: quotes on a page.

    Raises:
        NotFound: ``page.unknown`` when ``after`` is no such place.
    """
    place = _read_place(after)
    wanted = words_of(words[:LONGEST_SEARCH])[:MOST_WORDS]
    with store.reading() as session:
        if not wanted:
            found = quote_list.newest(session, after=place, limit=limit)
            return _page(session, found, None)
        exactly = None
        if (
            place is None
            and len(wanted) == 1
            and wanted[0].isdecimal()
            and is_number_of_a_row(int(wanted[0]))
        ):
            exactly = quote_list.by_number(session, int(wanted[0]))
        return _page(session, quote_list.search(session, words=wanted, after=place, limit=limit), exactly)


def lines_in(session: Session, *, limit: int) -> tuple[QuoteLine, ...]:
    """The newest quotes, as part of another use case."""
    return _page(session, quote_list.newest(session, after=None, limit=limit), None).quotes


def _page(session: Session, found: quote_list.Found, exactly: Any) -> QuotePage:
    rows = [row for row in found.rows if exactly is None or row.id != exactly.id]
    first = [] if exactly is None else [exactly]
    further = None
    if found.further is not None:
        moment, row_id = found.further
        further = f"{(moment - _EPOCH) // timedelta(microseconds=1)}-{row_id}"
    shown = [*first, *rows]
    ids = [row.id for row in shown]
    offered, begun = offer_table.newest_of_quotes(session, ids), job_table.newest_of_quotes(session, ids)
    return QuotePage(tuple(_line(row, offered.get(row.id), begun.get(row.id)) for row in shown), further)


def _read_place(text: str) -> quote_list.Place | None:
    if not text:
        return None
    match = _PLACE.fullmatch(text)
    if match is None:
        raise NotFound(Problem("page.unknown"))
    try:
        return _EPOCH + timedelta(microseconds=int(match[1])), int(match[2])
    except OverflowError:
        raise NotFound(Problem("page.unknown")) from None


def _line(row: Any, offered: tuple[OfferState, date] | None, job: job_table.Job | None) -> QuoteLine:
    return QuoteLine(
        number=row.number,
        state=row.state,
        customer_name=row.customer_name,
        title=row.title,
        size=Size(row.width, row.length),
        stripes=_stripes(row.stripes),
        asking=Money(row.asking, row.currency),
        total=Money(row.total, row.currency),
        created_at=row.created_at,
        updated_at=row.updated_at,
        offered=offered,
        job=(job.number, job.state) if job else None,
    )


def _stripes(kept: Any) -> tuple[tuple[str, float], ...]:
    return tuple((str(colour), float(share)) for colour, share in kept)


def _row(session: Session, number: int, *, lock: bool = False) -> table.Quote:
    row = table.by_number(session, number, lock=lock) if is_number_of_a_row(number) else None
    if row is None:
        raise NotFound(Problem("quote.unknown", values={"number": number}))
    return row


def _view(row: table.Quote) -> QuoteView:
    return QuoteView(
        number=row.number,
        state=row.state,
        customer_name=row.customer_name,
        customer_contact=row.customer_contact,
        title=row.title,
        described=row.described,
        figures=row.figures,
        size=Size(row.width, row.length),
        stripes=_stripes(row.stripes),
        asking=Money(row.asking, row.currency),
        total=Money(row.total, row.currency),
        created_at=row.created_at,
        updated_at=row.updated_at,
        revision=row.revision,
    )


def _save(
    session: Session, row: table.Quote, draft: DraftGiven, *, saving: str, act: str, now: datetime
) -> QuoteView:
    checked = _checked(draft, shop_in(session).currency)
    if row.number is None:
        row.number = take(session, "quote")[0]
    row.customer_name, row.customer_contact = checked.customer_name, checked.customer_contact
    row.title = checked.title
    row.described, row.figures = checked.described, checked.figures
    row.stripes = [list(stripe) for stripe in checked.stripes]
    row.width, row.length = checked.size.width, checked.size.length
    row.asking, row.total = checked.asking.minor, checked.total.minor
    row.currency = checked.asking.currency
    row.revision += 1
    table.save(session, row, now=now)
    history_entry.renew(session, [job.id for job in job_table.of_quote(session, row.id)])
    presses.settle(session, act=act, token=saving, about=row.number)
    return _view(row)


def _checked(draft: DraftGiven, currency: str) -> DraftGiven:
    """The same, its texts set straight and its documents copied, when nothing is wrong with it."""
    given = Given()
    straight = replace(
        draft,
        customer_name=given.line("quote.customer_name", draft.customer_name),
        customer_contact=given.block("quote.customer_contact", draft.customer_contact, most=500),
        title=given.line("quote.title", draft.title),
        described=given.document("quote.described", draft.described),
        figures=given.document("quote.figures", draft.figures),
        stripes=tuple((given.colour("quote.stripes", colour), share) for colour, share in draft.stripes[:MOST_STRIPES]),
    )
    given.length("quote.width", draft.size.width, SMALLEST, WIDEST)
    given.length("quote.length", draft.size.length, SMALLEST, LONGEST)
    given.amount("quote.asking", draft.asking, currency)
    given.amount("quote.total", draft.total, currency)
    given.done()
    return straight
