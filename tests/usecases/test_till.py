"""The till takes each entry once, in whatever order and however often it comes."""

import json
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import select

from shop.core.errors import NotFound, Refusal
from shop.core.money import Money
from shop.store.fair import Fair
from shop.store.rug import Rug
from shop.store.till import Refused, Sale, SaleLine, TillCash, TillEntry, Wish
from shop.usecases import till, till_acts, till_phone, whereabouts
from shop.usecases.given import fresh_token
from shop.usecases.till_desk import More, desk
from tests.a_fair import MANNER, a_fair, a_key, a_phone, a_sale, an_entry, an_undo, sent, some_cash, some_rugs
from tests.builders import an_open_shop, codes


@pytest.fixture
def stall(store, now):
    """A fair with three rugs and a phone: its number, the ids of the rugs, the phone's secret."""
    an_open_shop(store, now)
    fair = a_fair(store, now)
    return fair, some_rugs(store, now, fair), a_phone(store, now, fair)


def state(store):
    """All that came of what was sent, but for when and in which order it came."""
    with store.reading() as session:
        keys = {entry.id: entry.key for entry in session.execute(select(TillEntry)).scalars()}
        sales = {sale.id: sale for sale in session.execute(select(Sale)).scalars()}
        lines = session.execute(select(SaleLine)).scalars()
        return {
            "counted": sorted((fair.number, fair.counted) for fair in session.execute(select(Fair)).scalars()),
            "entries": sorted((entry.key, entry.what, entry.digest) for entry in session.execute(select(TillEntry)).scalars()),
            "sales": sorted(
                (keys[one.entry_id], one.total, one.tax, one.means, one.given, one.change, one.undone_at is not None, one.undone_why)
                for one in sales.values()
            ),
            "lines": sorted((keys[sales[one.sale_id].entry_id], one.place, one.rug_id, one.price, one.doubt) for one in lines),
            "rugs": sorted((one.id, one.place, one.fair_id or 0) for one in session.execute(select(Rug)).scalars()),
            "cash": sorted((keys[one.entry_id], one.what, one.amount) for one in session.execute(select(TillCash)).scalars()),
            "refused": sorted((keys[one.entry_id], one.rug_id) for one in session.execute(select(Refused)).scalars()),
            "wishes": sorted((keys[one.entry_id], one.name) for one in session.execute(select(Wish)).scalars()),
        }


def test_a_sale_is_taken_and_its_rug_is_sold(store, stall):
    fair, rugs, secret = stall
    assert sent(store, secret, a_sale(a_key(1), rugs[0])) == ["taken"]
    found = desk(store, fair=fair)
    assert [(one.number, one.total.minor, one.tax.minor) for one in found.sales] == [(1, 4500, 255)]
    assert found.sales[0].rugs[0].number == 1
    assert found.box.drawer.expected.minor == 10_000 + 4500
    with store.reading() as session:
        assert session.get(Rug, rugs[0]).place == "sold"


def test_the_same_entry_again_is_had_already(store, stall):
    fair, rugs, secret = stall
    sale = a_sale(a_key(1), rugs[0])
    assert sent(store, secret, sale, sale) == ["taken", "had"]
    before = state(store)
    assert sent(store, secret, sale) == ["had"]
    assert state(store) == before
    assert len(desk(store, fair=fair).sales) == 1


def test_other_content_under_the_same_key_is_refused(store, stall):
    _, rugs, secret = stall
    sent(store, secret, a_sale(a_key(1), rugs[0]))
    before = state(store)
    assert sent(store, secret, a_sale(a_key(1), rugs[0], price=4000)) == ["refused"]
    assert state(store) == before


def test_a_rug_sold_by_two_phones_is_in_doubt_on_both_and_lost_on_neither(store, stall, now):
    fair, rugs, secret = stall
    other = a_phone(store, now, fair, "The helper’s")
    assert sent(store, secret, a_sale(a_key(1), rugs[0], rugs[1])) == ["taken"]
    assert sent(store, other, a_sale(a_key(2), rugs[0])) == ["taken"]
    found = desk(store, fair=fair)
    assert [one.key for one in found.doubtful] == [a_key(2), a_key(1)]
    assert [[rug.in_doubt for rug in one.rugs] for one in found.doubtful] == [[True], [True, False]]
    assert found.taken[0][1:] == (2, found.taken[0][2])


