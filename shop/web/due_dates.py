"""Due dates as a calendar file: to download, and at a private address that a calendar can subscribe to.

Whoever has the private address needs not sign in; it shows the names of rugs and days, and no customer, price or wage.
"""

from __future__ import annotations

from typing import NoReturn

from flask import Blueprint, Response, redirect, request, url_for

from shop.core.errors import NotFound, Problem
from shop.paper.calendar import MEDIA_TYPE, DueDate, DueKind, calendar_file
from shop.usecases import promises
from shop.usecases.promises import Due
from shop.web.forms import PressForm, pressed
from shop.web.pages import page, show
from shop.web.private_page import EVERY_METHOD, keep_private, limited
from shop.web.shell import key_now, moment, public_address, shell_now, store_now, tell, words_now
from shop.words import Words, mark

room = Blueprint("due_dates", __name__)

room.after_request(keep_private)


@page("queue/calendar.html")
class CalendarPage:
    """The calendar: to download, or to subscribe to."""

    address: str
    days: tuple[tuple[str, str], ...]
    act: PressForm


@room.get("/jobs/queue/calendar")
def show_calendar() -> Response:
    """The due dates, and the private address."""
    words = words_now()
    token = promises.calendar_address(store_now(), key=key_now())
    context = CalendarPage(
        address=f"{public_address()}{url_for('due_dates.subscribe', token=token)}" if token else "",
        days=tuple((words.date(one.day, "medium"), _title(one, words)) for one in promises.due_dates(store_now(), now=moment())),
        act=PressForm(formdata=None),
    )
    return show(context)


@room.post("/jobs/queue/calendar")
def renew_address() -> Response:
    """Make another private address, or end the one there is."""
    wanted = "end" not in request.form
    promises.renew_calendar(store_now(), key=key_now(), wanted=wanted, saving=pressed(), now=moment())
    tell(mark("The calendar has a new address.") if wanted else mark("The calendar’s address has ended."))
    return redirect(url_for("due_dates.show_calendar"), 303)  # type: ignore[return-value]


@room.get("/jobs/queue/calendar.ics")
def write_calendar() -> Response:
    """The calendar file."""
    answer = _file(promises.due_dates(store_now(), now=moment()))
    answer.headers["Content-Disposition"] = 'attachment; filename="due-dates.ics"'
    return answer


@room.get("/calendar/<token>.ics")
@limited
def subscribe(token: str) -> Response:
    """The calendar file, for whoever has its address."""
    return _file(promises.due_dates_for(store_now(), token=token, key=key_now(), now=moment()))


@room.route("/calendar", methods=EVERY_METHOD)
@room.route("/calendar/<path:astray>", methods=EVERY_METHOD)
@limited
def go_astray(**_behind: str) -> NoReturn:
    """An address with something missing, or with something behind it, opens nothing."""
    raise NotFound(Problem("calendar.unknown"))


def _file(found: tuple[Due, ...]) -> Response:
    words = words_now()
    dates = [
        DueDate(
            number=one.number,
            what=_title(one, words),
            day=one.day,
            kind=DueKind.READY if one.ready else DueKind.OFFER_LAPSES,
            stamp=one.since,
        )
        for one in found
    ]
    answer = Response(calendar_file(dates, name=shell_now().shop_name, words=words), content_type=MEDIA_TYPE)
    answer.headers["Cache-Control"] = "no-store"
    return answer


def _title(one: Due, words: Words) -> str:
    title = one.title or words.say("Quote %(number)s", number=str(one.number))
    return words.say("Ready: %(title)s", title=title) if one.ready else words.say("The offer lapses: %(title)s", title=title)
