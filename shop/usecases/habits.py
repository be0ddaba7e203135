"""How the shop keeps its ledger: how much cutting waste is usual."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from shop.core.errors import Clash, Problem
from shop.core.spread import Basis
from shop.store import ledger as table
from shop.store import saving as presses
from shop.store.engine import Store
from shop.usecases.draw import USUAL_WASTE
from shop.usecases.given import Given


@dataclass(frozen=True, slots=True, kw_only=True)
class Habits:
    """The shop's habits.

    Attributes:
        usual_waste: the share of what is drawn that may go as waste into a rug's cost; more is written off.
        basis: whether the shop set it, or it is a starting guess.
        revision: goes up with each change; 0 before the first.
    """

    usual_waste: Decimal
    basis: Basis
    revision: int


def current(store: Store) -> Habits:
    """The habits as they are."""
    with store.reading() as session:
        return _habits(table.habits(session))


def _habits(row: table.Habits | None) -> Habits:
    if row is None:
        return Habits(usual_waste=USUAL_WASTE, basis=Basis.GUESS, revision=0)
    return Habits(usual_waste=row.usual_waste, basis=Basis.SETTING, revision=row.revision)


def change(store: Store, *, usual_waste: Decimal, revision: int, saving: str, now: datetime) -> Habits:
    """Set the habits; waste that was noted before stays as it was.

    Args:
        store: the shop's database.
        usual_waste: a share, 0 to 1.
        revision: of the habits that the form showed.
        saving: the form's token.
        now: the time, zoned.

    Raises:
        Refusal: ``number.small``, ``number.large`` or ``number.finer`` at ``usual_waste``.
        Clash: ``habit.changed``.
    """
    with store.writing() as session:
        row = table.habits(session, lock=True)
        said = {"usual_waste": usual_waste}
        if presses.claim(session, act="habits.change", token=saving, given=said, now=now) is None:
            given = Given()
            share = given.number("usual_waste", usual_waste, 0, 1)
            given.done()
            if (row.revision if row else 0) != revision:
                raise Clash(Problem("habit.changed"))
            if row is None:
                row = table.Habits(id=1, usual_waste=share, revision=1)
                session.add(row)
            else:
                row.usual_waste, row.revision = share, revision + 1
            session.flush()
        return _habits(row or table.habits(session))
