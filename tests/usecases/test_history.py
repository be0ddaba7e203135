"""The history of orders: every job found again by what is known of it, on both databases alike."""

from datetime import date, timedelta
from decimal import Decimal

import pytest

from shop.core.account_of_order import Happening
from shop.core.amount import All, Share
from shop.core.errors import Refusal
from shop.core.loom import Size
from shop.core.measure import Length
from shop.store import history as table
from shop.store import history_trait
from shop.store import job as job_table
from shop.usecases import (
    answer,
    customer,
    draw,
    forgetting,
    history,
    job,
    loom,
    offer,
    order_money,
    price,
    quoted_real,
)
from shop.usecases import quote as quotes
from shop.usecases.customer import CustomerGiven
from shop.usecases.given import fresh_token
from shop.usecases.history import Sought
from shop.usecases.offer import OfferGiven
from shop.usecases.price import PricingGiven
from tests.builders import (
    a_draft,
    a_frame,
    a_haul_at_home,
    a_job,
    a_kept_loom,
    a_loom,
    a_planned_job,
    a_planned_quote,
    a_sheet,
    an_open_shop,
    codes,
    drawn,
    inches,
    money,
)

KEY = b"a key that only this shop has, and long"


@pytest.fixture
def bench(store, now):
    """A shop with a loom and three sheets."""
    an_open_shop(store, now)
    a_kept_loom(store, now)
    a_haul_at_home(store, now, *(a_sheet(ready=True) for _ in range(3)))
    return store


def a_share(text):
    return Share(Decimal(text))


def numbers(store, **sought):
    return [line.number for line in history.history(store, sought=Sought(**sought)).orders]


def only(store):
    return history.history(store).orders[0]


def woven(store, now, number, piece=1):
    drawn(store, now, piece, number)
    job.weave(store, number=number, saving=fresh_token(), now=now)


def paid(store, now, number, amount, what=Happening.PAYMENT):
    return order_money.record(
        store, job=number, what=what, amount=money(amount), means="cash", saving=fresh_token(), now=now
    )


def over(store, now, number, amount):
    order_money.hand_over(store, job=number, came_to=money(amount), saving=fresh_token(), now=now)


def accepted(store, now, quote, name):
    """A job that came of an accepted offer; gives its number."""
    made = offer.offer(
        store,
        quote=quote,
        revision=1,
        given=OfferGiven(
            content={"name": "Runner"}, paper=b"%PDF-of-it", deposit=money("10.00"), holds_until=date(2026, 4, 16)
        ),
        customer=CustomerGiven(name=name, mail="someone@example.org"),
        key=KEY,
        saving=fresh_token(),
        now=now,
    )
    given = {"token": made.token, "name": name, "digest": made.digest, "key": KEY}
    return answer.accept(store, **given, saving=fresh_token(), now=now).job


def test_an_order_stands_there_with_all_that_became_of_it(bench, now):
    number = a_planned_job(bench, now, 1, name="Blue runner")
    woven(bench, now + timedelta(days=2), number)
    line = only(bench)
    asked = order_money.money_of(bench, job=number)
    assert (line.number, line.name, line.customer, line.state) == (1, "Blue runner", "Asa Lindqvist", "ready")
    assert (line.quote, line.size.width, line.size.length, line.loom) == (1, inches(12), inches(30), "Peg frame")
    assert (line.begun_at, line.ended_at) == (now, now + timedelta(days=2))
    assert (line.agreed, line.cost) == (asked.agreed, job.job(bench, number=number).cost)
    assert (line.cost, line.came_to, line.paid) == (money("4.00"), None, False)


def test_a_job_without_a_quote_has_what_it_has(bench, now):
    a_job(bench, now, name="For the kitchen")
    line = only(bench)
    assert (line.customer, line.quote, line.size, line.loom, line.agreed, line.paid) == ("", None, None, "", None, None)
    for paid_or_not in ("yes", "no"):
        assert numbers(bench, paid=paid_or_not) == []
    assert numbers(bench, width=inches(1)) == []


def test_words_are_found_by_their_beginnings_however_they_are_written(bench, now):
    a_planned_job(bench, now, 1, name="Hall runner in blues")
    a_job(bench, now, name="SJÖBERG’s ÅTERBRUK mat")
    a_job(bench, now, name="100%_cotton hearth rug")
    for words, found in (
        ("run", [1]),
        ("RUN hal", [1]),
        ("lindq", [1]),
        ("LINDQ blu", [1]),
        ("unner", []),
        ("qvist", []),
        ("example", []),
        ("sjo", [2]),
        ("återbr MAT", [2]),
        ("aterbruk", [2]),
        ("erbruk", []),
        ("hearth", [3]),
        ("cotton 100", [3]),
        ("%", [3, 2, 1]),
        ("", [3, 2, 1]),
        ("run hearth", []),
    ):
        assert numbers(bench, words=words) == found, words


