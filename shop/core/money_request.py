"""Requests for money: what is asked of a customer for an order, and whether it has come.

A request is no tax document. It has no running number but a reference, by which a payment is known again: the job's number
and how manieth request of that job it is. It stands until so much has come in all as it asks to be reached; the newest
request of an order replaces those before it.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from shop.core.account_of_order import OrderAccount, Stage
from shop.core.errors import NotPossible, Problem
from shop.core.money import Money


class Asked(StrEnum):
    """What is asked for."""

    DEPOSIT = "deposit"
    BALANCE = "balance"


class Standing(StrEnum):
    """How a request stands."""

    OUTSTANDING = "outstanding"
    PAID = "paid"
    REPLACED = "replaced"
    """A later one asks for it."""
    DROPPED = "dropped"
    """The order was cancelled."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sum:
    """What is asked: ``amount`` now, so that ``to_reach`` has come in all."""

    amount: Money
    to_reach: Money


def reference(job: int, nth: int) -> str:
    """By which a payment is known again: ``12-1`` is the first request of job 12."""
    return f"{job}-{nth}"


def paid(account: OrderAccount) -> Money:
    """What came and was not given back, without tips."""
    return account.received - account.returned


def to_ask(what: Asked, *, agreed: Money | None, deposit: Money, account: OrderAccount) -> Sum:
    """How much to ask for.

    Args:
        what: the deposit or the balance.
        agreed: what the rug is to cost; ``None`` where nothing was agreed.
        deposit: that was agreed on.
        account: how the order stands.

    Raises:
        NotPossible: ``request.cancelled``; ``request.no_price`` where nobody knows what the rug is to cost;
            ``request.no_deposit`` where none was agreed, or it has come, or the rug is handed over; ``request.paid``
            where all has come.
    """
    if account.stage is Stage.CANCELLED:
        raise NotPossible(Problem("request.cancelled"))
    price = account.came_to if account.stage is Stage.HANDED_OVER else agreed
    if price is None:
        raise NotPossible(Problem("request.no_price"))
    to_reach, code = (price, "request.paid") if what is Asked.BALANCE else (min(deposit, price), "request.no_deposit")
    amount = to_reach - paid(account)
    if amount.minor <= 0 or (what is Asked.DEPOSIT and account.stage is not Stage.OPEN):
        raise NotPossible(Problem(code, "what"))
    return Sum(amount=amount, to_reach=to_reach)


def missing(asked: Sum, account: OrderAccount) -> Money:
    """How much of what was asked has not come: never more than was asked."""
    left = asked.to_reach - paid(account)
    return min(asked.amount, max(left, Money.zero(left.currency)))


def standing(asked: Sum, account: OrderAccount, *, newest: bool) -> Standing:
    """How a request stands; ``newest`` if no later one was written for the order."""
    if not missing(asked, account):
        return Standing.PAID
    if account.stage is Stage.CANCELLED:
        return Standing.DROPPED
    return Standing.OUTSTANDING if newest else Standing.REPLACED
