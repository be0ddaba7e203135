"""The rooms of the house: the one list of its blueprints, and of what stands in the head of a page."""

from __future__ import annotations

from dataclasses import dataclass

from flask import Blueprint

from shop.web import (
    account,
    answer,
    bench,
    clock,
    cloth,
    customer,
    cutting_plan,
    draw,
    due_dates,
    first_start,
    from_file,
    guide,
    haul,
    history,
    hour_of_year,
    job,
    job_card,
    job_note,
    job_photograph,
    keeping,
    labels,
    learning,
    letters,
    loom,
    measuring,
    money_paper,
    money_request,
    month,
    offer,
    order,
    pace,
    picture,
    piece,
    price,
    queue,
    quote,
    quoted_real,
    rates,
    reach,
    revisions,
    shop,
    sign_in,
    split,
    worth,
)
from shop.words import mark


@dataclass(frozen=True)
class Room:
    """A room: its blueprint, its name in the head of the page (none: not shown there), its address."""

    blueprint: Blueprint
    label: str = ""
    address: str = ""


ROOMS: tuple[Room, ...] = (
    Room(bench.room, mark("Bench"), "/"),
    Room(quote.room, mark("Quotes"), "/quotes"),
    Room(month.room),
    Room(offer.room, mark("Offers"), "/offers"),
    Room(revisions.room),
    Room(customer.room),
    Room(answer.room),
    Room(job.room, mark("Jobs"), "/jobs"),
    Room(cutting_plan.room),
    Room(job_card.room),
    Room(job_note.room),
    Room(job_photograph.room),
    Room(measuring.room),
    Room(reach.room),
    Room(order.room),
    Room(money_paper.room),
    Room(money_request.room),
    Room(clock.room),
    Room(quoted_real.room),
    Room(queue.room),
    Room(history.room),
    Room(letters.room),
    Room(due_dates.room),
    Room(draw.room),
    Room(cloth.room, mark("Cloth"), "/cloth"),
    Room(from_file.room),
    Room(haul.room),
    Room(piece.room),
    Room(picture.room),
    Room(split.room),
    Room(keeping.room),
    Room(worth.room),
    Room(labels.room),
    Room(loom.room, mark("Looms"), "/looms"),
    Room(rates.room, mark("Rates"), "/rates"),
    Room(pace.room),
    Room(price.room),
    Room(learning.room),
    Room(hour_of_year.room),
    Room(shop.room, mark("Shop"), "/shop"),
    Room(guide.room, mark("Guide"), "/guide"),
    Room(account.room),
    Room(sign_in.room),
    Room(first_start.room),
)
