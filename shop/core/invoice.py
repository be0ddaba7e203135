"""The arithmetic of an invoice, of a receipt and of a credit note: it adds up to the last coin.

What is *entered*, a line or an allowance or a charge, is without its tax, or with it where the prices contain it.
Then the gross is what is kept, and net is gross less tax. Tax is rounded half-up, once: for each rate of the whole
document (EN 16931, which also names the sums: BR-CO-10 to BR-CO-17), or for each line (Streamlined Sales and Use
Tax Agreement, section 324). Each thing bears the tax that it adds to what stands above it at its rate, so that the
taxes of the parts come to the tax of the whole.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Final

from shop.core.errors import NotPossible, Problem
from shop.core.money import LARGEST_MINOR, Money, round_to_step, total
from shop.core.tax import tax_contained, tax_on_top

LARGEST_QUANTITY: Final = 10**6
"""More of one thing on a line is a slip of the hand."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """So many of a thing.

    Attributes:
        name: what it is.
        quantity: how many, or how much, above nothing and in whatever unit the price is for.
        price: of one; a Decimal, in whole currency units, may be finer than a coin.
        tax_rate: as a share, 0.25 is 25 %.
    """

    name: str
    quantity: Decimal
    price: Decimal | Money
    tax_rate: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Adjustment:
    """Taken off the whole document (an allowance) or put on it (a charge); ``amount`` is never negative."""

    name: str
    amount: Money
    tax_rate: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Invoice:
    """What an invoice says, before it is added up.

    Attributes:
        currency: ISO 4217; of every amount.
        lines: at least one (BR-16).
        allowances: taken off the whole.
        charges: put on the whole, such as carriage.
        tax_included: whether everything entered contains its tax.
        by_line: tax rounded for each thing by itself, not once for each rate.
        paid: what has been paid already, each payment.
        rounding: what coins make of the rest, above or below nothing; see ``cash_rounding``.
    """

    currency: str
    lines: tuple[Line, ...]
    allowances: tuple[Adjustment, ...] = ()
    charges: tuple[Adjustment, ...] = ()
    tax_included: bool = False
    by_line: bool = False
    paid: tuple[Money, ...] = ()
    rounding: Money | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A part of an invoice, each thing by its position there, counted from nought.

    Attributes:
        lines: how much of a line's quantity.
        allowances: how much of an allowance, as entered.
        charges: how much of a charge, as entered.
    """

    lines: Mapping[int, Decimal] = field(default_factory=dict)
    allowances: Mapping[int, Money] = field(default_factory=dict)
    charges: Mapping[int, Money] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Taxed:
    """A line, an allowance or a charge reckoned; ``position`` is its place on the invoice, from nought."""

    position: int
    name: str
    tax_rate: Decimal
    net: Money
    tax: Money

    @property
    def gross(self) -> Money:
        """With its tax."""
        return self.net + self.tax

    def __neg__(self) -> Taxed:
        return replace(self, net=-self.net, tax=-self.tax)


