"""Cloth brought home, what it cost to the cent, and what becomes of it."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest

from shop.core.cloth import Fibre
from shop.core.errors import Clash, NotFound, Refusal
from shop.core.measure import Length, Weight
from shop.core.money import total
from shop.core.spread import Basis
from shop.usecases import haul, piece
from shop.usecases.given import fresh_token
from tests.builders import (
    a_blanket,
    a_haul,
    a_haul_at_home,
    a_piece_in_hand,
    a_sheet,
    an_open_shop,
    codes,
    inches,
    money,
)
from tests.store.test_engine import together


def costs(brought):
    return [card.cost for card in brought.pieces]


def test_a_haul_brings_its_pieces_home_with_numbers_of_their_own(store, now):
    brought = a_haul_at_home(store, now, a_sheet(count=2), a_blanket())
    assert [card.number for card in brought.pieces] == [1, 2, 3]
    assert [card.name for card in brought.pieces] == ["Blue striped sheet"] * 2 + ["Grey wool blanket"]
    assert brought.goods == money("17.00")
    assert haul.haul(store, haul_id=brought.id) == brought
    assert a_haul_at_home(store, now, a_sheet()).pieces[0].number == 4


def test_a_piece_comes_back_as_it_was_described(store, now):
    card = a_piece_in_hand(
        store, now, a_sheet(fibres=(("polyester", Decimal("0.65")), ("cotton", Decimal("0.35"))), tears=True)
    )
    assert (card.width, card.length, card.colour, card.tears) == (inches(81), inches(96), "#5577aa", True)
    assert card.fibres == ((Fibre.POLYESTER, Decimal("0.65")), (Fibre.COTTON, Decimal("0.35")))
    assert card.fibre is Fibre.POLYESTER
    assert (card.place, card.on) == ("Saturday market", date(2026, 3, 14))
    assert (card.left, card.cost_left, card.state) == (1, money("4.00"), "set aside to wash")


def test_unknown_fibre_stays_unknown(store, now):
    card = a_piece_in_hand(store, now, a_sheet(fibres=(), cloth=""))
    assert (card.fibres, card.fibre) == ((), Fibre.UNKNOWN)


def test_weight_per_area_says_where_it_comes_from(store, now):
    weighed = a_piece_in_hand(
        store, now, a_sheet(width=Length.of(2, "m"), length=Length.of(2, "m"), weight=Weight.of(500, "g"))
    )
    said = a_piece_in_hand(store, now, a_sheet(grams_per_m2=Decimal("131.5")))
    guessed = a_piece_in_hand(store, now, a_sheet(cloth="denim"))
    assert (weighed.grams_per_m2, weighed.weight_basis) == (125.0, Basis.MEASURED)
    assert (said.grams_per_m2, said.weight_basis) == (131.5, Basis.SETTING)
    assert (guessed.grams_per_m2, guessed.weight_basis) == (400, Basis.GUESS)


@pytest.mark.parametrize(
    ("way", "parts"),
    [
        # 3.00 of tax and trip over a sheet of 4.00, 80 by 100 in, 500 g and a blanket of 8.00, 80 by 50 in, 1 kg
        ("price", ["5.00", "10.00"]),
        ("weight", ["5.00", "10.00"]),
        ("area", ["6.00", "9.00"]),
        ("evenly", ["5.50", "9.50"]),
    ],
)
def test_what_a_haul_cost_besides_is_spread_as_chosen(store, now, way, parts):
    sheet = a_sheet(paid=money("4"), width=inches(80), length=inches(100), weight=Weight.of(500, "g"))
    blanket = a_blanket(paid=money("8"), width=inches(80), length=inches(50), weight=Weight.of(1, "kg"))
    brought = a_haul_at_home(store, now, sheet, blanket, tax=money("1"), trip=money("2"), spread_by=way)
    assert costs(brought) == [money(part) for part in parts]


def test_a_discount_goes_by_price_and_never_below_nothing(store, now):
    brought = a_haul_at_home(
        store, now, a_sheet(paid=money("0")), a_blanket(paid=money("9")), discount=money("9"),
        spread_by="evenly",
    )  # fmt: skip
    assert costs(brought) == [money("0"), money("0")]


def test_parts_add_up_to_the_last_cent(store, now):
    pieces = [a_sheet(paid=money(price)) for price in ("0.01", "3.33", "7.77", "0", "12.49", "1.10", "0.07")]
    brought = a_haul_at_home(
        store,
        now,
        *pieces,
        tax=money("1.73"),
        discount=money("2.01"),
        washing=money("3.50"),
        trip=money("4.99"),
    )
    wanted = brought.goods + money("1.73") - money("2.01") + money("3.50") + money("4.99")
    assert total(costs(brought), "USD") == wanted == brought.cost


def test_cloth_given_for_nothing_is_home_all_the_same(store, now):
    brought = a_haul_at_home(
        store, now, a_sheet(paid=money("0")), a_sheet(paid=money("0")), trip=money("0.05")
    )
    assert costs(brought) == [money("0.03"), money("0.02")]


def test_a_currency_without_cents_spreads_whole_coins(store, now):
    an_open_shop(store, now, currency="JPY")
    sheets = [a_sheet(paid=money(100, "JPY"))] * 3
    brought = a_haul_at_home(store, now, *sheets, tax=money(100, "JPY"))
    assert costs(brought) == [money(134, "JPY"), money(133, "JPY"), money(133, "JPY")]


def test_the_same_press_twice_brings_one_haul_home(store, now):
    token = fresh_token()
    came = together(3, lambda: haul.bring_home(store, haul=a_haul(), saving=token, now=now))
    assert came == [came[0]] * 3
    assert len(piece.pieces(store, shown="all").pieces) == 2


def test_hauls_at_once_share_no_number(store, now):
    came = together(4, lambda: a_haul_at_home(store, now, a_sheet(count=3)))
    assert sorted(card.number for brought in came for card in brought.pieces) == list(range(1, 13))


def test_a_nonsense_haul_is_told_in_full_and_nothing_is_kept(store, now):
    pieces = (
        a_sheet(name="", width=Length(0), length=inches(10_000), colour="blue", cloth="gossamer", count=0),
        a_blanket(weight=Weight(0), paid=money("-1"), grams_per_m2=Decimal(5000), name="x\0"),
        a_sheet(
            fibres=(("cotton", Decimal("0.5")), ("cotton", Decimal("0.4")), ("moonlight", Decimal("0.2")))
        ),
    )
    wrong = a_haul(
        *pieces, place=" ", on=date(2026, 3, 18), tax=money("-2"), trip=money("3", "SEK"),
        discount=money("1000"), spread_by="weight", note="x" * 10_000,
    )  # fmt: skip
    with pytest.raises(Refusal) as refused:
        haul.bring_home(store, haul=wrong, saving=fresh_token(), now=now)
    assert codes(refused) == {
        ("haul.place", "text.missing"),
        ("haul.on", "date.future"),
        ("haul.tax", "money.negative"),
        ("haul.trip", "money.mixed"),
        ("haul.note", "text.long"),
        ("haul.discount", "haul.discount"),
        ("haul.pieces.0.name", "text.missing"),
        ("haul.pieces.0.width", "length.small"),
        ("haul.pieces.0.length", "length.most"),
        ("haul.pieces.0.colour", "colour.unreadable"),
        ("haul.pieces.0.cloth", "choice.unknown"),
        ("haul.pieces.0.count", "number.small"),
        ("haul.pieces.0.weight", "weight.missing"),
        ("haul.pieces.1.weight", "weight.zero"),
        ("haul.pieces.1.paid", "money.negative"),
        ("haul.pieces.1.grams_per_m2", "cloth_weight.range"),
        ("haul.pieces.1.name", "text.control"),
        ("haul.pieces.2.fibres", "choice.unknown"),
        ("haul.pieces.2.fibres", "fibre.twice"),
        ("haul.pieces.2.fibres", "fibre.sum"),
        ("haul.pieces.2.weight", "weight.missing"),
    }
    assert piece.pieces(store, shown="all").pieces == ()


@pytest.mark.parametrize(
    ("pieces", "problem"),
    [((), ("haul.pieces", "haul.empty")), ((a_sheet(count=50),) * 5, ("haul.pieces", "haul.large"))],
)
def test_a_haul_holds_some_pieces_but_not_too_many(store, now, pieces, problem):
    wrong = haul.HaulGiven(place="market", on=date(2026, 3, 14), pieces=pieces)
    with pytest.raises(Refusal) as refused:
        haul.bring_home(store, haul=wrong, saving=fresh_token(), now=now)
    assert codes(refused) == {problem}


def test_today_is_the_shops_own_day(store):
    an_open_shop(store, datetime(2026, 3, 17, tzinfo=UTC), time_zone="Pacific/Auckland")
    late = datetime(2026, 3, 17, 12, 0, tzinfo=UTC)  # already the 18th there
    assert a_haul_at_home(store, late, on=date(2026, 3, 18)).on == date(2026, 3, 18)


def test_costs_are_shown_by_every_measure_for_the_strip_chosen(store, now):
    number = a_piece_in_hand(
        store, now, a_sheet(paid=money("8.00"), width=inches(80), length=inches(90))
    ).number
    card = piece.piece(store, number=number, strip=inches(4))
    assert round(card.costs.per_yard, 12) == Decimal("3.2")  # 90 in are 2.5 yd
    assert round(card.costs.strip_per_yard, 12) == Decimal("0.16")  # 20 strips of 2.5 yd
    scrap = a_piece_in_hand(store, now, a_sheet(width=inches(20)))
    wider = piece.piece(store, number=scrap.number, strip=inches(30))
    assert wider.costs.strip_per_yard is None


@pytest.mark.parametrize(("strip", "code"), [(Length(0), "length.small"), (Length.of(2, "m"), "length.most")])
def test_a_nonsense_strip_is_told(store, now, strip, code):
    number = a_piece_in_hand(store, now).number
    for look in (
        lambda: piece.pieces(store, strip=strip),
        lambda: piece.piece(store, number=number, strip=strip),
    ):
        with pytest.raises(Refusal) as refused:
            look()
        assert codes(refused) == {("strip", code)}


def test_a_piece_is_washed_and_set_aside_again(store, now):
    number = a_piece_in_hand(store, now).number
    assert piece.mark_ready(store, number=number, saving=fresh_token(), now=now).state == "ready"
    card = piece.set_aside(store, number=number, saving=fresh_token(), now=now)
    assert card.state == "set aside to wash"
    assert [step.kind for step in card.steps] == [
        "brought home",
        "set aside to wash",
        "ready",
        "set aside to wash",
    ]
    again = piece.set_aside(store, number=number, saving=fresh_token(), now=now)
    assert again == card


def test_a_piece_given_away_leaves_with_its_cost_and_comes_back_when_that_was_a_mistake(store, now):
    number = a_piece_in_hand(store, now, a_sheet(ready=True)).number
    gone = piece.give_away(store, number=number, note="to Eva", saving=fresh_token(), now=now)
    assert (gone.state, gone.left, gone.cost_left, gone.cost) == ("given away", 0, money("0"), money("4.00"))
    later = now + timedelta(hours=1)
    back = piece.undo(store, number=number, step_id=gone.steps[-1].id, saving=fresh_token(), now=later)
    assert (back.state, back.left, back.cost_left) == ("ready", 1, money("4.00"))
    assert [(step.kind, step.undone) for step in back.steps] == [
        ("brought home", False),
        ("ready", False),
        ("given away", True),
        ("reversed", False),
    ]
    assert gone.steps == (*back.steps[:2], gone.steps[-1])


def test_a_step_is_undone_once_and_some_never(store, now):
    number = a_piece_in_hand(store, now).number
    washed = piece.mark_ready(store, number=number, saving=fresh_token(), now=now)
    ready = washed.steps[-1].id

    def undo(step_id):
        return piece.undo(store, number=number, step_id=step_id, saving=fresh_token(), now=now)

    undone = undo(ready)
    assert undone.state == "set aside to wash"
    with pytest.raises(Clash) as refused:
        undo(ready)
    assert codes(refused) == {("", "step.undone")}
    for fixed in (undone.steps[0].id, undone.steps[-1].id):
        with pytest.raises(Refusal) as refused:
            undo(fixed)
        assert codes(refused) == {("", "step.fixed")}


def test_a_step_of_another_piece_is_not_found(store, now):
    number, other = a_piece_in_hand(store, now).number, a_piece_in_hand(store, now)
    for step_id in (other.steps[-1].id, 0, -5, 10**30):
        with pytest.raises(NotFound) as refused:
            piece.undo(store, number=number, step_id=step_id, saving=fresh_token(), now=now)
        assert codes(refused) == {("", "step.unknown")}


def test_of_several_undoings_at_once_one_holds(store, now):
    number = a_piece_in_hand(store, now).number
    step = piece.give_away(store, number=number, saving=fresh_token(), now=now).steps[-1].id
    came = together(4, lambda: piece.undo(store, number=number, step_id=step, saving=fresh_token(), now=now))
    assert sum(isinstance(one, Clash) for one in came) == 3
    assert piece.piece(store, number=number).left == 1


def test_cloth_is_given_away_once_however_many_press(store, now):
    number = a_piece_in_hand(store, now).number
    came = together(4, lambda: piece.give_away(store, number=number, saving=fresh_token(), now=now))
    assert sum(isinstance(one, Refusal) for one in came) == 3
    assert piece.piece(store, number=number).left == 0


def test_the_same_press_twice_is_one_step(store, now):
    number, token = a_piece_in_hand(store, now).number, fresh_token()
    first = piece.give_away(store, number=number, saving=token, now=now)
    assert piece.give_away(store, number=number, saving=token, now=now) == first


def test_nothing_is_washed_that_is_gone(store, now):
    number = a_piece_in_hand(store, now).number
    piece.give_away(store, number=number, saving=fresh_token(), now=now)
    with pytest.raises(Refusal) as refused:
        piece.mark_ready(store, number=number, saving=fresh_token(), now=now)
    assert codes(refused) == {("", "piece.gone")}


def test_looking_through_shows_what_was_asked_for_newest_first(store, now):
    a_haul_at_home(
        store, now, a_sheet(name="Åsa's sheet", ready=True), a_sheet(name="Red SHEET"), a_blanket(), a_sheet()
    )
    piece.give_away(store, number=4, saving=fresh_token(), now=now)

    def numbers(**asked):
        return [card.number for card in piece.pieces(store, **asked).pieces]

    assert numbers() == [3, 2, 1]
    assert numbers(shown="all") == [4, 3, 2, 1]
    assert numbers(shown="to wash") == [3, 2]
    assert numbers(shown="ready") == [1]
    assert numbers(shown="gone") == [4]
    assert numbers(words="sheet") == [2, 1]
    assert numbers(words="ASA") == [1]
    assert numbers(words="100%") == []
    with pytest.raises(Refusal) as refused:
        numbers(shown="hidden")
    assert codes(refused) == {("shown", "choice.unknown")}


def test_pages_of_cloth_go_on_where_the_one_before_ended(store, now):
    a_haul_at_home(store, now, a_sheet(count=7))
    seen, below = [], None
    while True:
        page = piece.pieces(store, below=below, limit=3)
        seen.append([card.number for card in page.pieces])
        below = page.further
        if below is None:
            break
    assert seen == [[7, 6, 5], [4, 3, 2], [1]]


def test_a_page_of_cloth_takes_as_many_queries_however_many_pieces(sqlite_store, now, count_queries):
    a_haul_at_home(sqlite_store, now, a_sheet())
    with count_queries(sqlite_store) as one:
        piece.pieces(sqlite_store)
    for _ in range(5):
        a_haul_at_home(sqlite_store, now, a_sheet(count=5))
    with count_queries(sqlite_store) as many:
        assert len(piece.pieces(sqlite_store).pieces) == 26
    assert len(many) == len(one)


@pytest.mark.parametrize("number", [0, -1, 99, 2**63, 10**40])
def test_a_piece_or_haul_that_is_not_there_is_told(store, number):
    with pytest.raises(NotFound) as refused:
        piece.piece(store, number=number)
    assert codes(refused) == {("", "piece.unknown")}
    with pytest.raises(NotFound) as refused:
        haul.haul(store, haul_id=number)
    assert codes(refused) == {("", "haul.unknown")}
