"""The history of orders: looked through, searched, and carried out as a table."""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Final

from flask import Blueprint, Response, g, request, url_for
from werkzeug.datastructures import MultiDict

from shop.core.measure import Length
from shop.core.money import Money
from shop.paper.sheets import Cell, Workbook, csv_lines
from shop.usecases import history
from shop.usecases.history import OrderLine, Sought
from shop.web.asked import number_of
from shop.web.fields import ChoiceField, DateField, LengthField, MoneyField, NumberField, TextField
from shop.web.forms import ShopForm
from shop.web.job import STATES
from shop.web.pages import page, show
from shop.web.shell import store_now, words_now
from shop.words import mark

room = Blueprint("history", __name__, url_prefix="/jobs")

XLSX: Final = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
LONGEST: Final = 200
NONE: Final = "–"
FIELDS: Final = ("find", "state", "since", "until", "loom", "wide", "long", "piece", "paid", "least", "most")
"""The entries of the form, by their names in the address."""
COLUMNS: Final = (
    mark("Job"), mark("Rug"), mark("Customer"), mark("State"), mark("Begun"), mark("Ended"), mark("Quote"), mark("Loom"),
    mark("Width, mm"), mark("Length, mm"), mark("Currency"), mark("Agreed"), mark("Came to"), mark("Received"),
    mark("Paid in full"), mark("Cost of the cloth"), mark("Left after cloth"), mark("Profit"),
)  # fmt: skip
"""The head of the table that is carried out."""
ANSWERS: Final = {True: mark("yes"), False: mark("no")}


def _looms() -> list[tuple[str, str]]:
    """The looms to choose from, read once for a page."""
    if "history_looms" not in g:
        g.history_looms = [(name, name) for name in history.loom_names(store_now())]
    return list(g.history_looms)


