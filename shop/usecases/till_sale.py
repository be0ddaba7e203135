"""A sale that a till tells of, as it is written down; and its undoing, whichever of the two comes first."""

from __future__ import annotations

from collections.abc import Callable, Collection
from datetime import datetime

from shop.core.errors import Problem, Unreadable
from shop.core.letter import wire_address
from shop.core.money import Money
from shop.core.till_entry import SaleSaid, counted_time, undo_key
from shop.store import fair as fair_table
from shop.store import rug as rug_table
from shop.store import till as table
from shop.store import till_list as rows
from shop.store.engine import Session
from shop.usecases import outbox
from shop.usecases.moving import today_in
from shop.usecases.receipt import Receipt, receipt_in
from shop.usecases.sale import SoldRug, sell_in, undo_in

WriteLetter = Callable[[Receipt], tuple[str, str]]
"""Subject and body of the letter that brings a receipt."""


def rugs_of(session: Session, ids: Collection[int]) -> dict[int, rug_table.Rug]:
    """The rugs that an entry names, locked.

    Raises:
        Unreadable: ``entry.rug`` when there is one that the shop does not know.
    """
    found = rows.rugs_by_id(session, ids, lock=True)
    if set(ids) - set(found):
        raise Unreadable(Problem("entry.rug"))
    return found


def sell(
    session: Session,
    fair: fair_table.Fair,
    entry: table.TillEntry,
    said: SaleSaid,
    *,
    write_letter: WriteLetter | None,
    now: datetime,
) -> None:
    """Write a sale down, and undo it at once if its undoing came first.

    Args:
        session: of the transaction that keeps the entry.
        fair: locked.
        entry: that says it.
        said: what it says.
        write_letter: writes the letter with the receipt; ``None`` where no letters are sent.
        now: the time, zoned.
    """

    def money(minor: int) -> Money:
        return Money(minor, said.currency)

    at = counted_time(entry.at, entry.received_at)
    sale = sell_in(
        session,
        rugs=[SoldRug(rug_id=one.rug, asked=money(one.asked), price=money(one.price)) for one in said.rugs],
        total_paid=money(said.total),
        tax=money(said.tax),
        rounding=money(said.rounding),
        means=said.means,
        given=money(said.given),
        change=money(said.change),
        fair_id=fair.id,
        entry_id=entry.id,
        mail=said.mail,
        note=said.note,
        on=today_in(session, at),
        at=at,
        now=now,
        has_happened=True,
    )
    undone = rows.entry_by_key(session, undo_key(entry.key))
    if undone is not None and undone.what == "undo":
        undo(session, sale, why=str(undone.content["why"]), now=now)
    elif write_letter is not None and wire_address(sale.mail) is not None:
        subject, body = write_letter(receipt_in(session, sale, entry.key))
        outbox.put(session, to=sale.mail, subject=subject, body=body, about=about_sale(sale.number), now=now)


def about_sale(number: int) -> str:
    """What a letter with a receipt is about."""
    return f"sale.{number}"


def undo(session: Session, sale: table.Sale, *, why: str, now: datetime) -> None:
    """A sale is undone: it stays in the record and counts no more. The first undoing is the one that is told."""
    if sale.undone_at is None:
        undo_in(session, sale, why=why, now=max(now, sale.received_at))
