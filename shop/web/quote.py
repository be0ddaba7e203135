"""Quotes: the page on which a rug is planned and priced, the list of quotes, and their papers."""

from __future__ import annotations

from dataclasses import dataclass, replace

from flask import Blueprint, Response, redirect, request, url_for

from shop.core.errors import Refusal
from shop.core.ledger import WHOLE
from shop.core.order import OfferState
from shop.usecases import drafting, planning, till_acts, till_desk
from shop.usecases import job as jobs
from shop.usecases import offer as offers
from shop.usecases import quote as quotes
from shop.usecases.chosen import NEW, Chosen
from shop.usecases.job import JobLine
from shop.usecases.planning import Planned
from shop.usecases.quote import QuoteView
from shop.usecases.workroom import first_choice, workroom
from shop.web.asked import number_of as whole_number
from shop.web.comes_to import ComesTo, LoomChoice, comes_to, loom_choices
from shop.web.fields import SavingField
from shop.web.forms import ShopForm
from shop.web.how_sure import HowSure, how_sure
from shop.web.job import STATES as JOB_STATES
from shop.web.offer import STATES as OFFER_STATES
from shop.web.pages import page, show
from shop.web.quote_form import MOST_CHOSEN, PieceEntry, QuoteForm, as_filled, chosen_of, fill, pieces_entered
from shop.web.quote_papers import cost_sheet_of, customer_quote_of
from shop.web.shell import moment, store_now, tell, words_now
from shop.words import mark

room = Blueprint("quote", __name__, url_prefix="/quotes")


class BeginForm(ShopForm):
    """The button that begins a job."""

    saving = SavingField()


@dataclass(frozen=True, slots=True)
class PieceChoice:
    """A piece of cloth in hand, to tick.

    Attributes:
        number, name, colour: of the piece.
        facts: its size, what is left of it, what it cost, in words.
        to_wash: whether it is set aside to wash.
        chosen: whether it is ticked; ``part`` of the rug as typed; ``wrong`` what is wrong with that.
    """

    number: int
    name: str
    colour: str
    facts: str
    to_wash: bool
    chosen: bool
    part: str
    wrong: str


@page("quote/quote.html")
class QuotePage:
    """The quote page: what is decided on the left, what it comes to on the right.

    Attributes:
        wish: the id of the wish from a fair that a new quote is begun for; ``wished`` what was said of it there.
    """

    form: QuoteForm
    looms: tuple[LoomChoice, ...]
    pieces: tuple[PieceChoice, ...]
    comes_to: ComesTo | None
    sure: HowSure | None
    number: int | None
    saved: str
    moved_on: bool
    anew: bool
    begin: BeginForm
    jobs: tuple[JobLine, ...]
    offer: int | None
    state: str
    wish: int | None
    wished: tuple[str, ...]


@page("quote/comes_to.html")
class ComesToPart:
    """Only what it comes to, for a page that is already open."""

    form: QuoteForm
    looms: tuple[LoomChoice, ...]
    comes_to: ComesTo | None
    sure: HowSure | None


@dataclass(frozen=True, slots=True)
class QuoteRow:
    """A quote in the list."""

    number: int
    address: str
    customer: str
    title: str
    size: str
    asking: str
    total: str
    saved: str
    state: str
    job: int | None
    stripes: tuple[tuple[str, float], ...]
    shape: tuple[float, float]


@page("quote/list.html")
class QuoteListPage:
    """The list of quotes, newest first."""

    rows: tuple[QuoteRow, ...]
    find: str
    further: str
    beginning: bool


DRAFT = mark("draft")


@room.get("/")
def show_quotes() -> Response:
    """Quotes, newest first, or those that hold the words looked for."""
    find, after = request.args.get("find", "")[:200], request.args.get("after", "")[:60]
    found = quotes.quotes(store_now(), words=number_of(find) or find, after=after)
    further = url_for("quote.show_quotes", find=find or None, after=found.further) if found.further else ""
    rows = tuple(quote_row(line) for line in found.quotes)
    return show(QuoteListPage(rows=rows, find=find, further=further, beginning=not after))


