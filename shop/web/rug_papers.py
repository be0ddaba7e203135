"""Papers for rugs: tags in three sizes, a price list, a packing list; for rugs that are chosen, or that a fair's page names."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, Final

from flask import Blueprint, Response, request, session, url_for
from werkzeug.datastructures import MultiDict

from shop.core.errors import Problem, Refusal
from shop.core.money import total
from shop.paper.packing_list import packing_list_pdf
from shop.paper.price_list import ListedRug, price_list_pdf
from shop.paper.tag import SIZES, RugTag, TagSize, code_fits, sheets_needed, size_name, tags_pdf
from shop.usecases import price as prices
from shop.usecases import rug_papers
from shop.usecases import shop as shops
from shop.usecases.labels import LONGEST, written_numbers
from shop.usecases.rug_card import RugCard
from shop.web.asked import number_of
from shop.web.fields import ChoiceField, ReadField, TextField
from shop.web.forms import ShopForm
from shop.web.labels import only_this_machine
from shop.web.pages import page, show
from shop.web.quote_papers import shop_head
from shop.web.rug_shown import RugShown, rug_shown
from shop.web.shell import moment, public_address, store_now, words_now
from shop.words import Words, mark

room = Blueprint("rug_papers", __name__, url_prefix="/rugs/papers")

LONGEST_ASKED: Final = LONGEST + 1
USUAL: Final = "small"
REMEMBERED: Final = "tag_size"
"""The size that was printed last, among what the browser keeps for us."""
SHOWN_AT_ONCE: Final = 60


def _sizes() -> list[tuple[str, str]]:
    return [(key, size_name(size, words_now())) for key, size in SIZES.items()]


class NumbersField(ReadField):
    """The numbers of rugs; left empty, it says how to write them."""

    def process_formdata(self, valuelist: list[str]) -> None:
        """Read them."""
        super().process_formdata(valuelist)
        if not (valuelist and valuelist[0].strip()):
            self.problems = [Problem("rug.no_numbers", self.where)]


class PapersForm(ShopForm):
    """Which rugs, and what is printed for them."""

    class Meta(ShopForm.Meta):
        """Asking changes nothing."""

        csrf = False

    numbers = NumbersField(
        mark("Numbers of the rugs"),
        hint=mark("Several at once: 3-9, 12"),
        read=rug_papers.read_numbers,
        written=written_numbers,
    )
    size = ChoiceField(mark("Size of the tags"), choices=_sizes, named=True, buttons=True)
    title = TextField(mark("A line at the head of the lists"), needed=False, hint=mark("Such as the name of a fair."))

    @classmethod
    def asked(cls) -> Any:
        """The form as asked in the address; what is not asked is as usual."""
        args = request.args
        kept = str(session.get(REMEMBERED, ""))
        usual = kept if kept in SIZES else USUAL
        given = {"numbers": _numbers(), "size": args.get("size", "")[:40] or usual, "title": args.get("title", "")[:200]}
        return cls(MultiDict(given))

    @property
    def chosen(self) -> TagSize:
        """The size that was chosen; the usual one where there is no such size."""
        return SIZES.get(self.size.data or "", SIZES[USUAL])


def _numbers() -> str:
    """The numbers as asked: typed, ticked in the list, all that an outlet has, or all that are at home."""
    args, store = request.args, store_now()
    if "numbers" in args:
        return args["numbers"][:LONGEST_ASKED]
    if "rug" in args:
        return ", ".join(args.getlist("rug"))[:LONGEST_ASKED]
    outlet = number_of(args.get("outlet", ""))
    if outlet:
        return written_numbers(rug_papers.numbers_in(store, shown="outlet", outlet=outlet))
    return written_numbers(rug_papers.numbers_in(store))


@page("rug/papers.html")
class PapersPage:
    """Choosing what is printed.

    Attributes:
        rugs: that are chosen, the first of them.
        more: how many are chosen beyond those.
        sheets: how many sheets of tags there will be.
        unpriced: how many have no price yet.
        address: what the code of the first tag opens; ``unreachable`` where a phone cannot open it.
        nothing: there is no rug at home and none was asked for.
    """

    form: PapersForm
    rugs: tuple[RugShown, ...]
    more: int
    count: int
    sheets: int
    unpriced: int
    address: str
    unreachable: bool
    nothing: bool


@room.get("")
def show_papers() -> Response:
    """Choose the rugs, and what is printed for them."""
    form = PapersForm.asked()
    nothing = not request.args and not form.numbers.data
    cards = () if nothing else _chosen(form)
    return _page(form, cards, nothing=nothing, status=422 if form.errors else 200)


@room.get("/tags.pdf")
def print_tags() -> Response:
    """The tags, as a PDF; or the page again, where they cannot be printed."""

    def made(cards: Sequence[RugCard], form: PapersForm, words: Words) -> bytes:
        session[REMEMBERED] = form.chosen.key
        return tags_for(cards, form.chosen, words)

    return _pdf("tags", made)


@room.get("/prices.pdf")
def print_prices() -> Response:
    """The price list."""
    return _pdf("prices", lambda cards, form, words: price_list_for(cards, form.title.data or "", words))


@room.get("/packing.pdf")
def print_packing() -> Response:
    """The packing list."""
    return _pdf("packing-list", lambda cards, form, words: packing_list_for(cards, form.title.data or "", words))


def tags_for(cards: Sequence[RugCard], size: TagSize, words: Words, *, tax: str | None = None) -> bytes:
    """Tags for these rugs; ``tax`` is what they say of tax, by default what the shop's price rule has."""
    if tax is None:
        tax = _tax(words)
    shop = shop_head(shops.current(store_now()))
    return tags_pdf([_tag(card, tax, words) for card in cards], size, shop=shop, day=words.today(moment()), words=words)


