"""Presses of a button: so that the same press twice is one act.

A form carries a token made with the page. The first transaction that brings it claims it and notes
what came of it; another that brings the same token finds that note and does nothing more.
"""

import re
from datetime import datetime
from typing import Final

from sqlalchemy import BigInteger, select, update
from sqlalchemy.orm import Mapped, Session, mapped_column

from shop.core.errors import Problem, Refusal
from shop.store.base import PLAIN_TEXT, Base, insert_if_absent

TOKEN: Final = re.compile(r"[A-Za-z0-9_-]{16,64}")


class Press(Base):
    """One press of one button: what kind of act, its token, and the number of what was saved."""

    __tablename__ = "press"

    act: Mapped[str] = mapped_column(PLAIN_TEXT, primary_key=True)
    token: Mapped[str] = mapped_column(PLAIN_TEXT, primary_key=True)
    about: Mapped[int | None] = mapped_column(BigInteger)
    at: Mapped[datetime]


def claim(session: Session, *, act: str, token: str, now: datetime) -> int | None:
    """Claim a press; ``None`` the first time, else the number of what the first one saved.

    Raises:
        Refusal: ``saving.token`` when the form carries no usable token.
    """
    if not TOKEN.fullmatch(token):
        raise Refusal(Problem("saving.token"))
    if insert_if_absent(session, Press, {"act": act, "token": token, "about": None, "at": now}):
        return None
    about = session.execute(select(Press.about).where(Press.act == act, Press.token == token)).scalar_one()
    return 0 if about is None else about


def settle(session: Session, *, act: str, token: str, about: int) -> None:
    """Note what came of a claimed press, in the transaction that claimed it."""
    session.execute(
        update(Press)
        .where(Press.act == act, Press.token == token)
        .values(about=about)
        .execution_options(synchronize_session=False)
    )
