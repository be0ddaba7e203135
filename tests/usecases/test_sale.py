"""Sales from home and by outlets: tax, the outlet's share, sold once; undone; and one that had happened already."""

from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from decimal import Decimal

import pytest

from shop.core.errors import Clash, NotFound, Refusal
from shop.core.money import Money
from shop.store import rug as rug_table
from shop.store import sale as sale_table
from shop.usecases import outlet, rug_card, rug_page, rug_sale, sale, whereabouts
from shop.usecases import price as prices
from shop.usecases.given import fresh_token
from shop.usecases.outlet import OutletGiven
from shop.usecases.sale import SoldRug
from tests.builders import (
    a_fair_row,
    a_price_rule,
    a_rug_entered,
    an_open_shop,
    an_outlet,
    codes,
    money,
)

ZERO = Money(0, "USD")


@pytest.fixture
def open_store(store, now):
    an_open_shop(store, now)
    for _ in range(4):
        a_rug_entered(store, now)
    return store


def said(now):
    return {"saving": fresh_token(), "now": now}


def happened(store, now, rugs, **given):
    """Write a sale that took place already, as a till does."""
    with store.writing() as session:
        ids = {row.number: row.id for row in rug_table.by_numbers(session, rugs)}
        price = money("100")
        made = sale.sell_in(
            session,
            rugs=[SoldRug(rug_id=ids[number], asked=money("150"), price=price) for number in rugs],
            total_paid=price * len(rugs),
            tax=ZERO,
            means="cash",
            on=now.date(),
            at=now,
            now=now,
            has_happened=True,
            **given,
        )
        return made.number


def doubts(store, number):
    with store.reading() as session:
        found = sale_table.by_number(session, number)
        return [line.doubt for line in sale_table.lines_of(session, [found.id])]


@pytest.mark.parametrize(
    ("rate", "included", "tax", "total"),
    [("0.0625", False, "8.75", "148.75"), ("0.25", True, "28.00", "140.00"), ("0", False, "0.00", "140.00")],
)
def test_a_sale_from_home_bears_the_shop_s_tax(open_store, now, rate, included, tax, total):
    rule = a_price_rule(tax_rate=Decimal(rate), tax_included=included)
    prices.change(open_store, pricing=rule, revision=0, **said(now))
    made = rug_sale.sell_from_home(open_store, number=1, price=money("140"), means="cash", note="A neighbour", **said(now))
    assert (made.number, made.tax, made.total, made.asked) == (1, money(tax), money(total), money("150"))
    found = rug_page.opened(open_store, number=1)
    assert (found.card.place, found.really) == ("sold", True)
    (one,) = found.sales
    assert one.left == money(total) - money(tax)
    # What is left, less 6.00 of materials, 10.00 overhead and 1.00 bought in, in five hours.
    assert found.hour == Money.rounded((one.left - money("17")).amount / 5, "USD")
    assert [move.what for move in found.moves] == ["sold", "came"]
    assert found.moves[0].sale == made.number


def test_an_outlet_keeps_its_share_and_pays_its_own_tax(open_store, now):
    prices.change(open_store, pricing=a_price_rule(), revision=0, **said(now))
    place = an_outlet(open_store, now, share=Decimal("0.35"))
    whereabouts.send(open_store, outlet=place.id, rugs=[1, 2], **said(now))
    assert outlet.outlet(open_store, outlet_id=place.id).card.worth == money("300")
    made = rug_sale.sell_at_outlet(open_store, outlet_id=place.id, number=2, price=money("149.99"), **said(now))
    assert (made.tax, made.total, made.outlet_share) == (ZERO, money("149.99"), money("52.50"))
    found = outlet.outlet(open_store, outlet_id=place.id)
    assert ([card.number for card in found.rugs], found.sold, found.brought, found.kept) == (
        [1], 1, money("149.99"), money("52.50"),
    )  # fmt: skip
    assert [one.rugs[0].number for one in found.sales] == [2]
    assert rug_page.opened(open_store, number=2).sales[0].left == money("97.49")


def test_a_rug_is_sold_once_and_only_where_it_is(open_store, now):
    mill, gallery = (an_outlet(open_store, now, name=name).id for name in ("Mill", "Gallery"))
    whereabouts.send(open_store, outlet=mill, rugs=[2], **said(now))
    whereabouts.give_away(open_store, number=3, **said(now))
    rug_sale.sell_from_home(open_store, number=1, price=money("9"), means="cash", **said(now))
    for number, code in ((1, "rug.sold"), (2, "rug.elsewhere"), (3, "rug.gone")):
        with pytest.raises(Clash) as refused:
            rug_sale.sell_from_home(open_store, number=number, price=money("9"), means="cash", **said(now))
        assert codes(refused) == {("", code)}
    for number, code in ((1, "rug.sold"), (2, "rug.elsewhere"), (3, "rug.gone"), (4, "rug.elsewhere")):
        with pytest.raises(Clash) as refused:
            rug_sale.sell_at_outlet(open_store, outlet_id=gallery, number=number, price=money("9"), **said(now))
        assert codes(refused) == {("", code)}
    with pytest.raises(NotFound):
        rug_sale.sell_at_outlet(open_store, outlet_id=77, number=2, price=money("9"), **said(now))
    assert rug_sale.sell_from_home(open_store, number=4, price=money("9"), means="card", **said(now)).number == 2


