"""The till's rows: found by key, by phone and by rug, and listed for a fair."""

from collections.abc import Collection, Sequence
from datetime import datetime
from typing import NamedTuple

from sqlalchemy import func, select
from sqlalchemy.orm import Session, aliased

from shop.core.till_entry import undo_key
from shop.store.fair import Fair
from shop.store.packing import PackedRug
from shop.store.quote import Quote
from shop.store.rug import Rug, RugMove, RugPhotograph
from shop.store.till import Refused, Sale, SaleLine, TillCash, TillEntry, TillPhone, Wish


def fair_of(session: Session, *, number: int | None = None, fair_id: int | None = None, lock: bool = False) -> Fair | None:
    """The fair by its number, or by its id; locked, the till of a fair is worked by one at a time."""
    found = select(Fair).where(Fair.number == number if fair_id is None else Fair.id == fair_id)
    if lock:
        found = found.with_for_update(key_share=True).execution_options(populate_existing=True)
    return session.execute(found).scalar_one_or_none()


def phone_by_secret(session: Session, digest: str) -> TillPhone | None:
    """The phone that shows itself by a secret of this digest."""
    return session.execute(select(TillPhone).where(TillPhone.secret == digest)).scalar_one_or_none()


def phones_of(session: Session, fair_id: int) -> Sequence[TillPhone]:
    """The phones of a fair, in the order in which they were opened."""
    return session.execute(select(TillPhone).where(TillPhone.fair_id == fair_id).order_by(TillPhone.id)).scalars().all()


def entry_by_key(session: Session, key: str) -> TillEntry | None:
    """What was sent under a key."""
    return session.execute(select(TillEntry).where(TillEntry.key == key)).scalar_one_or_none()


def sale_of_entry(session: Session, entry_id: int) -> Sale | None:
    """The sale that came of an entry."""
    return session.execute(select(Sale).where(Sale.entry_id == entry_id)).scalar_one_or_none()


def sale_by_key(session: Session, key: str) -> Sale | None:
    """The sale that was sent under a key, at whichever fair; locked, since two fairs may undo it at once."""
    found = select(Sale).join(TillEntry, TillEntry.id == Sale.entry_id).where(TillEntry.key == key)
    return session.execute(found.with_for_update(of=Sale).execution_options(populate_existing=True)).scalar_one_or_none()


def rugs_by_id(session: Session, ids: Collection[int], *, lock: bool = False) -> dict[int, Rug]:
    """Rugs by their ids; locked in that order, so that two who want the same wait and do not block each other."""
    found = select(Rug).where(Rug.id.in_(ids)).order_by(Rug.id)
    if lock:
        found = found.with_for_update(key_share=True).execution_options(populate_existing=True)
    return {rug.id: rug for rug in session.execute(found).scalars()}


def rugs_by_number(session: Session, numbers: Collection[int]) -> dict[int, Rug]:
    """Rugs by what they are called by."""
    return {rug.number: rug for rug in session.execute(select(Rug).where(Rug.number.in_(numbers))).scalars()}


def lines_of_rugs(session: Session, rug_ids: Collection[int]) -> list[tuple[SaleLine, Sale]]:
    """Every line that has one of these rugs, with its sale; the sales undone among them."""
    found = (
        select(SaleLine, Sale)
        .join(Sale, Sale.id == SaleLine.sale_id)
        .where(SaleLine.rug_id.in_(rug_ids))
        .order_by(SaleLine.sale_id, SaleLine.place)
        .execution_options(populate_existing=True)
    )
    return [(line, sale) for line, sale in session.execute(found)]


def last_stay(session: Session, rug_id: int) -> RugMove | None:
    """The last way that a rug went without being sold."""
    found = select(RugMove).where(RugMove.rug_id == rug_id, RugMove.what.not_in(("sold", "taken back")))
    return session.execute(found.order_by(RugMove.id.desc()).limit(1)).scalar_one_or_none()


def sold_by(session: Session, rug_id: int) -> int | None:
    """The id of the sale that a rug went with when it was last sold."""
    found = select(RugMove.sale_id).where(RugMove.rug_id == rug_id, RugMove.what == "sold")
    return session.execute(found.order_by(RugMove.id.desc()).limit(1)).scalar_one_or_none()


class Packed(NamedTuple):
    """A rug that a till can sell: its price at the fair, and the digest of its photograph (empty without one)."""

    rug: Rug
    price: int | None
    picture: str


def packed_for(session: Session, fair_id: int) -> list[Packed]:
    """The rugs that are packed for a fair or were sold there, by number."""
    found = (
        select(Rug, func.coalesce(PackedRug.price, Rug.price), func.coalesce(RugPhotograph.digest, ""))
        .join(PackedRug, PackedRug.rug_id == Rug.id)
        .outerjoin(RugPhotograph, RugPhotograph.rug_id == Rug.id)
        .where(PackedRug.fair_id == fair_id, PackedRug.back_at.is_(None))
        .order_by(Rug.number)
    )
    return [Packed(*row) for row in session.execute(found)]


def picture_packed(session: Session, fair_id: int, number: int) -> bytes | None:
    """The small photograph of a rug that is packed for a fair."""
    found = (
        select(RugPhotograph.thumbnail)
        .join(Rug, Rug.id == RugPhotograph.rug_id)
        .join(PackedRug, PackedRug.rug_id == Rug.id)
        .where(Rug.number == number, PackedRug.fair_id == fair_id, PackedRug.back_at.is_(None))
    )
    return session.execute(found).scalar_one_or_none()


