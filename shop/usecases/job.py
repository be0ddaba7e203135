"""Jobs: begun from a quote or by themselves; they take cloth, and become a rug or are called off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Final

from shop.core.errors import Clash, NotFound, Problem, Refusal
from shop.core.ledger import WHOLE, Kind
from shop.core.money import Money, total
from shop.store import fabric as table
from shop.store import history_entry, ledger, reservation
from shop.store import job as job_table
from shop.store import quote as quote_table
from shop.store import rug as rug_table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.store.numbering import take
from shop.usecases.fabric import PieceCard, Step, cards_in, step_of
from shop.usecases.given import Given, is_number_of_a_row
from shop.usecases.moving import move, today_in, undo_act
from shop.usecases.shop import shop_in

OPEN: Final = job_table.OPEN
READY: Final = "ready"
CALLED_OFF: Final = "called off"
DRAWERS: Final = {"open": job_table.OPEN, "rugs": ("ready", "handed over"), "called off": (CALLED_OFF,)}
"""What of the jobs is shown, with the states that stand for it."""
PAGE: Final = 30
STEPS_SHOWN: Final = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class JobLine:
    """A job in a list.

    Attributes:
        number: what it is called by.
        state: as in ``shop.store.job.STATES``.
        pieces: how many pieces of cloth are in it or in its rug.
        cost: of the cloth in it, or in its rug.
    """

    number: int
    name: str
    state: str
    quote: int | None
    begun_at: datetime
    ended_at: datetime | None
    pieces: int
    cost: Money

    @property
    def is_open(self) -> bool:
        """Whether it still takes cloth."""
        return self.state in OPEN


@dataclass(frozen=True, slots=True, kw_only=True)
class JobCloth:
    """What of one piece is in a job, or in its rug.

    Attributes:
        piece: that it came from.
        parts: of that piece, as the ledger counts; ``share`` the same of one.
        cost: that went with it.
        waste: of ``parts``, what became usual waste.
        woven: it is in the finished rug.
    """

    piece: PieceCard
    parts: int
    cost: Money
    waste: int
    woven: bool

    @property
    def share(self) -> Decimal:
        """Of the whole piece."""
        return Decimal(self.parts) / WHOLE


@dataclass(frozen=True, slots=True, kw_only=True)
class JobStep:
    """Something that happened to a job's cloth, and the piece that it happened to."""

    step: Step
    piece_number: int
    piece_name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class JobCard:
    """A job with its cloth.

    Attributes:
        line: as it stands in a list.
        cloth: what is in it or in its rug, by piece.
        cost: of all of that, to the cent.
        written_off: cost of what was spoiled in it.
        steps: what happened to its cloth, newest first.
        planned: it knows what its rug is to be.
    """

    line: JobLine
    note: str
    planned: bool
    revision: int
    cloth: tuple[JobCloth, ...]
    cost: Money
    written_off: Money
    steps: tuple[JobStep, ...]


@dataclass(frozen=True, slots=True)
class JobPage:
    """A page of jobs, newest first; ``further`` is where the next page begins, if there is one."""

    jobs: tuple[JobLine, ...]
    further: int | None


def begin(
    store: Store, *, name: str = "", note: str = "", quote: int | None = None, saving: str, now: datetime
) -> JobCard:
    """Begin a job.

    Args:
        store: the shop's database.
        name: what it is called; of a quote, its title where none is given.
        note: anything to remember.
        quote: the number of the quote that it is begun from.
        saving: the form's token.
        now: the time, zoned.

    Raises:
        Refusal: ``text.missing``, ``text.long`` or ``text.control`` at ``name`` or ``note``.
        NotFound: ``quote.unknown``.
    """
    given_all = {"name": name, "note": note, "quote": quote}
    with store.writing() as session:
        earlier = presses.claim(session, act="job.begin", token=saving, given=given_all, now=now)
        if earlier is not None:
            return card_in(session, job_in(session, earlier))
        from_quote = _quote(session, quote)
        given = Given()
        called = given.line("name", name or (_title(from_quote) if from_quote else ""), required=True)
        row = job_table.Job(
            name=called,
            note=given.block("note", note),
            state="waiting",
            quote_id=from_quote.id if from_quote else None,
            described=from_quote.described if from_quote else None,
            begun_at=now,
            ended_at=None,
            revision=1,
        )
        given.done()
        row.number = take(session, "job")[0]
        session.add(row)
        session.flush()
        history_entry.renew(session, [row.id])
        presses.settle(session, act="job.begin", token=saving, about=row.number)
        return card_in(session, row)