def price_list_for(cards: Sequence[RugCard], title: str, words: Words, *, tax: str | None = None) -> bytes:
    """A price list of these rugs, the dearest last; ``tax`` is what it says of tax, by default what the shop's price rule has."""
    if tax is None:
        tax = _tax(words)
    by_price = sorted(cards, key=lambda card: (card.price is None, card.price.minor if card.price else 0, card.number))
    return price_list_pdf(
        [_listed(card, words) for card in by_price],
        title=title,
        tax=tax,
        shop=shop_head(shops.current(store_now())),
        day=words.today(moment()),
        words=words,
    )


def _tax(words: Words) -> str:
    pricing = prices.current(store_now())
    if not pricing.tax_rate or pricing.tax_included:
        return ""
    name = pricing.tax_name or words.say("tax")
    return words.say("%(share)s %(tax)s comes on top.", share=words.percent(pricing.tax_rate, 3), tax=name)


def packing_list_for(cards: Sequence[RugCard], title: str, words: Words, also: Sequence[str] = ()) -> bytes:
    """A packing list of these rugs; ``also`` what else to take along."""
    known = [card.price for card in cards if card.price is not None]
    grams = sum(card.weight.grams for card in cards if card.weight)
    whole = all(card.weight for card in cards)
    return packing_list_pdf(
        [_listed(card, words) for card in cards],
        title=title,
        together=words.money(total(known, cards[0].cost.cloth.currency)) if cards else "",
        weight=words.weight(grams) if whole and grams else "",
        also=also,
        shop=shop_head(shops.current(store_now())),
        day=words.today(moment()),
        words=words,
    )


def _pdf(name: str, make: Callable[[Sequence[RugCard], PapersForm, Words], bytes]) -> Response:
    form = PapersForm.asked()
    cards = _chosen(form)
    if form.errors:
        return _page(form, cards, nothing=False, status=422)
    answer = Response(make(cards, form, words_now()), mimetype="application/pdf")
    answer.headers["Content-Disposition"] = f'inline; filename="{name}.pdf"'
    return answer


def _chosen(form: PapersForm) -> tuple[RugCard, ...]:
    """The rugs that were asked for; what is wrong with the asking stands in the form."""
    form.validate()
    cards: tuple[RugCard, ...] = ()
    if not form.numbers.errors:
        try:
            cards = rug_papers.rugs_to_print(store_now(), numbers=form.numbers.data)
        except Refusal as refusal:
            form.refuse(refusal)
    longest = max((address_of(card.number) for card in cards), key=len, default="")
    if longest and not form.size.errors and not code_fits(form.chosen, longest):
        form.refuse(Problem("rug.code", "size"))
    return cards


def _page(form: PapersForm, cards: tuple[RugCard, ...], *, nothing: bool, status: int) -> Response:
    context = PapersPage(
        form=form,
        rugs=tuple(rug_shown(card) for card in cards[:SHOWN_AT_ONCE]),
        more=max(0, len(cards) - SHOWN_AT_ONCE),
        count=len(cards),
        sheets=sheets_needed(form.chosen, len(cards)),
        unpriced=sum(card.price is None for card in cards),
        address=address_of(cards[0].number) if cards else "",
        unreachable=only_this_machine(public_address()),
        nothing=nothing,
    )
    return show(context, status=status)


def address_of(number: int) -> str:
    """What the code of a rug opens: its page."""
    return public_address() + url_for("rug.open_tag", number=number)


def _tag(card: RugCard, tax: str, words: Words) -> RugTag:
    return RugTag(
        number=card.number,
        name=card.name,
        price=words.money(card.price) if card.price is not None else "",
        size=words.size(card.size),
        content=card.content["fibres"] or words.say("fibres not known"),
        care=card.content["care"],
        stripes=card.stripes,
        long=card.size.length.metres / card.size.width.metres,
        address=address_of(card.number),
        tax=tax,
    )


def _listed(card: RugCard, words: Words) -> ListedRug:
    return ListedRug(
        number=card.number,
        name=card.name,
        size=words.size(card.size),
        content=card.content["fibres"],
        price=words.money(card.price) if card.price is not None else "",
        weight=words.weight(card.weight) if card.weight else "",
        stripes=card.stripes,
    )
