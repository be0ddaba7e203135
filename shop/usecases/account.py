"""The owner's account: making the first one, signing in, changing the password.

Passwords are kept as Argon2id hashes (RFC 9106). A name that does not exist costs as much time as a wrong
password, so that trying names tells nothing.
"""

from __future__ import annotations

import secrets
import unicodedata
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from typing import Final

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from shop.core.errors import Clash, NotFound, Problem, Refusal
from shop.store import account as table
from shop.store import saving as presses
from shop.store.engine import Store
from shop.store.folding import name_key
from shop.usecases import shop as shop_room
from shop.usecases.given import Given, is_number_of_a_row

SHORTEST: Final = 12
LONGEST: Final = 500
_HASHER: Final = PasswordHasher()


@dataclass(frozen=True, slots=True)
class SignedIn:
    """Somebody who is signed in; the stamp changes with the password and with signing out, which ends older sessions."""

    id: int
    name: str
    stamp: str


def has_owner(store: Store) -> bool:
    """Whether the first account has been made."""
    with store.reading() as session:
        return table.any_account(session)


def open_shop(
    store: Store,
    *,
    name: str,
    password: str,
    shop: shop_room.ShopGiven | None = None,
    saving: str,
    now: datetime,
) -> SignedIn:
    """Make the owner's account, the first and only one, and set up the shop with it if described.

    Raises:
        Refusal: with every problem found, of the account (``account.name``, ``account.password``) and of
            the shop: ``text.missing``, ``password.short``, ``password.long``, as ``shop.change``.
        Clash: ``account.exists`` when there is an owner already; ``saving.other``.
    """
    given = Given()
    clean = given.line("account.name", name, required=True)
    _check_password(given, "account.password", password)
    with store.writing() as session:
        earlier = presses.claim(session, act="account.open_shop", token=saving, given=(clean, shop), now=now)
        if earlier is not None:
            return _same_again(table.by_id(session, earlier), password)
        if table.any_account(session):
            raise Clash(Problem("account.exists"))
        if shop is not None:
            try:
                shop_room.put(session, shop=shop, revision=0, now=now)
            except Refusal as refusal:
                given.problems.extend(refusal.problems)
        given.done()
        row = table.Account(
            name=clean,
            name_key=name_key(clean),
            is_owner=True,
            password_hash=_HASHER.hash(_straight(password)),
            stamp=secrets.token_urlsafe(12),
            created_at=now,
            changed_at=now,
        )
        session.add(row)
        session.flush()
        presses.settle(session, act="account.open_shop", token=saving, about=row.id)
        return _signed_in(row)


def sign_in(store: Store, *, name: str, password: str, now: datetime) -> SignedIn:
    """Sign in; a hash made with older settings is renewed on the way.

    Raises:
        Refusal: ``sign_in.wrong``, whichever of the two was wrong.
    """
    with store.reading() as session:
        row = table.by_name(session, name_key(name[: LONGEST + 1]))
    right = _is_right(_no_such_hash() if row is None else row.password_hash, password)
    if row is None or not right:
        raise Refusal(Problem("sign_in.wrong"))
    if _HASHER.check_needs_rehash(row.password_hash):
        with store.writing() as session:
            fresh = table.by_id(session, row.id, lock=True)
            if fresh is not None and fresh.password_hash == row.password_hash:
                fresh.password_hash, fresh.changed_at = _HASHER.hash(_straight(password)), now
    return _signed_in(row)


def signed_in(store: Store, *, account_id: int, stamp: str) -> SignedIn | None:
    """Whoever a session's cookie names; ``None`` when it was signed out or the password changed since."""
    if not is_number_of_a_row(account_id):
        return None
    with store.reading() as session:
        row = table.by_id(session, account_id)
    if row is None or not secrets.compare_digest(row.stamp.encode(), stamp.encode("utf-8", "replace")):
        return None
    return _signed_in(row)


def sign_out(store: Store, *, account_id: int, now: datetime) -> None:
    """End every session of an account: a cookie copied before is worth nothing afterwards.

    Raises:
        NotFound: ``account.unknown``.
    """
    with store.writing() as session:
        row = table.by_id(session, account_id, lock=True) if is_number_of_a_row(account_id) else None
        if row is None:
            raise NotFound(Problem("account.unknown"))
        row.stamp, row.changed_at = secrets.token_urlsafe(12), now


def change_password(
    store: Store, *, account_id: int, old: str, new: str, saving: str, now: datetime
) -> SignedIn:
    """Change the password; every other session ends.

    Raises:
        Refusal: ``password.wrong`` at ``account.old``; ``password.short`` or ``password.long`` at
            ``account.new``.
        NotFound: ``account.unknown``.
        Clash: ``saving.other``.
    """
    given = Given()
    _check_password(given, "account.new", new)
    with store.writing() as session:
        act = f"account.change_password.{account_id}"
        earlier = presses.claim(session, act=act, token=saving, given=None, now=now)
        row = table.by_id(session, account_id, lock=True)
        if row is None:
            raise NotFound(Problem("account.unknown"))
        if earlier is not None:
            return _same_again(row, new)
        if not _is_right(row.password_hash, old):
            given.note("password.wrong", "account.old")
        given.done()
        _renew(row, new, now)
        presses.settle(session, act=act, token=saving, about=row.id)
        return _signed_in(row)


def set_password(store: Store, *, name: str, new: str, now: datetime) -> SignedIn:
    """Set a new password without the old one, for whoever has the machine itself.

    Raises:
        NotFound: ``account.unknown`` when there is no such name.
        Refusal: ``password.short`` or ``password.long`` at ``account.new``.
    """
    given = Given()
    _check_password(given, "account.new", new)
    given.done()
    with store.writing() as session:
        row = table.by_name(session, name_key(name), lock=True)
        if row is None:
            raise NotFound(Problem("account.unknown", "account.name", {"text": name[:24]}))
        _renew(row, new, now)
        return _signed_in(row)


def _renew(row: table.Account, password: str, now: datetime) -> None:
    row.password_hash = _HASHER.hash(_straight(password))
    row.stamp = secrets.token_urlsafe(12)
    row.changed_at = now


def _check_password(given: Given, where: str, password: str) -> None:
    if len(password) < SHORTEST:
        given.note("password.short", where, least=SHORTEST)
    elif len(password) > LONGEST:
        given.note("password.long", where, most=LONGEST)


def _straight(password: str) -> bytes:
    """The same letters in the same bytes, from whatever keyboard."""
    return unicodedata.normalize("NFC", password).encode("utf-8", "replace")


def _is_right(kept: str, password: str) -> bool:
    try:
        return _HASHER.verify(kept, _straight(password[: LONGEST + 1]))
    except (VerificationError, InvalidHashError):
        return False


@cache
def _no_such_hash() -> str:
    """A hash that no password fits, as slow to check as any."""
    return _HASHER.hash(secrets.token_bytes(32))


def _same_again(row: table.Account | None, password: str) -> SignedIn:
    """What an earlier press of the same form came to, if it gave the same password."""
    if row is not None and not _is_right(row.password_hash, password):
        raise Clash(Problem("saving.other"))
    return _signed_in(row)


def _signed_in(row: table.Account | None) -> SignedIn:
    if row is None:
        raise NotFound(Problem("account.unknown"))
    return SignedIn(row.id, row.name, row.stamp)
