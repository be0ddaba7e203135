"""The till of a fair at the weaver's desk: phones are let in, doubts settled, sales typed in, the box counted."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flask import Blueprint, Response, redirect, request, url_for

from shop.core.errors import Problem, Refusal, Unreadable
from shop.core.till_entry import MOST_RUGS
from shop.paper.codes import code_of
from shop.usecases import till_acts, till_desk, till_forgetting, till_phone
from shop.usecases.rug_papers import read_numbers
from shop.usecases.till_acts import SaleGiven
from shop.usecases.till_desk import More
from shop.web.asked import number_of
from shop.web.forms import PressForm, ShopForm, pressed
from shop.web.labels import only_this_machine
from shop.web.offer import letters_are_sent
from shop.web.pages import page, show
from shop.web.shell import key_now, moment, public_address, store_now, tell, words_now
from shop.web.till import manner_now
from shop.web.till_forms import FORMS, AnotherForm, CashForm, PhoneForm, SaleForm
from shop.web.till_shown import BoxShown, PhoneRow, RefusedRow, RiddleRow, SaleRow, WishRow, shown
from shop.words import mark

room = Blueprint("till_desk", __name__, url_prefix="/fairs/<int:number>/till")


@page("till/desk.html")
class DeskPage:
    """The till of a fair.

    Attributes:
        doubtful: sales with a rug that was sold twice.
        taken: what was taken, by how it was paid.
        waiting: how many undoings wait for their sale.
        more: what there is beyond what is listed.
    """

    number: int
    name: str
    place: str
    state: str
    phones: tuple[PhoneRow, ...]
    doubtful: tuple[SaleRow, ...]
    sales: tuple[SaleRow, ...]
    further: str
    taken: tuple[tuple[str, str], ...]
    box: BoxShown
    wishes: tuple[WishRow, ...]
    refused: tuple[RefusedRow, ...]
    riddles: tuple[RiddleRow, ...]
    waiting: int
    more: More
    sent_by_us: bool
    phone: PhoneForm
    sale: SaleForm
    cash: CashForm
    another: AnotherForm
    act: PressForm


@page("till/opened.html")
class OpenedPage:
    """A phone just let in: the address that opens the till on it, shown this once; ``unreachable`` where it leads to this machine only."""

    number: int
    name: str
    address: str
    across: int
    code: str
    safe: bool
    unreachable: bool


@room.get("")
def show_desk(number: int) -> Response:
    """The till."""
    return _page(number)


def _page(number: int, *, status: int = 200, **forms: ShopForm) -> Response:
    found = till_desk.desk(store_now(), fair=number, below=number_of(request.args.get("below", "")))
    fresh = {name: form(formdata=None, prefix=f"{name}-") for name, form in FORMS.items()}
    given: dict[str, Any] = {**fresh, **forms}
    context = DeskPage(
        **shown(found, words_now()),
        further=url_for("till_desk.show_desk", number=number, below=found.further) if found.further else "",
        sent_by_us=letters_are_sent(),
        act=PressForm(formdata=None),
        **given,
    )
    return show(context, status=status)


def _back(number: int) -> Response:
    return redirect(url_for("till_desk.show_desk", number=number), 303)  # type: ignore[return-value]


@room.post("/phones")
def open_phone(number: int) -> Response:
    """Let a phone in, and show the address that opens the till on it."""
    form = PhoneForm(prefix="phone-")
    if form.validate():
        try:
            opened = till_phone.open_phone(
                store_now(), fair=number, name=form.name.data or "", key=key_now(), saving=form.saving.data, now=moment()
            )
        except Refusal as refusal:
            _raise_unknown(refusal)
            form.refuse(refusal)
        else:
            address = f"{public_address()}{url_for('till.show_till')}#open={opened.secret}"
            code = code_of(address)
            context = OpenedPage(
                number=number,
                name=opened.name,
                address=address,
                across=code.across,
                code="".join(code.rows),
                safe=address.startswith("https://"),
                unreachable=only_this_machine(address),
            )
            return show(context)
    return _page(number, phone=form, status=422)


def _raise_unknown(refusal: Refusal) -> None:
    """What is not there at all is not for a form to say."""
    if any(problem.code in ("fair.unknown", "sale.unknown") for problem in refusal.problems):
        raise refusal


@room.post("/phones/revoked")
def revoke(number: int) -> Response:
    """A phone is lost."""
    phone = number_of(request.form.get("phone", "")) or 0
    name = till_phone.revoke(store_now(), fair=number, phone=phone, saving=pressed(), now=moment())
    tell(mark("%(name)s sells nothing any more, and sees nothing."), name=name)
    return _back(number)


def _typed(number: int, form: ShopForm, which: str, act: Callable[[], Any], told: str) -> Response:
    if form.validate():
        try:
            act()
        except Refusal as refusal:
            _raise_unknown(refusal)
            form.refuse(refusal)
        else:
            tell(told)
            return _back(number)
    return _page(number, status=422, **{which: form})


@room.post("/sales")
def type_in(number: int) -> Response:
    """A sale that no phone did."""
    form = SaleForm(prefix="sale-")

    def act() -> None:
        try:
            rugs = read_numbers(form.rugs.data or "")
        except Unreadable as unreadable:
            raise Refusal(*(_of_a_sale(problem).at("rugs") for problem in unreadable.problems)) from None
        given = SaleGiven(
            rugs=rugs,
            together=form.together.data,
            means=form.means.data,
            given=form.given.data,
            mail=form.mail.data or "",
            note=form.note.data or "",
        )
        try:
            till_acts.sell(
                store_now(), fair=number, given=given, manner=manner_now(), saving=form.saving.data, now=moment()
            )
        except Refusal as refusal:
            raise type(refusal)(*(_beside(problem) for problem in refusal.problems)) from None

    return _typed(number, form, "sale", act, mark("The sale is written down."))


def _of_a_sale(problem: Problem) -> Problem:
    """Numbers are read as for printing, where more of them are taken."""
    return Problem("till.many", values={"most": MOST_RUGS}) if problem.code == "rug.many" else problem


def _beside(problem: Problem) -> Problem:
    """The till's own arithmetic calls the entries by other names."""
    where = {"bargain": "together", "elsewhere": "together"}.get(problem.where, problem.where)
    return problem.at(where.partition(".")[0])


