"""The till: a basket of rugs at the prices agreed, the tax on or in it, how it is paid, and what must lie in the drawer.

Every rule is one of whole smallest coins, so that a till on a phone reckons the same to the last of them:

    due          = the prices, less a discount (half a coin up), or the sum agreed for all of them
    due of a rug = its part of that in proportion to its price, by largest remainder (ties to the earlier)
    tax          = due x rate on top, or due x rate / (1 + rate) contained, once for the basket, half a coin up
    tax of a rug = its part of that in proportion to what is due for it, by largest remainder
    total        = due, and the tax where it goes on top
    cash         = total less what is paid elsewhere, to the step of the country (``cash.in_cash``)
    change       = what was given less the cash
    in the drawer = float + cash taken - cash paid out
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from shop.core.cash import in_cash
from shop.core.errors import NotPossible, Problem
from shop.core.money import Money, split, total
from shop.core.tax import tax_of


@dataclass(frozen=True, slots=True, kw_only=True)
class RugWanted:
    """A rug that somebody wants to buy.

    Attributes:
        rug: its key or number; a basket holds it once.
        tag: the price on its tag.
        agreed: the price after bargaining over this one; ``None`` where the tag's stands.
    """

    rug: str
    tag: Money
    agreed: Money | None = None

    @property
    def price(self) -> Money:
        """The price now."""
        return self.tag if self.agreed is None else self.agreed


@dataclass(frozen=True, slots=True, kw_only=True)
class FairTax:
    """The tax at a fair.

    Attributes:
        rate: as a share.
        included: the prices contain it; else it goes on top.
    """

    rate: Decimal = Decimal(0)
    included: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class RugSold:
    """A rug in a basket.

    Attributes:
        rug: as it was wanted.
        tag: the price on its tag.
        due: what it goes for: with the tax that it contains, without the tax on top.
        tax: its part of the basket's tax.
        net: what of it is the maker's, before fees.
    """

    rug: str
    tag: Money
    due: Money
    tax: Money
    net: Money

    @property
    def off(self) -> Money:
        """What it goes for less than its tag says."""
        return self.tag - self.due


@dataclass(frozen=True, slots=True, kw_only=True)
class Basket:
    """Rugs bought together.

    Attributes:
        rugs: in the order in which they were wanted.
        tags: what their tags come to.
        due: what they go for.
        tax: on that or in it.
        total: what the customer pays, before it is rounded for cash.
    """

    rugs: tuple[RugSold, ...]
    tags: Money
    due: Money
    tax: Money
    total: Money

    @property
    def off(self) -> Money:
        """What they go for less than their tags say."""
        return self.tags - self.due


def basket(
    wanted: Sequence[RugWanted], tax: FairTax, *, discount: Decimal = Decimal(0), bargain: Money | None = None
) -> Basket:
    """Rugs bought together: what they go for, the tax, and the sum to pay.

    Args:
        wanted: the rugs, at least one.
        tax: of the fair.
        discount: a share taken off all prices together: 0.1 is a tenth.
        bargain: the sum agreed for all of them instead of their prices; without the tax that goes on top.

    Raises:
        NotPossible: ``till.empty`` for no rug, ``till.twice`` for a rug that is in it already, ``till.price`` for a price
            below nothing, ``discount.range``, ``till.two_ways`` for a discount and a bargain at once, ``till.bargain`` for a
            bargain below nothing or above the prices, ``tax.range``, ``money.mixed``.
    """
    if not wanted:
        raise NotPossible(Problem("till.empty", "rugs"))
    currency = wanted[0].tag.currency
    prices = total((one.price for one in wanted), currency)
    problems = _problems(wanted, prices, discount, bargain)
    if problems:
        raise NotPossible(*problems)
    due = prices - prices.share(discount) if bargain is None else bargain
    dues = split(due, [one.price.minor for one in wanted])
    whole_tax = tax_of([due], tax.rate, included=tax.included)
    taxes = split(whole_tax, [each.minor for each in dues])
    nothing = Money.zero(currency)
    return Basket(
        rugs=tuple(
            RugSold(rug=one.rug, tag=one.tag, due=each, tax=part, net=each - (part if tax.included else nothing))
            for one, each, part in zip(wanted, dues, taxes, strict=True)
        ),
        tags=total((one.tag for one in wanted), currency),
        due=due,
        tax=whole_tax,
        total=due if tax.included else due + whole_tax,
    )


def _problems(
    wanted: Sequence[RugWanted], prices: Money, discount: Decimal, bargain: Money | None
) -> list[Problem]:
    names = [one.rug for one in wanted]
    problems = [Problem("till.twice", f"rugs.{at}") for at, name in enumerate(names) if name in names[:at]]
    problems += [
        Problem("till.price", f"rugs.{at}")
        for at, one in enumerate(wanted)
        if one.tag.minor < 0 or one.price.minor < 0
    ]
    if not 0 <= discount <= 1:
        problems.append(Problem("discount.range", "discount", {"share": discount}))
    elif bargain is not None and discount:
        problems.append(Problem("till.two_ways", "bargain"))
    if bargain is not None and (bargain.minor < 0 or prices < bargain):
        problems.append(Problem("till.bargain", "bargain", {"prices": prices}))
    return problems


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """How a sum was paid.

    Attributes:
        total: to pay.
        elsewhere: what of it was paid by card or any other means.
        cash: what is paid in cash, rounded where the country rounds.
        rounding: what rounding added to the total, or took from it.
        given: what the customer laid down.
        change: what goes back.
    """

    total: Money
    elsewhere: Money
    cash: Money
    rounding: Money
    given: Money
    change: Money


def settle(to_pay: Money, *, elsewhere: Money, given: Money | None, step: Money) -> Settled:
    """How a sum is paid, partly or wholly in cash; what is paid elsewhere is never rounded.

    Args:
        to_pay: the basket's total.
        elsewhere: paid by card or any other means.
        given: cash laid down; ``None`` for just what is due.
        step: of the country's cash (``cash.cash_step``); nothing where it does not round.

    Raises:
        NotPossible: ``till.elsewhere`` for less than nothing or more than the total by other means, ``till.short`` when too
            little cash was given.
    """
    if elsewhere.minor < 0 or to_pay < elsewhere:
        raise NotPossible(Problem("till.elsewhere", "elsewhere", {"total": to_pay}))
    rest = to_pay - elsewhere
    cash = in_cash(rest, step)
    laid = cash if given is None else given
    if laid < cash:
        raise NotPossible(Problem("till.short", "given", {"short": cash - laid}))
    return Settled(
        total=to_pay, elsewhere=elsewhere, cash=cash, rounding=cash - rest, given=laid, change=laid - cash
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawer:
    """The drawer of a day.

    Attributes:
        opening: the float, what lay in it before the first sale.
        taken: the cash of all sales, change given back.
        paid_out: cash that went out otherwise: a sale undone, a coffee, the stall's fee.
        counted: at the end; ``None`` until somebody has.
    """

    opening: Money
    taken: Money
    paid_out: Money
    counted: Money | None = None

    @property
    def expected(self) -> Money:
        """What must lie in it."""
        return self.opening + self.taken - self.paid_out

    @property
    def difference(self) -> Money | None:
        """What was counted over what must lie in it: more than nothing is too much, less than nothing is missing."""
        return None if self.counted is None else self.counted - self.expected