def test_undoing_one_of_two_ends_the_doubt_and_undoing_both_brings_the_rug_back(store, stall):
    fair, rugs, secret = stall
    sent(store, secret, a_sale(a_key(1), rugs[0]), a_sale(a_key(2), rugs[0]), an_undo(a_key(1), "wrong rug"))
    found = desk(store, fair=fair)
    assert found.doubtful == ()
    assert [(one.key, one.undone_why) for one in found.sales if one.undone_at] == [(a_key(1), "wrong rug")]
    assert found.box.drawer.expected.minor == 10_000 + 4500
    sent(store, secret, an_undo(a_key(2)))
    with store.reading() as session:
        assert session.get(Rug, rugs[0]).place == "fair"


def test_an_undoing_that_comes_first_waits_for_its_sale(store, stall):
    fair, rugs, secret = stall
    assert sent(store, secret, an_undo(a_key(1))) == ["taken"]
    assert desk(store, fair=fair).waiting == 1
    assert sent(store, secret, a_sale(a_key(1), rugs[0])) == ["taken"]
    found = desk(store, fair=fair)
    assert found.waiting == 0
    assert found.sales[0].undone_at is not None
    assert found.taken == ()


def test_a_sale_after_the_fair_is_over_is_taken(store, stall):
    fair, rugs, secret = stall
    with store.writing() as session:
        session.query(till_phone.fair_table.Fair).where(till_phone.fair_table.Fair.number == fair).one().state = "over"
    assert sent(store, secret, a_sale(a_key(1), rugs[0])) == ["taken"]
    sent(store, secret, an_undo(a_key(1)))
    with store.reading() as session:
        assert session.get(Rug, rugs[0]).place == "home", "the stall is down; a rug that is given back goes home"


@pytest.mark.parametrize(
    "changed",
    [
        {"total": 4400},
        {"given": 4400},
        {"means": "shells"},
        {"tax": -1},
        {"tax": 4501},
        {"currency": "SEK"},
        {"rugs": []},
        {"total": 10**16, "given": 10**16},
        {"total": 4500.0},
        {"total": True},
        {"more": 1},
        {"mail": "\x00"},
        {"note": "n" * 501},
        {"rounding": 1},
    ],
)
def test_a_sale_that_cannot_be_understood_is_kept_to_be_looked_at(store, stall, changed):
    fair, rugs, secret = stall
    odd = a_sale(a_key(1), rugs[0], **changed)
    assert sent(store, secret, odd) == ["kept"]
    assert sent(store, secret, odd) == ["had"]
    found = desk(store, fair=fair)
    assert found.sales == ()
    assert len(found.riddles) == 1
    assert a_key(1) in found.riddles[0].sent


def test_what_else_is_kept_and_what_is_left_on_the_phone(store, stall):
    fair, rugs, secret = stall
    assert sent(
        store,
        secret,
        {"key": a_key(1)},
        an_entry(a_key(2), "dance", {}),
        an_entry(a_key(3), "cash", {"what": "float", "amount": 5, "note": "\ud800"}),
        a_sale(a_key(4), 10**6),
        an_entry(a_key(5), "cash", {"what": "float", "amount": 5, "note": ""}, at="yesterday"),
        an_entry(a_key(6), "undo", {"sale": a_key(1), "why": ""}),
        a_sale(a_key(7), rugs[0], rugs[0]),
        {"what": "sale"},
        "a sale",
        an_entry(a_key(8), "wish", {"words": "w" * 20_000}),
    ) == ["kept"] * 7 + ["refused"] * 3
    assert len(desk(store, fair=fair).riddles) == 7


def test_too_many_at_once_are_refused_whole(store, stall):
    _, rugs, secret = stall
    with pytest.raises(Refusal) as refused:
        sent(store, secret, *(a_sale(a_key(place), rugs[0]) for place in range(51)))
    assert codes(refused) == {("", "entry.many")}
    assert state(store)["entries"] == []


