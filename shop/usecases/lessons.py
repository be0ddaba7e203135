"""What the shop's rugs say, laid out to be looked at: every number of the trade on each loom, and each record behind it."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date, timedelta
from statistics import median
from typing import Final

from shop.core.errors import NotFound, Problem
from shop.core.evidence import Evidence, What
from shop.core.hours import STEPS as STEPS_OF_WORK
from shop.core.learning import Learned, Place
from shop.core.loom import ShaftLoom
from shop.core.own_rugs import Answer, Question, answer
from shop.core.strips import Tool
from shop.store.engine import Store
from shop.usecases.evidence_of_jobs import WEIGHT, Source, key_of
from shop.usecases.loom import LoomCard
from shop.usecases.rugs_say import RugsSay, rugs_say

YEAR: Final = timedelta(days=365)
STEPS: Final = 24
"""Places at which a fitted line is worked out."""
PLAIN_ROW: Final = 0.6096
"""The width of a row that is shown as long as none was woven: two feet, in metres."""
SIZED: Final = (What.ROW, What.WARP, What.FINISH)
"""Numbers that grow with a size."""
ORDER: Final = (
    What.PACKING, What.TAKE_UP, What.WASTE, What.DRAW_IN, What.RELAXATION, What.ROW, What.WARP, What.FINISH,
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class LessonLine:
    """A number of the trade on a loom, or by a tool.

    Attributes:
        what: the number; ``on`` the loom by its number, or the tool.
        says: what the rugs say of it, at the size and for the kind of cloth that are usual in the shop.
        guess: what it started from, at that size.
        aside: records that were set aside.
    """

    what: What
    on: str
    says: Answer
    guess: float
    aside: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OnLoom:
    """What the rugs say of one loom; ``loom`` is ``None`` for the tools that strips are cut with."""

    loom: LoomCard | None
    lines: tuple[LessonLine, ...]


@dataclass(frozen=True, slots=True)
class Held:
    """How the estimates of a year's rugs turned out: so many below the low, between low and high, and above the high."""

    of: str
    below: int
    within: int
    above: int

    @property
    def whole(self) -> int:
        """How many there were."""
        return self.below + self.within + self.above


@dataclass(frozen=True, slots=True, kw_only=True)
class Overview:
    """Everything that the rugs say.

    Attributes:
        groups: loom by loom, then the tools.
        records: how many there are; ``rugs`` how many rugs they come from.
        held: how the estimates of the last year turned out.
        half_life: days after which a record of the weaver's pace counts half; ``revision`` of that setting.
    """

    groups: tuple[OnLoom, ...]
    records: int
    rugs: int
    held: tuple[Held, ...]
    half_life: int | None
    revision: int


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordLine:
    """A record behind a number.

    Attributes:
        key: it is set aside by.
        record: as it was seen.
        expected: what all others would have made of it; ``None`` while it is set aside.
        odd: it is likelier a slip than not, and hardly counts.
        source: where it comes from.
    """

    key: str
    record: Evidence
    expected: float | None
    odd: bool
    source: Source


@dataclass(frozen=True, slots=True)
class At:
    """The fitted line at one size: eight of ten rugs to come lie between low and high."""

    size: float
    low: float
    middle: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Lesson:
    """One number on one loom, with everything behind it.

    Attributes:
        line: what the rugs say.
        loom: the loom; ``None`` for a tool.
        records: newest first.
        fitted: over the sizes that were seen; at one size only where the number has none.
        by_kind: what they say of each kind of cloth that was woven.
    """

    line: LessonLine
    loom: LoomCard | None
    records: tuple[RecordLine, ...]
    fitted: tuple[At, ...]
    by_kind: tuple[tuple[str, Answer], ...]


def overview(store: Store) -> Overview:
    """What the rugs say of every loom in use, and of those put away that have records."""
    says = rugs_say(store)
    seen = {(one.what, one.on) for one in says.seen.records}
    groups = []
    for card in says.looms:
        on = str(card.id)
        if card.archived and not any(place[1] == on for place in seen):
            continue
        wanted = [what for what in ORDER if isinstance(card.loom, ShaftLoom) or what not in (What.DRAW_IN, What.RELAXATION)]
        groups.append(OnLoom(loom=card, lines=tuple(_line(says, what, on) for what in wanted)))
    tools = [_line(says, What.CUT, tool.value) for tool in Tool if (What.CUT, tool.value) in says.learned.guesses]
    if tools:
        groups.append(OnLoom(loom=None, lines=tuple(tools)))
    rugs = {one.source for one in says.seen.records if says.seen.sources[one.source].job is not None}
    return Overview(
        groups=tuple(groups),
        records=len(says.seen.records),
        rugs=len(rugs),
        held=_held(says),
        half_life=says.half_life,
        revision=says.revision,
    )


