"""The pages for when something went wrong: a plain sentence, and where to go. None needs the database."""

from __future__ import annotations

import logging

from flask import Flask, Response, current_app, request
from flask_wtf.csrf import CSRFError
from werkzeug.exceptions import HTTPException

from shop.core.errors import Clash, NotFound, Refusal
from shop.web.pages import page, show
from shop.web.private_page import address_for_log, is_private
from shop.web.security import minutes_counted, seconds_to_wait
from shop.web.shell import shell_now, words_now
from shop.words import mark
from shop.words.problems import problem_sentences

_log = logging.getLogger("thriftloom")


@page("errors/error.html")
class ErrorPage:
    """A page that says what went wrong.

    Attributes:
        heading: in a few words.
        sentences: what happened, and what to do.
        back: whether going back to the form would help, and not only the way to the bench.
        bench: whether there is a way to the bench: a customer with a private link has none.
    """

    heading: str
    sentences: list[str]
    back: bool
    bench: bool


HEADINGS = {
    400: mark("That could not be read"),
    403: mark("This is not open to you"),
    404: mark("There is nothing here"),
    405: mark("This page is not for that"),
    409: mark("Somebody was there before you"),
    413: mark("That is too much at once"),
    422: mark("That cannot be done"),
    429: mark("Please wait a little"),
    500: mark("Something broke on our side"),
    503: mark("The shop’s books are out of reach"),
}
SENTENCES = {
    400: mark("The browser sent something this page cannot read. Nothing has been changed."),
    403: mark("You are signed in, but this is not for you."),
    404: mark("Perhaps it was moved, or the address was mistyped."),
    405: mark("Go back, and use the button on the page."),
    409: mark("Go back, load the page again and look at what changed."),
    413: mark(
        "What was sent is larger than this page takes. Shorten it and send it again. Nothing has been changed."
    ),
    422: mark("Nothing has been changed."),
    500: mark("It is not your doing. Nothing half-done was saved. What happened has been noted in the log."),
    503: mark("The database does not answer. Nothing has been changed. Try again in a minute."),
}
WAIT = mark("There were too many attempts. Wait %(time)s and try again.")
EXPIRED = mark(
    "This form was opened before you signed in, or in another browser. Go back, load it again, and send it."
)


def answer_errors(app: Flask, unreachable: tuple[type[Exception], ...]) -> None:
    """Give an application its error pages.

    Args:
        app: the application.
        unreachable: the errors by which the store says that its database cannot be reached.
    """
    app.register_error_handler(CSRFError, lambda _: wrong(400, words_now().say(EXPIRED), back=True))
    app.register_error_handler(Refusal, _refused)
    app.register_error_handler(HTTPException, _http)
    for error in unreachable:
        app.register_error_handler(error, _out_of_reach)
    app.register_error_handler(Exception, _broken)


def wrong(status: int, *sentences: str, back: bool = False) -> Response:
    """The error page of a status; without sentences, with the usual one."""
    say = words_now().say
    known = status if status in HEADINGS else (400 if status < 500 else 500)
    return show(
        ErrorPage(
            heading=say(HEADINGS[known]),
            sentences=list(sentences) or [say(SENTENCES[known])],
            back=back,
            bench=not is_private() or bool(shell_now().account_name),
        ),
        status=status,
    )


def _refused(refusal: Refusal) -> Response:
    """A refusal that no form has taken up."""
    status = 404 if isinstance(refusal, NotFound) else 409 if isinstance(refusal, Clash) else 422
    return wrong(status, *problem_sentences(refusal.problems, words_now()), back=status != 404)


def _http(error: HTTPException) -> Response:
    status = error.code or 500
    if status == 429:
        return _too_many()
    if status < 400:
        return error.get_response()  # type: ignore[return-value]
    return wrong(status, back=status in (400, 405, 413))


def _too_many() -> Response:
    """Too many attempts to sign in, or to open a private link: for how long they are counted, and when the next may be."""
    words = words_now()
    minutes = minutes_counted() or current_app.extensions["thriftloom_settings"].sign_in_minutes
    answer = wrong(429, words.say(WAIT, time=words.duration(minutes)))
    answer.headers["Retry-After"] = str(seconds_to_wait() or minutes * 60)
    return answer


def _out_of_reach(error: Exception) -> Response:
    _log.error("The database cannot be reached: %s", error)
    return wrong(503)


def _broken(error: Exception) -> Response:
    _log.error("Unexpected error at %s %s", request.method, address_for_log(), exc_info=error)
    return wrong(500)
