"""What comes of a sale at the stall: its lines, where the rugs are, whether a rug was sold twice; and of undoing it.

Sales come in whatever order signal allows, so nothing here goes by what came before. What a rug is follows from the sales
that stand: with one it is sold, with several each is in doubt until that is settled, with none it is where it was.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from datetime import datetime
from typing import NamedTuple

from shop.core.errors import Problem, Unreadable
from shop.core.letter import wire_address
from shop.core.till_entry import SaleSaid, undo_key
from shop.store import fair as fair_table
from shop.store import rug as rug_table
from shop.store import till as table
from shop.store import till_list as rows
from shop.store.engine import Session
from shop.store.numbering import take
from shop.usecases import outbox
from shop.usecases.moving import today_in
from shop.usecases.receipt import Receipt, receipt_in

WriteLetter = Callable[[Receipt], tuple[str, str]]
"""Subject and body of the letter that brings a receipt."""


class Undone(NamedTuple):
    """That a sale is undone, and why."""

    at: datetime
    why: str


def rugs_of(session: Session, ids: Collection[int]) -> dict[int, rug_table.Rug]:
    """The rugs that an entry names, locked.

    Raises:
        Unreadable: ``entry.rug`` when there is one that the shop does not know.
    """
    found = rows.rugs_by_id(session, ids, lock=True)
    missing = sorted(set(ids) - set(found))
    if missing:
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
) -> table.Sale:
    """Write a sale down, undone at once if its undoing came first. The rugs must be locked.

    Args:
        session: of the transaction that keeps the entry.
        fair: locked.
        entry: that says it.
        said: what it says.
        write_letter: writes the letter with the receipt; ``None`` where no letters are sent.
        now: the time, zoned.
    """
    undo = rows.entry_by_key(session, undo_key(entry.key))
    undone = undo if undo is not None and undo.what == "undo" and undo.fair_id == fair.id else None
    sale = table.Sale(
        number=take(session, "sale")[0],
        fair_id=fair.id,
        outlet_id=None,
        entry_id=entry.id,
        asked=sum(one.asked for one in said.rugs),
        total=said.total,
        tax=said.tax,
        rounding=said.rounding,
        currency=said.currency,
        means=said.means,
        given=said.given,
        change=said.change,
        outlet_share=0,
        mail=said.mail,
        note=said.note,
        on=today_in(session, entry.at),
        at=entry.at,
        received_at=now,
        undone_at=now if undone else None,
        undone_why=str(undone.content["why"]) if undone else "",
    )
    session.add(sale)
    session.flush()
    session.add_all(
        table.SaleLine(
            sale_id=sale.id,
            place=place,
            rug_id=one.rug,
            asked=one.asked,
            price=one.price,
            doubt="",
            settled="",
            said_rug_id=None,
        )
        for place, one in enumerate(said.rugs)
    )
    session.flush()
    settle(session, [one.rug for one in said.rugs], by=sale, now=now)
    if write_letter is not None and undone is None and wire_address(sale.mail) is not None:
        subject, body = write_letter(receipt_in(session, sale, entry.key))
        outbox.put(session, to=sale.mail, subject=subject, body=body, about=about_sale(sale.number), now=now)
    return sale


def about_sale(number: int) -> str:
    """What a letter with a receipt is about."""
    return f"sale.{number}"


def undo(session: Session, sale: table.Sale, *, why: str, now: datetime) -> None:
    """A sale is undone: it stays in the record and counts no more. The first undoing is the one that is told."""
    if sale.undone_at is not None:
        return
    ids = [line.rug_id for line, _ in rows.lines_of(session, [sale.id])]
    rugs_of(session, ids)
    sale.undone_at = max(now, sale.received_at)
    sale.undone_why = why
    session.flush()
    settle(session, ids, by=sale, now=now)


def settle(session: Session, rug_ids: Sequence[int], *, by: table.Sale, now: datetime) -> None:
    """Bring what these rugs are into line with the sales that stand. The rugs must be locked.

    Args:
        session: of the transaction that changed the sales.
        rug_ids: whose sales have changed.
        by: the sale that changed.
        now: the time, zoned.
    """
    rugs = rows.rugs_by_id(session, rug_ids)
    lines: dict[int, list[tuple[table.SaleLine, table.Sale]]] = {rug_id: [] for rug_id in rugs}
    for line, sale in rows.lines_of_rugs(session, rug_ids):
        lines[line.rug_id].append((line, sale))
    for rug_id, rug in sorted(rugs.items()):
        standing = [line for line, sale in lines[rug_id] if sale.undone_at is None]
        for line, sale in lines[rug_id]:
            line.doubt = "twice" if len(standing) > 1 and sale.undone_at is None else ""
        if bool(standing) != (rug.place == "sold"):
            _carry(session, rug, sold=bool(standing), by=by, now=now)
    session.flush()


def _carry(session: Session, rug: rug_table.Rug, *, sold: bool, by: table.Sale, now: datetime) -> None:
    """Note where a rug went: to whoever bought it, or back to where it was before."""
    if sold:
        rug.place, rug.fair_id, rug.outlet_id = "sold", None, None
    else:
        rug.place, rug.fair_id, rug.outlet_id = _before_it_was_sold(session, rug, by.fair_id)
    session.add(
        rug_table.RugMove(
            rug_id=rug.id,
            what="sold" if sold else "taken back",
            fair_id=rug.fair_id if not sold else by.fair_id,
            outlet_id=rug.outlet_id,
            sale_id=by.id,
            note="",
            on=today_in(session, now),
            at=now,
        )
    )


def _before_it_was_sold(session: Session, rug: rug_table.Rug, fair_id: int | None) -> tuple[str, int | None, int | None]:
    """Where a rug is again whose sale is undone: on the stall while the fair lasts, at the shop that had it, or at home."""
    stay = rows.last_stay(session, rug.id)
    if stay is not None and stay.what == "sent":
        return "outlet", None, stay.outlet_id
    if stay is not None and stay.what == "gone":
        return "gone", None, None
    packed = rows.packing_of(session, fair_id, rug.id) if fair_id is not None else None
    if packed is not None and packed.back_at is None:
        fair = session.get_one(fair_table.Fair, packed.fair_id)
        if fair.state not in ("over", "called off"):
            return "fair", fair.id, None
    return "home", None, None