def _held(says: RugsSay) -> tuple[Held, ...]:
    """How the estimates turned out, of rugs done in the year up to the newest."""
    turned = says.seen.turned
    since = max((one.day for one in turned), default=date.min + YEAR) - YEAR
    found = []
    for of in (*STEPS_OF_WORK, WEIGHT):
        mine = [one for one in turned if one.of == of and one.day > since]
        below = sum(one.came_to < one.estimate.low for one in mine)
        above = sum(one.came_to > one.estimate.high for one in mine)
        if mine:
            found.append(Held(of, below, len(mine) - below - above, above))
    return tuple(found)


def _of(says: RugsSay, place: Place) -> list[Evidence]:
    return [one for one in says.seen.records if (one.what, one.on) == place]


def _usual_size(what: What, records: list[Evidence]) -> float:
    """The size that is usual: the median of those seen, or a plain one."""
    if what not in SIZED:
        return 1.0
    return median(one.size for one in records) if records else {What.ROW: PLAIN_ROW, What.WARP: 60.0}.get(what, 2.0)


def _usual_kind(what: What, records: list[Evidence]) -> str:
    """The kind of cloth that was woven most, where kinds differ in the number; empty where none is known."""
    kinds = Counter(one.kind for one in records if one.kind and not one.aside) if what.is_of_cloth else Counter()
    return min(kinds, key=lambda kind: (-kinds[kind], kind), default="")


def _line(says: RugsSay, what: What, on: str) -> LessonLine:
    records = _of(says, (what, on))
    size = _usual_size(what, records)
    return LessonLine(
        what=what,
        on=on,
        says=answer(says.learned, Question(what=what, on=on, kind=_usual_kind(what, records), size=size)),
        guess=says.learned.guesses[what, on].at(size),
        aside=sum(bool(one.aside) for one in records),
    )


def lesson(store: Store, *, what: str, on: str) -> Lesson:
    """One number on one loom, or by one tool.

    Raises:
        NotFound: ``lesson.unknown``.
    """
    says = rugs_say(store)
    place = next(((one, there) for one, there in says.learned.guesses if (one.value, there) == (what, on)), None)
    if place is None:
        raise NotFound(Problem("lesson.unknown"))
    found = says.learned.lessons.get(place)
    weighed = {key_of(one.record): one for one in found.records} if found else {}
    records = sorted(_of(says, place), key=lambda one: (one.day, one.source), reverse=True)
    lines = []
    for one in records:
        mine = weighed.get(key_of(one))
        lines.append(
            RecordLine(
                key=key_of(one),
                record=one,
                expected=mine.expected if mine else None,
                odd=mine is not None and mine.is_odd,
                source=says.seen.sources[one.source],
            )
        )
    kinds = sorted({one.kind for one in records if one.kind and not one.aside}) if place[0].is_of_cloth else []
    size = _usual_size(place[0], records)
    return Lesson(
        line=_line(says, *place),
        loom=says.loom(on),
        records=tuple(lines),
        fitted=_fitted(says.learned, place, records),
        by_kind=tuple(
            (kind, answer(says.learned, Question(what=place[0], on=on, kind=kind, size=size))) for kind in kinds
        ),
    )


def _fitted(learned: Learned, place: Place, records: list[Evidence]) -> tuple[At, ...]:
    what, on = place
    sizes, kind = [one.size for one in records], _usual_kind(what, records)
    if what not in SIZED or not sizes:
        ends = [1.0]
    else:
        least, most = min(sizes) * 0.9, max(sizes) * 1.1
        ends = [least + (most - least) * step / STEPS for step in range(STEPS + 1)]
    found = []
    for size in ends:
        said = answer(learned, Question(what=what, on=on, kind=kind, size=size))
        found.append(At(size, said.low, said.middle, said.high))
    return tuple(found)