class HistoryForm(ShopForm):
    """What is looked for among the orders; asked for in the page's address."""

    class Meta(ShopForm.Meta):
        """Asking changes nothing."""

        csrf = False

    find = TextField(mark("Look for a customer, a rug or a number"), needed=False, longest=LONGEST)
    state = ChoiceField(
        mark("State"),
        choices=(("open", mark("all under way")), ("finished", mark("all finished")), *STATES.items()),
        blank=mark("Anything"),
        needed=False,
    )
    since = DateField(mark("Begun from"), needed=False)
    until = DateField(mark("Begun until"), needed=False)
    loom = ChoiceField(mark("Loom"), choices=_looms, named=True, blank=mark("Any loom"), needed=False)
    wide = LengthField(mark("At least so wide"), needed=False)
    long = LengthField(mark("At least so long"), needed=False)
    piece = NumberField(mark("Cloth No."), whole=True, least=1, most=10**12, needed=False)
    paid = ChoiceField(
        mark("Paid"),
        choices=(("yes", mark("In full")), ("no", mark("Not in full"))),
        blank=mark("Either way"),
        needed=False,
    )

    least = MoneyField(mark("Profit, from"), needed=False)
    most = MoneyField(mark("Profit, to"), needed=False)

    @classmethod
    def asked(cls) -> Any:
        """The form as asked in the address, already looked over."""
        form = cls(MultiDict({name: request.args.get(name, "")[: LONGEST + 1] for name in FIELDS}))
        form.validate()
        return form

    def sought(self) -> Sought:
        """What is looked for; an entry that cannot be read asks nothing."""

        def said(field: Any) -> Any:
            return None if field.errors else field.data

        return Sought(
            words=said(self.find) or "",
            state=said(self.state) or "",
            begun_from=said(self.since),
            begun_to=said(self.until),
            loom=said(self.loom) or "",
            width=said(self.wide),
            length=said(self.long),
            piece=said(self.piece),
            paid=said(self.paid) or "",
            profit_least=said(self.least),
            profit_most=said(self.most),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderRow:
    """An order in the history; ``like`` is where a new quote like it begins, if it came of a quote."""

    number: int
    address: str
    name: str
    customer: str
    size: str
    state: str
    begun: str
    ended: str
    agreed: str
    cost: str
    profit: str
    paid: bool
    like: str


@page("history/history.html")
class HistoryPage:
    """The orders, newest first.

    Attributes:
        filtered: something is chosen among them; ``plain`` is the address without, ``sought`` whether anything is asked at all.
        csv: where what is looked for is carried out; ``workbook`` the same.
    """

    form: HistoryForm
    rows: tuple[OrderRow, ...]
    filtered: bool
    sought: bool
    plain: str
    further: str
    newest: str
    csv: str
    workbook: str
    most: str


@room.get("/history")
def show_history() -> Response:
    """The orders, or those that are looked for."""
    form = HistoryForm.asked()
    below = number_of(request.args.get("below", ""))
    found = history.history(store_now(), sought=form.sought(), below=below)
    kept = _kept()
    context = HistoryPage(
        form=form,
        rows=tuple(_row(line) for line in found.orders),
        filtered=bool(kept.keys() - {"find"}),
        sought=bool(kept),
        plain=url_for("history.show_history", find=kept.get("find")),
        further=url_for("history.show_history", **kept, below=found.further) if found.further else "",
        newest=url_for("history.show_history", **kept) if below else "",
        csv=url_for("history.write_csv", **kept),
        workbook=url_for("history.write_workbook", **kept),
        most=words_now().number(history.MOST_ROWS),
    )
    return show(context, status=422 if form.errors else 200)


def _kept() -> dict[str, Any]:
    """What is asked, for an address."""
    args = request.args
    return {name: args[name][: LONGEST + 1] for name in FIELDS if args.get(name, "").strip()}


def _row(line: OrderLine) -> OrderRow:
    words = words_now()

    def day(moment: Any) -> str:
        return words.date(words.today(moment), "medium") if moment else NONE

    return OrderRow(
        number=line.number,
        address=url_for("job.show_job", number=line.number),
        name=line.name,
        customer=line.customer or NONE,
        size=words.size(line.size) if line.size else NONE,
        state=words.say(STATES[line.state]),
        begun=day(line.begun_at),
        ended=day(line.ended_at),
        agreed=words.money(line.agreed) if line.agreed is not None else NONE,
        cost=words.money(line.cost),
        profit=words.money(line.profit) if line.profit is not None else NONE,
        paid=bool(line.paid),
        like=url_for("quote.new_quote", like=line.quote, again="yes") if line.quote else "",
    )


@room.get("/history.csv")
def write_csv() -> Response:
    """What is looked for, as CSV."""
    return Response("".join(csv_lines(_heads(), _cells())), mimetype="text/csv", headers=_named("orders.csv"))


@room.get("/history.xlsx")
def write_workbook() -> Response:
    """What is looked for, as a workbook."""
    written = io.BytesIO()
    book = Workbook(written)
    book.add("orders", _heads(), _cells())
    book.close()
    return Response(written.getvalue(), mimetype=XLSX, headers=_named("orders.xlsx"))


def _named(name: str) -> dict[str, str]:
    return {"Content-Disposition": f'attachment; filename="{name}"'}


def _heads() -> list[str]:
    return [words_now().say(column) for column in COLUMNS]


def _cells() -> Iterator[tuple[Cell, ...]]:
    words = words_now()
    for line in history.all_of(store_now(), sought=HistoryForm.asked().sought()):
        size = line.size
        yield (
            line.number,
            line.name,
            line.customer,
            words.say(STATES[line.state]),
            words.today(line.begun_at).isoformat(),
            words.today(line.ended_at).isoformat() if line.ended_at else None,
            line.quote,
            line.loom,
            _millimetres(size.width) if size else None,
            _millimetres(size.length) if size else None,
            line.cost.currency,
            _amount(line.agreed),
            _amount(line.came_to),
            _amount(line.received),
            words.say(ANSWERS[line.paid]) if line.paid is not None else None,
            _amount(line.cost),
            _amount(line.left_over),
            _amount(line.profit),
        )


def _amount(money: Money | None) -> Cell:
    return None if money is None else money.amount


def _millimetres(length: Length) -> Cell:
    return Decimal(length.nm) / 1_000_000