def _quote(session: Session, number: int | None) -> quote_table.Quote | None:
    if number is None:
        return None
    row = quote_table.by_number(session, number) if is_number_of_a_row(number) else None
    if row is None:
        raise NotFound(Problem("quote.unknown", values={"number": number}))
    return row


def _title(quote: quote_table.Quote) -> str:
    return quote.title or quote.customer_name or f"No. {quote.number}"


def jobs(store: Store, *, shown: str = "open", below: int | None = None, limit: int = PAGE) -> JobPage:
    """Look through the jobs.

    Args:
        store: the shop's database.
        shown: one of ``DRAWERS``.
        below: ``further`` of the page before.
        limit: jobs on a page.

    Raises:
        Refusal: ``choice.unknown``.
    """
    given = Given()
    given.choice("shown", shown, DRAWERS)
    given.done()
    with store.reading() as session:
        return jobs_in(session, shown=shown, below=below, limit=limit)


def jobs_in(session: Session, *, shown: str = "open", below: int | None = None, limit: int = PAGE) -> JobPage:
    """A page of jobs, as part of another use case."""
    if below is not None and not is_number_of_a_row(below):
        below = None
    rows = job_table.newest(session, states=DRAWERS[shown], below=below, limit=limit + 1)
    page = rows[:limit]
    return JobPage(lines_in(session, page), page[-1].number if len(rows) > limit else None)


def lines_in(session: Session, found: Sequence[job_table.Job]) -> tuple[JobLine, ...]:
    """Jobs as lines of a list, as part of another use case; three queries however many there are."""
    currency = shop_in(session).currency
    costs = ledger.costs_of_jobs(session, [row.id for row in found])
    quotes = quote_table.numbers_of(session, {row.quote_id for row in found if row.quote_id})
    return tuple(
        JobLine(
            number=row.number,
            name=row.name,
            state=row.state,
            quote=quotes.get(row.quote_id or 0),
            begun_at=row.begun_at,
            ended_at=row.ended_at,
            pieces=costs.get(row.id, (0, 0, 0))[0],
            cost=Money(sum(costs.get(row.id, (0, 0, 0))[1:]), currency),
        )
        for row in found
    )


def jobs_of_quote(store: Store, *, number: int) -> tuple[JobLine, ...]:
    """The jobs that were begun from a quote, oldest first.

    Raises:
        NotFound: ``quote.unknown``.
    """
    with store.reading() as session:
        quote = _quote(session, number)
        return lines_in(session, job_table.of_quote(session, quote.id)) if quote else ()


def job(store: Store, *, number: int) -> JobCard:
    """A job with its cloth.

    Raises:
        NotFound: ``job.unknown``.
    """
    with store.reading() as session:
        return card_in(session, job_in(session, number))


def job_in(session: Session, number: int, *, lock: str = "") -> job_table.Job:
    """The job of that number, as part of another use case; ``lock`` as in ``shop.store.job.by_number``.

    Raises:
        NotFound: ``job.unknown``.
    """
    row = job_table.by_number(session, number, lock=lock) if is_number_of_a_row(number) else None
    if row is None:
        raise NotFound(Problem("job.unknown", values={"number": number}))
    return row


def open_job_in(session: Session, number: int) -> job_table.Job:
    """A job that still takes cloth, and stays so until the end of the transaction.

    Raises:
        NotFound: ``job.unknown``.
        Refusal: ``job.closed``.
    """
    row = job_in(session, number, lock="stay")
    if row.state not in OPEN:
        raise Refusal(Problem("job.closed", values={"number": number}))
    return row


