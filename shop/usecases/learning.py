"""What the weaver says to what her rugs say: a record set aside with a reason, taken in again, and how long her pace holds."""

from __future__ import annotations

from datetime import datetime
from typing import Final

from shop.core.errors import Clash, NotFound, Problem
from shop.store import learning as table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.usecases.evidence_of_jobs import key_of
from shop.usecases.given import Given
from shop.usecases.rugs_say import rugs_say

SHORTEST: Final = 30
LONGEST: Final = 36_500
LONGEST_KEY: Final = 120


def set_aside(store: Store, *, key: str, reason: str, saving: str, now: datetime) -> None:
    """Set a record aside, so that nothing is learned from it.

    Args:
        store: the shop's database.
        key: of the record.
        reason: why, in a few words.
        saving: the form's token.
        now: the time, zoned.

    Raises:
        Refusal: ``text.missing``, ``text.long`` or ``text.control`` at ``reason``.
        NotFound: ``evidence.unknown``.
        Clash: ``evidence.aside`` when it is aside already.
    """
    given = Given()
    said = given.line("reason", reason, required=True)
    given.done()
    known = len(key) <= LONGEST_KEY and any(key_of(one) == key for one in rugs_say(store).seen.records)
    with store.writing() as session:
        if presses.claim(session, act="evidence.aside", token=saving, given=(key, said), now=now) is None:
            if not known:
                raise NotFound(Problem("evidence.unknown"))
            if table.aside_of(session, key) is not None:
                raise Clash(Problem("evidence.aside"))
            session.add(table.EvidenceAside(key=key, reason=said, at=now, restored_at=None))


def restore(store: Store, *, key: str, saving: str, now: datetime) -> None:
    """Take a record in again; what was learned is then what it was before.

    Raises:
        NotFound: ``evidence.unknown`` when it is not aside.
    """
    with store.writing() as session:
        if presses.claim(session, act="evidence.restore", token=saving, given=key, now=now) is None:
            found = table.aside_of(session, key)
            if found is None:
                raise NotFound(Problem("evidence.unknown"))
            found.restored_at = now


def hold_pace(store: Store, *, days: int | None, revision: int, saving: str, now: datetime) -> None:
    """Set how long the weaver's pace holds.

    Args:
        store: the shop's database.
        days: after which a record counts half; ``None`` so that all count alike.
        revision: of the setting that the form showed.
        saving: the form's token.
        now: the time, zoned.

    Raises:
        Refusal: ``number.small`` or ``number.large`` at ``days``.
        Clash: ``learning.changed``.
    """
    given = Given()
    if days is not None:
        given.count("days", days, SHORTEST, LONGEST)
    given.done()
    with store.writing() as session:
        row = table.habit(session, lock=True)
        if presses.claim(session, act="learning.pace", token=saving, given=days, now=now) is None:
            if (row.revision if row else 0) != revision:
                raise Clash(Problem("learning.changed"))
            _keep(session, row, days)


def _keep(session: Session, row: table.LearningHabit | None, days: int | None) -> None:
    if row is None:
        session.add(table.LearningHabit(id=1, half_life=days, revision=1))
    else:
        row.half_life, row.revision = days, row.revision + 1