def test_a_number_finds_the_job_and_the_job_of_the_quote(bench, now):
    a_job(bench, now, name="First")
    a_planned_job(bench, now, 1, name="Second")
    a_job(bench, now, name="3rd")
    assert numbers(bench, words="1") == [2, 1]  # the job of quote 1, and job 1
    assert numbers(bench, words="3") == [3]
    assert numbers(bench, words="2 second") == [2]
    assert numbers(bench, words="9" * 60) == []


def test_the_customer_is_who_accepted_the_offer_and_who_they_have_become(bench, now):
    number = accepted(bench, now, a_planned_quote(bench, now, 1), "Ottoline Grice")
    assert only(bench).customer == "Ottoline Grice"
    assert numbers(bench, words="grice") == [number]
    assert numbers(bench, words="lindqvist") == []
    customer.keep(bench, customer=CustomerGiven(name="Otto Marsh"), saving=fresh_token(), now=now)
    customer.merge(bench, number=1, into=2, saving=fresh_token(), now=now)
    assert (only(bench).customer, numbers(bench, words="otto marsh")) == ("Otto Marsh", [number])
    forgetting.erase(bench, number=2, saving=fresh_token(), now=now)
    assert numbers(bench, words="marsh") == []
    assert numbers(bench, words="asa") == []


def test_states_are_told_apart(bench, now):
    for piece in (1, 2):
        woven(bench, now, a_planned_job(bench, now, piece), piece)
    over(bench, now, 2, "10.00")
    a_job(bench, now, name="Under way")
    a_job(bench, now, name="Not after all")
    job.call_off(bench, number=4, saving=fresh_token(), now=now)
    stages = ("cutting", "warping", "weaving", "finishing")
    for number, stage in enumerate(stages, 5):
        a_job(bench, now, name=stage)
        with bench.writing() as session:
            job_table.by_number(session, number).state = stage
    asked = {state: numbers(bench, state=state) for state in history.STATES}
    assert asked == {
        "open": [8, 7, 6, 5, 3],
        "finished": [2, 1],
        "waiting": [3],
        "cutting": [5],
        "warping": [6],
        "weaving": [7],
        "finishing": [8],
        "ready": [1],
        "handed over": [2],
        "called off": [4],
    }
    job.take_up_again(bench, number=1, saving=fresh_token(), now=now)
    assert (numbers(bench, state="ready"), numbers(bench, state="waiting")) == ([], [3, 1])


def test_days_are_those_of_the_shop_and_both_ends_count(bench, now):
    late = now.replace(hour=3, minute=30) + timedelta(days=1)  # still the 17th in New York
    a_job(bench, now - timedelta(days=1), name="The day before")
    a_job(bench, late, name="In the night")
    a_job(bench, now + timedelta(days=1), name="The day after")
    day = date(2026, 3, 17)
    assert numbers(bench, begun_from=day, begun_to=day) == [2]
    assert numbers(bench, begun_from=day) == [3, 2]
    assert numbers(bench, begun_to=day) == [2, 1]
    assert numbers(bench, begun_from=day, begun_to=date(2026, 3, 1)) == []
    assert numbers(bench, begun_from=date.min, begun_to=date.max) == [3, 2, 1]
    assert numbers(bench, begun_from=date.max) == numbers(bench, begun_to=date.min) == []


def test_loom_size_and_cloth_choose_among_the_orders(bench, now):
    a_planned_job(bench, now, 1)
    wide = a_kept_loom(bench, now, a_loom(a_frame(name="The long frame", bar_places=(inches(40), inches(24)))))
    a_planned_job(bench, now, 2, length=inches(40), width=inches(14), loom_id=wide.id)
    assert numbers(bench, loom="The long frame") == [2]
    assert numbers(bench, loom="Peg frame") == [1]
    assert numbers(bench, loom="Peg") == []
    assert numbers(bench, width=inches(13)) == numbers(bench, length=inches(40)) == [2]
    assert numbers(bench, width=inches(12), length=inches(30)) == [2, 1]
    assert numbers(bench, width=inches(12), length=inches(41)) == []
    assert numbers(bench, width=Length(10**30)) == []
    loom.put_away(bench, loom_id=wide.id)
    assert history.loom_names(bench) == ("Peg frame", "The long frame")


