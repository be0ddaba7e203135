"""Everything that goes out: the fabric ledger, the record of jobs, rugs with their moves and sales; a few rows at a time, no pictures."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from sqlalchemy import Select, select
from sqlalchemy.orm import Session, aliased

from shop.store.fabric import Haul, Piece
from shop.store.fair import Fair
from shop.store.job import Job
from shop.store.job_record import JobMeasure, JobNote, JobPhotograph
from shop.store.ledger import JobCloth, Movement
from shop.store.quote import Quote
from shop.store.rug import Outlet, Rug, RugMove, RugPrice
from shop.store.till import Sale, SaleLine

AT_ONCE: Final = 1000


@dataclass(frozen=True, slots=True)
class Table:
    """A table to be carried out: its name, the names of its columns, and the rows."""

    name: str
    columns: tuple[str, ...]
    rows: Select[Any]


def tables() -> tuple[Table, ...]:
    """The tables, in the order in which they lean on one another."""
    parent, of_piece, of_job = aliased(Piece), aliased(Piece), aliased(Job)
    hauls = (
        Haul.id.label("haul"),
        Haul.on.label("day"),
        Haul.place,
        Haul.tax.label("money tax"),
        Haul.discount.label("money discount"),
        Haul.washing.label("money washing"),
        Haul.trip.label("money trip"),
        Haul.spread_by,
        Haul.currency,
        Haul.note,
    )
    pieces = (
        Piece.number.label("piece"),
        Piece.haul_id.label("haul"),
        Piece.name,
        Piece.yarn,
        Piece.cloth.label("kind of cloth"),
        Piece.colour,
        Piece.fibres,
        Piece.width,
        Piece.length,
        Piece.weight,
        Piece.grams_per_m2,
        Piece.tears,
        Piece.condition,
        Piece.kept,
        Piece.paid.label("money paid"),
        Piece.came.label("money cost"),
        Piece.later.label("money later"),
        parent.number.label("cut from"),
        Piece.left.label("share left"),
        Piece.left_cost.label("money left"),
        Piece.state,
    )
    jobs = (
        Job.number.label("job"),
        Job.name,
        Job.state,
        Quote.number.label("quote"),
        Job.begun_at,
        Job.ended_at,
        Job.note,
    )
    notes = (
        of_job.number.label("job"),
        JobNote.at.label("written at"),
        JobNote.words.label("note"),
        JobNote.struck_at.label("struck out at"),
    )
    measures = (
        of_job.number.label("job"),
        JobMeasure.at.label("written at"),
        JobMeasure.width,
        JobMeasure.length,
        JobMeasure.weight,
        JobMeasure.struck_at.label("struck out at"),
    )
    photographs = (
        of_job.number.label("job"),
        JobPhotograph.at.label("put up at"),
        JobPhotograph.words.label("words"),
        JobPhotograph.stands.label("chosen for the rug"),
        JobPhotograph.width.label("points wide"),
        JobPhotograph.height.label("points high"),
        JobPhotograph.digest.label("digest"),
    )
    job_cloth = (
        of_job.number.label("job"),
        of_piece.number.label("piece"),
        JobCloth.share.label("share in job"),
        JobCloth.cost.label("money in job"),
        JobCloth.rug_share.label("share in rug"),
        JobCloth.rug_cost.label("money in rug"),
    )
    movements = (
        Movement.id.label("entry"),
        of_piece.number.label("piece"),
        Movement.kind,
        Movement.source.label("from"),
        Movement.target.label("to"),
        Movement.share.label("share"),
        Movement.cost.label("money cost"),
        of_job.number.label("job"),
        Movement.on.label("day"),
        Movement.at.label("written at"),
        Movement.reverses_id.label("undoes entry"),
        Movement.part_of_id.label("with entry"),
        Movement.note,
    )
    return (
        table_of("hauls", hauls, select(*hauls).order_by(Haul.id)),
        table_of(
            "pieces",
            pieces,
            select(*pieces).outerjoin(parent, parent.id == Piece.parent_id).order_by(Piece.number),
        ),
        table_of("jobs", jobs, select(*jobs).outerjoin(Quote, Quote.id == Job.quote_id).order_by(Job.number)),
        _of_jobs("job notes", notes, JobNote, of_job),
        _of_jobs("job measures", measures, JobMeasure, of_job),
        _of_jobs("job photographs", photographs, JobPhotograph, of_job),
        table_of(
            "job cloth",
            job_cloth,
            select(*job_cloth)
            .join(of_job, of_job.id == JobCloth.job_id)
            .join(of_piece, of_piece.id == JobCloth.piece_id)
            .order_by(of_job.number, of_piece.number),
        ),
        table_of(
            "movements",
            movements,
            select(*movements)
            .join(of_piece, of_piece.id == Movement.piece_id)
            .outerjoin(of_job, of_job.id == Movement.job_id)
            .order_by(Movement.id),
        ),
    )


def rug_tables() -> tuple[Table, ...]:
    """The finished rugs, where each went, what each was to bring, and the sales; in the order in which they lean on one another."""
    outlets = (
        Outlet.id.label("outlet"),
        Outlet.name,
        Outlet.share.label("keeps"),
        Outlet.contact,
        Outlet.note,
        Outlet.closed_at,
    )
    rugs = (
        Rug.number.label("rug"),
        Job.number.label("job"),
        Rug.name,
        Rug.made_on,
        Rug.width,
        Rug.length,
        Rug.weight,
        Rug.colour,
        Rug.cloth.label("money cloth"),
        Rug.warp.label("money warp"),
        Rug.labour.label("money labour"),
        Rug.overhead.label("money overhead"),
        Rug.bought_in.label("money bought in"),
        Rug.minutes,
        Rug.guessed,
        Rug.price.label("money price"),
        Rug.currency,
        Rug.place,
        Fair.number.label("fair"),
        Rug.outlet_id.label("outlet"),
        Rug.note,
    )
    moves = (
        RugMove.id.label("entry"),
        Rug.number.label("rug"),
        RugMove.what,
        Fair.number.label("fair"),
        RugMove.outlet_id.label("outlet"),
        Sale.number.label("sale"),
        RugMove.on.label("day"),
        RugMove.at.label("written at"),
        RugMove.note,
    )
    prices = (RugPrice.id.label("entry"), Rug.number.label("rug"), RugPrice.price.label("money price"), RugPrice.at.label("written at"))
    sales = (
        Sale.number.label("sale"),
        Sale.on.label("day"),
        Fair.number.label("fair"),
        Sale.outlet_id.label("outlet"),
        Sale.asked.label("money asked"),
        Sale.total.label("money total"),
        Sale.tax.label("money tax"),
        Sale.rounding.label("money rounding"),
        Sale.outlet_share.label("money kept by outlet"),
        Sale.currency,
        Sale.means,
        Sale.at.label("sold at"),
        Sale.received_at.label("written at"),
        Sale.undone_at,
        Sale.undone_why,
        Sale.note,
    )
    lines = (
        Sale.number.label("sale"),
        SaleLine.place.label("line"),
        Rug.number.label("rug"),
        SaleLine.asked.label("money asked"),
        SaleLine.price.label("money price"),
        SaleLine.doubt,
        SaleLine.settled,
    )
    return (
        table_of("outlets", outlets, select(*outlets).order_by(Outlet.id)),
        table_of(
            "rugs",
            rugs,
            select(*rugs)
            .outerjoin(Job, Job.id == Rug.job_id)
            .outerjoin(Fair, Fair.id == Rug.fair_id)
            .order_by(Rug.number),
        ),
        table_of(
            "rug moves",
            moves,
            select(*moves)
            .join(Rug, Rug.id == RugMove.rug_id)
            .outerjoin(Fair, Fair.id == RugMove.fair_id)
            .outerjoin(Sale, Sale.id == RugMove.sale_id)
            .order_by(RugMove.id),
        ),
        table_of("rug prices", prices, select(*prices).join(Rug, Rug.id == RugPrice.rug_id).order_by(RugPrice.id)),
        table_of("sales", sales, select(*sales).outerjoin(Fair, Fair.id == Sale.fair_id).order_by(Sale.number)),
        table_of(
            "sale lines",
            lines,
            select(*lines)
            .join(Sale, Sale.id == SaleLine.sale_id)
            .join(Rug, Rug.id == SaleLine.rug_id)
            .order_by(Sale.number, SaleLine.place),
        ),
    )


def table_of(name: str, columns: tuple[Any, ...], rows: Select[Any]) -> Table:
    """A table whose columns are called as they are labelled."""
    return Table(name, tuple(column.key for column in columns), rows)


def _of_jobs(
    name: str, columns: tuple[Any, ...], told: type[JobNote | JobMeasure | JobPhotograph], of_job: Any
) -> Table:
    """What is remembered of jobs, job by job, oldest first."""
    return table_of(
        name, columns, select(*columns).join(of_job, of_job.id == told.job_id).order_by(of_job.number, told.id)
    )


def rows_of(session: Session, table: Table) -> Iterator[tuple[Any, ...]]:
    """The rows of a table."""
    for row in session.execute(table.rows.execution_options(yield_per=AT_ONCE)):
        yield tuple(row)
