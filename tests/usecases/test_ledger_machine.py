"""The fabric ledger under whatever anybody may do to it, step after step, on both databases.

After each step the shop is held against a plain book of its own, and proved by its own proof; at the end each past day is
held against what the book said that day. ``THRIFTLOOM_LONG=1`` runs thousands of steps.
"""

import os
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from shop.core.amount import All, Area, Run, Scale, Share, Strips, Weighed
from shop.core.errors import Refusal
from shop.core.ledger import WHOLE, Kind
from shop.core.measure import Length, Weight
from shop.core.strips import Tool
from shop.usecases import draw, haul, job, later_cost, piece, split, worth
from shop.usecases.given import fresh_token
from shop.usecases.ledger import prove
from tests.builders import a_cone, a_haul, a_sheet, an_open_shop, inches, money
from tests.usecases.ledger_book import Book

LONG = os.environ.get("THRIFTLOOM_LONG") == "1"
cents = st.integers(0, 5000)

shares = st.one_of(st.just(All()), st.integers(1, 99).map(lambda percent: Share(Decimal(percent) / 100)))
amounts = st.one_of(
    shares,
    st.builds(Strips, st.integers(1, 60), st.integers(5, 90).map(inches), st.just(inches(2)), st.sampled_from(Tool)),
    st.integers(1, 40).map(lambda tenths: Area(Decimal(tenths) / 10)),
    st.integers(1, 900).map(lambda grams: Weighed(Weight.of(grams, "g"))),
    st.builds(
        lambda before, after: Scale(Weight.of(before, "g"), Weight.of(after, "g")),
        st.integers(1, 900),
        st.integers(0, 900),
    ),
    st.integers(1, 3000).map(lambda metres: Run(Length.of(metres, "m"))),
)

often = st.one_of(shares, amounts)