def test_a_piece_leads_to_everything_that_it_went_into(bench, now):
    for name in ("First", "Second", "Third"):
        a_job(bench, now, name=name)
    from_one = history.Sought(piece=1)
    drawn(bench, now, 1, 1, amount=a_share("0.25"))
    drawn(bench, now, 1, 3, amount=a_share("0.25"))
    drawn(bench, now, 2, 2)
    job.weave(bench, number=1, saving=fresh_token(), now=now)
    assert [line.number for line in history.history(bench, sought=from_one).orders] == [3, 1]
    draw.give_back(bench, number=1, job=3, amount=All(), saving=fresh_token(), now=now)
    assert numbers(bench, piece=1) == [1]
    assert numbers(bench, piece=99) == numbers(bench, piece=0) == numbers(bench, piece=10**30) == []


def test_paid_in_full_goes_by_what_is_due(bench, now):
    number = a_planned_job(bench, now, 1)
    agreed = only(bench).agreed
    paid(bench, now, number, "5.00", Happening.TIP)
    paid(bench, now, number, str((agreed - money("0.01")).amount))
    assert (numbers(bench, paid="yes"), numbers(bench, paid="no"), only(bench).paid) == ([], [number], False)
    last = paid(bench, now, number, "0.01").events[-1].id
    assert (numbers(bench, paid="yes"), numbers(bench, paid="no"), only(bench).paid) == ([number], [], True)
    order_money.undo(bench, job=number, event=last, saving=fresh_token(), now=now)
    assert numbers(bench, paid="no") == [number]
    woven(bench, now, number)
    over(bench, now, number, str((agreed + money("10")).amount))
    line = only(bench)
    assert (line.came_to, line.received, line.paid) == (agreed + money("10"), agreed - money("0.01"), False)
    paid(bench, now, number, "10.01")
    assert numbers(bench, paid="yes") == [number]


def test_what_is_paid_back_is_not_paid_and_what_is_cancelled_owes_what_is_kept(bench, now):
    number = a_planned_job(bench, now, 1)
    paid(bench, now, number, str(only(bench).agreed.amount))
    paid(bench, now, number, "1.00", Happening.REFUND)
    assert numbers(bench, paid="no") == [number]
    order_money.cancel(bench, job=number, kept=money("2.00"), saving=fresh_token(), now=now)
    line = only(bench)
    assert (line.state, line.came_to, line.paid, numbers(bench, paid="yes")) == ("called off", money("2.00"), True, [number])


def test_an_order_called_off_without_money_owes_nothing(bench, now):
    number = a_planned_job(bench, now, 1)
    job.call_off(bench, number=number, saving=fresh_token(), now=now)
    assert only(bench).paid is None
    assert numbers(bench, paid="yes") == numbers(bench, paid="no") == []


@pytest.mark.parametrize("words", ["", "rug", "brück"])
def test_pages_follow_one_another_without_a_gap_or_a_double(bench, now, words):
    for turn in range(7):
        a_job(bench, now, name=f"Brück rug {turn}" if turn != 4 else "A brück and a rug")
    pages, below = [], None
    while True:
        found = history.history(bench, sought=Sought(words=words), below=below, limit=3)
        pages.append([line.number for line in found.orders])
        below = found.further
        if below is None:
            break
    assert pages == [[7, 6, 5], [4, 3, 2], [1]]
    assert history.history(bench, below=10**30).orders[0].number == 7


def test_a_search_looks_at_so_many_and_says_from_where_to_go_on(bench, now, monkeypatch):
    monkeypatch.setattr(table, "LOOKED_AT_FIRST", 2)
    monkeypatch.setattr(table, "LOOKED_AT", 4)
    a_job(bench, now, name="Wanted and wide")
    for turn in range(5):
        a_job(bench, now, name="Wanted" if turn % 2 else "Wide")
        a_job(bench, now, name="Wide" if turn % 2 else "Wanted")
    sought = Sought(words="wanted wide")  # each of them often, and both together once
    first = history.history(bench, sought=sought)
    assert first.orders == ()
    assert first.further > 1
    second = history.history(bench, sought=sought, below=first.further)
    assert ([line.number for line in second.orders], second.further) == ([1], None)
    assert [line.number for line in history.all_of(bench, sought=sought)] == [1]


