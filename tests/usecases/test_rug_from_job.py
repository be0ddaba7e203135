"""A job's rug becomes one for sale, with what it really cost; and is none again while it has gone nowhere."""

from decimal import Decimal

import pytest

from shop.core.account_of_order import Happening
from shop.core.amount import Share
from shop.core.errors import Clash, NotFound, Refusal
from shop.core.loom import Size
from shop.store import rug as rug_table
from shop.usecases import (
    clock,
    job,
    order_money,
    quoted_real,
    rates,
    rug,
    rug_from_job,
    rug_page,
    whereabouts,
)
from shop.usecases.given import fresh_token
from tests.builders import (
    a_cone,
    a_haul_at_home,
    a_job,
    a_kept_loom,
    a_planned_job,
    a_rug_entered,
    a_rug_given,
    a_sheet,
    an_open_shop,
    an_outlet,
    codes,
    drawn,
    inches,
    money,
    some_rates,
)

MEASURED = Size(inches(20), inches(30))
SAID = {"fibres": "100% cotton", "care": "Wash cold."}


@pytest.fixture
def open_store(store, now):
    an_open_shop(store, now)
    rates.change(store, rates=some_rates(label=money("0.80")), revision=0, saving=fresh_token(), now=now)
    a_kept_loom(store, now)
    a_haul_at_home(store, now, a_sheet(ready=True), a_sheet(ready=True, name="Red sheet", colour="#aa3333"), a_cone())
    return store


def woven(store, now, number, *pieces):
    for piece, part in pieces:
        drawn(store, now, piece, number, Share(Decimal(part)))
    job.weave(store, number=number, saving=fresh_token(), now=now)
    return number


def made(store, now, number, **given):
    return rug_from_job.make(store, job=number, content=SAID, saving=fresh_token(), now=now, **given)


def timed(store, now, number, **minutes):
    for step, much in minutes.items():
        clock.type_in(store, job=number, step=step, minutes=Decimal(much), saving=fresh_token(), now=now)


def test_a_job_without_a_quote_is_measured_and_costs_what_was_drawn_and_timed(open_store, now):
    number = a_job(open_store, now)
    timed(open_store, now, number, cut=30, weave=90)
    woven(open_store, now, number, (1, "0.5"), (2, "0.25"), (3, "0.1"))
    card = made(open_store, now, number, size=MEASURED, price=money("80"))
    assert (card.job, card.name, card.size, card.content) == (number, "Hall runner", MEASURED, SAID)
    # Half of 4.00 and a quarter of 4.00; a tenth of 12.00; two hours at 20.00; 1,260.00 over 800 hours.
    cost = card.cost
    assert (cost.cloth, cost.warp, cost.labour, cost.overhead, cost.bought_in) == (
        money("3.00"), money("1.20"), money("40.00"), money("3.15"), money("0.80"),
    )  # fmt: skip
    assert (card.minutes, card.guessed) == (120, False)
    assert [colour for colour, _ in card.stripes] == ["#5577aa", "#aa3333"]
    assert card.colour == "#5577aa"
    assert card.weight is not None
    assert rug_page.opened(open_store, number=card.number).hour is not None


def test_a_planned_job_becomes_a_rug_by_one_press(open_store, now):
    number = a_planned_job(open_store, now, 1, 2)
    woven(open_store, now, number, (1, "0.3"))
    token = fresh_token()
    card = rug_from_job.make(open_store, job=number, content=SAID, saving=token, now=now)
    again = rug_from_job.make(open_store, job=number, content=SAID, saving=token, now=now)
    assert card == again
    assert card.size == rug_from_job.offered(open_store, job=number).size
    assert sum(share for _, share in card.stripes) == pytest.approx(1, abs=1e-4)
    quoted = quoted_real.quoted_real(open_store, job=number).rug.reckoning
    assert card.cost.cloth == money("1.20")
    assert card.cost.labour.minor == pytest.approx(quoted.cost.labour.minor, abs=5)
    assert float(card.minutes) == pytest.approx(quoted.minutes_total.middle, abs=0.1)
    assert card.guessed


def test_time_that_was_written_down_takes_the_place_of_the_quoted_step_by_step(open_store, now):
    number = a_planned_job(open_store, now, 1)
    timed(open_store, now, number, weave=200)
    woven(open_store, now, number, (1, "0.3"))
    card = made(open_store, now, number)
    quoted = quoted_real.quoted_real(open_store, job=number).rug.reckoning.minutes
    others = sum(estimate.middle for step, estimate in quoted.items() if step != "weave")
    assert float(card.minutes) == pytest.approx(200 + others, abs=0.1)
    assert not card.guessed
    timed(open_store, now, number, cut=11)
    anew = rug_from_job.reckon_anew(open_store, number=card.number, saving=fresh_token(), now=now)
    assert float(anew.minutes) == pytest.approx(float(card.minutes) - quoted["cut"].middle + 11, abs=0.1)
    assert anew.revision == card.revision + 1