def test_what_is_wrong_with_a_sale_is_told_at_once(open_store, now):
    with pytest.raises(Refusal) as refused:
        rug_sale.sell_from_home(
            open_store, number=1, price=money("-1"), means="shells", note="x" * 200, on=now.date() + timedelta(days=3), **said(now)
        )
    assert codes(refused) == {
        ("sale.price", "money.negative"),
        ("sale.means", "choice.unknown"),
        ("sale.note", "text.long"),
        ("sale.on", "date.future"),
    }
    assert rug_card.rug(open_store, number=1).place == "home"


def test_the_same_press_sells_once_and_eight_that_sell_at_once_sell_it_once(open_store, now):
    token = fresh_token()
    given = {"number": 1, "price": money("120"), "means": "card"}
    first, again = (rug_sale.sell_from_home(open_store, saving=token, now=now, **given) for _ in range(2))
    assert first == again

    def sells(_):
        try:
            return rug_sale.sell_from_home(open_store, number=2, price=money("120"), means="card", **said(now)).number
        except Clash:
            return None

    with ThreadPoolExecutor(8) as pool:
        made = [number for number in pool.map(sells, range(8)) if number]
    assert len(made) == 1
    assert len(rug_page.opened(open_store, number=2).sales) == 1


def test_an_undone_sale_stays_in_the_record_and_its_rug_goes_back(open_store, now):
    place = an_outlet(open_store, now)
    whereabouts.send(open_store, outlet=place.id, rugs=[2], **said(now))
    home = rug_sale.sell_from_home(open_store, number=1, price=money("120"), means="card", **said(now))
    there = rug_sale.sell_at_outlet(open_store, outlet_id=place.id, number=2, price=money("120"), **said(now))
    for made, number, back in ((home, 1, "home"), (there, 2, "outlet")):
        token = fresh_token()
        for _ in range(2):
            undone = sale.undo(open_store, number=made.number, why="too blue", saving=token, now=now)
        assert (undone.undone, undone.undone_why) == (True, "too blue")
        found = rug_page.opened(open_store, number=number)
        assert (found.card.place, found.really, found.sales[0].undone) == (back, False, True)
        assert found.moves[0].what == "taken back"
        with pytest.raises(Clash):
            sale.undo(open_store, number=made.number, **said(now))
    assert outlet.outlet(open_store, outlet_id=place.id).sold == 0
    with pytest.raises(NotFound):
        sale.undo(open_store, number=99, **said(now))


def test_one_that_has_happened_is_never_refused_and_what_is_doubtful_is_marked(open_store, now):
    place = an_outlet(open_store, now)
    whereabouts.send(open_store, outlet=place.id, rugs=[2], **said(now))
    whereabouts.give_away(open_store, number=3, **said(now))
    first = happened(open_store, now, [1, 2, 3, 4, 4])
    assert doubts(open_store, first) == ["", "", "", "twice", "twice"]
    assert {rug_card.rug(open_store, number=number).place for number in (1, 2, 3, 4)} == {"sold"}
    second = happened(open_store, now, [1])
    assert doubts(open_store, second) == ["twice"]
    assert doubts(open_store, first) == ["twice", "", "", "twice", "twice"], "nobody knows yet whose it is"
    assert [one.doubt for one in rug_page.opened(open_store, number=1).sales] == [True, True]


def test_a_doubtful_sale_has_the_rug_when_the_other_is_undone(open_store, now):
    first, second = happened(open_store, now, [1]), happened(open_store, now, [1])
    sale.undo(open_store, number=first, **said(now))
    assert doubts(open_store, second) == [""]
    found = rug_page.opened(open_store, number=1)
    assert found.card.place == "sold"
    assert [move.what for move in found.moves] == ["sold", "taken back", "sold", "came"]
    assert found.moves[0].sale == second
    sale.undo(open_store, number=second, **said(now))
    assert rug_card.rug(open_store, number=1).place == "home"


def test_undoing_the_doubtful_one_leaves_the_rug_with_the_other(open_store, now):
    first, second = happened(open_store, now, [1]), happened(open_store, now, [1])
    sale.undo(open_store, number=second, **said(now))
    found = rug_page.opened(open_store, number=1)
    assert found.card.place == "sold"
    assert [(one.number, one.undone, one.doubt) for one in found.sales] == [(second, True, False), (first, False, False)]


