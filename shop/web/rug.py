"""Finished rugs: looked through, and each with what it cost, where it is, what the hour earns at its price, and its sales."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from flask import Blueprint, Response, redirect, request, url_for

from shop.core.errors import Refusal
from shop.usecases import rug as rugs
from shop.usecases import rug_card, rug_page
from shop.usecases.rug_page import RugOpened, RugSale
from shop.web.asked import number_of
from shop.web.fields import MoneyField, RevisionField, SavingField
from shop.web.forms import PressForm, ShopForm
from shop.web.order_forms import MEANS
from shop.web.pages import page, show
from shop.web.rug_shown import MOVES, RugShown, rug_shown
from shop.web.shell import moment, store_now, tell, words_now
from shop.words import Words, mark

room = Blueprint("rug", __name__)

LONGEST: Final = 200
SHOWN: Final[dict[str, tuple[str, str]]] = {
    "": ("for sale", mark("For sale")),
    "home": ("home", mark("At home")),
    "fair": ("fair", mark("At a fair")),
    "outlet": ("outlet", mark("At an outlet")),
    "sold": ("sold", mark("Sold")),
    "gone": ("gone", mark("Given away")),
}
"""What of the rugs is shown: its word in the address, ours, and its name."""
COSTS: Final = (
    ("cloth", mark("Cloth")),
    ("warp", mark("Warp")),
    ("labour", mark("Labour")),
    ("overhead", mark("Overhead")),
    ("bought_in", mark("Bought in")),
)


class PriceForm(ShopForm):
    """What a rug is to bring."""

    price = MoneyField(mark("Price"), needed=False, where="rug.price")
    revision = RevisionField()
    saving = SavingField()


@page("rug/list.html")
class RugsPage:
    """The rugs, newest first.

    Attributes:
        drawers: (name, address, value of ``aria-current``) of each place.
        drawer: the place that is shown, as it stands in the address.
        first: nothing is looked for and there is no rug at all to be shown.
    """

    rugs: tuple[RugShown, ...]
    drawers: tuple[tuple[str, str, str], ...]
    drawer: str
    find: str
    further: str
    first: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SaleShown:
    """A sale of the rug, in words; ``undo`` while it stands."""

    number: int
    when: str
    where: str
    how: str
    facts: tuple[tuple[str, str], ...]
    note: str
    undone: bool
    why: str
    doubt: bool


@page("rug/rug.html")
class RugPage:
    """A rug.

    Attributes:
        costs: (what, how much), and ``total`` of them.
        hours: of work in it; empty where nobody knows.
        hour: what the hour earns at its price, or earned; ``really`` of a sale. ``wage`` that is wanted.
        by_rule: what the rule would ask, ``by_rule_typed`` as it is typed into the price.
        floor: what materials, things bought in and fees come to; empty where nothing is known of the cost.
        per_area: its price for an area.
        moves: (what, where, when, note), newest first.
        prices: (price, when), newest first; empty while it had one only.
        outlets: (id, name) of those that it can be sent to.
        at: ``home``, ``outlet`` and so on.
    """

    rug: RugShown
    job: int | None
    made: str
    note: str
    content: str
    care: str
    costs: tuple[tuple[str, str], ...]
    hours: str
    hour: str
    really: bool
    wage: str
    by_rule: str
    by_rule_typed: str
    floor: str
    per_area: str
    moves: tuple[tuple[str, str, str, str], ...]
    sales: tuple[SaleShown, ...]
    prices: tuple[tuple[str, str], ...]
    outlets: tuple[tuple[int, str], ...]
    can_undo: bool
    price: PriceForm
    act: PressForm


@room.get("/rugs")
def show_rugs() -> Response:
    """The rugs, or those that are looked for."""
    asked = request.args.get("show", "")
    drawer = asked if asked in SHOWN else ""
    find = request.args.get("find", "")[:LONGEST].strip()
    found = rug_card.rugs(store_now(), shown=SHOWN[drawer][0], find=find, below=number_of(request.args.get("below", "")))
    say = words_now().say
    context = RugsPage(
        rugs=tuple(rug_shown(card) for card in found.rugs),
        drawers=tuple(
            (say(name), url_for("rug.show_rugs", show=key or None, find=find or None), "page" if key == drawer else "")
            for key, (_, name) in SHOWN.items()
        ),
        drawer=drawer,
        find=find,
        further=url_for("rug.show_rugs", show=drawer or None, find=find or None, below=found.further)
        if found.further
        else "",
        first=not (found.rugs or find or drawer or request.args.get("below")),
    )
    return show(context)


@room.get("/rug/<int:number>")
def open_tag(number: int) -> Response:
    """What the code on a tag opens: the page of its rug."""
    return redirect(url_for("rug.show_rug", number=number), 303)  # type: ignore[return-value]


@room.get("/rugs/<int:number>")
def show_rug(number: int) -> Response:
    """A rug."""
    return _page(rug_page.opened(store_now(), number=number), None)


@room.post("/rugs/<int:number>/price")
def set_price(number: int) -> Response:
    """What it is to bring."""
    form = PriceForm()
    if form.validate():
        try:
            rugs.set_price(
                store_now(),
                number=number,
                price=form.price.data,
                revision=form.revision.data or 0,
                saving=form.saving.data,
                now=moment(),
            )
        except Refusal as refusal:
            if any(problem.code == "rug.unknown" for problem in refusal.problems):
                raise
            form.refuse(refusal)
        else:
            tell(mark("Rug %(number)s has its price."), number=str(number))
            return _to(number)
    return _page(rug_page.opened(store_now(), number=number), form, status=422)


def _page(found: RugOpened, form: PriceForm | None, *, status: int = 200) -> Response:
    words, card = words_now(), found.card
    at = found.at_price
    context = RugPage(
        rug=rug_shown(card),
        job=card.job,
        made=words.date(card.made_on),
        note=card.note,
        content=card.content["fibres"],
        care=card.content["care"],
        costs=tuple((words.say(name), words.money(getattr(card.cost, key))) for key, name in COSTS if getattr(card.cost, key)),
        hours=words.duration(float(card.minutes)) if card.minutes else "",
        hour=words.money(found.hour) if found.hour is not None else "",
        really=found.really,
        wage=words.money(found.wage) if found.wage is not None else "",
        by_rule=words.money(found.by_rule.asking) if found.by_rule else "",
        by_rule_typed=words.typed_money(found.by_rule.asking) if found.by_rule else "",
        floor=words.money(found.by_rule.floor) if found.by_rule and card.cost_known else "",
        per_area=_per_area(found, words) if at else "",
        moves=tuple(
            (words.say(MOVES[one.what]), one.where, words.date(one.on, "medium"), one.note) for one in found.moves
        ),
        sales=tuple(_sale(one, words) for one in found.sales),
        prices=tuple(
            (words.money(price) if price is not None else words.say("open"), words.date(words.today(when), "medium"))
            for price, when in found.prices
        )
        if len(found.prices) > 1
        else (),
        outlets=found.outlets,
        can_undo=found.can_undo,
        price=form or PriceForm(formdata=None, data={"price": card.price, "revision": card.revision}),
        act=PressForm(formdata=None),
    )
    return show(context, status=status)


def _per_area(found: RugOpened, words: Words) -> str:
    """The price for a square foot, or a square metre."""
    if found.at_price is None:
        return ""
    price = words.money(found.per_area)
    if words.units == "imperial":
        return words.say("%(price)s for a square foot", price=price)
    return words.say("%(price)s for a square metre", price=price)


def _sale(one: RugSale, words: Words) -> SaleShown:
    say = words.say
    facts = [(say("It brought"), words.money(one.price))]
    if one.tax:
        facts.append((say("Tax"), words.money(one.tax)))
    if one.outlet_share:
        facts.append((say("The outlet keeps"), words.money(one.outlet_share)))
    if one.fee:
        facts.append((say("The card reader keeps"), words.money(one.fee)))
    facts.append((say("Left for the shop"), words.money(one.left)))
    return SaleShown(
        number=one.number,
        when=words.date(one.on, "medium"),
        where=one.where or say("from home"),
        how=say(MEANS[one.means]),
        facts=tuple(facts),
        note=one.note,
        undone=one.undone,
        why=one.undone_why,
        doubt=one.doubt,
    )


def _to(number: int) -> Response:
    return redirect(url_for("rug.show_rug", number=number), 303)  # type: ignore[return-value]