@dataclass(frozen=True, slots=True, kw_only=True)
class TaxAtRate:
    """The tax at one rate, and the amount without tax that it is on (BR-CO-17).

    On top of prices and by the document ``tax`` is ``taxable x rate`` rounded; else within its roundings.
    """

    tax_rate: Decimal
    taxable: Money
    tax: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class Totals:
    """A document added up. On a credit note every amount has the sign opposite to the invoice's.

    Attributes:
        currency: of every amount.
        lines: with their net amounts.
        allowances: as amounts to take off.
        charges: as amounts to put on.
        paid: what has been paid already.
        rounding: what coins make of the rest.
    """

    currency: str
    lines: tuple[Taxed, ...]
    allowances: tuple[Taxed, ...]
    charges: tuple[Taxed, ...]
    paid: Money
    rounding: Money

    @property
    def sum_of_lines(self) -> Money:
        """The line net amounts together (BR-CO-10)."""
        return total((line.net for line in self.lines), self.currency)

    @property
    def sum_of_allowances(self) -> Money:
        """Allowances without tax (BR-CO-11)."""
        return total((one.net for one in self.allowances), self.currency)

    @property
    def sum_of_charges(self) -> Money:
        """Charges without tax (BR-CO-12)."""
        return total((one.net for one in self.charges), self.currency)

    @property
    def without_tax(self) -> Money:
        """``lines - allowances + charges`` (BR-CO-13)."""
        return self.sum_of_lines - self.sum_of_allowances + self.sum_of_charges

    @property
    def taxes(self) -> tuple[TaxAtRate, ...]:
        """For each rate, lowest first, its tax and what it is on (BR-CO-17)."""
        found: dict[Decimal, TaxAtRate] = {}
        nothing = Money.zero(self.currency)
        for one in (*self.lines, *self.charges, *(-allowance for allowance in self.allowances)):
            was = found.get(one.tax_rate) or TaxAtRate(tax_rate=one.tax_rate, taxable=nothing, tax=nothing)
            found[one.tax_rate] = replace(was, taxable=was.taxable + one.net, tax=was.tax + one.tax)
        return tuple(found[rate] for rate in sorted(found))

    @property
    def tax(self) -> Money:
        """The taxes at all rates together (BR-CO-14)."""
        return total((one.tax for one in self.taxes), self.currency)

    @property
    def with_tax(self) -> Money:
        """``without tax + tax`` (BR-CO-15)."""
        return self.without_tax + self.tax

    @property
    def due(self) -> Money:
        """``with tax - paid + rounding`` (BR-CO-16); below nothing where more was paid than asked."""
        return self.with_tax - self.paid + self.rounding

    def __neg__(self) -> Totals:
        lines, allowances, charges = (
            tuple(-one for one in group) for group in (self.lines, self.allowances, self.charges)
        )
        mirrored = replace(self, lines=lines, allowances=allowances, charges=charges)
        return replace(mirrored, paid=-self.paid, rounding=-self.rounding)


def totals(invoice: Invoice) -> Totals:
    """An invoice or a receipt added up.

    Raises:
        NotPossible: ``invoice.no_lines``, ``invoice.quantity``, ``invoice.price``, ``invoice.amount``,
            ``tax.range`` or ``money.mixed``, all at once; ``invoice.allowances`` where more is taken off at a
            rate than stands there; ``money.currency``, ``money.large``.
    """
    problems = [*_problems(invoice)]
    if problems:
        raise NotPossible(*problems)
    found = _reckoned(invoice, Part(), _everything(invoice))
    _refuse_below_nothing(found)
    rounding = invoice.rounding or Money.zero(invoice.currency)
    return replace(found, paid=total(invoice.paid, invoice.currency), rounding=rounding)


def cash_rounding(to_pay: Money, step: Money) -> Money:
    """What brings an amount to the nearest that coins can pay, half up: 202.27 to 0.05 takes 0.02 off."""
    return round_to_step(to_pay, step, up=False) - to_pay


def receipt_of(invoice: Invoice, step: Money | None = None) -> Invoice:
    """The invoice with its rest paid, in coins where a smallest ``step`` of them is given: nothing is due.

    Raises:
        NotPossible: ``invoice.overpaid`` where more than is asked was paid; and as ``totals``.
    """
    rest = totals(replace(invoice, rounding=None)).due
    if rest.minor < 0:
        raise NotPossible(Problem("invoice.overpaid", "paid", {"over": -rest}))
    rounding = cash_rounding(rest, step) if step else Money.zero(invoice.currency)
    return replace(invoice, paid=(*invoice.paid, rest + rounding), rounding=rounding)


