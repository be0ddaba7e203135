"""Invoices, credit notes and receipts: they say what was agreed on, number without holes, and are never changed."""

from datetime import timedelta
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import text

from shop.core.account_of_order import Happening
from shop.core.agreed import DISCOUNT, FOR_LESS
from shop.core.errors import NotFound, NotPossible, Refusal
from shop.core.invoice import totals
from shop.core.money import Money
from shop.core.tax import tax_on_top
from shop.store.order_money import Paper
from shop.usecases import customer, forgetting, invoice, money_paper, order_money, price, shop
from shop.usecases.given import fresh_token
from shop.usecases.invoice import KEPT
from tests.builders import a_job, a_planned_job, a_shop, codes, money
from tests.usecases.an_order import Press, a_bench, a_rule, an_order, woven


@pytest.fixture
def bench(store, now):
    """A shop whose prices bear 6 % of tax on top, with one order."""
    a_bench(store, now)
    a_rule(store, now)
    an_order(store, now)
    return store


def paid(store, now, amount="50.00", what=Happening.PAYMENT, number=1):
    given = {"job": number, "what": what, "amount": money(amount), "means": "cash"}
    return order_money.record(store, **given, saving=fresh_token(), now=now).events[-1].id


def invoiced(store, now, *, number=1, press=None, saving=None):
    return invoice.write_invoice(store, job=number, make=press or Press(), saving=saving or fresh_token(), now=now)


def credited(store, now, of, *, number=1, press=None, saving=None):
    return invoice.write_credit_note(
        store, job=number, of=of, make=press or Press(), saving=saving or fresh_token(), now=now
    )


def receipt(store, now, event, *, number=1, press=None):
    return money_paper.write_receipt(
        store, job=number, event=event, make=press or Press(), saving=fresh_token(), now=now
    )


def kept(store, paper_id):
    """What stands in the database of a paper."""
    with store.reading() as session:
        return session.get_one(Paper, paper_id).content


def refused(what, code, where="", error=Refusal):
    with pytest.raises(error) as caught:
        what()
    assert codes(caught) == {(where, code)}


def test_an_invoice_says_who_what_and_how_much(bench, now):
    event = paid(bench, now)
    paid(bench, now, "5.00", Happening.TIP)
    press = Press()
    made = invoiced(bench, now, press=press)
    [said] = press.told
    agreed = order_money.money_of(bench, job=1).agreed
    assert (made.number, made.total, said.number, said.on) == (1, agreed, 1, now.date())
    assert (said.buyer.name, said.buyer.address) == ("Asa Lindqvist", ("The Lock House", "Marsh End"))
    assert (said.shop.name, said.tax_name, said.supplied, said.of) == ("Marsh End Rugs", "Sales tax", None, None)
    assert (said.totals.with_tax, said.totals.paid, said.totals.due) == (agreed, money("50.00"), agreed - money("50.00"))
    assert said.due == now.date() + timedelta(days=14)
    assert kept(bench, made.id)[KEPT]["totals"]["due"] == said.totals.due.plain()
    assert receipt(bench, now, event).total == money("50.00")


def test_the_day_of_supply_is_that_of_handing_over(bench, now):
    woven(bench, now, 1)
    agreed = order_money.money_of(bench, job=1).agreed
    order_money.hand_over(bench, job=1, came_to=agreed, saving=fresh_token(), now=now)
    press = Press()
    invoiced(bench, now + timedelta(days=3), press=press)
    assert (press.told[0].supplied, press.told[0].on) == (now.date(), now.date() + timedelta(days=3))


def test_papers_are_numbered_one_after_another_by_kind(bench, now):
    event, token = paid(bench, now), fresh_token()
    first, again = (invoiced(bench, now, saving=token) for _ in range(2))
    assert first == again
    refused(lambda: invoiced(bench, now), "paper.written")
    slip = receipt(bench, now, event)
    token = fresh_token()
    note, same = (credited(bench, now, first.id, saving=token) for _ in range(2))
    assert note == same
    assert [one.number for one in (first, slip, note)] == [1, 1, 1]
    assert (note.of, note.total) == (first.id, -first.total)
    refused(lambda: credited(bench, now, first.id), "paper.written")
    refused(lambda: credited(bench, now, note.id), "paper.unknown", error=NotFound)
    refused(lambda: receipt(bench, now, event), "paper.written")
    assert invoiced(bench, now).number == 2
    assert money_paper.pdf_of(bench, job=1, paper=first.id) == b"%PDF"


def test_a_number_that_came_to_nothing_is_given_again(bench, now):
    def broken(_said):
        raise Refusal

    with pytest.raises(Refusal):
        invoiced(bench, now, press=broken)
    assert invoiced(bench, now).number == 1


