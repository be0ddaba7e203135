"""The story's jobs: two rugs done, one under way, one just begun from a quote; and what went wrong on the way."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal
from typing import TYPE_CHECKING, Final

from seed_demo.days import days_before, press
from seed_demo.hauls import PLUM, TEAL, TICKING, VESTRY, WARP
from seed_demo.workroom import dollars, inches
from shop.core.amount import All, Run, Scale, Share, Strips, Weighed
from shop.core.measure import Length, Weight
from shop.core.strips import Tool
from shop.usecases import clock, cutting_plan, draw, job, job_card, later_cost, piece, split

if TYPE_CHECKING:
    from shop.usecases import Store

BATH_MAT, PORCH, FROM_QUOTE, DOORSTEP = 1, 2, 3, 4
QUOTED: Final = 4


def weave_some(store: Store, now: datetime) -> None:
    """A week at the looms, drawing cloth in every way that there is."""
    _dye(store, now)
    _a_bath_mat(store, now)
    _a_porch_runner(store, now)


def _dye(store: Store, now: datetime) -> None:
    """The curtains were dyed once they were home; the packets are spread over what was left of the haul."""
    later_cost.add_cost(
        store,
        haul_id=VESTRY,
        cost=dollars("5.80"),
        note="Two packets of teal dye",
        saving=press("dye"),
        now=days_before(now, 6).at(9, 30),
    )


def _a_bath_mat(store: Store, now: datetime) -> None:
    """Done: half a curtain, plum ends, warp off the cone; left-over strips back, what the iron scorched written off."""
    day = days_before(now, 5)
    begun = job.begin(store, name="Bath mat, teal with plum ends", saving=press("job-bath-mat"), now=day.at(9)).line
    draw.draw(
        store, number=TEAL, job=begun.number, amount=Share(Decimal("0.5")), saving=press("mat-teal"), now=day.at(9, 10)
    )
    draw.draw(
        store,
        number=PLUM,
        job=begun.number,
        amount=Strips(6, inches(96), inches(2), Tool.TEAR),
        saving=press("mat-plum"),
        now=day.at(9, 20),
    )
    draw.draw(
        store, number=WARP, job=begun.number, amount=Run(Length.of(70, "yd")), saving=press("mat-warp"), now=day.at(9, 40)
    )
    day = days_before(now, 4)
    draw.waste(
        store,
        number=TEAL,
        job=begun.number,
        amount=Weighed(Weight.of("0.9", "oz")),
        note="Hem tape and thread",
        saving=press("mat-hems"),
        now=day.at(11),
    )
    draw.spoil_in_job(
        store,
        number=PLUM,
        job=begun.number,
        amount=Strips(1, inches(96), inches(2), Tool.TEAR),
        note="Scorched by the iron",
        saving=press("mat-scorched"),
        now=day.at(13),
    )
    draw.give_back(
        store,
        number=TEAL,
        job=begun.number,
        amount=Scale(Weight.of("8.2", "oz"), Weight.of("6.1", "oz")),
        note="A ball of strips left over",
        saving=press("mat-left-over"),
        now=day.at(16),
    )
    job.weave(store, number=begun.number, saving=press("mat-done"), now=day.at(17, 30))


def _a_porch_runner(store: Store, now: datetime) -> None:
    """Under way: the wrong curtain was drawn first, and undone; the ticking was cut in two to keep the better half."""
    day = days_before(now, 2)
    begun = job.begin(
        store,
        name="Porch runner",
        note="Ticking at both ends, for the sake of the blue line.",
        saving=press("job-porch"),
        now=day.at(10),
    ).line
    slip = draw.draw(
        store, number=TEAL, job=begun.number, amount=All(), saving=press("porch-slip"), now=day.at(10, 5)
    )
    piece.undo(store, number=TEAL, step_id=slip.step_id, saving=press("porch-slip-undone"), now=day.at(10, 6))
    split.split(
        store,
        number=TICKING,
        width=inches(30),
        length=inches(54),
        name="Ticking, the better half",
        saving=press("ticking-cut"),
        now=day.at(10, 20),
    )
    draw.draw(
        store,
        number=TICKING,
        job=begun.number,
        amount=Share(Decimal("0.75")),
        saving=press("porch-ticking"),
        now=day.at(10, 40),
    )


def begin_what_was_agreed(store: Store, now: datetime) -> None:
    """The latest quote that was said yes to: its cloth is held, and the first strips are torn."""
    day = days_before(now, 1)
    begun = job.begin(store, quote=QUOTED, saving=press("job-from-quote"), now=day.at(12)).line
    if not job_card.card(store, number=begun.number).cuts:
        plan = cutting_plan.propose(store, jobs=[begun.number])
        cutting_plan.accept(
            store, jobs=[begun.number], strips=plan.strips, saving=press("kitchen-held"), now=day.at(12, 20)
        )
    first = job_card.card(store, number=begun.number).cuts[0]
    job_card.tick(store, job=begun.number, cut=first.id, strips=12, saving=press("kitchen-torn"), now=day.at(13))


def weave_one_for_stock(store: Store, now: datetime) -> None:
    """A doorstep rug for the next fair, out of what was left of the bath mat's cloth, and all of it by the clock."""
    day = days_before(now, 4)
    begun = job.begin(store, name="Doorstep rug, plum and teal", saving=press("job-doorstep"), now=day.at(18)).line
    for number, share in ((PLUM, "0.4"), (TEAL, "0.3")):
        draw.draw(
            store, number=number, job=begun.number, amount=Share(Decimal(share)), saving=press(f"doorstep-{number}"), now=day.at(18, 10)
        )
    draw.draw(
        store, number=WARP, job=begun.number, amount=Run(Length.of(90, "yd")), saving=press("doorstep-warp"), now=day.at(18, 20)
    )
    for step, minutes in (("cut", 38), ("warp", 64), ("weave", 97), ("finish", 31)):
        clock.type_in(
            store, job=begun.number, step=step, minutes=Decimal(minutes), saving=press(f"doorstep-{step}"), now=day.at(20)
        )
    job.weave(store, number=begun.number, saving=press("doorstep-done"), now=day.at(21))