def test_a_job_that_nobody_measured_or_that_is_not_done_is_refused(open_store, now):
    number = a_job(open_store, now)
    with pytest.raises(Refusal) as refused:
        made(open_store, now, number, size=MEASURED)
    assert codes(refused) == {("", "job.not_ready")}
    woven(open_store, now, number, (1, "0.5"))
    with pytest.raises(Refusal) as refused:
        made(open_store, now, number)
    assert codes(refused) == {("rug.width", "length.missing"), ("rug.length", "length.missing")}
    with pytest.raises(Refusal) as refused:
        made(open_store, now, number, size=Size(inches(1), inches(30)))
    assert codes(refused) == {("rug.width", "length.small")}
    with pytest.raises(NotFound):
        made(open_store, now, 99, size=MEASURED)
    assert rug.rugs(open_store).rugs == ()


def test_a_job_is_one_rug_and_stays_as_it_is_meanwhile(open_store, now):
    number = woven(open_store, now, a_job(open_store, now), (1, "0.5"))
    card = made(open_store, now, number, size=MEASURED)
    assert rug_from_job.offered(open_store, job=number).rug == card.number
    for act in (
        lambda: made(open_store, now, number, size=MEASURED),
        lambda: job.take_up_again(open_store, number=number, saving=fresh_token(), now=now),
        lambda: order_money.hand_over(open_store, job=number, came_to=money("5"), saving=fresh_token(), now=now),
    ):
        with pytest.raises(Clash) as refused:
            act()
        assert codes(refused) == {("", "rug.of_job")}


def test_it_is_its_job_s_rug_again_while_it_has_gone_nowhere(open_store, now):
    number = woven(open_store, now, a_job(open_store, now), (1, "0.5"))
    card = made(open_store, now, number, size=MEASURED)
    token = fresh_token()
    for _ in range(2):
        assert rug_from_job.undo(open_store, number=card.number, saving=token, now=now) == number
    assert rug.rugs(open_store).rugs == ()
    job.take_up_again(open_store, number=number, saving=fresh_token(), now=now)
    job.weave(open_store, number=number, saving=fresh_token(), now=now)
    assert made(open_store, now, number, size=MEASURED).number == card.number + 1


def test_one_that_has_gone_somewhere_or_was_entered_by_hand_stays(open_store, now):
    number = woven(open_store, now, a_job(open_store, now), (1, "0.5"))
    card = made(open_store, now, number, size=MEASURED)
    place = an_outlet(open_store, now)
    whereabouts.send(open_store, outlet=place.id, rugs=[card.number], saving=fresh_token(), now=now)
    whereabouts.take_back(open_store, rugs=[card.number], saving=fresh_token(), now=now)
    by_hand = a_rug_entered(open_store, now)
    for which, code in ((card, "rug.moved"), (by_hand, "rug.no_job")):
        with pytest.raises(Refusal) as refused:
            rug_from_job.undo(open_store, number=which.number, saving=fresh_token(), now=now)
        assert codes(refused) == {("", code)}
    with pytest.raises(Refusal) as refused:
        rug_from_job.reckon_anew(open_store, number=by_hand.number, saving=fresh_token(), now=now)
    assert codes(refused) == {("", "rug.no_job")}


def test_a_rug_that_a_customer_waits_for_is_refused_until_the_order_is_cancelled(open_store, now):
    number = a_job(open_store, now)
    order_money.record(
        open_store, job=number, what=Happening.PAYMENT, amount=money("40"), means="cash", saving=fresh_token(), now=now
    )
    woven(open_store, now, number, (1, "0.5"))
    assert not rug_from_job.offered(open_store, job=number).can
    with pytest.raises(Refusal) as refused:
        made(open_store, now, number, size=MEASURED)
    assert codes(refused) == {("", "rug.ordered")}
    order_money.cancel(open_store, job=number, kept=money("10"), saving=fresh_token(), now=now)
    assert rug_from_job.offered(open_store, job=number).can
    assert made(open_store, now, number, size=MEASURED).job == number


def test_its_cost_is_a_record_and_is_not_typed_over(open_store, now):
    number = woven(open_store, now, a_job(open_store, now), (1, "0.5"))
    card = made(open_store, now, number, size=MEASURED)
    given = a_rug_given(name="Renamed", cloth=money("99"), minutes=Decimal(7))
    changed = rug.correct(open_store, number=card.number, rug=given, revision=card.revision, saving=fresh_token(), now=now)
    assert (changed.name, changed.cost, changed.minutes) == ("Renamed", card.cost, card.minutes)


def test_a_warp_that_was_not_drawn_off_a_cone_costs_what_was_quoted(open_store, now):
    """A frame has a rag warp, which is among the cloth: nothing is quoted for yarn, and none is missing."""
    number = a_planned_job(open_store, now, 1)
    timed(open_store, now, number, weave=60)
    woven(open_store, now, number, (1, "0.3"))
    card = made(open_store, now, number)
    assert card.cost.warp == money("0")
    assert not card.guessed
    with open_store.reading() as session:
        assert [move.what for move in rug_table.moves_of(session, card.id)] == ["came"]
