"""What can go wrong, in two kinds.

A *problem* is something a person can mend: a value, gathered with all the others of the same form
and shown beside its field. A *refusal* is an error raised when the work cannot go on at all.

Neither holds a sentence in any language. Each holds a code, and the values that a sentence about it
needs; ``shop.words`` turns both into words.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Problem:
    """Something the person at the keyboard can mend.

    Attributes:
        code: which sentence to show, e.g. ``"length.unreadable"``.
        where: the field, as a dotted path such as ``"rug.width"``; empty for the whole form.
        values: what the sentence names: text as typed, a ``Length``, a ``Money``, a number.
    """

    code: str
    where: str = ""
    values: Mapping[str, object] = field(default_factory=dict, hash=False)

    def at(self, where: str) -> Problem:
        """The same problem, found at another place."""
        return Problem(self.code, where, self.values)


class Refusal(Exception):
    """The work cannot go on; ``problems`` says why, all of it at once."""

    def __init__(self, *problems: Problem) -> None:
        super().__init__("; ".join(f"{p.where}: {p.code}" if p.where else p.code for p in problems))
        self.problems = problems


class Unreadable(Refusal):
    """Text that does not say a length, a weight, an amount or a number."""


class CannotMake(Refusal):
    """A rug that this loom cannot make; a value ``nearest`` names the sizes that it can."""


class NotPossible(Refusal):
    """Figures that contradict one another, such as a margin of 100 % or overhead over no hours."""


class NotFound(Refusal):
    """Something asked for by its number is not in the shop."""


class Clash(Refusal):
    """Somebody else has changed or used it in the meantime, or its name is taken."""