def sales_of(session: Session, fair_id: int, *, below: int | None = None, limit: int) -> list[tuple[Sale, str]]:
    """The sales of a fair with the keys of their entries, newest first."""
    found = select(Sale, func.coalesce(TillEntry.key, "")).outerjoin(TillEntry, TillEntry.id == Sale.entry_id).where(Sale.fair_id == fair_id)
    if below is not None:
        found = found.where(Sale.id < below)
    return [(sale, key) for sale, key in session.execute(found.order_by(Sale.id.desc()).limit(limit))]


def doubtful_of(session: Session, fair_id: int, *, limit: int) -> Sequence[int]:
    """The ids of the newest sales of a fair that have a rug in doubt, newest first."""
    found = select(Sale.id).join(SaleLine, SaleLine.sale_id == Sale.id)
    found = found.where(Sale.fair_id == fair_id, SaleLine.doubt != "").distinct()
    return session.execute(found.order_by(Sale.id.desc()).limit(limit)).scalars().all()


def sales_by_id(session: Session, ids: Collection[int]) -> list[tuple[Sale, str]]:
    """Sales with the keys of their entries, newest first."""
    found = select(Sale, func.coalesce(TillEntry.key, "")).outerjoin(TillEntry, TillEntry.id == Sale.entry_id)
    return [(sale, key) for sale, key in session.execute(found.where(Sale.id.in_(ids)).order_by(Sale.id.desc()))]


def lines_of(session: Session, sale_ids: Collection[int]) -> list[tuple[SaleLine, Rug]]:
    """The lines of sales with their rugs, in order."""
    found = select(SaleLine, Rug).join(Rug, Rug.id == SaleLine.rug_id).where(SaleLine.sale_id.in_(sale_ids))
    return [(line, rug) for line, rug in session.execute(found.order_by(SaleLine.sale_id, SaleLine.place))]


def taken_by_means(session: Session, fair_id: int) -> dict[str, tuple[int, int]]:
    """How many sales stand, and what they brought, by how they were paid."""
    found = select(Sale.means, func.count(), func.sum(Sale.total)).where(Sale.fair_id == fair_id, Sale.undone_at.is_(None))
    return {means: (count, int(total)) for means, count, total in session.execute(found.group_by(Sale.means))}


def cash_of(session: Session, fair_id: int) -> Sequence[TillCash]:
    """What was said of the box, in the order of its happening.

    Of what counts as having happened at once, the desk's is the last; before it goes what phones said, by their clocks and then by key.
    """
    found = select(TillCash).outerjoin(TillEntry, TillEntry.id == TillCash.entry_id).where(TillCash.fair_id == fair_id)
    at_once = (TillEntry.phone_id.is_(None), TillEntry.at, TillEntry.key, TillCash.id)
    return session.execute(found.order_by(TillCash.at, *at_once)).scalars().all()


def entries_to_look_at(session: Session, fair_id: int, *, limit: int) -> Sequence[TillEntry]:
    """What nobody could understand and she has not looked at yet, newest first."""
    found = select(TillEntry).where(TillEntry.fair_id == fair_id, TillEntry.what == "other", TillEntry.looked_at.is_(None))
    return session.execute(found.order_by(TillEntry.id.desc()).limit(limit)).scalars().all()


def wishes_of(session: Session, fair_id: int, *, limit: int) -> Sequence[Wish]:
    """The rugs that were wished for at a fair: those not seen to yet, then the others; newest first."""
    found = select(Wish).where(Wish.fair_id == fair_id).order_by(Wish.done_at.is_not(None), Wish.id.desc())
    return session.execute(found.limit(limit)).scalars().all()


def words_wished(session: Session, quote: int) -> Sequence[str]:
    """The words of the wishes that a quote, by its number, was begun for; at most a few of them."""
    found = select(Wish.words).join(Quote, Quote.id == Wish.quote_id).where(Quote.number == quote, Wish.words != "")
    return session.execute(found.order_by(Wish.id).limit(5)).scalars().all()


def refused_of(session: Session, fair_id: int, *, limit: int) -> list[tuple[Refused, Rug]]:
    """What nearly sold at a fair, with the rugs, newest first."""
    found = select(Refused, Rug).join(Rug, Rug.id == Refused.rug_id).where(Refused.fair_id == fair_id)
    return [(one, rug) for one, rug in session.execute(found.order_by(Refused.at.desc(), Refused.id.desc()).limit(limit))]


class Counts(NamedTuple):
    """How much there is of a fair's till.

    Attributes:
        doubtful: sales with a rug in doubt.
        riddles: entries that nobody could understand, not looked at yet.
        waiting: undoings whose sale has not come.
    """

    doubtful: int
    riddles: int
    wishes: int
    refused: int
    waiting: int


def counts_of(session: Session, fair_id: int) -> Counts:
    """How much there is of a fair's till, in one question."""
    sold = aliased(TillEntry)
    there = select(sold.id).where(sold.key == func.substr(TillEntry.key, 1, func.length(TillEntry.key) - len(undo_key(""))))
    entries = select(func.count()).select_from(TillEntry).where(TillEntry.fair_id == fair_id)
    doubtful = select(func.count(Sale.id.distinct())).join(SaleLine, SaleLine.sale_id == Sale.id)
    parts = (
        doubtful.where(Sale.fair_id == fair_id, SaleLine.doubt != ""),
        entries.where(TillEntry.what == "other", TillEntry.looked_at.is_(None)),
        select(func.count()).select_from(Wish).where(Wish.fair_id == fair_id),
        select(func.count()).select_from(Refused).where(Refused.fair_id == fair_id),
        entries.where(TillEntry.what == "undo", ~there.exists()),
    )
    return Counts(*session.execute(select(*(part.scalar_subquery() for part in parts))).one())


def last_seen(phone: TillPhone, now: datetime) -> None:
    """Note that a phone was here."""
    if phone.seen_at is None or phone.seen_at < now:
        phone.seen_at = now
