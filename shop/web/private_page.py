"""What the pages behind private links have in common: nobody has to sign in, so little is told and nothing is left lying about.

A link that opens nothing, whether it was guessed, damaged, ended or never there, is answered with the same page in the same words.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from flask import Response, request

from shop.web.security import limiter

ATTEMPTS: Final = "120 per 15 minutes"
"""From one address, at all private pages together; a link cannot be guessed anyhow."""
EVERY_METHOD: Final = ("GET", "HEAD", "POST", "PUT", "PATCH", "DELETE")
PRIVATE: Final = frozenset({"answer", "due_dates.subscribe", "due_dates.go_astray"})
"""Rooms and single pages that are opened by a private link."""
HEADERS: Final = {
    "Referrer-Policy": "no-referrer",
    "X-Robots-Tag": "noindex, nofollow",
    "Cache-Control": "no-store",
}

limited: Final[Callable[[Any], Any]] = limiter.shared_limit(ATTEMPTS, scope="private link")
"""Counts an attempt; one that is too many is asked to wait."""


def is_private() -> bool:
    """Whether this request is for a page behind a private link, or for what is taken for one."""
    return bool({request.blueprint, request.endpoint} & PRIVATE)


def keep_private(response: Response) -> Response:
    """No search engine lists it, nobody on the way keeps it, and no address that it links to learns of it."""
    if is_private():
        response.headers.update(HEADERS)
    return response


def address_for_log() -> str:
    """Where this request went, without the secret part of a private link."""
    if is_private():
        return str(request.url_rule)
    return request.path
