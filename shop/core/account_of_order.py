"""The account of one order: what came in is earned, owed to the customer, or was given back; tips stand apart.

A deposit is a debt to the customer until the rug is handed over; then as much as the order came to is earned, and
whatever was paid beyond it stays a debt. ``received = earned + owed + returned`` after every event.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum

from shop.core.errors import NotPossible, Problem
from shop.core.money import Money


class Happening(StrEnum):
    """What can happen to an order, and what its amount then is."""

    DEPOSIT_ASKED = "deposit asked"
    """The deposit; asked again, it is so much more."""
    PAYMENT = "payment"
    """What the customer paid, be it a deposit or the rest."""
    REFUND = "refund"
    """What the customer got back, of what is owed."""
    TIP = "tip"
    """Given to the maker, above any payment."""
    HANDED_OVER = "handed over"
    """What the order came to, with tax; nothing for a gift."""
    CANCELLED = "cancelled"
    """What is kept, of what is owed; the rest stays owed until it is given back."""


class Stage(StrEnum):
    """How far an order has come."""

    OPEN = "open"
    HANDED_OVER = "handed over"
    CANCELLED = "cancelled"


AFTER_HANDING_OVER = (Happening.PAYMENT, Happening.REFUND, Happening.TIP)


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """Something that happened, with its amount in the order's currency."""

    what: Happening
    amount: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderAccount:
    """How an order stands after its events.

    Attributes:
        stage: how far it has come.
        asked: deposits asked for, together.
        received: all payments, without tips.
        earned: what of them is the maker's.
        owed: what of them is the customer's still.
        returned: what of them the customer got back.
        tips: earned as they came.
        came_to: what the order came to; nothing before it is handed over, and when it is cancelled what was kept.
    """

    stage: Stage = Stage.OPEN
    asked: Money
    received: Money
    earned: Money
    owed: Money
    returned: Money
    tips: Money
    came_to: Money

    @classmethod
    def opened(cls, currency: str) -> OrderAccount:
        """An order to which nothing has happened."""
        no = Money.zero(currency)
        return cls(asked=no, received=no, earned=no, owed=no, returned=no, tips=no, came_to=no)

    @property
    def deposit_open(self) -> Money:
        """What of the deposit asked for has not come, or was given back; nothing once the order is not open."""
        nothing = Money.zero(self.asked.currency)
        return max(self.asked - self.owed, nothing) if self.stage is Stage.OPEN else nothing

    @property
    def to_pay(self) -> Money:
        """What the customer still has to pay of an order handed over."""
        return self.came_to - self.earned

    @property
    def ended(self) -> bool:
        """Handed over or cancelled, and neither side has anything to pay."""
        return self.stage is not Stage.OPEN and not self.owed and not self.to_pay

    def after(self, event: Event) -> OrderAccount:
        """The account after one more event.

        Payments settle an order handed over until it is paid, and refunds until nothing is owed. After the end
        nothing may come but a tip for an order that was handed over.

        Raises:
            NotPossible: ``order.amount`` for an amount below nothing, or of nothing where that says nothing;
                ``order.ended`` for what cannot happen any more; ``order.refund`` for more than is owed;
                ``order.kept`` for keeping more than was paid and not given back; ``money.mixed``.
        """
        what, amount = event.what, event.amount
        may_be_nothing = what in (Happening.HANDED_OVER, Happening.CANCELLED)
        if amount.minor < 0 or not (amount or may_be_nothing):
            raise NotPossible(Problem("order.amount", "amount"))
        if not self._open_to(what):
            raise NotPossible(Problem("order.ended"))
        if what is Happening.DEPOSIT_ASKED:
            return replace(self, asked=self.asked + amount)
        if what is Happening.TIP:
            return replace(self, tips=self.tips + amount)
        if what is Happening.PAYMENT:
            earned = min(amount, self.to_pay)
            paid = replace(self, received=self.received + amount, earned=self.earned + earned)
            return replace(paid, owed=self.owed + (amount - earned))
        if what is Happening.REFUND:
            if self.owed < amount:
                raise NotPossible(Problem("order.refund", "amount", {"owed": self.owed}))
            return replace(self, owed=self.owed - amount, returned=self.returned + amount)
        if what is Happening.CANCELLED and self.owed < amount:
            raise NotPossible(Problem("order.kept", "amount", {"owed": self.owed}))
        earned = min(amount, self.owed)
        stage = Stage.CANCELLED if what is Happening.CANCELLED else Stage.HANDED_OVER
        return replace(self, stage=stage, came_to=amount, earned=earned, owed=self.owed - earned)

    def _open_to(self, what: Happening) -> bool:
        if self.stage is Stage.OPEN:
            return True
        if self.stage is Stage.CANCELLED:
            return what is Happening.REFUND and not self.ended
        return what is Happening.TIP or (what in AFTER_HANDING_OVER and not self.ended)


def account_of(events: Iterable[Event], currency: str) -> OrderAccount:
    """The account of an order after all its events, in the order in which they happened.

    Raises:
        NotPossible: as ``OrderAccount.after``.
    """
    account = OrderAccount.opened(currency)
    for event in events:
        account = account.after(event)
    return account
