"""An invoice, a receipt and a credit note: whatever stands on them, they add up to the last coin."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from math import floor

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from shop.core.errors import NotPossible
from shop.core.invoice import (
    LARGEST_QUANTITY,
    Adjustment,
    Invoice,
    Line,
    Part,
    cash_rounding,
    credit_note,
    receipt_of,
    totals,
)
from shop.core.money import LARGEST_MINOR, Money, decimals_of, total
from shop.core.tax import tax_of
from tests.core.a_rug import attempted, problems_of

RATES = st.sampled_from([Decimal(rate) for rate in ("0", "0.05", "0.06", "0.08875", "0.20", "0.21", "0.25")])
UNHURRIED = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
SUMS = "sum_of_lines sum_of_allowances sum_of_charges without_tax tax with_tax paid rounding due".split()


def usd(amount):
    return Money.of(amount, "USD")


def a_line(price="10", quantity="1", rate="0.25", name="Rug"):
    return Line(name=name, quantity=Decimal(quantity), price=Decimal(price), tax_rate=Decimal(rate))


def an_adjustment(amount, rate="0.25", name="Carriage"):
    return Adjustment(name=name, amount=usd(amount), tax_rate=Decimal(rate))


def an_invoice(*lines, **given):
    return Invoice(**{"currency": "USD", "lines": lines or (a_line(),), **given})


def half_up(exact):
    """A fraction at or above nothing to the nearest whole number, the half upwards."""
    return floor(exact + Fraction(1, 2))


def entered(line, currency):
    """A line's amount in smallest coins, reckoned in fractions."""
    price = line.price.amount if isinstance(line.price, Money) else line.price
    return half_up(Fraction(line.quantity) * Fraction(price) * 10 ** decimals_of(currency))


def signed(invoice):
    """(rate, amount in smallest coins) of everything on an invoice."""
    yield from ((line.tax_rate, entered(line, invoice.currency)) for line in invoice.lines)
    yield from ((one.tax_rate, one.amount.minor) for one in invoice.charges)
    yield from ((one.tax_rate, -one.amount.minor) for one in invoice.allowances)


def tax_in_fractions(amount, rate, invoice):
    part = Fraction(rate) / (1 + Fraction(rate)) if invoice.tax_included else Fraction(rate)
    return half_up(amount * part) if amount >= 0 else -half_up(-amount * part)


def things_in(currency):
    """What stands on an invoice in a currency: lines, charges and payments."""
    coins = st.integers(0, 10**6).map(lambda minor: Money(minor, currency))
    line = st.builds(
        Line,
        name=st.just("Rug"),
        quantity=st.integers(1, 12).map(Decimal)
        | st.integers(1, 40_000).map(lambda some: Decimal(some) / 1000),
        price=coins | st.integers(0, 9_000_000).map(lambda some: Decimal(some) / 10_000),
        tax_rate=RATES,
    )
    charge = st.builds(Adjustment, name=st.just("Carriage"), amount=coins, tax_rate=RATES)
    return (
        st.lists(line, min_size=1, max_size=4).map(tuple),
        st.lists(charge, max_size=2).map(tuple),
        st.lists(coins, max_size=2).map(tuple),
    )


THINGS = {currency: things_in(currency) for currency in ("USD", "JPY", "KWD")}
OFF = st.lists(st.integers(0, 100), max_size=3)
ROUNDINGS = st.none() | st.integers(-50, 50)


