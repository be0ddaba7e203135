"""What the weaver does at her desk with the till of a fair: sells by hand, settles what is in doubt, undoes, counts.

What is typed in at the desk is an entry as any that a phone sends, with a key of its own, so that it is kept, counted,
and has a receipt in the same way.
"""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from shop.core.errors import Clash, NotFound, Problem, Refusal
from shop.core.money import Money
from shop.core.till import FairTax, RugWanted, basket
from shop.core.till import settle as pay
from shop.core.till_entry import CASH, MEANS, MOST_RUGS
from shop.store import fair as fair_table
from shop.store import quote as quote_table
from shop.store import sale as sale_table
from shop.store import saving as presses
from shop.store import till as table
from shop.store import till_list as rows
from shop.store.engine import Session, Store
from shop.usecases import till_sale
from shop.usecases.given import Given, is_number_of_a_row
from shop.usecases.sold_twice import settle
from shop.usecases.till import Manner, take_in
from shop.usecases.till_phone import fair_in


@dataclass(frozen=True, slots=True, kw_only=True)
class SaleGiven:
    """A sale typed in by hand.

    Attributes:
        rugs: their numbers.
        together: what was agreed for all of them, without a tax that goes on top; ``None`` for the prices of their tags.
        given: cash laid down; ``None`` for just what was due.
    """

    rugs: tuple[int, ...]
    together: Money | None = None
    means: str = "cash"
    given: Money | None = None
    mail: str = ""
    note: str = ""


def _entry(
    session: Session, fair: fair_table.Fair, what: str, content: Mapping[str, Any], manner: Manner, now: datetime
) -> table.TillEntry:
    """Take an entry that the desk makes."""
    key = secrets.token_urlsafe(16)
    raw = {"key": key, "what": what, "at": now.isoformat(), "content": dict(content)}
    answer, entry = take_in(session, fair, key, raw, manner=manner, phone_id=None, now=now)
    if answer.why:
        raise Refusal(*answer.why)
    return entry


def sell(store: Store, *, fair: int, given: SaleGiven, manner: Manner, saving: str, now: datetime) -> None:
    """Write down a sale that no phone did.

    Raises:
        NotFound: ``fair.unknown``.
        Refusal: ``entry.rug`` at ``rugs`` for a number that is no rug's, ``till.many`` for too many, ``till.no_price`` at ``together``, ``choice.unknown`` at
            ``means``, ``text.long`` and so on; whatever ``basket`` and ``settle`` refuse.
        Clash: ``till.sold`` at ``rugs`` for one that is sold: undo that sale first, or correct the number.
    """
    typed = Given()
    typed.choice("means", given.means, MEANS)
    mail, note = typed.mail("mail", given.mail, most=254), typed.block("note", given.note, most=500)
    if len(given.rugs) > MOST_RUGS:
        typed.note("till.many", "rugs", most=MOST_RUGS)
        typed.done()
    with store.writing() as session:
        row = fair_in(session, fair, lock=True)
        if presses.claim(session, act=f"till.sell.{row.id}", token=saving, given=given, now=now) is not None:
            return
        found = rows.rugs_by_number(session, given.rugs)
        missing = [number for number in given.rugs if number not in found]
        if not given.rugs or missing:
            typed.note("entry.rug", "rugs")
        typed.done()
        rugs = rows.rugs_by_id(session, [found[number].id for number in given.rugs], lock=True)
        sold = [rug.number for rug in rugs.values() if rug.place == "sold"]
        if sold:
            raise Clash(Problem("till.sold", "rugs", {"number": sold[0]}))
        prices = {one.rug.id: one.price for one in rows.packed_for(session, row.id)}
        tags = [prices.get(found[number].id) or found[number].price for number in given.rugs]
        if given.together is None and None in tags:
            raise Refusal(Problem("till.no_price", "together"))
        made = basket(
            [
                RugWanted(rug=str(found[number].id), tag=Money(tag or 0, row.currency))
                for number, tag in zip(given.rugs, tags, strict=True)
            ],
            FairTax(rate=row.tax_rate, included=row.tax_contained),
            bargain=given.together,
        )
        cash = given.means == "cash"
        paid = pay(
            made.total,
            elsewhere=Money.zero(row.currency) if cash else made.total,
            given=given.given if cash else None,
            step=Money(row.cash_step, row.currency),
        )
        content = {
            "rugs": [{"rug": int(one.rug), "asked": one.tag.minor, "price": one.due.minor} for one in made.rugs],
            "tax": made.tax.minor,
            "contained": row.tax_contained,
            "rounding": paid.rounding.minor if cash else 0,
            "total": paid.cash.minor if cash else made.total.minor,
            "currency": row.currency,
            "means": given.means,
            "given": paid.given.minor if cash else 0,
            "change": paid.change.minor if cash else 0,
            "mail": mail,
            "note": note,
        }
        _entry(session, row, "sale", content, manner, now)


def put_cash(
    store: Store, *, fair: int, what: str, amount: Money, note: str = "", manner: Manner, saving: str, now: datetime
) -> None:
    """Say something of the box: the opening float, what was put in or taken out, what was counted.

    Raises:
        NotFound: ``fair.unknown``.
        Refusal: ``choice.unknown`` at ``what``, ``money.mixed`` and so on at ``amount``, ``text.long`` at ``note``.
    """
    typed = Given()
    typed.choice("what", what, CASH)
    said = typed.line("note", note, most=200)
    with store.writing() as session:
        row = fair_in(session, fair, lock=True)
        told = {"what": what, "amount": amount, "note": said}
        if presses.claim(session, act=f"till.cash.{row.id}", token=saving, given=told, now=now) is None:
            minor = typed.amount("amount", amount, row.currency)
            typed.done()
            _entry(session, row, "cash", {"what": what, "amount": minor, "note": said}, manner, now)


