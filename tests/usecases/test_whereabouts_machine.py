"""Rugs under whatever may happen to them, step after step, on both databases: priced, packed, sent, sold, taken back, given away.

After each step every rug is in one place and the places together have all rugs; what was told of each is what is kept; a sold
rug has exactly one sale that stands, and no other has any; and the money of the sales adds up. ``THRIFTLOOM_LONG=1`` runs many
more steps.
"""

import os
from collections import Counter
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule, run_state_machine_as_test
from sqlalchemy import select

from shop.core.errors import Refusal
from shop.core.money import Money
from shop.store.packing import PackedRug
from shop.store.rug import Rug, RugMove, RugPrice
from shop.store.till import Sale, SaleLine
from shop.usecases import outlet, rug, sale, whereabouts
from shop.usecases import price as prices
from shop.usecases.given import fresh_token
from tests.builders import a_fair_row, a_price_rule, a_rug_entered, an_open_shop, an_outlet

LONG = os.environ.get("THRIFTLOOM_LONG") == "1"
NOW = datetime(2026, 3, 17, 15, 30, tzinfo=UTC)
PLACES = ("home", "fair", "outlet", "sold", "gone")

picks = st.integers(0, 60)
some = st.lists(st.integers(0, 60), min_size=1, max_size=3)
cents = st.integers(0, 40_000)


