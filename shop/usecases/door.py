"""At the door: whose shop this is, and who is coming in. Asked once at the start of every page."""

from __future__ import annotations

import secrets
from dataclasses import dataclass

from shop.store import account as table
from shop.store.engine import Store
from shop.usecases.account import SignedIn
from shop.usecases.given import is_number_of_a_row
from shop.usecases.shop import Shop, shop_in


@dataclass(frozen=True, slots=True)
class Door:
    """Who is at the door.

    Attributes:
        shop: the shop; as it would be, before it was opened.
        person: whoever a session's cookie named rightly.
        has_owner: whether the shop has been opened at all.
    """

    shop: Shop
    person: SignedIn | None
    has_owner: bool


def at_the_door(store: Store, *, account_id: int = 0, stamp: str = "") -> Door:
    """Look who is there, from what the session's cookie says: nothing, or an account and its stamp."""
    with store.reading() as session:
        shop = shop_in(session)
        row = table.by_id(session, account_id) if is_number_of_a_row(account_id) else None
        given = stamp.encode("utf-8", "replace")
        if row is not None and secrets.compare_digest(row.stamp.encode(), given):
            return Door(shop, SignedIn(row.id, row.name, row.stamp), has_owner=True)
        return Door(shop, None, has_owner=row is not None or table.any_account(session))
