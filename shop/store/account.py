"""Accounts: who may sign in. There is one owner, and the database itself sees to that."""

from datetime import datetime

from sqlalchemy import Index, select, text
from sqlalchemy.orm import Mapped, Session, mapped_column

from shop.store.base import PLAIN_TEXT, Base, Id, Key


class Account(Base):
    """Somebody who signs in.

    Attributes:
        name: as typed; ``name_key`` is the same made for comparing.
        password_hash: Argon2id with its salt and settings.
        stamp: changes with the password and with signing out, so that older sessions end.
    """

    __tablename__ = "account"
    __table_args__ = (
        Index(
            "uq_account_one_owner",
            "is_owner",
            unique=True,
            sqlite_where=text("is_owner"),
            postgresql_where=text("is_owner"),
        ),
    )

    id: Mapped[Id]
    name: Mapped[str]
    name_key: Mapped[str] = mapped_column(PLAIN_TEXT, unique=True)
    is_owner: Mapped[bool]
    password_hash: Mapped[str]
    stamp: Mapped[Key]
    created_at: Mapped[datetime]
    changed_at: Mapped[datetime]


def any_account(session: Session) -> bool:
    """Whether anybody at all may sign in."""
    return session.execute(select(Account.id).limit(1)).first() is not None


def by_id(session: Session, account_id: int, *, lock: bool = False) -> Account | None:
    """The account of that number; locked for changing if so asked."""
    return session.get(Account, account_id, with_for_update=lock or None)


def by_name(session: Session, name_key: str, *, lock: bool = False) -> Account | None:
    """The account of that name (made for comparing)."""
    found = select(Account).where(Account.name_key == name_key)
    return session.execute(found.with_for_update() if lock else found).scalar_one_or_none()