@room.post("/cash")
def put_cash(number: int) -> Response:
    """Something to say of the box."""
    form = CashForm(prefix="cash-")

    def act() -> None:
        till_acts.put_cash(
            store_now(),
            fair=number,
            what=form.what.data,
            amount=form.amount.data,
            note=form.note.data or "",
            manner=manner_now(),
            saving=form.saving.data,
            now=moment(),
        )

    return _typed(number, form, "cash", act, mark("It is written down."))


@room.post("/sales/<int:sale>/undone")
def undo(number: int, sale: int) -> Response:
    """A sale is undone."""
    why = request.form.get("why", "")
    till_acts.undo(store_now(), fair=number, sale=sale, why=why, saving=pressed(), now=moment())
    tell(mark("Sale %(number)s is undone. It stays in the record."), number=str(sale))
    return _back(number)


@room.post("/sales/<int:sale>/another/<int:place>")
def was_another(number: int, sale: int, place: int) -> Response:
    """It was another rug."""
    form = AnotherForm(prefix="another-")

    def act() -> None:
        till_acts.was_another(
            store_now(), fair=number, sale=sale, place=place, rug=form.rug.data or 0, words="", saving=form.saving.data,
            now=moment(),
        )  # fmt: skip

    return _typed(number, form, "another", act, mark("It is settled."))


@room.post("/sales/<int:sale>/forgotten")
def forget_buyer(number: int, sale: int) -> Response:
    """Who bought is forgotten."""
    till_forgetting.forget_buyer(store_now(), fair=number, sale=sale, saving=pressed(), now=moment())
    tell(mark("Who bought in sale %(number)s is forgotten. The sale stays."), number=str(sale))
    return _back(number)


@room.post("/wishes/forgotten")
def forget_wisher(number: int) -> Response:
    """Who wished is forgotten."""
    wish = number_of(request.form.get("wish", "")) or 0
    till_forgetting.forget_wisher(store_now(), fair=number, wish=wish, saving=pressed(), now=moment())
    tell(mark("Who wished for it is forgotten. The size stays."))
    return _back(number)


@room.post("/looked-at")
def looked_at(number: int) -> Response:
    """She has looked at what nobody could understand."""
    entry = number_of(request.form.get("entry", "")) or 0
    till_acts.looked_at(store_now(), fair=number, entry=entry, saving=pressed(), now=moment())
    return _back(number)


@room.post("/wishes/done")
def wish_done(number: int) -> Response:
    """A wish is seen to."""
    wish = number_of(request.form.get("wish", "")) or 0
    quote = number_of(request.form.get("quote", "").strip())
    till_acts.wish_done(store_now(), fair=number, wish=wish, quote=quote, saving=pressed(), now=moment())
    tell(mark("The wish is seen to."))
    return _back(number)
