"""The customer's page: a private link shows the rug, the price and the terms; the customer says yes, no, or asks.

Nobody has to sign in, so it shows nothing but what was offered, is kept by nobody on the way, and is asked for only so often
(``shop.web.private_page``).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NoReturn

from flask import Blueprint, Response, redirect, request, url_for

from shop.core.errors import NotFound, Problem, Refusal
from shop.core.order import OfferState
from shop.usecases import answer as answers
from shop.usecases import shop as shops
from shop.usecases.offer import OfferCard
from shop.web.fields import SavingField, TextField
from shop.web.forms import ShopForm
from shop.web.offer import STATES, pdf
from shop.web.pages import page, show
from shop.web.private_page import EVERY_METHOD, keep_private, limited
from shop.web.shell import key_now, moment, store_now, tell, words_now
from shop.words import mark

room = Blueprint("answer", __name__, url_prefix="/o")

room.after_request(keep_private)


class AcceptForm(ShopForm):
    """Yes, with a name."""

    name = TextField(mark("Your name"), where="name", auto="name")
    saving = SavingField()


class DeclineForm(ShopForm):
    """No, with a word or without."""

    word = TextField(mark("A word, if you like"), needed=False, lines=2, longest=1000, where="word")
    saving = SavingField()


class AskForm(ShopForm):
    """A question."""

    words = TextField(mark("Your question"), lines=3, longest=1000, where="words")
    saving = SavingField()


@page("answer/answer.html")
class AnswerPage:
    """What the customer sees."""

    content: dict[str, Any]
    token: str
    digest: str
    state: str
    open: bool
    accepted: bool
    said: str
    closed: str
    until: str
    accept: AcceptForm
    decline: DeclineForm
    ask: AskForm
    questions: tuple[tuple[str, str], ...]
    deposit: str
    paying: str


@room.get("/<token>")
@limited
def show_answer(token: str) -> Response:
    """The offer."""
    return _page(answers.open_link(store_now(), token=token, key=key_now(), now=moment()))


def _page(
    card: OfferCard,
    *,
    accept: AcceptForm | None = None,
    decline: DeclineForm | None = None,
    ask: AskForm | None = None,
    status: int = 200,
) -> Response:
    words = words_now()
    context = AnswerPage(
        content=dict(card.content),
        token=card.token,
        digest=card.digest,
        state=words.say(STATES[card.state.value]),
        open=card.state is OfferState.OFFERED,
        accepted=card.state is OfferState.ACCEPTED,
        said=card.said,
        closed=words.datetime(card.closed_at) if card.closed_at else "",
        until=words.date(card.holds_until),
        accept=accept or AcceptForm(formdata=None, prefix="yes-"),
        decline=decline or DeclineForm(formdata=None, prefix="no-"),
        ask=ask or AskForm(formdata=None, prefix="ask-"),
        questions=tuple((words.datetime(at), said) for at, said in card.questions),
        deposit=words.money(card.deposit) if card.deposit else "",
        paying=shops.current(store_now()).paying.strip() if card.state is OfferState.ACCEPTED and card.deposit else "",
    )
    return show(context, status=status)


@room.get("/<token>/offer.pdf")
@limited
def print_answer(token: str) -> Response:
    """The offer on paper."""
    return pdf(answers.paper_for(store_now(), token=token), "offer.pdf")


def _answered(
    token: str, form: ShopForm, which: str, act: Callable[..., OfferCard], told: str, **said: str
) -> Response:
    form_saving: Any = form.saving
    if form.validate():
        try:
            act(store_now(), token=token, key=key_now(), saving=form_saving.data, now=moment(), **said)
        except Refusal as refusal:
            if any(problem.code == "offer.unknown" for problem in refusal.problems):
                raise
            form.refuse(refusal)
        else:
            tell(told)
            return redirect(url_for("answer.show_answer", token=token), 303)  # type: ignore[return-value]
    card = answers.open_link(store_now(), token=token, key=key_now(), now=moment())
    forms: dict[str, Any] = {which: form}
    return _page(card, **forms, status=422)


@room.post("/<token>/accept")
@limited
def take_accept(token: str) -> Response:
    """Yes."""
    form = AcceptForm(prefix="yes-")
    return _answered(
        token, form, "accept", answers.accept, mark("Thank you. It is agreed."),
        name=form.name.data or "", digest=request.form.get("digest", ""),
    )  # fmt: skip


@room.post("/<token>/decline")
@limited
def take_decline(token: str) -> Response:
    """No."""
    form = DeclineForm(prefix="no-")
    return _answered(token, form, "decline", answers.decline, mark("Thank you for the answer."), word=form.word.data or "")


@room.post("/<token>/ask")
@limited
def take_question(token: str) -> Response:
    """A question."""
    form = AskForm(prefix="ask-")
    return _answered(token, form, "ask", answers.ask, mark("Your question is with the weaver."), words=form.words.data or "")


@room.route("", methods=EVERY_METHOD)
@room.route("/<path:astray>", methods=EVERY_METHOD)
@limited
def go_astray(**_behind: str) -> NoReturn:
    """A link with something missing, or with something behind it, is a link like any other that opens nothing."""
    raise NotFound(Problem("offer.unknown"))
