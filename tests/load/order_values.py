"""What each of many invented orders is like, told in a database's own words so that it can fill them in by itself."""

from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Final

from sqlalchemy import Connection, text

from shop.core.measure import Length
from shop.store.job import OPEN
from tests.load.a_full_shop import NOW
from tests.load.many_quotes import ALONE, COLOURS, FIRST, LAST, PLACES, RARE

SOMEBODY: Final = "Ottoline Grice"
OPEN_ONES, READY_ONES, WHOLE_ONES = 40, 8, 100
RARE_ONES: Final = 15
EVERY: Final = timedelta(minutes=26)
LOOMS: Final = ("Floor loom", "Peg frame", "Plank")
"""By how often they are used; the last is used as seldom as anything rare."""
WIDTHS: Final = (24, 30, 36)
EXTRA_WIDE: Final = 48


class OrderValues:
    """Values of the order ``i`` places after the first; what is given for ``i`` is a term of the database's."""

    def __init__(self, postgresql: bool, rows: int) -> None:  # noqa: FBT001 - said once, above
        self.postgresql, self.rows, self.more = postgresql, rows, rows - 1
        self.seldom = max(2, (rows - OPEN_ONES - READY_ONES) // RARE_ONES) // 2 * 2

    def carelessly(self, connection: Connection) -> None:
        """Without waiting for the disk, or looking whether each row points at one that is there: these can be made again."""
        if self.postgresql:
            connection.execute(text("SET LOCAL synchronous_commit = off"))
            if connection.execute(text("SELECT rolsuper FROM pg_roles WHERE rolname = current_user")).scalar_one():
                connection.execute(text("SET LOCAL session_replication_role = replica"))

    def pick(self, words: Sequence[str], place: str) -> str:
        """One of these words."""
        turn = f"{place} % {len(words)}"
        if self.postgresql:
            listed = ", ".join(f"'{word}'" for word in words)
            return f"(ARRAY[{listed}])[1 + {turn}]"
        return f"json_extract('{json.dumps(words)}', '$[' || ({turn}) || ']')"

    def begun(self, i: str) -> str:
        """When it was begun, at an even pace up to now."""
        first: datetime = NOW - EVERY * self.more
        minutes = f"{i} * {EVERY // timedelta(minutes=1)}"
        if self.postgresql:
            return f"CAST('{first.isoformat()}' AS timestamptz) + {minutes} * interval '1 minute'"
        return f"strftime('%Y-%m-%d %H:%M:%S', '{first:%Y-%m-%d %H:%M:%S}', '+' || ({minutes}) || ' minutes') || '.000000'"

    def document(self, column: str, i: str, cut: str = "'{}'") -> str:
        """A whole document, or what is left of it."""
        cut = f"CAST({cut} AS json)" if self.postgresql else cut
        return f"CASE WHEN {self.is_whole(i)} THEN {column} ELSE {cut} END"

    def age(self, i: str) -> str:
        """How many orders are newer."""
        return f"({self.more} - {i})"

    def is_whole(self, i: str) -> str:
        """Its documents are whole."""
        return f"({self.age(i)} < {WHOLE_ONES} OR {i} % 500 = 0)"

    def is_over(self, i: str) -> str:
        """It was handed over."""
        return f"({self.age(i)} >= {OPEN_ONES + READY_ONES} AND {i} % 12 <> 7)"

    def is_called_off(self, i: str) -> str:
        """It was called off."""
        return f"({self.age(i)} >= {OPEN_ONES + READY_ONES} AND {i} % 12 = 7)"

    def is_loss(self, i: str) -> str:
        """It came to less than its cloth cost."""
        return f"({self.is_over(i)} AND {i} % {self.seldom} = 4)"

    def is_drawn_for(self, i: str) -> str:
        """Cloth was drawn for it."""
        return f"({i} % 2 = 0 AND {self.age(i)} >= {OPEN_ONES})"

    def state(self, i: str) -> str:
        """The state of its job."""
        age = self.age(i)
        return (
            f"CASE WHEN {age} < {OPEN_ONES} THEN {self.pick(OPEN, age)} WHEN {age} < {OPEN_ONES + READY_ONES} THEN 'ready' "
            f"WHEN {self.is_called_off(i)} THEN 'called off' ELSE 'handed over' END"
        )

    def title(self, i: str) -> str:
        """What the rug is called."""
        colour, where = self.pick([one.capitalize() for one in COLOURS], i), self.pick(PLACES, f"({i} / 7)")
        return f"{colour} || ' ' || {where} || ' ' || {self.pick(ALONE, i)} || ', rag woven'"

    def customer(self, c: str) -> str:
        """The name of the customer so many places after the first."""
        called = f"{self.pick(FIRST, c)} || ' ' || {self.pick(LAST, f'({c} / 20)')}"
        rare = f"CASE WHEN {c} % {self.rows // RARE_ONES} = 1 THEN ' {RARE}' ELSE '' END"
        return f"CASE WHEN {c} = {self.rows // 8} THEN '{SOMEBODY}' ELSE {called} || {rare} END"

    def loom(self, i: str) -> str:
        """The name of its loom."""
        often, less, rare = LOOMS
        return (
            f"CASE WHEN {self.is_whole(i)} THEN '{often}' WHEN {i} % {self.seldom} = 5 THEN '{rare}' "
            f"WHEN {i} % 5 < 3 THEN '{often}' ELSE '{less}' END"
        )

    def width(self, i: str) -> str:
        """The width of its rug."""
        usual = self._inches(WIDTHS[0]), self._inches(WIDTHS[1]), self._inches(WIDTHS[2])
        return (
            f"CASE WHEN {i} % {self.seldom} = 6 THEN {self._inches(EXTRA_WIDE)} WHEN {i} % 3 = 0 THEN {usual[0]} "
            f"WHEN {i} % 3 = 1 THEN {usual[1]} ELSE {usual[2]} END"
        )

    @staticmethod
    def _inches(number: int) -> int:
        return Length.of(number, "in").nm
