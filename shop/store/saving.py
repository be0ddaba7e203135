"""Presses of a button: so that the same press twice is one act.

A form carries a token made with the page. The first transaction that brings it claims it, with a digest of what
was given, and notes what came of it. Another that brings the same token with the same content finds that note and
does nothing more; one that brings other content is refused, so that nothing is taken for saved that was not.
"""

import dataclasses
import hashlib
import json
import re
from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal
from enum import Enum
from typing import Final

from sqlalchemy import BigInteger, select, update
from sqlalchemy.orm import Mapped, Session, mapped_column

from shop.core.errors import Clash, Problem, Refusal
from shop.store.base import PLAIN_TEXT, Base, insert_if_absent

TOKEN: Final = re.compile(r"[A-Za-z0-9_-]{16,64}")
DEEPEST: Final = 40
"""What is nested deeper than this is no content of any form, and counts as the same."""


class Press(Base):
    """One press of one button.

    Attributes:
        act: what kind of act, with ``token`` that of the form.
        digest: of what was given with it.
        about: the number of what was saved.
    """

    __tablename__ = "press"

    act: Mapped[str] = mapped_column(PLAIN_TEXT, primary_key=True)
    token: Mapped[str] = mapped_column(PLAIN_TEXT, primary_key=True)
    digest: Mapped[str] = mapped_column(PLAIN_TEXT)
    about: Mapped[int | None] = mapped_column(BigInteger)
    at: Mapped[datetime]


def claim(session: Session, *, act: str, token: str, given: object, now: datetime) -> int | None:
    """Claim a press; ``None`` the first time, else the number of what the first one saved.

    Args:
        session: of the transaction in which the act is done.
        act: what kind of act, and about what where its number is not in ``given``.
        token: of the form.
        given: all that the form said, as plain values and dataclasses of them; never a password, of which a digest
            would be easier to guess than its hash.
        now: the time, zoned.

    Raises:
        Refusal: ``saving.token`` when the form carries no usable token.
        Clash: ``saving.other`` when an earlier press of the same form saved something else.
    """
    if not TOKEN.fullmatch(token):
        raise Refusal(Problem("saving.token"))
    digest = digest_of(given)
    values = {"act": act, "token": token, "digest": digest, "about": None, "at": now}
    if insert_if_absent(session, Press, values):
        return None
    earlier = session.execute(
        select(Press.digest, Press.about).where(Press.act == act, Press.token == token)
    ).one()
    if earlier.digest != digest:
        raise Clash(Problem("saving.other"))
    return 0 if earlier.about is None else int(earlier.about)


def about(session: Session, *, act: str, token: str) -> int | None:
    """What an earlier press of this act and token saved; ``None`` when there was none."""
    found = select(Press.about).where(Press.act == act, Press.token == token)
    return session.execute(found).scalar_one_or_none()


def settle(session: Session, *, act: str, token: str, about: int) -> None:
    """Note what came of a claimed press, in the transaction that claimed it."""
    session.execute(
        update(Press)
        .where(Press.act == act, Press.token == token)
        .values(about=about)
        .execution_options(synchronize_session=False)
    )


def digest_of(given: object) -> str:
    """The same for the same content, whatever it is held in: 1.50 and 1.5, a list and a tuple."""
    written = json.dumps(_plain(given, DEEPEST), sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(written.encode("ascii")).hexdigest()


def _plain(value: object, deep: int) -> object:
    if deep < 0:
        return "deeper"
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        named = {one.name: _plain(getattr(value, one.name), deep - 1) for one in dataclasses.fields(value)}
        return {"of": type(value).__name__, "is": named}
    if isinstance(value, Mapping):
        return {str(key): _plain(one, deep - 1) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(one, deep - 1) for one in value]
    if isinstance(value, Enum):
        return _plain(value.value, deep)
    if isinstance(value, Decimal):
        return {"number": str(value.normalize() if value.is_finite() else value)}
    if isinstance(value, date):
        return {"day": value.isoformat()}
    if isinstance(value, bytes):
        return {"bytes": hashlib.sha256(value).hexdigest()}
    if isinstance(value, bool | float | str | None):
        return value
    if isinstance(value, int):
        return f"{value:x}"  # written out in tens it could be too long to write
    return {"odd": type(value).__name__}  # what cannot be kept: the act itself refuses it
