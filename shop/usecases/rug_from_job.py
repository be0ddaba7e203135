"""A job's finished rug becomes one for sale, with what it really cost; and is none again while it has gone nowhere."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from shop.core.account_of_order import Event, Happening, Stage, account_of
from shop.core.errors import Clash, Problem, Refusal
from shop.core.loom import Size
from shop.core.money import Money
from shop.store import job as job_table
from shop.store import job_record, rug_list
from shop.store import offer as offer_table
from shop.store import order_money as money_table
from shop.store import rug as table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.usecases.finished_rug import FinishedRug, finished_in
from shop.usecases.given import Given
from shop.usecases.job import READY, job_in
from shop.usecases.moving import today_in
from shop.usecases.real_cost import RealCost, drawn_for, real_cost, stripes_of, weight_of
from shop.usecases.rug import LARGEST, SMALLEST, add_in, stripes_in
from shop.usecases.rug_card import CONTENT, RugCard, card_in, rug_in
from shop.usecases.rug_of_job import RugOfJob, rug_of
from shop.usecases.rug_picture import stand_for_in
from shop.usecases.shop import shop_in


@dataclass(frozen=True, slots=True, kw_only=True)
class Offered:
    """What a job's page says of its rug.

    Attributes:
        rug: the number of the rug for sale that it is; ``None`` where it is none.
        size: as it was measured, else as it was planned; ``None`` where it has to be measured.
        measured: it was measured, so that ``size`` is no plan.
        can: it can become one now.
        can_undo: it has gone nowhere, and can be none again.
    """

    rug: int | None
    size: Size | None
    measured: bool
    can: bool
    can_undo: bool


def offered(store: Store, *, job: int) -> Offered:
    """Whether a job's rug is for sale, or can be.

    Raises:
        NotFound: ``job.unknown``.
    """
    with store.reading() as session:
        row = job_in(session, job)
        if row.state != READY:
            return Offered(rug=None, size=None, measured=False, can=False, can_undo=False)
        found = table.of_job(session, row.id)
        try:
            planned = rug_of(row)
        except Refusal:
            planned = None
        finished = finished_in(session, [row])[0]
        return Offered(
            rug=found.number if found else None,
            size=_known_size(finished, planned),
            measured=finished.width is not None and finished.length is not None,
            can=found is None and not _ordered(session, row),
            can_undo=found is not None and _has_gone_nowhere(session, found),
        )


def _known_size(finished: FinishedRug, planned: RugOfJob | None) -> Size | None:
    if finished.width is not None and finished.length is not None:
        return Size(finished.width, finished.length)
    return planned.reckoning.made.size if planned else None


def make(
    store: Store,
    *,
    job: int,
    size: Size | None = None,
    content: Mapping[str, str] | None = None,
    price: Money | None = None,
    saving: str,
    now: datetime,
) -> RugCard:
    """A job's rug that is ready becomes one for sale.

    Args:
        store: the shop's database.
        job: its number.
        size: of the rug; where none is given as it was measured off the loom, else as planned.
        content: what is to stand on its tag, of ``shop.usecases.rug.CONTENT``, as finished text.
        price: what it is to bring, if that is decided.
        saving: the form's token.
        now: the time, zoned.

    Raises:
        NotFound: ``job.unknown``.
        Clash: ``rug.of_job`` when it is one already.
        Refusal: ``job.not_ready``; ``rug.ordered`` while a customer waits for it; ``length.missing`` at ``rug.width`` and
            ``rug.length`` where nobody knows its size; ``length.small`` and so on.
    """
    with store.writing() as session:
        row = job_in(session, job, lock="change")
        act = f"rug.from_job.{row.id}"
        told = {"size": size, "price": price}
        earlier = presses.claim(session, act=act, token=saving, given=told, now=now)
        if earlier is not None:
            return card_in(session, rug_in(session, earlier))
        if row.state != READY:
            raise Refusal(Problem("job.not_ready", values={"number": job}))
        if table.of_job(session, row.id) is not None:
            raise Clash(Problem("rug.of_job", values={"number": job}))
        if _ordered(session, row):
            raise Refusal(Problem("rug.ordered", values={"number": job}))
        planned = rug_of(row)
        finished = finished_in(session, [row])[0]
        measured = _size(size or _known_size(finished, planned))
        drawn = drawn_for(session, row)
        kept = {name: (content or {}).get(name, "") for name in CONTENT}
        made = table.Rug(
            job_id=row.id,
            name=row.name,
            note=row.note,
            made_on=today_in(session, row.ended_at or now),
            width=measured.width,
            length=measured.length,
            weight=finished.weight or weight_of(drawn),
            content=kept,
            currency=shop_in(session).currency,
            place="home",
            fair_id=None,
            outlet_id=None,
            search_text=rug_list.search_text(row.name, row.note),
            created_at=now,
            revision=1,
        )
        stripes_in(made, stripes_of(planned, drawn))
        _bear(made, real_cost(session, row, planned, drawn))
        given = Given()
        given.money("rug.price", price, made.currency)
        given.done()
        add_in(session, made, price=price, now=now)
        picture = session.get(job_record.JobPhotograph, finished.photograph) if finished.photograph else None
        if picture is not None:
            stand_for_in(session, made, picture.image, picture.thumbnail, (picture.width, picture.height), digest=picture.digest, now=now)
        presses.settle(session, act=act, token=saving, about=made.number)
        return card_in(session, made)


def reckon_anew(store: Store, *, number: int, saving: str, now: datetime) -> RugCard:
    """Time was written down after a job's rug became one for sale: what it cost is reckoned again.

    Raises:
        NotFound: ``rug.unknown``.
        Refusal: ``rug.no_job`` for a rug that was entered by hand.
        Clash: ``rug.sold`` once it is sold.
    """
    with store.writing() as session:
        row = rug_in(session, number, lock=True)
        if presses.claim(session, act=f"rug.reckon_anew.{row.id}", token=saving, given=None, now=now) is None:
            if row.job_id is None:
                raise Refusal(Problem("rug.no_job", values={"number": number}))
            if row.place == "sold":
                raise Clash(Problem("rug.sold", values={"number": number}))
            job = session.get_one(job_table.Job, row.job_id)
            _bear(row, real_cost(session, job, rug_of(job), drawn_for(session, job)))
            row.revision += 1
            session.flush()
        return card_in(session, row)


def undo(store: Store, *, number: int, saving: str, now: datetime) -> int:
    """A rug that has gone nowhere is none for sale after all; its number is not used again. Gives the number of its job.

    Raises:
        NotFound: ``rug.unknown``.
        Refusal: ``rug.no_job`` for a rug that was entered by hand.
        Clash: ``rug.moved`` when it has gone anywhere.
    """
    with store.writing() as session:
        earlier = presses.claim(session, act="rug.undo", token=saving, given=number, now=now)
        if earlier is not None:
            return earlier
        found = rug_in(session, number)
        if found.job_id is None:
            raise Refusal(Problem("rug.no_job", values={"number": number}))
        job = job_table.by_id(session, found.job_id, lock="change")
        row = rug_in(session, number, lock=True)
        if job is None or not _has_gone_nowhere(session, row):
            raise Clash(Problem("rug.moved", values={"number": number}))
        table.remove(session, row)
        presses.settle(session, act="rug.undo", token=saving, about=job.number)
        return job.number


def _has_gone_nowhere(session: Session, row: table.Rug) -> bool:
    return row.place == "home" and len(table.moves_of(session, row.id)) == 1


def _ordered(session: Session, row: job_table.Job) -> bool:
    """Whether a customer waits for the rug: it was agreed on or paid for, and not cancelled since."""
    currency = shop_in(session).currency
    standing = [one for one in money_table.events_of(session, row.id) if one.undone_at is None]
    account = account_of((Event(what=Happening(one.what), amount=Money(one.amount, one.currency)) for one in standing), currency)
    if account.stage is Stage.CANCELLED:
        return False
    return offer_table.of_job(session, row.id) is not None or bool(account.owed)


def _size(size: Size | None) -> Size:
    given = Given()
    if size is None:
        given.note("length.missing", "rug.width")
        given.note("length.missing", "rug.length")
    else:
        given.length("rug.width", size.width, SMALLEST, LARGEST)
        given.length("rug.length", size.length, SMALLEST, LARGEST)
    given.done()
    if size is None:
        raise Refusal(Problem("length.missing", "rug.width"))
    return size


def _bear(row: table.Rug, real: RealCost) -> None:
    row.cloth, row.warp, row.labour = real.cloth.minor, real.warp.minor, real.labour.minor
    row.overhead, row.bought_in = real.overhead.minor, real.bought_in.minor
    row.minutes, row.guessed = real.minutes, real.guessed