@pytest.mark.parametrize("most", [0, 3, 30])
def test_a_beginning_of_more_words_than_can_be_looked_up_finds_the_same(bench, now, monkeypatch, most):
    monkeypatch.setattr(history_trait, "MOST_SPELLINGS", most)
    a_job(bench, now, name="%_100 odd ones")
    for word in ("rag", "ragged", "rags", "ragtag", "brag"):
        a_job(bench, now, name=f"{word} rug")
    assert numbers(bench, words="rag") == [5, 4, 3, 2]
    assert numbers(bench, words="rag rug") == [5, 4, 3, 2]
    assert numbers(bench, words="ragg r") == [3]
    assert numbers(bench, words="1") == [1]
    assert numbers(bench, words="6 br") == [6]


@pytest.mark.parametrize("most", [1, 2, 1000])
def test_whatever_leads_the_search_the_same_is_found(bench, now, monkeypatch, most):
    monkeypatch.setattr(history_trait, "MANY", most)
    monkeypatch.setattr(table, "LOOKED_AT_FIRST", 1)
    monkeypatch.setattr(table, "LOOKED_AT", 3)
    for turn in range(6):
        a_planned_job(bench, now + timedelta(days=turn), 1, name=f"Rug {'odd' if turn % 2 else 'even'}")
    for number in (2, 4, 5):
        paid(bench, now, number, "1000.00")

    def found(**asked):
        return [line.number for line in history.all_of(bench, sought=Sought(**asked))]

    assert found(words="odd", paid="yes") == [4, 2]
    assert found(words="even", paid="yes", width=inches(12)) == [5]
    assert found(words="odd", width=inches(12), length=inches(30), begun_to=date(2026, 3, 21)) == [4, 2]
    assert found(words="odd", width=inches(13)) == []
    assert found(loom="Peg frame", state="open", paid="no", begun_from=date(2026, 3, 18)) == [6, 3]
    assert found(width=inches(12), length=inches(31)) == []


def test_what_a_rug_left_over_its_cloth_is_known_when_it_is_handed_over(bench, now):
    for piece, came_to in ((1, "3.00"), (2, "4.00"), (3, "10.50")):
        woven(bench, now, a_planned_job(bench, now, piece), piece)
        assert only(bench).left_over is None
        over(bench, now, piece, came_to)
    a_planned_job(bench, now, 1)
    orders = history.history(bench).orders
    assert [line.left_over for line in orders] == [None, money("6.50"), money("0.00"), -money("1.00")]
    assert numbers(bench, left_least=money("0.00")) == [3, 2]
    assert numbers(bench, left_most=money("0.00")) == [2, 1]
    assert numbers(bench, left_least=money("0.00"), left_most=money("6.49")) == [2]
    assert numbers(bench, left_least=money("6.51")) == []


def test_profit_is_what_is_left_once_everything_is_paid(bench, now):
    numbers_of = [a_planned_job(bench, now, piece) for piece in (1, 2, 3)]
    for piece, (number, came_to) in enumerate(zip(numbers_of, ("500.00", "90.00", "260.00"), strict=True), 1):
        woven(bench, now, number, piece)
        assert quoted_real.quoted_real(bench, job=number).rug.reckoning.plan.price.tax_rate == 0
        over(bench, now, number, came_to)
    line = history.history(bench).orders[2]
    reckoned = quoted_real.quoted_real(bench, job=numbers_of[0]).rug.reckoning
    warp = reckoned.warp_cost if reckoned.plan.yarn is not None else money("0.00")
    spent = line.cost + warp + reckoned.cost.labour + reckoned.cost.overhead + reckoned.cost.bought_in + reckoned.price.fees
    assert line.profit == money("500.00") - spent
    middle = money("260.00") - spent
    assert numbers(bench, profit_least=middle) == [numbers_of[2], numbers_of[0]]
    assert numbers(bench, profit_most=middle) == [numbers_of[2], numbers_of[1]]


