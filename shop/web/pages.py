"""What a page is: a frozen dataclass that names its template and holds everything the template shows.

A view ends in ``return show(LoomPage(...))``. A test reads every template and holds it to its dataclass:
each name used is a field, each field is used. Besides its fields a template has ``shell`` and Jinja's and
Flask's own globals.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields, is_dataclass
from typing import TypeVar, dataclass_transform

from flask import Response, make_response, render_template

from shop.web.shell import shell_now

PageClass = TypeVar("PageClass", bound=type)
PAGES: dict[str, type] = {}
"""Every declared page, by its template."""


@dataclass_transform(frozen_default=True, kw_only_default=True)
def page(template: str) -> Callable[[PageClass], PageClass]:
    """Declare a page: makes the class a frozen dataclass with keyword fields, shown by this template."""

    def declare(cls: PageClass) -> PageClass:
        declared = dataclass(frozen=True, kw_only=True)(cls)
        declared.template = template
        PAGES[template] = declared
        return declared

    return declare


def show(context: object, *, status: int = 200) -> Response:
    """The page, rendered."""
    if not is_dataclass(context) or isinstance(context, type):
        raise TypeError("A page is shown from its declared dataclass.")
    values = {field.name: getattr(context, field.name) for field in fields(context)}
    html = render_template(context.template, shell=shell_now(), **values)  # type: ignore[attr-defined]
    return make_response(html, status)