def number_of(find: str) -> str:
    """The number in “Quote 3”, as quotes are called here; empty where it is not called so."""
    typed = " ".join(find.casefold().split())
    called = mark("Quote %(number)s")
    for label in (words_now().say(called, number=""), called % {"number": ""}):
        number = typed.removeprefix(label.strip().casefold()).strip()
        if number != typed and number.isdecimal():
            return number
    return ""


def quote_row(line: quotes.QuoteLine) -> QuoteRow:
    """A quote as it stands in a list."""
    words = words_now()
    return QuoteRow(
        number=line.number,
        address=url_for("quote.show_quote", number=line.number),
        customer=line.customer_name,
        title=line.title,
        size=words.size(line.size),
        asking=words.money(line.asking),
        total=words.money(line.total),
        saved=words.date(words.today(line.updated_at), "medium"),
        state=words.say(_state(line.offer_on(words.today(moment())), line.job[1] if line.job else "")),
        job=line.job[0] if line.job else None,
        stripes=line.stripes,
        shape=(line.size.width.metres, line.size.length.metres),
    )


def _state(offered: OfferState | None, job: str) -> str:
    """How far a quote has come: its job, else its newest offer, else it is a draft still."""
    if job:
        return JOB_STATES[job]
    return OFFER_STATES[offered.value] if offered else DRAFT


@room.get("/new")
def new_quote() -> Response:
    """A new quote; with ``like``, one chosen as another was; with ``wish``, of the size and for the name that was wished.

    With ``again`` beside ``like`` it is for the same customer and called the same, as when an order is to be made once more.
    """
    like = request.args.get("like", "")
    store = store_now()
    wish = till_desk.wish_of(store, wish=_wish() or 0)
    before: QuoteView | None = None
    if like.isascii() and like.isdigit() and len(like) < 18:
        plan = drafting.like(store, number=int(like))
        before = quotes.open_quote(store, number=int(like)) if request.args.get("again") else None
    else:
        plan = planning.planned(store)
    if wish is not None and (wish.width or wish.length):
        size = {"width": wish.width or plan.chosen.width, "length": wish.length or plan.chosen.length}
        plan = planning.planned(store, chosen=replace(plan.chosen, **size))
    form = QuoteForm(formdata=None)
    fill(form, plan.chosen, plan.room)
    if before is not None:
        form.customer_name.data, form.customer_contact.data = before.customer_name, before.customer_contact
        form.title.data = before.title
    if wish is not None:
        form.customer_name.data, form.customer_contact.data = wish.name, wish.contact
    return show(_page_of(form, plan))


@room.get("/<int:number>")
def show_quote(number: int) -> Response:
    """A saved quote, with the figures that it was saved with."""
    opened = drafting.open_quote(store_now(), number=number)
    form = QuoteForm(formdata=None)
    fill(form, opened.planned.chosen, opened.planned.room)
    view = opened.quote
    form.customer_name.data, form.customer_contact.data = view.customer_name, view.customer_contact
    form.title.data, form.revision.data = view.title, view.revision
    return show(_page_of(form, opened.planned, view=view, moved_on=opened.moved_on))


@room.post("/new")
def work_on_new() -> Response:
    """Reckon a new quote, or save it."""
    return _work_on(None)


@room.post("/<int:number>")
def work_on(number: int) -> Response:
    """Reckon a saved quote anew, or save it."""
    return _work_on(number)


@room.post("/reckon")
def reckon_only() -> Response:
    """What the form comes to, and nothing else; changes nothing."""
    form, entries = QuoteForm(), _entries()
    plan = _plan(form, entries[0], request.args.get("number", type=int), anew=_anew())
    ok = plan.reckoning is not None and form.loose == [] and not form.mistakes()
    result = comes_to(plan.reckoning, words_now(), plan.room.pricing.tax_name) if ok and plan.reckoning else None
    sure = how_sure(plan, words_now()) if ok else None
    return show(ComesToPart(form=form, looms=loom_choices(plan, words_now()), comes_to=result, sure=sure))