def card_in(session: Session, row: job_table.Job) -> JobCard:
    """A job with its cloth, as part of another use case."""
    lies = ledger.cloth_of_job(session, row.id)
    waste = ledger.usual_waste(session, row.id)
    cards = {card.number: card for card in cards_in(session, [piece for _, piece in lies])}
    currency = shop_in(session).currency
    cloth = tuple(
        JobCloth(
            piece=cards[piece.number],
            parts=one.share + one.rug_share,
            cost=Money(one.cost + one.rug_cost, currency),
            waste=waste.get(piece.id, 0),
            woven=one.rug_share > 0,
        )
        for one, piece in lies
    )
    moved = ledger.newest_of_job(session, row.id, STEPS_SHOWN)
    undone = ledger.undone_among(session, [one.id for one, _ in moved])
    by_id = {one.id: one for one, _ in moved}
    return JobCard(
        line=lines_in(session, [row])[0],
        note=row.note,
        planned=row.described is not None,
        revision=row.revision,
        cloth=cloth,
        cost=total((one.cost for one in cloth), currency),
        written_off=Money(ledger.written_off_in(session, row.id), currency),
        steps=tuple(
            JobStep(
                step=step_of(
                    one, currency, undone=one.id in undone, job=row, undid=by_id.get(one.reverses_id or 0)
                ),
                piece_number=piece.number,
                piece_name=piece.name,
            )
            for one, piece in moved
        ),
    )


def weave(store: Store, *, number: int, saving: str, now: datetime) -> JobCard:
    """The rug is done: all the cloth in the job, with its cost, is now in the rug.

    Raises:
        NotFound: ``job.unknown``.
        Clash: ``job.closed`` when it is a rug already, or called off.
        Refusal: ``job.empty`` when no cloth is in it.
    """
    with store.writing() as session:
        row = job_in(session, number, lock="change")
        if presses.claim(session, act=f"job.weave.{row.id}", token=saving, given=None, now=now) is None:
            if row.state not in OPEN:
                raise Clash(Problem("job.closed", values={"number": number}))
            lies = {piece.id: one for one, piece in ledger.cloth_of_job(session, row.id) if one.share}
            if not lies:
                raise Refusal(Problem("job.empty", values={"number": number}))
            on = today_in(session, now)
            first: ledger.Movement | None = None
            for piece in table.lock_pieces(session, lies):
                one = lies[piece.id]
                woven = move(
                    session, piece, Kind.WOVEN, share=one.share, cost=one.cost, job=row, on=on, now=now, part_of=first
                )
                first = first or woven
            reservation.lapse(session, row.id)
            row.state, row.ended_at, row.revision = READY, now, row.revision + 1
            session.flush()
        session.expire_all()
        return card_in(session, row)


def take_up_again(store: Store, *, number: int, saving: str, now: datetime) -> JobCard:
    """The rug was not done after all, or the job not to be called off: it takes cloth again.

    Raises:
        NotFound: ``job.unknown``.
        Clash: ``job.open`` when it is open; ``rug.of_job`` when its rug is one for sale, which has to be undone first.
        Refusal: ``job.handed_over`` when the rug has left the shop.
    """
    with store.writing() as session:
        row = job_in(session, number, lock="change")
        if presses.claim(session, act=f"job.take_up.{row.id}", token=saving, given=None, now=now) is None:
            if row.state in OPEN:
                raise Clash(Problem("job.open", values={"number": number}))
            if row.state == "handed over":
                raise Refusal(Problem("job.handed_over", values={"number": number}))
            if rug_table.of_job(session, row.id) is not None:
                raise Clash(Problem("rug.of_job", values={"number": number}))
            woven = ledger.last_woven(session, row.id) if row.state == READY else None
            if woven is not None:
                undo_act(session, woven, job=row, on=today_in(session, now), now=now)
            row.state, row.ended_at, row.revision = "waiting", None, row.revision + 1
            history_entry.renew(session, [row.id])
        session.expire_all()
        return card_in(session, row)


def call_off(store: Store, *, number: int, saving: str, now: datetime) -> JobCard:
    """The job is not done after all; its cloth has been given back or written off before, and what it held is free.

    Raises:
        NotFound: ``job.unknown``.
        Clash: ``job.closed``.
        Refusal: ``job.full`` while cloth is in it.
    """
    with store.writing() as session:
        row = job_in(session, number, lock="change")
        if presses.claim(session, act=f"job.call_off.{row.id}", token=saving, given=None, now=now) is None:
            if row.state not in OPEN:
                raise Clash(Problem("job.closed", values={"number": number}))
            if ledger.cloth_of_job(session, row.id):
                raise Refusal(Problem("job.full", values={"number": number}))
            reservation.lapse(session, row.id)
            row.state, row.ended_at, row.revision = CALLED_OFF, now, row.revision + 1
            history_entry.renew(session, [row.id])
        return card_in(session, row)
