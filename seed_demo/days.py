"""The story's calendar: a day so long ago in the shop's zone, and a press of a button that is always the same."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Final
from zoneinfo import ZoneInfo

TIME_ZONE: Final = "America/New_York"


@dataclass(frozen=True, slots=True)
class Day:
    """A day of the story.

    Attributes:
        date: in the shop's zone.
    """

    date: date

    def at(self, hour: int, minute: int = 0) -> datetime:
        """A time on this day, in UTC."""
        return datetime.combine(self.date, time(hour, minute), ZoneInfo(TIME_ZONE)).astimezone(UTC)


def days_before(now: datetime, count: int) -> Day:
    """The day so many days before ``now``; at least one, so that all of it has passed."""
    return Day(now.astimezone(ZoneInfo(TIME_ZONE)).date() - timedelta(days=max(1, count)))


def press(act: str) -> str:
    """The token of an act of the story: the same each time, so that telling it again changes nothing."""
    return f"the-demo-story-{act}"