def credit_note(invoice: Invoice, part: Part | None = None, *, before: Sequence[Part] = ()) -> Totals:
    """What takes back an invoice, or a part of it after the parts ``before``; every amount has the other sign.

    The whole mirrors every amount, payments and rounding too, so that both together are nothing. A part takes back
    only what it names. Parts that come to everything come to the invoice's own amounts, however they are cut.

    Raises:
        NotPossible: ``credit.unknown``, ``credit.quantity``, ``credit.amount`` or ``credit.more``, all at once;
            ``credit.nothing``; ``credit.beyond`` where more would be taken back at a rate than was asked at it;
            ``invoice.allowances`` where more of allowances is named than of all else; and as ``totals``.
    """
    whole = totals(invoice)
    named = _everything(invoice) if part is None else part
    done, after = _together(before), _together([*before, named])
    problems = [*_part_problems(invoice, [*before, named], after)]
    if problems:
        raise NotPossible(*problems)
    if part is None:
        return -whole
    if not any((part.lines, part.allowances, part.charges)):
        raise NotPossible(Problem("credit.nothing", "lines"))
    note = _reckoned(invoice, done, after)
    _refuse_below_nothing(note)
    for most, now in zip(whole.taxes, _reckoned(invoice, Part(), after).taxes, strict=True):
        if most.taxable < now.taxable or most.tax < now.tax:
            over = now.taxable + now.tax - most.taxable - most.tax
            raise NotPossible(Problem("credit.beyond", "lines", {"rate": most.tax_rate, "over": over}))
    return -replace(
        note,
        lines=tuple(one for one in note.lines if one.position in part.lines),
        allowances=tuple(one for one in note.allowances if one.position in part.allowances),
        charges=tuple(one for one in note.charges if one.position in part.charges),
    )


def _everything(invoice: Invoice) -> Part:
    return Part(
        lines={at: line.quantity for at, line in enumerate(invoice.lines)},
        allowances={at: one.amount for at, one in enumerate(invoice.allowances) if one.amount},
        charges={at: one.amount for at, one in enumerate(invoice.charges) if one.amount},
    )


def _together(parts: Iterable[Part]) -> Part:
    lines: dict[int, Decimal] = {}
    allowances: dict[int, Money] = {}
    charges: dict[int, Money] = {}
    for part in parts:
        for at, quantity in part.lines.items():
            lines[at] = lines.get(at, Decimal(0)) + quantity
        for sums, amounts in ((allowances, part.allowances), (charges, part.charges)):
            for at, amount in amounts.items():
                sums[at] = sums[at] + amount if at in sums else amount
    return Part(lines=lines, allowances=allowances, charges=charges)


def _entered(invoice: Invoice, part: Part) -> list[Money]:
    """The amounts of a part as entered: lines, charges, and allowances as amounts below nothing."""
    nothing = Money.zero(invoice.currency)

    def line(at: int, price: Decimal | Money) -> Money:
        one = price.amount if isinstance(price, Money) else price
        return Money.rounded(part.lines.get(at, Decimal(0)) * one, invoice.currency)

    return [
        *(line(at, one.price) for at, one in enumerate(invoice.lines)),
        *(part.charges.get(at, nothing) for at in range(len(invoice.charges))),
        *(-part.allowances.get(at, nothing) for at in range(len(invoice.allowances))),
    ]


def _reckoned(invoice: Invoice, before: Part, after: Part) -> Totals:
    """What an invoice's parts have become from one state to another, each thing with the tax that it adds."""
    nothing = Money.zero(invoice.currency)
    tax_of_amount = tax_contained if invoice.tax_included else tax_on_top
    things: list[tuple[int, Line | Adjustment]] = [
        *enumerate(invoice.lines),
        *enumerate(invoice.charges),
        *enumerate(invoice.allowances),
    ]
    was, now = _entered(invoice, before), _entered(invoice, after)
    at_rate: defaultdict[Decimal, Money] = defaultdict(lambda: nothing)
    for (_, thing), amount in zip(things, was, strict=True):
        at_rate[thing.tax_rate] += amount
    found = []
    for (position, thing), one, other in zip(things, was, now, strict=True):
        rate, added = thing.tax_rate, other - one
        start = one if invoice.by_line else at_rate[rate]
        tax = tax_of_amount(start + added, rate) - tax_of_amount(start, rate)
        at_rate[rate] += added
        net = added - tax if invoice.tax_included else added
        found.append(Taxed(position=position, name=thing.name, tax_rate=rate, net=net, tax=tax))
    charges = len(invoice.lines)
    allowances = charges + len(invoice.charges)
    return Totals(
        currency=invoice.currency,
        lines=tuple(found[:charges]),
        allowances=tuple(-one for one in found[allowances:]),
        charges=tuple(found[charges:allowances]),
        paid=nothing,
        rounding=nothing,
    )