@st.composite
def invoices(draw, **fixed):
    currency = draw(st.sampled_from(sorted(THINGS)))
    lines, charges, paid = (draw(some) for some in THINGS[currency])
    taken = []
    for line, off in zip(lines, draw(OFF), strict=False):
        amount = Money(entered(line, currency) * off // 100, currency)
        taken.append(Adjustment(name="Discount", amount=amount, tax_rate=line.tax_rate))
    rounding = draw(ROUNDINGS)
    made = Invoice(
        currency=currency,
        lines=lines,
        allowances=tuple(taken),
        charges=charges,
        tax_included=fixed["tax_included"] if "tax_included" in fixed else draw(st.booleans()),
        by_line=fixed["by_line"] if "by_line" in fixed else draw(st.booleans()),
        paid=paid,
        rounding=None if rounding is None else Money(rounding, currency),
    )
    refused = {code for code, _ in problems_of(totals, made)}
    assert refused <= ({"invoice.allowances"} if made.by_line else set())
    assume(not refused)
    return made


@UNHURRIED
@given(invoices(tax_included=False))
def test_without_tax_in_its_prices_each_amount_entered_is_a_net_amount(invoice):
    found = totals(invoice)
    assert [line.net.minor for line in found.lines] == [
        entered(line, invoice.currency) for line in invoice.lines
    ]
    assert found.sum_of_lines.minor == sum(entered(line, invoice.currency) for line in invoice.lines)
    assert found.sum_of_allowances == total((one.amount for one in invoice.allowances), invoice.currency)
    assert found.sum_of_charges == total((one.amount for one in invoice.charges), invoice.currency)
    assert found.without_tax.minor == sum(amount for _, amount in signed(invoice))


@UNHURRIED
@given(invoices(tax_included=True))
def test_with_tax_in_its_prices_what_is_to_pay_is_what_the_prices_say(invoice):
    found = totals(invoice)
    assert [line.gross.minor for line in found.lines] == [
        entered(line, invoice.currency) for line in invoice.lines
    ]
    assert [one.gross for one in found.charges] == [one.amount for one in invoice.charges]
    assert [one.gross for one in found.allowances] == [one.amount for one in invoice.allowances]
    assert found.with_tax.minor == sum(amount for _, amount in signed(invoice))
    assert all(Money.zero(invoice.currency) <= one.net for one in (*found.lines, *found.charges))


@UNHURRIED
@given(invoices(by_line=False))
def test_by_the_document_the_tax_at_a_rate_is_rounded_once(invoice):
    found = totals(invoice)
    assert [one.tax_rate for one in found.taxes] == sorted({rate for rate, _ in signed(invoice)})
    for one in found.taxes:
        at_rate = [amount for rate, amount in signed(invoice) if rate == one.tax_rate]
        assert one.tax.minor == tax_in_fractions(sum(at_rate), one.tax_rate, invoice)
        assert one.taxable.minor == sum(at_rate) - (one.tax.minor if invoice.tax_included else 0)


@UNHURRIED
@given(invoices(by_line=True))
def test_by_the_line_each_thing_is_rounded_by_itself(invoice):
    for one in totals(invoice).taxes:
        at_rate = [amount for rate, amount in signed(invoice) if rate == one.tax_rate]
        assert one.tax.minor == sum(tax_in_fractions(amount, one.tax_rate, invoice) for amount in at_rate)


@UNHURRIED
@given(invoices())
def test_the_tax_at_a_rate_is_what_the_tax_of_such_a_document_is(invoice):
    for one in totals(invoice).taxes:
        amounts = [
            Money(amount, invoice.currency) for rate, amount in signed(invoice) if rate == one.tax_rate
        ]
        assert one.tax == tax_of(
            amounts, one.tax_rate, included=invoice.tax_included, by_line=invoice.by_line
        )


@UNHURRIED
@given(invoices())
def test_every_sum_is_the_sum_of_its_parts(invoice):
    found, currency = totals(invoice), invoice.currency
    assert found.without_tax == found.sum_of_lines - found.sum_of_allowances + found.sum_of_charges
    assert total((one.taxable for one in found.taxes), currency) == found.without_tax
    assert total((one.tax for one in found.taxes), currency) == found.tax
    things = total((one.tax for one in (*found.lines, *found.charges)), currency)
    assert things - total((one.tax for one in found.allowances), currency) == found.tax
    assert found.with_tax == found.without_tax + found.tax
    paid = total(invoice.paid, currency)
    assert found.due == found.with_tax - paid + (invoice.rounding or Money.zero(currency))


@UNHURRIED
@given(invoices(by_line=False))
def test_no_thing_bears_a_whole_coin_more_or_less_than_its_tax(invoice):
    for line, found in zip(invoice.lines, totals(invoice).lines, strict=True):
        amount, rate = entered(line, invoice.currency), Fraction(line.tax_rate)
        exact = amount * (rate / (1 + rate) if invoice.tax_included else rate)
        assert abs(found.tax.minor - exact) <= 1


@UNHURRIED
@given(invoices(), st.sampled_from([None, 1, 5, 100]))
def test_after_a_receipt_nothing_is_due_and_coins_can_pay_it(invoice, minor):
    step = None if minor is None else Money(minor, invoice.currency)
    made, problems = attempted(receipt_of, invoice, step)
    paid_before = total(invoice.paid, invoice.currency)
    overpaid = totals(invoice).with_tax < paid_before
    assert [problem.code for problem in problems] == (["invoice.overpaid"] if overpaid else [])
    if made:
        found = totals(made)
        assert not found.due
        assert found.with_tax == totals(invoice).with_tax
        assert (found.paid - paid_before).minor % (minor or 1) == 0
        assert abs(found.rounding.minor) * 2 <= (minor or 0)


@UNHURRIED
@given(st.integers(-(10**9), 10**9), st.integers(1, 500))
def test_cash_rounding_goes_to_the_nearest(minor, step):
    rounded = minor + cash_rounding(Money(minor, "USD"), Money(step, "USD")).minor
    assert rounded % step == 0
    assert abs(rounded - minor) * 2 <= step


@UNHURRIED
@given(invoices())
def test_an_invoice_and_its_credit_note_are_nothing_together(invoice):
    found, note = totals(invoice), credit_note(invoice)
    for name in SUMS:
        assert not getattr(found, name) + getattr(note, name), name
    for group in ("lines", "allowances", "charges"):
        for one, other in zip(getattr(found, group), getattr(note, group), strict=True):
            assert (one.position, one.name, one.tax_rate) == (other.position, other.name, other.tax_rate)
            assert not one.net + other.net
            assert not one.tax + other.tax
    for one, other in zip(found.taxes, note.taxes, strict=True):
        assert one.tax_rate == other.tax_rate
        assert not one.taxable + other.taxable
        assert not one.tax + other.tax


def cut(draw, invoice, left):
    """Some part of what is left."""

    def some(amounts):
        chosen = {
            at: Money(draw(st.integers(0, amount.minor)), amount.currency) for at, amount in amounts.items()
        }
        return {at: amount for at, amount in chosen.items() if amount}

    parts = {at: quantity * draw(st.integers(0, 4)) / 4 for at, quantity in left.lines.items()}
    return Part(
        lines={at: quantity for at, quantity in parts.items() if quantity},
        allowances=some(left.allowances),
        charges=some(left.charges),
    )


def without(left, part):
    """What is left after a part."""

    def less(whole, gone):
        rest = {at: some - gone[at] if at in gone else some for at, some in whole.items()}
        return {at: some for at, some in rest.items() if some}

    return Part(
        lines=less(left.lines, part.lines),
        allowances=less(left.allowances, part.allowances),
        charges=less(left.charges, part.charges),
    )


def all_of(invoice):
    return Part(
        lines={at: line.quantity for at, line in enumerate(invoice.lines)},
        allowances={at: one.amount for at, one in enumerate(invoice.allowances) if one.amount},
        charges={at: one.amount for at, one in enumerate(invoice.charges) if one.amount},
    )


def by_rate(*documents):
    """The taxable amount and the tax at each rate, in smallest coins, of documents together."""
    found = {}
    for document in documents:
        for one in document.taxes:
            taxable, tax = found.get(one.tax_rate, (0, 0))
            found[one.tax_rate] = taxable + one.taxable.minor, tax + one.tax.minor
    return found


@UNHURRIED
@given(invoices(), st.data())
def test_parts_taken_back_never_exceed_the_invoice_and_come_to_it_in_the_end(invoice, data):
    whole, left, before, notes = totals(invoice), all_of(invoice), [], []
    for _ in range(data.draw(st.integers(1, 4))):
        part = cut(data.draw, invoice, left)
        note, problems = attempted(credit_note, invoice, part, before=before)
        assert {problem.code for problem in problems} <= {
            "credit.nothing",
            "credit.beyond",
            "invoice.allowances",
        }
        if note is None:
            continue
        assert {line.position for line in note.lines} == set(part.lines)
        assert {one.position for one in note.allowances} == set(part.allowances)
        assert {one.position for one in note.charges} == set(part.charges)
        assert all(taxable <= 0 and tax <= 0 for taxable, tax in by_rate(note).values())
        assert not note.paid
        assert not note.rounding
        assert note.due == note.with_tax == note.without_tax + note.tax
        before, notes, left = [*before, part], [*notes, note], without(left, part)
        remaining = by_rate(whole, *notes)
        assert all(taxable >= 0 and tax >= 0 for taxable, tax in remaining.values())
    if any((left.lines, left.allowances, left.charges)):
        notes.append(credit_note(invoice, left, before=before))
    assert set(by_rate(whole, *notes).values()) == {(0, 0)}
    assert not total([whole.with_tax, *(note.with_tax for note in notes)], invoice.currency)
    for at, line in enumerate(whole.lines):
        taken = [one for note in notes for one in note.lines if one.position == at]
        shown = "gross" if invoice.tax_included else "net"
        assert not total((getattr(one, shown) for one in [line, *taken]), invoice.currency)


@UNHURRIED
@given(invoices(by_line=False, tax_included=False), st.data())
def test_the_first_part_bears_the_tax_that_it_would_bear_alone(invoice, data):
    chosen = data.draw(st.sets(st.integers(0, len(invoice.lines) - 1), min_size=1))
    part = Part(lines={at: invoice.lines[at].quantity for at in chosen})
    alone = replace(
        invoice, allowances=(), charges=(), lines=tuple(invoice.lines[at] for at in sorted(chosen))
    )
    note, problems = attempted(credit_note, invoice, part)
    if problems:
        assert [problem.code for problem in problems] == ["credit.beyond"]
        assert invoice.allowances
    else:
        assert by_rate(note) == {
            rate: (-one, -other) for rate, (one, other) in by_rate(totals(alone)).items()
        }


def test_what_is_taken_off_comes_back_with_what_it_was_taken_off():
    invoice = an_invoice(a_line("100", "2"), allowances=(an_adjustment("50"),), charges=(an_adjustment("8"),))
    with pytest.raises(NotPossible, match=r"credit\.beyond") as refused:
        credit_note(invoice, Part(lines={0: Decimal(2)}))
    assert refused.value.problems[0].values == {"rate": Decimal("0.25"), "over": usd("52.50")}
    note = credit_note(invoice, Part(lines={0: Decimal(2)}, allowances={0: usd(50)}))
    assert (note.without_tax, note.tax, note.with_tax) == (usd(-150), usd("-37.50"), usd("-187.50"))
    assert (note.sum_of_lines, note.sum_of_allowances, note.charges) == (usd(-200), usd(-50), ())
    assert problems_of(credit_note, invoice, Part(allowances={0: usd(1)})) == {
        ("invoice.allowances", "allowances")
    }


def test_by_the_line_no_more_tax_is_taken_back_than_was_asked():
    """Ten lines of 0.05 at 10 % bear 0.01 each; ten allowances of as much take it off again."""
    small, off = a_line("0.05", rate="0.10"), an_adjustment("0.05", "0.10")
    invoice = an_invoice(*[small] * 10, a_line("0.54", rate="0.10"), by_line=True, allowances=(off,) * 10)
    assert (totals(invoice).without_tax, totals(invoice).tax) == (usd("0.54"), usd("0.05"))
    assert credit_note(invoice, Part(lines={at: Decimal(1) for at in range(5)})).tax == usd("-0.05")
    six = Part(lines={at: Decimal(1) for at in range(6)})
    assert problems_of(credit_note, invoice, six) == {("credit.beyond", "lines")}


@pytest.mark.parametrize(
    ("part", "before", "problems"),
    [
        (Part(lines={0: Decimal("3.001")}), [], {("credit.more", "lines.0")}),
        (Part(lines={0: Decimal(2)}), [Part(lines={0: Decimal(2)})], {("credit.more", "lines.0")}),
        (None, [Part(lines={0: Decimal(1)})], {("credit.more", "lines.0")}),
        (Part(charges={0: usd("8.01")}), [], {("credit.more", "charges.0")}),
        (
            Part(lines={0: Decimal(3)}, allowances={0: usd("5.01")}),
            [],
            {("credit.more", "allowances.0")},
        ),
        (Part(lines={1: Decimal(1)}), [], {("credit.unknown", "lines.1")}),
        (Part(charges={-1: usd(1)}), [], {("credit.unknown", "charges.-1")}),
        (Part(lines={0: Decimal(0)}), [], {("credit.quantity", "lines.0")}),
        (Part(lines={0: Decimal(3)}), [Part(lines={0: Decimal(-1)})], {("credit.quantity", "lines.0")}),
        (Part(lines={0: Decimal("NaN")}), [], {("credit.quantity", "lines.0")}),
        (Part(charges={0: usd(-1)}), [], {("credit.amount", "charges.0")}),
        (Part(charges={0: usd(0)}), [], {("credit.amount", "charges.0")}),
        (Part(), [], {("credit.nothing", "lines")}),
        (
            Part(lines={0: Decimal(4), 7: Decimal(1)}, charges={0: usd(9)}),
            [],
            {("credit.more", "lines.0"), ("credit.unknown", "lines.7"), ("credit.more", "charges.0")},
        ),
    ],
)
def test_more_than_was_invoiced_and_what_is_nothing_are_refused(part, before, problems):
    invoice = an_invoice(
        a_line(quantity="3"), charges=(an_adjustment("8"),), allowances=(an_adjustment("5"),)
    )
    assert problems_of(credit_note, invoice, part, before=before) == problems


def test_a_currency_that_is_not_the_invoices_is_refused_in_a_credit_note():
    invoice = an_invoice(charges=(an_adjustment("8"),))
    with pytest.raises(NotPossible, match=r"money\.mixed"):
        credit_note(invoice, Part(charges={0: Money.of(8, "EUR")}))


@pytest.mark.parametrize(
    ("given", "problems"),
    [
        ({"lines": ()}, {("invoice.no_lines", "lines")}),
        ({"lines": (a_line(quantity="0"),)}, {("invoice.quantity", "lines.0.quantity")}),
        ({"lines": (a_line(quantity="-1"),)}, {("invoice.quantity", "lines.0.quantity")}),
        ({"lines": (a_line(quantity="Infinity"),)}, {("invoice.quantity", "lines.0.quantity")}),
        ({"lines": (a_line("0.01", str(LARGEST_QUANTITY + 1)),)}, {("invoice.quantity", "lines.0.quantity")}),
        ({"lines": (a_line("-0.01"),)}, {("invoice.price", "lines.0.price")}),
        ({"lines": (a_line("NaN"),)}, {("invoice.price", "lines.0.price")}),
        ({"lines": (a_line(str(LARGEST_MINOR + 1)),)}, {("invoice.price", "lines.0.price")}),
        ({"lines": (replace(a_line(), price=usd(-1)),)}, {("invoice.amount", "lines.0.price")}),
        ({"lines": (replace(a_line(), price=Money.of(1, "EUR")),)}, {("money.mixed", "lines.0.price")}),
        ({"lines": (a_line(), a_line(rate="1"))}, {("tax.range", "lines.1.tax_rate")}),
        ({"lines": (a_line(rate="NaN"),)}, {("tax.range", "lines.0.tax_rate")}),
        ({"charges": (an_adjustment("-1"),)}, {("invoice.amount", "charges.0.amount")}),
        ({"charges": (an_adjustment("1", "-0.01"),)}, {("tax.range", "charges.0.tax_rate")}),
        ({"allowances": (an_adjustment("-1"),)}, {("invoice.amount", "allowances.0.amount")}),
        ({"paid": (usd(1), usd(-1))}, {("invoice.amount", "paid.1")}),
        ({"rounding": Money.of(1, "EUR")}, {("money.mixed", "rounding")}),
        ({"allowances": (an_adjustment("10.01"),)}, {("invoice.allowances", "allowances")}),
        ({"allowances": (an_adjustment("1", "0.05"),)}, {("invoice.allowances", "allowances")}),
        (
            {"lines": (a_line("-1", "0", "25"),), "paid": (usd(-1),)},
            {
                ("invoice.quantity", "lines.0.quantity"),
                ("invoice.price", "lines.0.price"),
                ("tax.range", "lines.0.tax_rate"),
                ("invoice.amount", "paid.0"),
            },
        ),
    ],
)
def test_figures_that_make_no_invoice_are_refused_all_at_once(given, problems):
    assert problems_of(totals, an_invoice(**given)) == problems


def test_by_the_line_no_more_tax_is_taken_off_than_stands_there():
    """0.54 at 10 % bears 0.05; ten allowances of 0.05 would take off 0.10 of tax and leave 0.04 to be taxed."""
    off = (an_adjustment("0.05", "0.10"),) * 10
    invoice = an_invoice(a_line("0.54", rate="0.10"), allowances=off, by_line=True)
    assert problems_of(totals, invoice) == {("invoice.allowances", "allowances")}
    assert not totals(replace(invoice, by_line=False)).tax


def test_an_allowance_of_everything_and_a_price_of_nothing_make_an_invoice_of_nothing():
    assert not totals(an_invoice(allowances=(an_adjustment("10"),))).with_tax
    assert not totals(an_invoice(a_line("0"))).with_tax


def test_what_was_paid_beyond_the_total_is_due_the_other_way():
    assert totals(an_invoice(paid=(usd(10), usd(5)))).due == usd("-2.50")
