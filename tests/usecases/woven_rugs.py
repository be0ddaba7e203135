"""Rugs that were woven: drawn, marked, timed, done and measured, each somewhat unlike its plan."""

from datetime import timedelta
from decimal import Decimal

from shop.core.amount import Share
from shop.core.loom import Size
from shop.core.measure import Weight
from shop.usecases import clock, job, job_card, measuring
from shop.usecases.given import fresh_token
from shop.usecases.measuring import Measured
from tests.builders import a_haul_at_home, a_kept_loom, a_planned_job, a_sheet, an_open_shop, drawn, inches

STRAYS = (1.06, 0.97, 1.02, 1.10, 0.99, 1.04, 1.00, 1.07)


def a_studio(store, now, **sheet):
    """A shop with a frame and twelve sheets; gives its loom."""
    an_open_shop(store, now)
    return a_bench(store, now, **sheet)


def a_bench(store, now, **sheet):
    """The same in a shop that is open already."""
    card = a_kept_loom(store, now)
    a_haul_at_home(store, now, *(a_sheet(ready=True, **sheet) for _ in range(12)))
    return card


def woven(store, now, number, *, stray=1.0, piece=1, slow=1.3, weigh=True, share=None):
    """A job's rug is woven and measured: so many times as long as planned, so many times as slow; gives the time it was done."""
    card = job_card.card(store, number=number)
    whole, planned = card.whole, card.rug.reckoning
    part = planned.cloths[0].pieces.middle * 1.25 if share is None else share
    drawn(store, now, piece, number, Share(round(Decimal(part), 6)))
    job_card.mark_rows(store, job=number, rows=whole, saving=fresh_token(), now=now)
    for step, minutes in (("cut", 12), ("warp", 30), ("weave", 3 * whole), ("finish", 50)):
        spent = round(Decimal(minutes * slow * stray), 2)
        clock.type_in(store, job=number, step=step, minutes=spent, saving=fresh_token(), now=now)
    job.weave(store, number=number, saving=fresh_token(), now=now)
    size = planned.made.size
    long = Size(size.width, inches(round(Decimal(size.length.inches * 1.2 * stray), 3)))
    weight = Weight.of(round(Decimal(planned.weight.middle * 1.1 * stray), 3), "g") if weigh else None
    measuring.measure(store, job=number, measured=Measured(long, weight), saving=fresh_token(), now=now)
    return now


def some_rugs(store, now, count=6, **more):
    """So many rugs, a week apart; gives their numbers."""
    numbers = []
    for place in range(count):
        on = now + timedelta(days=7 * place)
        number = a_planned_job(store, on, 1 + place % 12)
        woven(store, on, number, stray=STRAYS[place % len(STRAYS)], piece=1 + place % 12, **more)
        numbers.append(number)
    return numbers
