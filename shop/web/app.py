"""The web application, put together from its parts by ``create_app``."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, cast

from flask import Flask, Response, redirect, request
from jinja2 import StrictUndefined
from jinja2.ext import InternationalizationExtension
from markupsafe import Markup

from shop.places import templates
from shop.web import entry, errors, security
from shop.web.private_page import address_for_log
from shop.web.rooms import ROOMS
from shop.web.shell import words_now

if TYPE_CHECKING:
    from shop.settings import Settings


class Shop(Flask):
    """The application; what it logs never holds the secret part of a private link."""

    def log_exception(self, exc_info: Any) -> None:
        """Log what went wrong where even the page for that could not be made."""
        self.logger.error("Unexpected error at %s %s", request.method, address_for_log(), exc_info=exc_info)


def create_app(settings: Settings, store: Any, *, unreachable: tuple[type[Exception], ...] = ()) -> Flask:
    """The application.

    Args:
        settings: what it is told from outside.
        store: the shop's database, handed on to the use cases.
        unreachable: the errors by which the store says that its database cannot be reached.
    """
    app = Shop("shop.web", template_folder=str(templates()), static_folder="static")
    app.config["SECRET_KEY"] = settings.secret_key
    app.url_map.strict_slashes = False
    app.extensions["thriftloom_store"] = store
    app.extensions["thriftloom_rooms"] = ROOMS
    app.extensions["thriftloom_settings"] = settings
    _set_up_templates(app)
    entry.keep_the_door(app)  # before the guards, so that what they refuse is said in the shop’s words
    security.guard(app, secure=settings.cookie_secure)
    errors.answer_errors(app, unreachable)
    for room in ROOMS:
        app.register_blueprint(room.blueprint)
    app.add_url_rule("/favicon.ico", "favicon", _favicon)
    return app


def _favicon() -> Response:
    return cast("Response", redirect(security.static_address("mark.svg")))


def _set_up_templates(app: Flask) -> None:
    """Strict templates, with the shop's words as their one way to other languages."""
    environment = app.jinja_env
    environment.undefined = StrictUndefined
    environment.trim_blocks = environment.lstrip_blocks = True
    environment.policies["ext.i18n.trimmed"] = True
    environment.add_extension(InternationalizationExtension)
    environment.install_gettext_callables(_one, _many, newstyle=True)  # type: ignore[attr-defined]
    environment.globals["_"] = _said
    environment.filters["money"] = lambda value: words_now().money(value)
    environment.filters["written"] = lambda value: words_now().written(value)


def _said(msgid: str, /, **values: object) -> Markup:
    """``_("...")`` in a template: a phrase in the shop's language; what is filled in is escaped.

    A page says a hundred of them; this one goes straight to the catalogue.
    """
    phrase = words_now().catalogue.one(msgid)
    return Markup(phrase) % values if values else Markup(phrase % ())  # noqa: S704 - phrases are ours


def _one(msgid: str) -> str:
    return words_now().catalogue.one(msgid)


def _many(singular: str, plural: str, number: int) -> str:
    return words_now().catalogue.many(singular, plural, number)