def _sale(session: Session, fair: fair_table.Fair, number: int) -> table.Sale:
    found = sale_table.by_number(session, number) if is_number_of_a_row(number) else None
    if found is None or found.fair_id != fair.id:
        raise NotFound(Problem("sale.unknown", values={"number": number}))
    return found


def undo(store: Store, *, fair: int, sale: int, why: str, saving: str, now: datetime) -> None:
    """A sale is undone, its money given back; it stays in the record.

    Raises:
        NotFound: ``fair.unknown``, ``sale.unknown``.
        Clash: ``sale.undone``.
        Refusal: ``text.long`` and so on at ``why``.
    """
    typed = Given()
    said = typed.line("why", why, most=500)
    typed.done()
    with store.writing() as session:
        row = fair_in(session, fair, lock=True)
        found = _sale(session, row, sale)
        if presses.claim(session, act=f"till.undo.{found.id}", token=saving, given=said, now=now) is None:
            if found.undone_at is not None:
                raise Clash(Problem("sale.undone", values={"number": sale}))
            till_sale.undo(session, found, why=said, now=now)


def was_another(
    store: Store, *, fair: int, sale: int, place: int, rug: int, words: str, saving: str, now: datetime
) -> None:
    """A rug that was sold twice was really another one in this sale.

    Args:
        store: the shop's database.
        fair: its number.
        sale: the number of the sale.
        place: of the rug in it.
        rug: the number of the rug that it really was.
        words: what she says of it; empty for nothing.
        saving: the form's token.
        now: the time, zoned.

    Raises:
        NotFound: ``fair.unknown``, ``sale.unknown``.
        Clash: ``sale.settled`` when the rug is not in doubt any more; ``till.sold`` when the other one is sold as well.
        Refusal: ``entry.rug`` at ``rug`` when there is no such rug; ``entry.twice`` when the sale has it already.
    """
    typed = Given()
    said = typed.line("words", words, most=200)
    typed.done()
    with store.writing() as session:
        row = fair_in(session, fair, lock=True)
        found = _sale(session, row, sale)
        told = {"place": place, "rug": rug, "words": said}
        if presses.claim(session, act=f"till.another.{found.id}", token=saving, given=told, now=now) is not None:
            return
        lines = [line for line, _ in rows.lines_of(session, [found.id])]
        line = next((one for one in lines if one.place == place), None)
        other = rows.rugs_by_number(session, [rug]).get(rug) if is_number_of_a_row(rug) else None
        if other is None:
            raise Refusal(Problem("entry.rug", "rug"))
        if line is None or not line.doubt:
            raise Clash(Problem("sale.settled", values={"number": sale}))
        if any(one.rug_id == other.id for one in lines):
            raise Refusal(Problem("entry.twice", "rug"))
        both = rows.rugs_by_id(session, [line.rug_id, other.id], lock=True)
        if both[other.id].place == "sold":
            raise Clash(Problem("till.sold", "rug", {"number": rug}))
        line.said_rug_id = line.said_rug_id or line.rug_id
        line.rug_id, line.doubt, line.settled = other.id, "", said
        session.flush()
        settle(session, list(both), by=found, now=now)


def looked_at(store: Store, *, fair: int, entry: int, saving: str, now: datetime) -> None:
    """She has looked at an entry that nobody could understand.

    Raises:
        NotFound: ``fair.unknown``, ``entry.unknown``.
    """
    with store.writing() as session:
        row = fair_in(session, fair, lock=True)
        found = session.get(table.TillEntry, entry) if is_number_of_a_row(entry) else None
        if found is None or found.fair_id != row.id or found.what != "other":
            raise NotFound(Problem("entry.unknown"))
        if presses.claim(session, act=f"till.look.{found.id}", token=saving, given=None, now=now) is None:
            found.looked_at = found.looked_at or now
            session.flush()


def wish_done(store: Store, *, fair: int, wish: int, quote: int | None, saving: str, now: datetime) -> None:
    """A wish is seen to: a quote was begun for it, or it came to nothing.

    Raises:
        NotFound: ``fair.unknown``, ``wish.unknown``.
        Refusal: ``quote.unknown`` at ``quote``.
    """
    with store.writing() as session:
        row = fair_in(session, fair, lock=True)
        found = session.get(table.Wish, wish) if is_number_of_a_row(wish) else None
        if found is None or found.fair_id != row.id:
            raise NotFound(Problem("wish.unknown"))
        if presses.claim(session, act=f"till.wish.{found.id}", token=saving, given=quote, now=now) is None:
            kept = quote_table.by_number(session, quote) if quote is not None and is_number_of_a_row(quote) else None
            if quote is not None and kept is None:
                raise Refusal(Problem("quote.unknown", "quote", {"number": quote}))
            found.quote_id = kept.id if kept is not None else None
            found.done_at = found.done_at or now
            session.flush()


def wish_quoted(store: Store, *, wish: int, quote: int, now: datetime) -> None:
    """A quote was saved for a wish: it is seen to, and its words stay with that quote. One that has a quote keeps it."""
    with store.writing() as session:
        found = session.get(table.Wish, wish, with_for_update=True) if is_number_of_a_row(wish) else None
        kept = quote_table.by_number(session, quote)
        if found is not None and kept is not None and found.quote_id is None:
            found.quote_id = kept.id
            found.done_at = found.done_at or now
            session.flush()
