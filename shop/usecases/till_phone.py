"""The phones of a till: opened for one fair, shown by a secret of their own, revoked when one is lost.

A phone is not signed in. It shows itself by a secret that was handed to it once; only a digest of it is kept. Whoever has it
may sell what is packed for that fair, and sees rugs and prices, and nothing of cost, wage or margin.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Final

from shop.core.cash import TENDER
from shop.core.colour import family_of
from shop.core.errors import Clash, NotFound, Problem
from shop.core.loom import Size
from shop.core.money import Money
from shop.store import fair as fair_table
from shop.store import saving as presses
from shop.store import till as table
from shop.store import till_list as rows
from shop.store.engine import Session, Store
from shop.store.order_money import MEANS
from shop.usecases.given import Given, is_number_of_a_row
from shop.usecases.private_link import secret_part
from shop.usecases.till_box import opening_of

MOST_PHONES: Final = 40


@dataclass(frozen=True, slots=True)
class PhoneLine:
    """A phone that may sell at a fair, or might until it was revoked; ``seen_at`` when it was last heard of."""

    id: int
    name: str
    opened_at: datetime
    seen_at: datetime | None
    revoked_at: datetime | None


@dataclass(frozen=True, slots=True)
class OpenedPhone:
    """A phone just opened, with the secret that is shown this once."""

    fair: int
    name: str
    secret: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PackedRug:
    """A rug as a till shows it.

    Attributes:
        price: at this fair; ``None`` where none was decided, so that it is typed in.
        stripes: its drawing; ``family`` the word for its colour.
        picture: the digest of its photograph, empty without one.
        sold: whether it is sold already, as far as the shop knows.
    """

    id: int
    number: int
    name: str
    size: Size
    price: Money | None
    colour: str
    family: str
    stripes: tuple[tuple[str, float], ...]
    picture: str
    sold: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Pack:
    """All that a phone takes along to a fair.

    Attributes:
        fair: its id, which says on the phone what belongs to which fair.
        tender: the notes and coins of the currency, the largest first; empty where they are not known.
        cash_step: what a sum in cash is rounded to; nought for none. ``opening_float`` what was last said to lie in the box at the start.
    """

    fair: int
    name: str
    place: str
    over: bool
    phone: str
    currency: str
    tender: tuple[int, ...]
    cash_step: int
    opening_float: int
    tax_name: str
    tax_rate: Decimal
    tax_contained: bool
    rugs: tuple[PackedRug, ...]


def digest_of(secret: str) -> str:
    """What a phone's secret is found by."""
    return hashlib.sha256(secret.encode()).hexdigest()


def fair_in(session: Session, number: int, *, lock: bool = False) -> fair_table.Fair:
    """A fair, as part of another use case.

    Raises:
        NotFound: ``fair.unknown``.
    """
    row = rows.fair_of(session, number=number, lock=lock) if is_number_of_a_row(number) else None
    if row is None:
        raise NotFound(Problem("fair.unknown", values={"number": number}))
    return row


def phone_in(session: Session, secret: str) -> table.TillPhone:
    """The phone that shows itself by a secret, as part of another use case.

    Raises:
        NotFound: ``till.unknown`` for any secret that is not, or not any more, one of ours.
    """
    row = rows.phone_by_secret(session, digest_of(secret)) if 20 <= len(secret) <= 100 else None
    if row is None or row.revoked_at is not None:
        raise NotFound(Problem("till.unknown"))
    return row


def open_phone(store: Store, *, fair: int, name: str, key: bytes, saving: str, now: datetime) -> OpenedPhone:
    """Let a phone sell at a fair. The same press twice opens one phone, and shows the same secret.

    Args:
        store: the shop's database.
        fair: its number.
        name: what she calls the phone.
        key: of the shop, for private links.
        saving: the form's token; the secret is made from it, so that it need not be kept to be shown again to the same press.
        now: the time, zoned.

    Raises:
        NotFound: ``fair.unknown``.
        Refusal: ``text.missing`` and so on at ``name``; ``till.phones`` for more than a fair can need.
    """
    given = Given()
    called = given.line("name", name, required=True, most=60)
    given.done()
    secret = secret_part(key, to="till", secret=saving)
    with store.writing() as session:
        row = fair_in(session, fair, lock=True)
        if presses.claim(session, act=f"till.phone.{row.id}", token=saving, given=called, now=now) is None:
            if len(rows.phones_of(session, row.id)) >= MOST_PHONES:
                raise Clash(Problem("till.phones", "name", {"most": MOST_PHONES}))
            digest = digest_of(secret)
            session.add(
                table.TillPhone(fair_id=row.id, name=called, secret=digest, opened_at=now, seen_at=None, revoked_at=None)
            )
            session.flush()
        return OpenedPhone(row.number, called, secret)