def test_a_revoked_phone_neither_sells_nor_sees(store, stall, now):
    fair, rugs, secret = stall
    assert till_phone.pack(store, secret=secret, now=now).rugs[0].number == 1
    phone = desk(store, fair=fair).phones[0]
    till_phone.revoke(store, fair=fair, phone=phone.id, saving=fresh_token(), now=now)
    for act in (
        lambda: sent(store, secret, a_sale(a_key(1), rugs[0])),
        lambda: till_phone.pack(store, secret=secret, now=now),
        lambda: till_phone.picture(store, secret=secret, number=1),
    ):
        with pytest.raises(NotFound) as refused:
            act()
        assert codes(refused) == {("", "till.unknown")}
    assert state(store)["entries"] == []
    again = a_phone(store, now, fair, "The same, found again")
    assert sent(store, again, a_sale(a_key(1), rugs[0])) == ["taken"]


def test_the_secret_is_kept_nowhere_and_a_guess_opens_nothing(store, stall, now):
    _, _, secret = stall
    with store.reading() as session:
        kept = session.execute(select(till_phone.table.TillPhone.secret)).scalar_one()
    assert secret not in kept
    for guess in ("", kept, secret[:-1], secret + "A", "x" * 10_000):
        with pytest.raises(NotFound):
            till_phone.pack(store, secret=guess, now=now)


def test_the_same_press_opens_one_phone_with_one_secret(store, stall, now):
    fair, *_ = stall
    token = fresh_token()
    opened = [till_phone.open_phone(store, fair=fair, name="B", key=b"key", saving=token, now=now) for _ in range(2)]
    assert opened[0] == opened[1]
    assert [one.name for one in desk(store, fair=fair).phones] == ["Her own phone", "B"]


def test_the_box_goes_by_the_last_float_and_the_last_count(store, stall, now):
    fair, rugs, secret = stall
    later = (now + timedelta(hours=3)).isoformat()
    sent(
        store,
        secret,
        some_cash(a_key(1), "counted", 21_000, at=later),
        some_cash(a_key(2), "float", 8_000),
        some_cash(a_key(3), "put in", 2_000),
        some_cash(a_key(4), "taken out", 500),
        some_cash(a_key(5), "counted", 4_000),
        a_sale(a_key(6), rugs[0], rugs[1]),
        a_sale(a_key(7), rugs[2], means="card"),
    )
    box = desk(store, fair=fair).box
    assert box.drawer.expected.minor == 8_000 + 9_000 + 2_000 - 500
    assert box.drawer.counted.minor == 21_000
    assert box.drawer.difference.minor == 2_500


def test_a_wish_keeps_a_size_that_cannot_be_read_among_its_words(store, stall):
    fair, _, secret = stall
    wish = {"name": "Asa", "contact": "asa@example.org", "words": "in greens", "width": "24", "length": "as long as the sofa"}
    assert sent(store, secret, an_entry(a_key(1), "wish", wish)) == ["taken"]
    found = desk(store, fair=fair).wishes[0]
    assert (found.width.to("in"), found.length) == (24, None)
    assert found.words == "in greens\nas long as the sofa"


FAST = "2199-12-31T23:00:00+00:00"
"""By a phone whose clock runs ahead."""


def at_desk(store, now, fair, what, amount):
    till_acts.put_cash(
        store, fair=fair, what=what, amount=Money(amount, "USD"), manner=MANNER, saving=fresh_token(), now=now
    )


@pytest.mark.parametrize("what", ["counted", "float"])
def test_what_the_desk_says_of_the_box_wins_over_a_phone_whose_clock_runs_ahead(store, stall, what):
    fair, _, secret = stall
    received = datetime(2026, 3, 17, 16, 0, tzinfo=UTC)
    second = "2199-12-31T23:00:01+00:00"
    sent(store, secret, some_cash(a_key(2), what, 1, at=FAST), some_cash(a_key(1), what, 2, at=second), now=received)

    def last_said():
        drawer = desk(store, fair=fair).box.drawer
        return (drawer.counted if what == "counted" else drawer.opening).minor

    assert last_said() == 2, "of two that came together the phone's own order holds"
    at_desk(store, received, fair, what, 777)
    assert last_said() == 777
    at_desk(store, received + timedelta(minutes=1), fair, what, 778)
    assert last_said() == 778