@pytest.mark.parametrize(("state", "back"), [("open", "fair"), ("over", "home")])
def test_a_rug_sold_at_a_fair_goes_back_there_while_it_goes_on(open_store, now, state, back):
    with open_store.writing() as session:
        fair = a_fair_row(session)
    whereabouts.pack(open_store, fair=1, rugs=[(1, money("175"))], **said(now))
    made = happened(open_store, now, [1], fair_id=fair.id)
    with open_store.writing() as session:
        session.merge(fair).state = state
    sale.undo(open_store, number=made, **said(now))
    card = rug_card.rug(open_store, number=1)
    assert (card.place, card.where) == (back, "Fair 1" if back == "fair" else "")


def test_what_is_left_of_a_sale_of_several_is_shared_to_the_coin(open_store, now):
    with open_store.writing() as session:
        ids = [row.id for row in rug_table.by_numbers(session, (1, 2, 3))]
        sale.sell_in(
            session,
            rugs=[SoldRug(rug_id=one, asked=money("10"), price=money("10")) for one in ids],
            total_paid=money("32.10"),
            tax=money("2.09"),
            rounding=money("0.01"),
            means="card",
            on=now.date(),
            at=now,
            now=now,
        )
    left = [rug_page.opened(open_store, number=number).sales[0].left for number in (1, 2, 3)]
    assert sum(left, ZERO) == money("30.00")


def test_an_outlet_is_kept_changed_and_closed_when_it_has_nothing(open_store, now):
    card = an_outlet(open_store, now)
    changed = outlet.keep(
        open_store, outlet=OutletGiven(name="Mill & Weir", share=Decimal("0.3")), outlet_id=card.id, revision=1, **said(now)
    )
    assert (changed.name, changed.share, changed.revision) == ("Mill & Weir", Decimal("0.3"), 2)
    with pytest.raises(Clash) as refused:
        outlet.keep(open_store, outlet=OutletGiven(name="x"), outlet_id=card.id, revision=1, **said(now))
    assert codes(refused) == {("", "outlet.changed")}
    with pytest.raises(Refusal) as refused:
        outlet.keep(open_store, outlet=OutletGiven(name="", share=Decimal(1)), **said(now))
    assert codes(refused) == {("outlet.name", "text.missing"), ("outlet.share", "number.large")}
    whereabouts.send(open_store, outlet=card.id, rugs=[1], **said(now))
    with pytest.raises(Clash) as refused:
        outlet.close(open_store, outlet_id=card.id, **said(now))
    assert codes(refused) == {("", "outlet.full")}
    whereabouts.take_back(open_store, rugs=[1], **said(now))
    outlet.close(open_store, outlet_id=card.id, **said(now))
    assert [one.name for one in outlet.outlets(open_store, closed=True)] == ["Mill & Weir"]
    with pytest.raises(Clash) as refused:
        whereabouts.send(open_store, outlet=card.id, rugs=[1], **said(now))
    assert codes(refused) == {("", "outlet.closed")}
    outlet.open_again(open_store, outlet_id=card.id, **said(now))
    assert whereabouts.send(open_store, outlet=card.id, rugs=[1], **said(now))[0].where == "Mill & Weir"


def test_an_outlet_s_page_asks_as_much_for_many_rugs_as_for_few(open_store, now, count_queries):
    card = an_outlet(open_store, now)
    whereabouts.send(open_store, outlet=card.id, rugs=[1, 2], **said(now))
    rug_sale.sell_at_outlet(open_store, outlet_id=card.id, number=1, price=money("5"), **said(now))
    with count_queries(open_store) as few:
        outlet.outlet(open_store, outlet_id=card.id)
    for _ in range(6):
        number = a_rug_entered(open_store, now).number
        whereabouts.send(open_store, outlet=card.id, rugs=[number], **said(now))
        if number % 2:
            rug_sale.sell_at_outlet(open_store, outlet_id=card.id, number=number, price=money("5"), **said(now))
    with count_queries(open_store) as many:
        outlet.outlet(open_store, outlet_id=card.id)
    assert len(many) == len(few)


def test_packing_is_for_a_fair_that_is_to_come_and_a_price_there_is_its_own(open_store, now):
    with open_store.writing() as session:
        a_fair_row(session)
        a_fair_row(session, 2, state="over")
    packed = whereabouts.pack(open_store, fair=1, rugs=[(1, money("175")), (2, None)], **said(now))
    assert {(card.number, card.place, card.fair, card.price) for card in packed} == {
        (1, "fair", 1, money("150")), (2, "fair", 1, money("150")),
    }  # fmt: skip
    whereabouts.pack(open_store, fair=1, rugs=[(1, money("180"))], **said(now))
    for fair, error, code in ((2, Refusal, "fair.over"), (9, NotFound, "fair.unknown")):
        with pytest.raises(error) as refused:
            whereabouts.pack(open_store, fair=fair, rugs=[(3, None)], **said(now))
        assert codes(refused) == {("", code)}
    with pytest.raises(Clash) as refused:
        whereabouts.unpack(open_store, rugs=[1, 3], **said(now))
    assert codes(refused) == {("", "rug.not_away")}
    assert rug_card.rug(open_store, number=1).place == "fair"
    assert [card.place for card in whereabouts.unpack(open_store, rugs=[1, 2], **said(now))] == ["home", "home"]
