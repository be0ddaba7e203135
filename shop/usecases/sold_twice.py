"""A rug that was sold more than once, and one whose sale is undone.

What a rug is follows from the sales that stand, in whatever order they came: with one it is sold, with several each of them
is in doubt until that is settled, with none it is where it was before.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Final

from shop.store import fair as fair_table
from shop.store import packing
from shop.store import rug as table
from shop.store import till_list as rows
from shop.store.engine import Session
from shop.store.till import Sale, SaleLine
from shop.usecases.moving import today_in
from shop.usecases.whereabouts import TAKES_RUGS, go_in

TWICE: Final = "twice"


def settle(session: Session, rug_ids: Sequence[int], *, by: Sale, note: str = "", now: datetime) -> None:
    """Bring what these rugs are into line with the sales that stand, as part of another use case. The rugs must be locked.

    Args:
        session: of the transaction that changed the sales.
        rug_ids: whose sales have changed.
        by: the sale that changed.
        note: in her words.
        now: the time, zoned.
    """
    session.flush()
    rugs = rows.rugs_by_id(session, rug_ids)
    lines: dict[int, list[tuple[SaleLine, Sale]]] = {rug_id: [] for rug_id in rugs}
    for line, sale in rows.lines_of_rugs(session, rug_ids):
        lines[line.rug_id].append((line, sale))
    for rug_id, rug in sorted(rugs.items()):
        standing = [sale for _, sale in lines[rug_id] if sale.undone_at is None]
        for line, sale in lines[rug_id]:
            line.doubt = TWICE if len(standing) > 1 and sale.undone_at is None else ""
        if rug.place == "sold" and rows.sold_by(session, rug_id) not in {sale.id for sale in standing}:
            place, fair_id, outlet_id = _before(session, rug, by, now)
            go_in(
                session, rug, "taken back", place=place, fair_id=fair_id, outlet_id=outlet_id, sale_id=by.id, note=note,
                on=today_in(session, now), now=now,
            )  # fmt: skip
        if standing and rug.place != "sold":
            it = standing[0]
            go_in(
                session, rug, "sold", place="sold", fair_id=it.fair_id, outlet_id=it.outlet_id, sale_id=it.id, on=it.on, now=now
            )  # fmt: skip
    session.flush()


def _before(session: Session, rug: table.Rug, sale: Sale, now: datetime) -> tuple[str, int | None, int | None]:
    """Where a rug is again whose sale is undone: given away as it was, with its outlet, on the stall while the fair goes on, else at home."""
    stay = rows.last_stay(session, rug.id)
    if stay is not None and stay.what == "gone":
        return "gone", None, None
    if sale.outlet_id is not None:
        return "outlet", None, sale.outlet_id
    if stay is not None and stay.what == "sent":
        return "outlet", None, stay.outlet_id
    if stay is not None and stay.what == "packed" and stay.fair_id is not None:
        packed = packing.packed_of(session, stay.fair_id, rug.id)
        fair = session.get_one(fair_table.Fair, stay.fair_id)
        if packed is not None and packed.back_at is None:
            if fair.state in TAKES_RUGS:
                return "fair", fair.id, None
            packed.back_at = now
    return "home", None, None