def revoke(store: Store, *, fair: int, phone: int, saving: str, now: datetime) -> str:
    """A phone is lost: nothing of it is taken and nothing is shown to it any more. Gives its name.

    Raises:
        NotFound: ``fair.unknown``, ``till.phone``.
    """
    with store.writing() as session:
        row = fair_in(session, fair, lock=True)  # whatever it is just sending is taken whole before, or not at all
        found = session.get(table.TillPhone, phone) if is_number_of_a_row(phone) else None
        if found is None or found.fair_id != row.id:
            raise NotFound(Problem("till.phone"))
        if presses.claim(session, act=f"till.revoke.{found.id}", token=saving, given=None, now=now) is None and found.revoked_at is None:
            found.revoked_at = now
            session.flush()
        return found.name


def phone_line(row: table.TillPhone) -> PhoneLine:
    """A phone as the weaver sees it."""
    return PhoneLine(row.id, row.name, row.opened_at, row.seen_at, row.revoked_at)


def pack(store: Store, *, secret: str, now: datetime) -> Pack:
    """What a phone takes along to its fair.

    Raises:
        NotFound: ``till.unknown`` for any secret that is not, or not any more, one of ours.
    """
    with store.writing() as session:
        phone = phone_in(session, secret)
        rows.last_seen(phone, now)
        row = session.get_one(fair_table.Fair, phone.fair_id)
        return Pack(
            fair=row.id,
            name=row.name,
            place=row.place,
            over=row.state == "over",
            phone=phone.name,
            currency=row.currency,
            tender=TENDER.get(row.currency, ()),
            cash_step=row.cash_step,
            opening_float=opening_of(row, rows.cash_of(session, row.id)),
            tax_name=row.tax_name,
            tax_rate=row.tax_rate,
            tax_contained=row.tax_contained,
            rugs=tuple(_packed(one, row.currency) for one in rows.packed_for(session, row.id)),
        )


def _packed(one: rows.Packed, currency: str) -> PackedRug:
    rug = one.rug
    return PackedRug(
        id=rug.id,
        number=rug.number,
        name=rug.name,
        size=Size(rug.width, rug.length),
        price=None if one.price is None else Money(one.price, currency),
        colour=rug.colour,
        family=family_of(rug.colour).value,
        stripes=stripes_of(rug.stripes),
        picture=one.picture[:16],
        sold=rug.place == "sold",
    )


def stripes_of(kept: object) -> tuple[tuple[str, float], ...]:
    """The drawing of a rug as it is kept; nothing where none is."""
    if not isinstance(kept, list):
        return ()
    return tuple((str(colour), float(share)) for colour, share in kept)


def picture(store: Store, *, secret: str, number: int) -> bytes:
    """The small photograph of a rug that is packed for the phone's fair.

    Raises:
        NotFound: ``till.unknown``; ``till.picture`` when the rug has none, or is not packed for it.
    """
    with store.reading() as session:
        phone = phone_in(session, secret)
        found = rows.picture_packed(session, phone.fair_id, number) if is_number_of_a_row(number) else None
        if found is None:
            raise NotFound(Problem("till.picture"))
        return found


def means_in_order(taken: Mapping[str, tuple[int, int]], currency: str) -> tuple[tuple[str, int, Money], ...]:
    """What sales brought by how they were paid: means, how many, how much."""
    return tuple((means, *_counted(taken[means], currency)) for means in MEANS if means in taken)


def _counted(one: tuple[int, int], currency: str) -> tuple[int, Money]:
    return one[0], Money(one[1], currency)
