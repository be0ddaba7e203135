"""The story of an invented shop, in the order in which a shop comes to be.

Perpetua Lindenby weaves rag rugs in a town that is on no map. Every act is one call of a use case, with the day
on which it happened; none reaches into the database. Telling the story again to the same database changes nothing.
"""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING, Final

from seed_demo import cloth, fairs, jobs, orders, rugs, workroom
from seed_demo.days import days_before, press
from shop.usecases import account

if TYPE_CHECKING:
    from shop.usecases import Store

NAME: Final = "perpetua"
PASSWORD: Final = "a rug for the back step"  # noqa: S105 - shown to everybody who opens the demo


def build(store: Store, now: datetime) -> None:
    """Tell the story to a database.

    The owner takes the key last of all: a shop without an owner is one whose story was broken off, and telling
    it again goes on from there.

    Args:
        store: the shop's database, migrated.
        now: the time, zoned; the story is of the year before it.
    """
    # Most of a year ago she put up her sign, and set her looms in the old dairy.
    workroom.put_up_the_sign(store, now)
    workroom.set_up_the_looms(store, now)
    # She sat down with the bills, and worked out what an hour costs her and how a price comes from it.
    workroom.reckon_an_hour(store, now)
    workroom.choose_a_price_rule(store, now)
    # After some rugs she knew by the clock how fast she weaves.
    workroom.time_the_work(store, now, by=NAME)
    # Cloth came home, haul by haul; some of it waits for the wash, one piece went to the dog.
    cloth.bring_it_home(store, now)
    cloth.wash_and_sort(store, now)
    # And people asked what a rug would cost.
    orders.answer_them(store, now)
    # She wove: a mat is done, a runner is on the loom, and what was agreed last is being torn into strips.
    jobs.weave_some(store, now)
    jobs.begin_what_was_agreed(store, now)
    jobs.weave_one_for_stock(store, now)
    # What she had woven before lay about the house: she wrote it all down, sent some to two shops, and sold some.
    rugs.lay_them_out(store, now)
    # She stood at the market on the green, in rain and in sun, and a larger fair is coming.
    fairs.go_to_fairs(store, now)
    # She takes the key.
    account.open_shop(
        store, name=NAME, password=PASSWORD, saving=press("owner"), now=days_before(now, 1).at(18)
    )