def _refuse_below_nothing(found: Totals) -> None:
    for one in found.taxes:
        if one.taxable.minor < 0 or one.tax.minor < 0:
            raise NotPossible(Problem("invoice.allowances", "allowances", {"rate": one.tax_rate}))


def _problems(invoice: Invoice) -> Iterator[Problem]:
    """What is wrong with the figures of an invoice, one by one, each at its place."""
    amounts: list[tuple[str, Money]] = [(f"paid.{at}", one) for at, one in enumerate(invoice.paid)]
    rates: list[tuple[str, Decimal]] = []
    if not invoice.lines:
        yield Problem("invoice.no_lines", "lines")
    for at, line in enumerate(invoice.lines):
        where = f"lines.{at}"
        rates.append((where, line.tax_rate))
        if not (line.quantity.is_finite() and 0 < line.quantity <= LARGEST_QUANTITY):
            yield Problem("invoice.quantity", f"{where}.quantity", {"name": line.name})
        if isinstance(line.price, Money):
            amounts.append((f"{where}.price", line.price))
        elif not (line.price.is_finite() and 0 <= line.price <= LARGEST_MINOR):
            yield Problem("invoice.price", f"{where}.price", {"name": line.name})
    for kind, things in (("allowances", invoice.allowances), ("charges", invoice.charges)):
        rates += [(f"{kind}.{at}", one.tax_rate) for at, one in enumerate(things)]
        amounts += [(f"{kind}.{at}.amount", one.amount) for at, one in enumerate(things)]
    for where, rate in rates:
        if not (rate.is_finite() and 0 <= rate < 1):
            yield Problem("tax.range", f"{where}.tax_rate", {"rate": rate})
    for where, amount in amounts:
        if amount.minor < 0:
            yield Problem("invoice.amount", where, {"amount": amount})
    every = amounts if invoice.rounding is None else [*amounts, ("rounding", invoice.rounding)]
    for where, amount in every:
        if amount.currency != invoice.currency:
            yield Problem("money.mixed", where, {"one": invoice.currency, "other": amount.currency})


def _part_problems(invoice: Invoice, parts: Sequence[Part], after: Part) -> Iterator[Problem]:
    """What is wrong with parts to be taken back: it is nothing, is not there, or is more than was invoiced."""
    empty = [at for part in parts for at, some in part.lines.items() if not (some.is_finite() and some > 0)]
    yield from (Problem("credit.quantity", f"lines.{at}") for at in empty)
    for kind in ("allowances", "charges"):
        named: list[Mapping[int, Money]] = [getattr(part, kind) for part in parts]
        without = [at for amounts in named for at, amount in amounts.items() if amount.minor <= 0]
        yield from (Problem("credit.amount", f"{kind}.{at}") for at in without)
        empty += without
    if empty:
        return
    whole = _everything(invoice)
    for kind in ("lines", "allowances", "charges"):
        most = getattr(whole, kind)
        for at, some in getattr(after, kind).items():
            if at not in most:
                yield Problem("credit.unknown", f"{kind}.{at}")
            elif most[at] < some:
                yield Problem("credit.more", f"{kind}.{at}", {"name": getattr(invoice, kind)[at].name})