def test_papers_and_payments_of_another_job_are_not_there(bench, now):
    event, made = paid(bench, now), invoiced(bench, now)
    other = a_job(bench, now, name="Other")
    refused(lambda: receipt(bench, now, event, number=other), "event.unknown", error=NotFound)
    refused(lambda: credited(bench, now, made.id, number=other), "paper.unknown", error=NotFound)
    refused(lambda: money_paper.pdf_of(bench, job=other, paper=made.id), "paper.unknown", error=NotFound)
    refused(lambda: invoiced(bench, now, number=other), "invoice.no_price")


def test_only_a_payment_that_stands_has_a_receipt(bench, now):
    event = paid(bench, now)
    tip = paid(bench, now, "5.00", Happening.TIP)
    refused(lambda: receipt(bench, now, tip), "event.unknown", error=NotFound)
    order_money.undo(bench, job=1, event=event, saving=fresh_token(), now=now)
    refused(lambda: receipt(bench, now, event), "event.unknown", error=NotFound)


def test_a_credit_note_mirrors_what_was_written_whatever_has_changed_since(bench, now):
    made = invoiced(bench, now)
    before = kept(bench, made.id)[KEPT]
    paid(bench, now)
    a_rule(bench, now, tax_rate=Decimal("0.2"), tax_name="Other tax")
    card = customer.customer(bench, number=1).card
    customer.keep(
        bench, customer=customer.CustomerGiven(name="Asa Berg"), number=1, revision=card.revision, saving=fresh_token(), now=now
    )
    press = Press()
    note = credited(bench, now, made.id, press=press)
    [said] = press.told
    assert (said.buyer.name, said.tax_name, said.of) == ("Asa Lindqvist", "Sales tax", (1, now.date()))
    after = kept(bench, note.id)[KEPT]
    assert after["invoice"] == before["invoice"]
    assert all(Decimal(after["totals"][name]) == -Decimal(before["totals"][name]) for name in ("tax", "with_tax", "due"))
    assert kept(bench, made.id)[KEPT] == before


def test_an_invoice_from_before_figures_were_kept_is_taken_back_with_its_tax(bench, now):
    made = invoiced(bench, now)
    with bench.writing() as session:
        session.get_one(Paper, made.id).content = {"heading": "Invoice 1"}
    press = Press()
    note = credited(bench, now, made.id, press=press)
    tax = order_money.money_of(bench, job=1).agreed - press.told[0].totals.without_tax * -1
    assert note.total == -made.total
    assert -press.told[0].totals.tax == tax == tax_on_top(made.total - tax, Decimal("0.06"))


def test_a_discount_and_what_came_off_at_the_door_are_allowances(store, now):
    a_bench(store, now)
    a_rule(store, now, discount=Decimal("0.1"))
    card = an_order(store, now)
    woven(store, now, card.job)
    less = card.total - money("10.00")
    order_money.hand_over(store, job=card.job, came_to=less, saving=fresh_token(), now=now)
    press = Press()
    assert invoiced(store, now, press=press).total in (less, less + money("0.01"), less - money("0.01"))
    found = press.told[0].totals
    assert [one.name for one in found.allowances] == [DISCOUNT, FOR_LESS]
    assert found.lines[0].net == card.asking + found.allowances[0].net
    assert found.due == less


def test_more_than_was_agreed_is_not_invoiced_and_nothing_is_written(bench, now):
    woven(bench, now, 1)
    more = order_money.money_of(bench, job=1).agreed + money("0.01")
    order_money.hand_over(bench, job=1, came_to=more, saving=fresh_token(), now=now)
    refused(lambda: invoiced(bench, now), "invoice.more", error=NotPossible)
    assert order_money.money_of(bench, job=1).papers == ()


def test_a_cancelled_order_is_not_invoiced(bench, now):
    paid(bench, now)
    order_money.cancel(bench, job=1, kept=money("20.00"), saving=fresh_token(), now=now)
    refused(lambda: invoiced(bench, now), "invoice.cancelled")


@pytest.mark.parametrize(
    ("changed", "code"),
    [
        ("total = total + 1", "invoice.disagrees"),
        ("asking = asking + 1", "invoice.disagrees"),
        ("figures = '{}'", "quote.unreadable"),
        ("described = '{}'", "quote.unreadable"),
    ],
)
def test_an_invoice_that_disagrees_with_the_offer_is_never_written(bench, now, changed, code):
    with bench.writing() as session:
        session.execute(text(f"UPDATE offer SET {changed}"))  # noqa: S608
    refused(lambda: invoiced(bench, now), code)
    assert order_money.money_of(bench, job=1).papers == ()
    with bench.reading() as session:
        assert session.execute(text("SELECT count(*) FROM counter WHERE series = 'invoice'")).scalar_one() == 0


def test_a_job_begun_from_a_quote_is_invoiced_as_quoted(store, now):
    a_bench(store, now)
    a_rule(store, now)
    number = a_planned_job(store, now, 1)
    press = Press()
    made = invoiced(store, now, number=number, press=press)
    assert made.total == order_money.money_of(store, job=number).agreed
    assert (press.told[0].buyer.name, press.told[0].buyer.address) == ("Asa Lindqvist", ())