def test_the_tax_in_a_price_and_card_fees_are_no_profit(bench, now):
    taxed = PricingGiven(tax_rate=Decimal("0.25"), tax_included=True, fee_share=Decimal("0.02"), deposit=Decimal(0))
    price.change(bench, pricing=taxed, revision=0, saving=fresh_token(), now=now)
    by_cash, by_card = (a_planned_job(bench, now, piece) for piece in (1, 2))
    for piece, number, means in ((1, by_cash, "cash"), (2, by_card, "card")):
        woven(bench, now, number, piece)
        order_money.record(
            bench, job=number, what=Happening.PAYMENT, amount=money("250.00"), means=means, saving=fresh_token(), now=now
        )
        over(bench, now, number, "250.00")
    card, cash = history.history(bench).orders
    reckoned = quoted_real.quoted_real(bench, job=by_card).rug.reckoning
    assert cash.profit - card.profit == reckoned.price.fees
    warp = reckoned.warp_cost if reckoned.plan.yarn is not None else money("0.00")
    cost = cash.cost + warp + reckoned.cost.labour + reckoned.cost.overhead + reckoned.cost.bought_in
    assert cash.profit == money("200.00") - cost



def test_orders_go_by_the_time_that_they_were_begun(bench, now):
    a_job(bench, now, name="First")
    a_job(bench, now - timedelta(hours=1), name="A clock that was set back")
    a_job(bench, now, name="Third")
    assert numbers(bench) == [3, 1, 2]
    assert [line.number for line in history.history(bench, below=1).orders] == [2]
    assert [line.number for line in history.history(bench, below=99).orders] == [3, 1, 2]


def test_a_quote_that_is_saved_again_carries_its_job_along(bench, now):
    quote = a_planned_quote(bench, now, 1)
    a_job(bench, now, name="Mat", quote=quote)
    agreed = only(bench).agreed
    paid(bench, now, 1, str(agreed.amount))
    draft = a_draft(customer_name="Bo", title="Long one", total=agreed + money("1.00"), size=Size(inches(20), inches(90)))
    quotes.save_draft(bench, draft=draft, number=quote, revision=1, saving=fresh_token(), now=now)
    assert numbers(bench, words="bo long mat") == numbers(bench, width=inches(20)) == numbers(bench, paid="no") == [1]
    assert numbers(bench, words="lindqvist") == numbers(bench, paid="yes") == []
    assert numbers(bench, loom="Peg frame") == [1]  # on which it was begun


def test_a_customer_who_is_renamed_is_found_by_the_new_name(bench, now):
    number = accepted(bench, now, a_planned_quote(bench, now, 1), "Ottoline Grice")
    customer.keep(bench, customer=CustomerGiven(name="Ottoline Marsh"), number=1, revision=1, saving=fresh_token(), now=now)
    assert (numbers(bench, words="marsh"), numbers(bench, words="grice")) == ([number], [])


def test_an_erased_customer_is_forgotten_in_jobs_that_were_begun_by_hand_too(bench, now):
    quote = a_planned_quote(bench, now, 1)
    accepted(bench, now, quote, "Asa Lindqvist")
    a_job(bench, now, name="The same once more", quote=quote)
    assert numbers(bench, words="lindq") == [2, 1]
    forgetting.erase(bench, number=1, saving=fresh_token(), now=now)
    assert numbers(bench, words="lindq") == []


def test_all_of_it_is_no_more_than_so_many(bench, now, monkeypatch):
    monkeypatch.setattr(history, "AT_ONCE", 2)
    for turn in range(6):
        a_job(bench, now, name=f"Rug {turn}")
    assert [line.number for line in history.all_of(bench)] == [6, 5, 4, 3, 2, 1]
    assert [line.number for line in history.all_of(bench, most=5)] == [6, 5, 4, 3, 2]
    assert [line.number for line in history.all_of(bench, sought=Sought(words="rug"), most=3)] == [6, 5, 4]


@pytest.mark.parametrize("field", ["state", "paid"])
def test_a_choice_that_there_is_not_is_refused(bench, field):
    with pytest.raises(Refusal) as caught:
        history.history(bench, sought=Sought(**{field: "nonsense"}))
    assert codes(caught) == {(field, "choice.unknown")}


def test_the_history_asks_as_often_however_much_there_is(bench, now, count_queries):
    looks = (
        Sought(),
        Sought(words="runner"),
        Sought(words="runner", state="open", paid="no", width=inches(1), piece=1, loom="Peg frame"),
    )

    def asked():
        counts = []
        for sought in looks:
            with count_queries(bench) as said:
                assert history.history(bench, sought=sought).orders
            counts.append(len(said))
        return counts

    drawn(bench, now, 1, a_planned_job(bench, now, 1), amount=a_share("0.01"))
    asked()
    before = asked()
    for _ in range(12):
        number = a_planned_job(bench, now, 1)
        drawn(bench, now, 1, number, amount=a_share("0.01"))
        paid(bench, now, number, "1.00")
    assert asked() == before
    assert max(before) <= 11