def test_a_sale_of_a_phone_whose_clock_runs_ahead_counts_for_the_day_on_which_it_was_received(store, stall):
    _, rugs, secret = stall
    received = datetime(2026, 3, 17, 16, 0, tzinfo=UTC)
    sent(store, secret, a_sale(a_key(1), rugs[0], at=FAST), a_sale(a_key(2), rugs[1], at="2026-03-16T16:00:00+00:00"), now=received)
    with store.reading() as session:
        assert [(sale.on.day, sale.at.day) for sale in session.execute(select(Sale).order_by(Sale.id)).scalars()] == [(17, 17), (16, 16)]
        kept = session.execute(select(TillEntry.at).where(TillEntry.key == a_key(1))).scalar_one()
    assert kept.year == 2199


@pytest.mark.parametrize("first", ["sale", "undo", "the other fair’s undo"])
def test_a_sale_is_undone_by_a_phone_of_whichever_fair_and_whichever_comes_first(store, stall, now, first):
    fair, rugs, secret = stall
    elsewhere = a_phone(store, now, a_fair(store, now, name="Another fair"))
    acts = {
        "sale": lambda: sent(store, secret, a_sale(a_key(1), rugs[0])),
        "undo": lambda: sent(store, secret, an_undo(a_key(1))),
        "the other fair’s undo": lambda: sent(store, elsewhere, an_undo(a_key(1))),
    }
    said = [acts[name]() for name in sorted(acts, key=lambda name: name != first)]
    assert sorted(one for (one,) in said) == ["had", "taken", "taken"]
    found = desk(store, fair=fair)
    assert (found.sales[0].undone_at is not None, found.taken, found.waiting) == (True, (), 0)
    with store.reading() as session:
        assert session.get(Rug, rugs[0]).place == "fair"


def test_a_rug_given_away_is_given_away_again_when_a_late_sale_of_it_is_undone(store, stall, now):
    _, rugs, secret = stall
    whereabouts.unpack(store, rugs=[1], saving=fresh_token(), now=now)
    whereabouts.give_away(store, number=1, saving=fresh_token(), now=now)
    for act, place in ((a_sale(a_key(1), rugs[0]), "sold"), (an_undo(a_key(1)), "gone")):
        sent(store, secret, act)
        with store.reading() as session:
            assert session.get(Rug, rugs[0]).place == place
    whereabouts.found_again(store, number=1, saving=fresh_token(), now=now)


def everything(rugs):
    """A day at a stall, some of it odd."""
    return [
        a_sale(a_key(1), rugs[0]),
        a_sale(a_key(2), rugs[0], rugs[1]),
        a_sale(a_key(3), rugs[2], means="card"),
        a_sale(a_key(4), rugs[1], total=1),
        an_undo(a_key(2), "brought back"),
        an_undo(a_key(3)),
        an_undo(a_key(9)),
        some_cash(a_key(5), "float", 5_000),
        some_cash(a_key(6), "counted", 9_500),
        a_sale(a_key(10), rugs[2], at=FAST),
        some_cash(a_key(11), "put in", 300, at=FAST),
        an_entry(a_key(7), "refused", {"rug": rugs[1], "asked": 5000, "offered": None}),
        an_entry(a_key(8), "wish", {"name": "Asa", "contact": "", "words": "", "width": "", "length": ""}),
    ]


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_any_order_and_any_repetition_ends_in_the_same(sqlite_shops, now, data):
    day = everything([1, 2, 3])
    order = data.draw(st.permutations(range(len(day))))
    again = data.draw(st.lists(st.sampled_from(range(len(day))), max_size=12))
    places = [*order, *again] if data.draw(st.booleans()) else [*again, *order]
    found = []
    for way in (range(len(day)), places):
        store = sqlite_shops()
        an_open_shop(store, now)
        fair = a_fair(store, now)
        assert some_rugs(store, now, fair) == [1, 2, 3]
        phones = [a_phone(store, now, fair), a_phone(store, now, fair, "The helper’s")]
        for turn, place in enumerate(way):
            sent(store, phones[turn % 2], day[place])
        found.append(state(store))
        store.close()
    assert found[0] == found[1]