def test_an_erased_customer_stays_on_the_invoice_that_the_law_keeps(bench, now):
    made = invoiced(bench, now)
    forgetting.erase(bench, number=1, saving=fresh_token(), now=now)
    press = Press()
    credited(bench, now, made.id, press=press)
    assert press.told[0].buyer.name == "Asa Lindqvist"


RULES = st.fixed_dictionaries(
    {
        "tax_rate": st.sampled_from([Decimal(rate) for rate in ("0", "0.05", "0.06", "0.08875", "0.2", "0.21", "0.25")]),
        "tax_included": st.booleans(),
        "discount": st.sampled_from([Decimal(share) for share in ("0", "0.05", "0.1", "0.333", "1")]),
        "share": st.decimals(Decimal(0), Decimal(3), places=3),
        "step": st.sampled_from([money("0.01"), money("0.07"), money("5")]),
        "fee_fixed": st.integers(0, 500).map(lambda minor: Money(minor, "USD")),
    }
)
MOVES = st.lists(
    st.tuples(st.sampled_from([Happening.PAYMENT, Happening.PAYMENT, Happening.REFUND, Happening.TIP]), st.integers(1, 20_000)),
    max_size=5,
)


@settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow]
)
@given(rule=RULES, moves=MOVES, over=st.one_of(st.none(), st.fractions(0, 1)))
def test_whatever_the_rule_and_the_payments_an_invoice_says_what_the_offer_promised(sqlite_store, now, rule, moves, over):
    store = sqlite_store
    if not shop.current(store).revision:
        a_bench(store, now)
    a_rule(store, now, **rule)
    card = an_order(store, now)
    net = money("0")
    for what, minor in moves:
        try:
            order_money.record(
                store, job=card.job, what=what, amount=Money(minor, "USD"), means="cash", saving=fresh_token(), now=now
            )
        except Refusal:
            continue
        if what is not Happening.TIP:
            net += Money(minor, "USD") * (1 if what is Happening.PAYMENT else -1)
    asked = card.total
    if over is not None:
        asked = Money(int(card.total.minor * over), "USD")
        with store.writing() as session:
            session.execute(text("UPDATE job SET state = 'ready' WHERE number = :number"), {"number": card.job})
        order_money.hand_over(store, job=card.job, came_to=asked, saving=fresh_token(), now=now)
    press = Press()
    made = invoiced(store, now, number=card.job, press=press)
    holds_by_the_rules(kept(store, made.id)[KEPT]["totals"], rule)
    found = press.told[0].totals
    assert found.due + found.paid == asked
    assert found.paid == net
    assert totals(press.told[0].invoice) == found
    if asked == card.total:
        assert (found.with_tax, found.rounding) == (card.total, money("0"))


def holds_by_the_rules(said, rule):
    """EN 16931's rules for totals, BR-CO-10 to BR-CO-17, of what was kept of an invoice."""
    sums = {name: Decimal(text) for name, text in said.items() if isinstance(text, str)}

    def together(things, what="net"):
        return sum(Decimal(one[what]) for one in said[things])

    assert sums["sum_of_lines"] == together("lines")  # BR-CO-10
    assert sums["sum_of_allowances"] == together("allowances")  # BR-CO-11
    assert sums["sum_of_charges"] == together("charges")  # BR-CO-12
    assert sums["without_tax"] == sums["sum_of_lines"] - sums["sum_of_allowances"] + sums["sum_of_charges"]  # BR-CO-13
    assert sums["tax"] == together("taxes", "tax")  # BR-CO-14
    assert sums["with_tax"] == sums["without_tax"] + sums["tax"]  # BR-CO-15
    assert sums["due"] == sums["with_tax"] - sums["paid"] + sums["rounding"]  # BR-CO-16
    for one in said["taxes"]:  # BR-CO-17, within its rounding where the prices contain the tax
        exact = Decimal(one["taxable"]) * Decimal(one["tax_rate"])
        most = Decimal("0.01") if rule["tax_included"] else Decimal("0.005")
        assert abs(Decimal(one["tax"]) - exact) <= most


def test_a_shop_without_tax_says_so_in_its_own_words(store, now):
    a_bench(store, now)
    shop.change(
        store, shop=a_shop(no_tax="Small business: no VAT.", tax_number="No. 12", paying="Cash or cheque."), revision=1, saving=fresh_token(), now=now
    )
    an_order(store, now)
    press = Press()
    invoiced(store, now, press=press)
    [said] = press.told
    assert price.current(store).revision == 0
    assert (said.shop.no_tax, said.shop.tax_number, said.shop.paying) == ("Small business: no VAT.", "No. 12", "Cash or cheque.")
    assert [(one.tax_rate, one.tax) for one in said.totals.taxes] == [(Decimal(0), money("0"))]