class Ledger(RuleBasedStateMachine):
    """One shop; ``store`` is given by the test."""

    store = None

    @initialize()
    def open(self):
        self.now = datetime(2026, 3, 17, 15, 30, tzinfo=UTC)
        self.book = Book()
        self.pieces, self.jobs, self.steps, self.by_day = [], [], {}, {}
        self.hauls = []
        self.bring(100, 0, 33, 0, "price", cone=False)
        self.begin()

    def said(self, act, **given):
        """Do it, unless the shop refuses; then nothing may have changed, which the book will tell."""
        try:
            return act(self.store, saving=fresh_token(), now=self.now, **given)
        except Refusal as refused:
            if any(problem.code == "store.clash" for problem in refused.problems):
                raise  # the database refused what the use case should have
            return None

    @rule(paid=cents, tax=cents, discount=st.integers(0, 50), trip=cents, by=st.sampled_from(haul.SPREADS), cone=st.booleans())
    @precondition(lambda self: len(self.pieces) < 12)
    def bring(self, paid, tax, discount, trip, by, cone):
        things = [
            a_sheet(paid=money(Decimal(paid) / 100), ready=True, weight=Weight.of(450, "g"), count=2),
            a_sheet(name="Odd", paid=money("0.99"), width=inches(31), length=inches(17), weight=Weight.of(90, "g")),
        ]
        if cone:
            things.append(a_cone())
        home = self.said(
            haul.bring_home,
            haul=a_haul(
                *things,
                tax=money(Decimal(tax) / 100),
                discount=money(Decimal(discount) / 100),
                trip=money(Decimal(trip) / 100),
                spread_by="price" if cone and by == "area" else by,
                on=self.now.date(),
            ),
        )
        if home is not None:
            self.hauls.append(home.id)
            for card in home.pieces:
                self.pieces.append(card.number)
                self.book.come(card.number, card.cost.minor)
            assert home.cost.minor == sum(thing.paid.minor * thing.count for thing in things) + tax + trip - discount

    def begin(self):
        if len(self.jobs) < 6:
            self.jobs.append(self.said(job.begin, name="Rug").line.number)

    def wash_or_ready(self, data):
        act = data.draw(st.sampled_from([piece.mark_ready, piece.set_aside]))
        self.said(act, number=data.draw(st.sampled_from(self.pieces)))

    @rule(data=st.data(), amount=often)
    def draw_some(self, data, amount):
        """Mostly from what lies there; now and then from what is gone, or into a job that is closed."""
        lying = sorted(number for number, parts in self.book.parts["shelf"].items() if parts)
        number = data.draw(st.sampled_from(lying * 4 + self.pieces))
        to = data.draw(st.sampled_from(self.jobs + self.jobs[-1:] * 8))
        done = self.said(draw.draw, number=number, job=to, amount=amount)
        if done is not None:
            self.note(number, "shelf", to, done.look.said.parts, done.look.cost.minor, done.step_id)

    @rule(data=st.data(), amount=often)
    def draw_more(self, data, amount):
        self.draw_some(data, amount)

    @rule(data=st.data(), amount=shares)
    def draw_again(self, data, amount):
        self.draw_some(data, amount)

    @rule(data=st.data(), amount=often, what=st.sampled_from(["back", "spoil", "waste"]))
    def out_again(self, data, amount, what):
        self.out_of_a_job(data, amount, what)

    @rule(data=st.data(), amount=often, what=st.sampled_from(["back", "spoil", "waste"]))
    def out_of_a_job(self, data, amount, what):
        lying = [(number, of) for of in self.jobs for number, parts in self.book.parts[of].items() if parts]
        anywhere = st.tuples(st.sampled_from(self.pieces), st.sampled_from(self.jobs))
        number, of = data.draw(st.sampled_from(sorted(lying)) if lying else anywhere)
        act = {"back": draw.give_back, "spoil": draw.spoil_in_job, "waste": draw.waste}[what]
        before = self.cost_of_written_off(of)
        done = self.said(act, number=number, job=of, amount=amount)
        if done is None:
            return
        if what == "back":
            self.note(number, of, "shelf", done.look.said.parts, done.look.cost.minor, done.step_id)
            return
        moved = [step for step in done.job.steps if step.piece_number == number][:2]
        spoiled = [one.step for one in moved if one.step.kind is Kind.SPOILED and one.step.id >= done.step_id]
        parts = int(-spoiled[0].share * WHOLE) if spoiled else 0
        cost = self.cost_of_written_off(of) - before
        self.note(number, of, "gone", abs(parts), cost, done.step_id)

    def cost_of_written_off(self, number):
        return job.job(self.store, number=number).written_off.minor

    def note(self, number, source, target, parts, cost, step):
        share = Fraction(parts, WHOLE)
        assert cost == self.book.fair(number, source, share)
        self.book.move(number, source, target, share, cost)
        self.steps[step] = (number, source, target, share, cost)

    def spoil_on_the_shelf(self, data, amount):
        number = data.draw(st.sampled_from(self.pieces))
        before = piece.piece(self.store, number=number)
        after = self.said(draw.spoil, number=number, amount=amount, note="moths")
        if after is not None:
            self.went(before, after)

    def give_away(self, data):
        number = data.draw(st.sampled_from(self.pieces))
        before = piece.piece(self.store, number=number)
        after = self.said(piece.give_away, number=number)
        if after is not None:
            self.went(before, after)

    def went(self, before, after):
        step = piece.piece(self.store, number=after.number).steps[-1].id
        parts, cost = before.left_parts - after.left_parts, before.cost_left.minor - after.cost_left.minor
        self.note(after.number, "shelf", "gone", parts, cost, step)

    @rule(data=st.data(), width=st.integers(1, 60), length=st.integers(1, 60))
    @precondition(lambda self: len(self.pieces) < 20)
    def cut_in_two(self, data, width, length):
        number = data.draw(st.sampled_from(self.pieces))
        before = piece.piece(self.store, number=number)
        given = {"length": inches(length * 40)} if before.is_yarn else {"width": inches(width), "length": inches(length)}
        done = self.said(split.split, number=number, **given)
        if done is not None:
            self.pieces.append(done.new.number)
            parts = Fraction(before.left_parts - done.piece.left_parts, WHOLE)
            self.book.cut(number, done.new.number, parts, done.new.cost.minor)
            step = piece.piece(self.store, number=number).steps[-1].id
            self.steps[step] = ("cut", number, done.new.number, parts, done.new.cost.minor)

    @rule(data=st.data(), cost=st.integers(1, 999))
    def pay_later(self, data, cost):
        of = data.draw(st.sampled_from(self.hauls))
        before = {number: piece.piece(self.store, number=number).cost_left.minor for number in self.pieces}
        done = self.said(later_cost.add_cost, haul_id=of, cost=money(Decimal(cost) / 100), note="dye")
        if done is not None:
            more = {
                number: piece.piece(self.store, number=number).cost_left.minor - was for number, was in before.items()
            }
            assert sum(more.values()) == cost
            for number, part in more.items():
                self.book.come(number, part, Fraction(0))
            latest = later_cost.later_costs(self.store, haul_id=of)[0]
            self.steps[latest.step_id] = ("later", of, more)

    @rule(data=st.data())
    @precondition(lambda self: self.steps)
    def undo(self, data):
        step = data.draw(st.sampled_from(sorted(self.steps)))
        what = self.steps[step]
        if what[0] == "later":
            done = self.said(later_cost.undo_cost, haul_id=what[1], step_id=step)
            if done is not None:
                for number, part in what[2].items():
                    self.book.come(number, -part, Fraction(0))
        elif what[0] == "cut":
            done = self.said(piece.undo, number=what[1], step_id=step)
            if done is not None:
                self.book.joined(*what[1:])
        else:
            done = self.said(piece.undo, number=what[0], step_id=step)
            if done is not None:
                number, source, target, parts, cost = what
                self.book.move(number, target, source, parts, cost)
        if done is not None:
            del self.steps[step]

    @rule(data=st.data())
    def weave_or_take_up(self, data):
        number = data.draw(st.sampled_from(self.jobs))
        done = self.said(job.weave, number=number)
        if done is not None:
            self.over(number, ("rug", number))
            return
        done = self.said(job.take_up_again, number=number)
        if done is not None:
            self.over(("rug", number), number)

    def over(self, source, target):
        for number, parts in list(self.book.parts[source].items()):
            if parts:
                self.book.move(number, source, target, parts, self.book.cost[source][number])

    def call_off(self, data):
        self.said(job.call_off, number=data.draw(st.sampled_from(self.jobs)))

    @rule(data=st.data(), what=st.sampled_from(["begin", "wash_or_ready", "spoil", "give_away", "call_off"]))
    def seldom(self, data, what):
        """What happens less often, so that the rest has its turn."""
        if what == "begin":
            self.begin()
        elif what == "spoil":
            self.spoil_on_the_shelf(data, data.draw(amounts))
        else:
            getattr(self, what)(data)

    @rule(days=st.integers(1, 9))
    def days_go_by(self, days):
        self.by_day[self.now.date()] = self.book.sums()
        self.now += timedelta(days=days)

    @invariant()
    def everything_is_where_the_book_says(self):
        if self.store is None or not hasattr(self, "book"):
            return
        found = prove(self.store)
        assert found.faults == ()
        told = tuple(
            amount.minor
            for amount in (found.paid, found.on_shelf, found.in_jobs, found.in_rugs, found.written_off)
        )
        assert told == self.book.sums()
        assert told[0] == sum(told[1:])
        assert found.receipts == found.paid
        for number in self.pieces:
            card = piece.piece(self.store, number=number)
            assert (Fraction(card.left_parts, WHOLE), card.cost_left.minor) == (
                self.book.parts["shelf"][number],
                self.book.cost["shelf"][number],
            )
            assert (card.state in ("ready", "set aside to wash")) is (card.left_parts > 0)

    def teardown(self):
        for day, sums in getattr(self, "by_day", {}).items():
            found = worth.worth(self.store, day=day, now=self.now)
            assert (
                found.paid.minor,
                found.on_shelf.minor,
                found.in_jobs.minor,
                found.in_rugs.minor,
                found.written_off.minor,
            ) == sums
            lay = worth.shelf_on(self.store, day=day, limit=1000).lines
            assert sum(line.cost.minor for line in lay) == sums[1]


@pytest.mark.parametrize("kind", ["sqlite", "postgresql"])
def test_whatever_is_done_every_cent_is_in_one_place(kind, request):
    stores = request.getfixturevalue(f"{kind}_shops")

    class Machine(Ledger):
        @initialize()
        def open(self):
            type(self).store = stores()
            an_open_shop(self.store, datetime(2026, 3, 17, 15, 30, tzinfo=UTC))
            Ledger.open(self)

    run_state_machine_as_test(
        Machine,
        settings=settings(
            max_examples=100 if LONG else 10,
            stateful_step_count=60 if LONG else 40,
            deadline=None,
            suppress_health_check=list(HealthCheck),
            derandomize=not LONG,
            phases=(Phase.generate,),  # a story of forty steps is read sooner than it is made shorter
        ),
    )
