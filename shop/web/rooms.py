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
    fair,
    fair_papers,
    fair_reckoning,
    fair_table,
    first_start,
    from_file,
    guide,
    haul,
    history,
    job,
    job_card,
    keeping,
    labels,
    letters,
    loom,
    offer,
    order,
    outlet,
    pace,
    picture,
    piece,
    price,
    queue,
    quote,
    quoted_real,
    rates,
    reach,
    receipt,
    rug,
    rug_entry,
    rug_from_job,
    rug_papers,
    rug_picture,
    rug_sale,
    shop,
    sign_in,
    split,
    till,
    till_desk,
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
    Room(offer.room, mark("Offers"), "/offers"),
    Room(customer.room),
    Room(answer.room),
    Room(job.room, mark("Jobs"), "/jobs"),
    Room(cutting_plan.room),
    Room(job_card.room),
    Room(reach.room),
    Room(order.room),
    Room(clock.room),
    Room(quoted_real.room),
    Room(queue.room),
    Room(history.room),
    Room(letters.room),
    Room(due_dates.room),
    Room(rug.room, mark("Rugs"), "/rugs"),
    Room(rug_entry.room),
    Room(rug_from_job.room),
    Room(rug_sale.room),
    Room(rug_picture.room),
    Room(rug_papers.room),
    Room(outlet.room),
    Room(fair.room, mark("Fairs"), "/fairs"),
    Room(fair_table.room),
    Room(fair_papers.room),
    Room(fair_reckoning.room),
    Room(till_desk.room),
    Room(till.room),
    Room(receipt.room),
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
    Room(shop.room, mark("Shop"), "/shop"),
    Room(guide.room, mark("Guide"), "/guide"),
    Room(account.room),
    Room(sign_in.room),
    Room(first_start.room),
)