def _work_on(number: int | None) -> Response:
    form, (entries, _) = QuoteForm(), _entries()
    anew = _anew()
    plan = _plan(form, entries, number, anew=anew)
    if request.form.get("act") == "save" and not form.mistakes() and plan.reckoning is not None:
        customer = drafting.Customer(
            name=form.customer_name.data or "",
            contact=form.customer_contact.data or "",
            title=form.title.data or "",
        )
        try:
            before = None if number is None else quotes.open_quote(store_now(), number=number).total
            view = drafting.keep(
                store_now(),
                plan=plan,
                customer=customer,
                number=number,
                revision=form.revision.data or 0,
                saving=form.saving.data,
                now=moment(),
            )
        except Refusal as refusal:
            form.refuse(refusal)
        else:
            if number is None and (wish := _wish()):
                till_acts.wish_quoted(store_now(), wish=wish, quote=view.number, now=moment())
            tell(mark("Quote %(number)s is saved as a draft."), number=str(view.number))
            if before is not None and before != view.total:
                tell(
                    mark("The customer now pays %(now)s; it was %(before)s."), now=view.total, before=before
                )
            return redirect(url_for("quote.show_quote", number=view.number), 303)  # type: ignore[return-value]
    status = 422 if form.mistakes() else 200
    for piece_number, part in plan.chosen.pieces:
        if piece_number in form.stripes.numbers():
            entries.setdefault(piece_number, PieceEntry(piece_number, "", part))
    return show(_page_of(form, plan, entries=entries, number=number, anew=anew), status=status)


def _wish() -> int | None:
    """The wish that a new quote is begun for, as the address says; it stays there while the quote is worked on."""
    return whole_number(request.args.get("wish", ""))


def _wished(number: int | None) -> tuple[str, ...]:
    if number is not None:
        return till_desk.wished_of_quote(store_now(), quote=number)
    wish = till_desk.wish_of(store_now(), wish=_wish() or 0)
    return (wish.words,) if wish is not None and wish.words else ()


def _anew() -> bool:
    """Whether a saved quote is to be reckoned by today's rates, even where nothing else has changed."""
    return request.form.get("act") == "reckon" or request.form.get("anew") == "yes"


def _entries() -> tuple[dict[int, PieceEntry], list]:
    return pieces_entered(request.form, request.form.getlist("piece"))


def _plan(form: QuoteForm, entries: dict[int, PieceEntry], number: int | None, *, anew: bool) -> Planned:
    """The plan that the form means; its mistakes are noted beside its fields.

    A saved quote of which nothing is changed but the customer's lines stays as it was saved. A form that cannot be read is answered with a rug to begin with, on the loom chosen, whose figures are not shown.
    """
    store = store_now()
    chosen: Chosen | None = None
    problems = pieces_entered(request.form, request.form.getlist("piece"))[1]
    loom = request.form.get("loom", "")
    loom_id = int(loom) if loom.isascii() and loom.isdigit() and len(loom) < 18 else 0
    if form.validate_on_submit() and not problems:
        try:
            chosen = chosen_of(form, entries, loom_id)
        except Refusal as refusal:
            form.refuse(refusal)
    for problem in problems:
        form.refuse(problem)
    if chosen is None:
        room = workroom(store, also=tuple(entries)[:MOST_CHOSEN])
        return planning.plan_in(room, replace(first_choice(room), loom_id=loom_id))
    plan = None
    if number is not None and not anew:
        opened = drafting.open_quote(store, number=number)
        plan = opened.planned if as_filled(opened.planned) == chosen else None
    plan = plan or planning.planned(store, chosen=chosen)
    if plan.refusal is not None:
        form.refuse(plan.refusal)
    if form.size.data:
        form.size.raw_data = None
        form.size.data = ""
        form.width.raw_data = form.length.raw_data = None
        form.width.data, form.length.data = chosen.width, chosen.length
    return plan