class Rugs(RuleBasedStateMachine):
    """One shop with two outlets and two fairs; ``store`` is given by the test. ``at`` is where each rug ought to be."""

    store = None

    def __init__(self):
        super().__init__()
        self.now, self.at, self.asked, self.sold, self.undone, self.moves = NOW, {}, {}, {}, set(), Counter()

    def stock(self):
        an_open_shop(self.store, NOW)
        prices.change(self.store, pricing=a_price_rule(), revision=0, saving=fresh_token(), now=NOW)
        self.outlets = [an_outlet(self.store, NOW, name=name).id for name in ("Mill", "Gallery")]
        with self.store.writing() as session:
            self.fairs = [a_fair_row(session, number).number for number in (1, 2)]
        for _ in range(3):
            self.comes()

    def said(self):
        self.now += timedelta(minutes=1)
        return {"saving": fresh_token(), "now": self.now}

    def one(self, pick):
        return sorted(self.at)[pick % len(self.at)]

    def several(self, found):
        return list(dict.fromkeys(self.one(pick) for pick in found))

    def tried(self, could, act, **given):
        """Do it; it is refused exactly where it cannot be."""
        try:
            made = act(self.store, **given, **self.said())
        except Refusal:
            assert not could
            return None
        assert could
        return made

    @rule()
    def comes(self):
        card = a_rug_entered(self.store, self.now, name=f"Rug {len(self.at) + 1}")
        self.at[card.number], self.asked[card.number] = ("home", 0), [card.price]
        self.moves[card.number] += 1

    @rule(pick=picks, minor=st.none() | cents)
    def prices(self, pick, minor):
        number, price = self.one(pick), None if minor is None else Money(minor, "USD")
        revision = rug.rug(self.store, number=number).revision
        rug.set_price(self.store, number=number, price=price, revision=revision, **self.said())
        if self.asked[number][-1] != price:
            self.asked[number].append(price)

    @rule(found=some, fair=st.integers(0, 1), minor=cents)
    def packs(self, found, fair, minor):
        numbers, there = self.several(found), ("fair", self.fairs[fair])
        could = all(self.at[number] in (("home", 0), there) for number in numbers)
        price = Money(minor, "USD")
        if self.tried(could, whereabouts.pack, fair=self.fairs[fair], rugs=[(number, price) for number in numbers]):
            self.go(numbers, there)

    @rule(found=some)
    def unpacks(self, found):
        numbers = self.several(found)
        if self.tried(all(self.at[number][0] == "fair" for number in numbers), whereabouts.unpack, rugs=numbers):
            self.go(numbers, ("home", 0))

    @rule(found=some, place=st.integers(0, 1))
    def sends(self, found, place):
        numbers = self.several(found)
        could = all(self.at[number] == ("home", 0) for number in numbers)
        if self.tried(could, whereabouts.send, outlet=self.outlets[place], rugs=numbers):
            self.go(numbers, ("outlet", self.outlets[place]))

    @rule(found=some)
    def takes_back(self, found):
        numbers = self.several(found)
        if self.tried(all(self.at[number][0] == "outlet" for number in numbers), whereabouts.take_back, rugs=numbers):
            self.go(numbers, ("home", 0))

    @rule(pick=picks)
    def gives_away(self, pick):
        number = self.one(pick)
        if self.tried(self.at[number] == ("home", 0), whereabouts.give_away, number=number):
            self.go([number], ("gone", 0))

    @rule(pick=picks)
    def finds_again(self, pick):
        number = self.one(pick)
        if self.tried(self.at[number][0] == "gone", whereabouts.found_again, number=number):
            self.go([number], ("home", 0))

    @rule(pick=picks, minor=cents, means=st.sampled_from(["cash", "card"]))
    def sells_at_home(self, pick, minor, means):
        number = self.one(pick)
        made = self.tried(
            self.at[number] == ("home", 0), sale.sell_from_home, number=number, price=Money(minor, "USD"), means=means
        )
        if made:
            assert made.total == Money(minor, "USD") + made.tax
            self.sells(made, number)

    @rule(pick=picks, place=st.integers(0, 1), minor=cents)
    def sells_at_outlet(self, pick, place, minor):
        number, outlet_id = self.one(pick), self.outlets[place]
        could = self.at[number] == ("outlet", outlet_id)
        made = self.tried(could, sale.sell_at_outlet, outlet_id=outlet_id, number=number, price=Money(minor, "USD"))
        if made:
            assert made.outlet_share == made.total.share(made.outlet_share.amount / made.total.amount if made.total else 0)
            self.sells(made, number)

    def sells(self, made, number):
        self.sold[made.number] = (number, self.at[number], made.total)
        self.go([number], ("sold", 0))

    @rule(pick=picks)
    def undoes_a_sale(self, pick):
        if not self.sold:
            return
        number = sorted(self.sold)[pick % len(self.sold)]
        if self.tried(number not in self.undone, sale.undo, number=number, why="came back"):
            self.undone.add(number)
            of, before, _ = self.sold[number]
            self.go([of], before)

    def go(self, numbers, to):
        for number in numbers:
            self.moves[number] += self.at[number] != to
            self.at[number] = to

    @invariant()
    def every_rug_is_in_one_place(self):
        if not self.at:
            return
        with self.store.reading() as session:
            rows = {row.number: row for row in session.execute(select(Rug)).scalars()}
            moves = session.execute(select(RugMove).order_by(RugMove.id)).scalars().all()
            lines = session.execute(select(SaleLine, Sale).join(Sale, Sale.id == SaleLine.sale_id)).all()
            packed = session.execute(select(PackedRug).where(PackedRug.back_at.is_(None))).scalars().all()
            given = session.execute(select(RugPrice).order_by(RugPrice.id)).scalars().all()
        fairs = dict(enumerate(self.fairs, 1))
        for number, row in rows.items():
            where = {"fair": fairs.get(row.fair_id), "outlet": row.outlet_id}.get(row.place, 0)
            assert (row.place, where) == self.at[number]
        assert rows.keys() == self.at.keys()
        of = {row.id: number for number, row in rows.items()}
        assert Counter(of[one.rug_id] for one in moves) == self.moves
        shown = [card.number for place in PLACES for card in rug.rugs(self.store, shown=place, limit=500).rugs]
        assert sorted(shown) == sorted(rows)
        standing = Counter(of[line.rug_id] for line, one in lines if one.undone_at is None)
        assert standing == Counter(number for number, (place, _) in self.at.items() if place == "sold")
        assert not any(line.doubt for line, _ in lines)
        assert {(of[one.rug_id], fairs[one.fair_id]) for one in packed} == {
            (number, fair) for number, (place, fair) in self.at.items() if place == "fair"
        }
        for number, row in rows.items():
            prices_given = [one.price for one in given if one.rug_id == row.id]
            assert prices_given == [None if one is None else one.minor for one in self.asked[number]]
        assert [one.number for one in sorted({one.id: one for _, one in lines}.values(), key=lambda one: one.id)] == sorted(self.sold)
        for line, one in lines:
            assert one.total == line.price + (0 if one.outlet_id else one.tax)
            assert 0 <= one.outlet_share <= one.total
        brought = {place: outlet.outlet(self.store, outlet_id=place).brought for place in self.outlets}
        for place in self.outlets:
            expected = [
                total for number, (_, before, total) in self.sold.items() if before == ("outlet", place) and number not in self.undone
            ]
            assert brought[place] == sum(expected, Money(0, "USD"))


@pytest.mark.parametrize("kind", ["sqlite", "postgresql"])
def test_rugs_are_where_they_were_put_whatever_happens(kind, request):
    stores = request.getfixturevalue(f"{kind}_shops")

    class Machine(Rugs):
        @initialize()
        def open(self):
            type(self).store = stores()
            self.stock()

    run_state_machine_as_test(
        Machine,
        settings=settings(
            max_examples=60 if LONG else 8,
            stateful_step_count=80 if LONG else 40,
            deadline=None,
            suppress_health_check=list(HealthCheck),
            derandomize=not LONG,
            phases=(Phase.generate,),  # a story of forty steps is read sooner than it is made shorter
        ),
    )
