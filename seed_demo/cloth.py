"""The story's cloth: six hauls brought home, and what became of their pieces."""

from __future__ import annotations

from contextlib import suppress
from datetime import datetime
from typing import TYPE_CHECKING

from seed_demo import hauls
from seed_demo.days import days_before, press
from shop.core.errors import Clash
from shop.usecases import haul, piece
from shop.usecases.fabric import GIVEN_AWAY

if TYPE_CHECKING:
    from shop.usecases import Store


def bring_it_home(store: Store, now: datetime) -> None:
    """Six hauls, oldest first; tax, trip and washing go on to each piece to the cent."""
    told = (
        (330, hauls.jumble_sale),
        (240, hauls.mending_basket),
        (150, hauls.farm_sale),
        (62, hauls.shirts),
        (8, hauls.landing),
        (7, hauls.vestry),
    )
    for days, tell in told:
        day = days_before(now, days)
        saving = press(f"haul-{tell.__name__.replace('_', '-')}")
        with suppress(Clash):  # told on an earlier day already, and dated from that one
            haul.bring_home(store, haul=tell(day.date), saving=saving, now=day.at(16, 20))


def wash_and_sort(store: Store, now: datetime) -> None:
    """Most of it is washed and ready; a few wait; one is given away, and one given away by mistake comes back."""
    washed = {
        238: (*hauls.JEANS[:2], hauls.CORDUROY),
        148: (hauls.MADDER, hauls.ROSE, hauls.BLANKET, *hauls.TOWELS),
        60: (*hauls.OCHRE_SHIRTS, hauls.SKY),
    }
    for days, numbers in washed.items():
        day = days_before(now, days)
        for number in numbers:
            piece.mark_ready(store, number=number, saving=press(f"washed-{number}"), now=day.at(11))
    day = days_before(now, 100)
    for number in hauls.JEANS[2:]:
        piece.mark_ready(store, number=number, saving=press(f"washed-{number}"), now=day.at(12))
    # The skirt still smelled of the attic: back to the wash it goes.
    piece.set_aside(store, number=hauls.CORDUROY, saving=press("again-corduroy"), now=day.at(13))

    # The smoke did not come out; the neighbour's dog has a bed of it.
    day = days_before(now, 5)
    piece.give_away(
        store, number=hauls.SMOKY, note="A bed for the neighbour’s dog", saving=press("smoky"), now=day.at(15)
    )
    # The rose sheet was written off instead of it at first: undone the minute she saw it.
    gone = piece.give_away(
        store, number=hauls.ROSE, note="", saving=press("rose-by-mistake"), now=day.at(14, 50)
    )
    slip = next(step for step in gone.steps if step.kind == GIVEN_AWAY)
    piece.undo(store, number=hauls.ROSE, step_id=slip.id, saving=press("rose-undone"), now=day.at(14, 52))