def _page_of(
    form: QuoteForm,
    plan: Planned,
    *,
    entries: dict[int, PieceEntry] | None = None,
    view: QuoteView | None = None,
    number: int | None = None,
    moved_on: bool = False,
    anew: bool = False,
) -> QuotePage:
    words = words_now()
    form.stripes.offer(_cloths(form, plan))
    shown = plan.reckoning is not None and not form.mistakes()
    saved, newest = "", None
    begun: tuple[JobLine, ...] = ()
    if view is not None:
        newest = offers.newest_offer(store_now(), quote=view.number, now=moment())
        begun = jobs.jobs_of_quote(store_now(), number=view.number)
        saved = words.say("Saved %(when)s", when=words.datetime(view.updated_at))
    return QuotePage(
        form=form,
        looms=loom_choices(plan, words),
        pieces=_pieces(plan, entries),
        comes_to=comes_to(plan.reckoning, words, plan.room.pricing.tax_name) if shown and plan.reckoning else None,
        sure=how_sure(plan, words) if shown else None,
        number=view.number if view else number,
        saved=saved,
        moved_on=moved_on,
        anew=anew,
        begin=BeginForm(formdata=None),
        jobs=begun,
        offer=newest[0] if newest else None,
        state=words.say(_state(newest[1] if newest else None, begun[-1].state if begun else "")),
        wish=_wish(),
        wished=_wished(view.number if view else number),
    )


def _cloths(form: QuoteForm, plan: Planned) -> list[tuple[int, str]]:
    """The cloths that a stripe may be of: the pieces in hand, those of this rug first, and one still to be bought."""
    words = words_now()
    mine = {number for number, _ in plan.chosen.pieces}
    pieces = sorted(plan.room.pieces, key=lambda piece: piece.number not in mine)
    named = [(piece.number, words.say("%(name)s, No. %(number)s", name=piece.name, number=str(piece.number))) for piece in pieces]
    if form.new_cloth.data or any(NEW in (line.cloth.data, line.second.data) for line in form.stripes.filled):
        named.append((NEW, words.say("The cloth still to be bought")))
    return named


def _pieces(plan: Planned, entries: dict[int, PieceEntry] | None) -> tuple[PieceChoice, ...]:
    words = words_now()
    if entries is None:
        entries = {
            number: PieceEntry(number, "" if part == 1 else words.typed_number(part), part)
            for number, part in plan.chosen.pieces
        }
    found = []
    for piece in plan.room.pieces:
        entry = entries.get(piece.number)
        size = words.sides(piece.width, piece.length)
        left = "" if piece.left == 1 else words.say("%(share)s left", share=words.percent(piece.left, 0))
        held = words.say("%(share)s held", share=words.percent((piece.left_parts - piece.free_parts) / WHOLE, 0)) if piece.held else ""
        facts = [size, left, held, words.money(piece.cost_left)]
        found.append(
            PieceChoice(
                number=piece.number,
                name=piece.name,
                colour=piece.colour,
                facts=" · ".join(fact for fact in facts if fact),
                to_wash=piece.state == "set aside to wash",
                chosen=entry is not None,
                part=entry.typed if entry else request.form.get(f"share-{piece.number}", "")[:60],
                wrong=entry.wrong if entry else "",
            )
        )
    order = {number: place for place, number in enumerate(entries)}
    return tuple(sorted(found, key=lambda choice: order.get(choice.number, len(order))))


@room.get("/<int:number>/quote.pdf")
def customer_paper(number: int) -> Response:
    """The quote for the customer, as a PDF."""
    opened = drafting.open_quote(store_now(), number=number)
    return _pdf(customer_quote_of(opened, words_now()), f"quote-{number}.pdf")


@room.get("/<int:number>/cost-sheet.pdf")
def weaver_paper(number: int) -> Response:
    """The cost sheet for the weaver alone, as a PDF."""
    opened = drafting.open_quote(store_now(), number=number)
    return _pdf(cost_sheet_of(opened, words_now()), f"cost-sheet-{number}.pdf")


def _pdf(content: bytes, name: str) -> Response:
    kind = "attachment" if request.args.get("download") else "inline"
    answer = Response(content, mimetype="application/pdf")
    answer.headers["Content-Disposition"] = f'{kind}; filename="{name}"'
    return answer