def test_looking_at_the_desk_takes_as_many_questions_after_many_sales(sqlite_store, now, count_queries):
    an_open_shop(sqlite_store, now)
    fair = a_fair(sqlite_store, now)
    rugs = some_rugs(sqlite_store, now, fair, 12)
    secret = a_phone(sqlite_store, now, fair)

    def look():
        with count_queries(sqlite_store) as said:
            desk(sqlite_store, fair=fair)
        return len(said)

    sent(sqlite_store, secret, a_sale(a_key(1), rugs[0]), a_sale(a_key(2), rugs[0]), an_undo(a_key(99)))
    few = look()
    for place in range(3, 40):
        sent(sqlite_store, secret, a_sale(a_key(place), rugs[place % 12]))
    assert look() == few


def test_of_all_that_a_till_has_much_of_the_newest_is_listed_and_the_rest_is_counted(sqlite_store, now, count_queries):
    an_open_shop(sqlite_store, now)
    fair = a_fair(sqlite_store, now)
    (rug,) = some_rugs(sqlite_store, now, fair, 1)
    secret = a_phone(sqlite_store, now, fair)
    wish = dict.fromkeys(("name", "contact", "words", "width", "length"), "")

    def day(first, last):
        for place in range(first, last):
            sent(
                sqlite_store,
                secret,
                a_sale(a_key(place), rug),
                an_entry(a_key(100 + place), "dance", {"turn": place}),
                an_entry(a_key(200 + place), "wish", {**wish, "name": f"Visitor {place}"}),
                an_entry(a_key(300 + place), "refused", {"rug": rug, "asked": 5000, "offered": place}),
                some_cash(a_key(400 + place), "put in", place),
                an_undo(a_key(500 + place)),
            )

    def look():
        with count_queries(sqlite_store) as said:
            found = desk(sqlite_store, fair=fair)
        return found, len(said)

    day(1, 4)
    found, few = look()
    assert (found.more, found.waiting) == (More(doubtful=0, riddles=0, wishes=0, refused=0, said=0), 3)
    day(4, 46)
    with sqlite_store.writing() as session:
        session.execute(select(Wish).order_by(Wish.id.desc()).limit(1)).scalar_one().done_at = now
    found, many = look()
    assert many == few
    assert found.more == More(doubtful=25, riddles=25, wishes=25, refused=25, said=5)
    assert [one.number for one in found.doubtful] == [*range(45, 25, -1)]
    assert [json.loads(one.sent)["content"]["turn"] for one in found.riddles] == [*range(45, 25, -1)]
    assert [one.name for one in found.wishes] == [f"Visitor {place}" for place in range(44, 24, -1)]
    assert [one.offered.minor for one in found.refused] == [*range(45, 25, -1)]
    assert [one.amount.minor for one in found.box.lines] == [*range(45, 5, -1)]
    assert found.box.put_in.minor == sum(range(1, 46))
    assert found.waiting == 45


def test_taking_an_entry_asks_as_much_after_many_as_before(sqlite_store, now, count_queries):
    an_open_shop(sqlite_store, now)
    fair = a_fair(sqlite_store, now)
    rugs = some_rugs(sqlite_store, now, fair, 40)
    secret = a_phone(sqlite_store, now, fair)

    def take_one(place):
        with count_queries(sqlite_store) as said:
            till.take(sqlite_store, secret=secret, sent=[a_sale(a_key(place), rugs[place])], manner=MANNER, now=now)
        return len(said)

    take_one(0)
    few = take_one(1)
    for place in range(2, 39):
        take_one(place)
    assert take_one(39) == few
