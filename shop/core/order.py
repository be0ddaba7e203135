"""An order: the states of an offer, and which may follow which. The words are those of the law of contract."""

from __future__ import annotations

from datetime import date
from enum import StrEnum
from typing import Final


class OfferState(StrEnum):
    """What has become of an offer."""

    OFFERED = "offered"
    ACCEPTED = "accepted"
    DECLINED = "declined"
    WITHDRAWN = "withdrawn"
    LAPSED = "lapsed"


ENDS: Final = frozenset({OfferState.ACCEPTED, OfferState.DECLINED, OfferState.WITHDRAWN, OfferState.LAPSED})
"""The states after which nothing follows: an offer is answered once."""


def state_on(kept: OfferState, holds_until: date, today: date) -> OfferState:
    """The state of an offer on a day: one that nobody answered lapses by itself after the last day that it holds."""
    return OfferState.LAPSED if kept is OfferState.OFFERED and today > holds_until else kept


def can_be_answered(kept: OfferState, holds_until: date, today: date) -> bool:
    """Whether a customer can still say yes or no."""
    return state_on(kept, holds_until, today) is OfferState.OFFERED
