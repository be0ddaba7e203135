"""What the shop has seen: every record that its jobs and quick measurements give, read at once.

A fixed number of queries, however many jobs there are; the newest two thousand are looked at. What a rug was to become is
reckoned once from what its job keeps, and remembered for as long as the job stays as it is.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Final
from weakref import WeakKeyDictionary

from shop.core.errors import Refusal
from shop.core.evidence import Evidence, Grade, What
from shop.core.ledger import WHOLE
from shop.core.spread import Estimate
from shop.core.woven import ALL_OVER, CUTTING_OVER, AsPlanned, Drawn, Woven, as_planned, records_of
from shop.store import job as job_table
from shop.store import job_record, order_money
from shop.store import learning as table
from shop.store.engine import Session
from shop.usecases.chosen import read_back
from shop.usecases.loom import LoomCard
from shop.usecases.rug_of_job import rug_of

WEIGHT: Final = "weight"
"""What the estimate of a rug's weight is called, beside those of the steps."""
MOST_JOBS: Final = 2000
MOST_MEASUREMENTS: Final = 2000


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Where records come from: a job by its number and name, or a measurement by its id."""

    job: int | None = None
    name: str = ""
    measurement: int | None = None


@dataclass(frozen=True, slots=True)
class Turned:
    """How an estimate turned out: of which step or stuff it was, on which day, and what it came to."""

    of: str
    day: date
    estimate: Estimate
    came_to: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """Everything seen.

    Attributes:
        records: every record, those set aside too.
        sources: where each is to be found.
        turned: how the estimates of finished rugs turned out.
    """

    records: tuple[Evidence, ...]
    sources: Mapping[str, Source]
    turned: tuple[Turned, ...] = ()


def key_of(record: Evidence) -> str:
    """What a record is called by when it is set aside."""
    return f"{record.source} {record.what.value}"


@dataclass(frozen=True, slots=True)
class _Plan:
    """What a job's rug was to become and to take, on which loom: by its number, and by the name that it had."""

    rug: AsPlanned
    estimates: Mapping[str, Estimate]
    loom_id: int
    loom_name: str


_planned: WeakKeyDictionary[object, dict[int, tuple[int, _Plan | None]]] = WeakKeyDictionary()
"""For each database, by the id of a job: its revision, and its plan."""


def seen_in(session: Session, looms: Sequence[LoomCard]) -> Seen:
    """Everything that the shop has seen on these looms, as part of another use case."""
    aside = table.aside_now(session)
    records, sources, turned = _of_jobs(session, looms)
    measured, more = _measured(session)
    every = tuple(_set_aside(one, aside) for one in (*records, *measured))
    return Seen(records=every, sources={**sources, **more}, turned=tuple(turned))


def _set_aside(record: Evidence, aside: Mapping[str, str]) -> Evidence:
    reason = aside.get(key_of(record), "")
    return replace(record, aside=reason) if reason else record


def _of_jobs(session: Session, looms: Sequence[LoomCard]) -> tuple[list[Evidence], dict[str, Source], list[Turned]]:
    jobs = [job for job in table.newest_jobs(session, limit=MOST_JOBS) if job.state in CUTTING_OVER]
    ids = [job.id for job in jobs]
    if not ids:
        return [], {}, []
    planned = _plans(session, {job.id: job.revision for job in jobs})
    rows = table.marks_of(session, ids)
    minutes = order_money.minutes_of_jobs(session, ids)
    measured = job_record.measured(session, ids)
    drawn: dict[int, list[Drawn]] = defaultdict(list)
    for one in table.cloth_in(session, ids):
        share = one.share / WHOLE
        drawn[one.job_id].append(Drawn(piece=one.number, kind=one.cloth, width=one.width, length=one.length, share=share))
    records: list[Evidence] = []
    sources: dict[str, Source] = {}
    turned: list[Turned] = []
    by_name = {card.loom.name: card.id for card in reversed(looms)}
    for job in jobs:
        plan = planned[job.id]
        loom = plan and (plan.loom_id or by_name.get(plan.loom_name))
        if plan is None or not loom:
            continue
        size = measured.get(job.id)
        woven = Woven(
            source=f"job {job.number}",
            on=str(loom),
            day=(job.ended_at or job.begun_at).date(),
            state=job.state,
            rows=rows.get(job.id, 0),
            drawn=tuple(drawn.get(job.id, ())),
            minutes={step: float(spent) for step, spent in minutes.get(job.id, {}).items()},
            width=size.width.metres if size else None,
            length=size.length.metres if size else None,
            grams=size.weight.grams if size and size.weight else None,
        )
        records += records_of(woven, plan.rug)
        turned += _turned(woven, plan.estimates)
        sources[woven.source] = Source(job=job.number, name=job.name)
    return records, sources, turned


def _turned(woven: Woven, estimates: Mapping[str, Estimate]) -> list[Turned]:
    """How the estimates of a finished rug turned out, where that was written down."""
    if woven.state not in ALL_OVER:
        return []
    came = {step: spent for step, spent in woven.minutes.items() if spent}
    if woven.grams:
        came[WEIGHT] = woven.grams
    return [Turned(of, woven.day, estimates[of], value) for of, value in came.items() if of in estimates]


def _plans(session: Session, revisions: Mapping[int, int]) -> dict[int, _Plan | None]:
    """What these jobs' rugs were to become; ``None`` where it can no longer be read."""
    known = _planned.setdefault(session.get_bind(), {})
    unknown = {job_id for job_id, revision in revisions.items() if known.get(job_id, (None,))[0] != revision}
    if unknown:
        known.update({row.id: (row.revision, _plan(row)) for row in job_table.by_ids(session, unknown).values()})
    return {job_id: known[job_id][1] for job_id in revisions}


def _plan(row: job_table.Job) -> _Plan | None:
    try:
        rug = rug_of(row)
    except Refusal:
        return None
    if rug is None or row.described is None:
        return None
    plan = rug.reckoning.plan
    chosen = read_back(row.described["chosen"], plan.currency)
    reckoned = {**rug.reckoning.minutes, WEIGHT: rug.reckoning.weight}
    estimates = {of: estimate for of, estimate in reckoned.items() if not estimate.is_sure}
    return _Plan(as_planned(rug.reckoning, rug.pieces), estimates, chosen.loom_id, plan.loom.name)


def _measured(session: Session) -> tuple[list[Evidence], dict[str, Source]]:
    records, sources = [], {}
    for one, number in table.measurements(session, limit=MOST_MEASUREMENTS):
        what = What(one.what)
        record = Evidence(
            what=what,
            value=float(one.value),
            on=one.tool or str(one.loom_id),
            size=float(one.size),
            kind=one.kind,
            cloth=str(number) if number is not None and what.is_of_cloth else "",
            day=one.on,
            source=f"measured {one.id}",
            grade=Grade.QUICK,
        )
        records.append(record)
        sources[record.source] = Source(measurement=one.id)
    return records, sources
