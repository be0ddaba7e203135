"""What keeps strangers out of the pages: headers, forged forms, guessed passwords, too large sendings."""

from __future__ import annotations

import hashlib
import time
from datetime import timedelta
from functools import cache
from pathlib import Path

from flask import Flask, Response, abort, request, url_for
from flask_limiter import Limiter
from flask_limiter.util import get_remote_address
from flask_login import current_user
from flask_wtf.csrf import CSRFProtect

CONTENT_POLICY = (
    "default-src 'self'; script-src 'self'; style-src 'self'; img-src 'self' data:; object-src 'none'; "
    "worker-src 'self'; manifest-src 'self'; base-uri 'none'; frame-ancestors 'none'; form-action 'self'"
)
HEADERS = {
    "Content-Security-Policy": CONTENT_POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=(), payment=(), usb=()",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}
LARGEST_SENDING = 1024 * 1024
LARGEST_PHOTOGRAPH = 25 * 1024 * 1024
FILES = {"picture.put_up": LARGEST_PHOTOGRAPH, "job_photograph.put_up": LARGEST_PHOTOGRAPH, "rug_picture.put_up": LARGEST_PHOTOGRAPH}
"""Bytes of a file that these may be sent besides."""
MOST_FIELDS = 2000
STAYS_SIGNED_IN = timedelta(days=14)
A_YEAR = 31_536_000

csrf = CSRFProtect()
limiter = Limiter(key_func=get_remote_address, storage_uri="memory://", default_limits=[])


def guard(app: Flask, *, secure: bool) -> None:
    """Put the guards on an application."""
    app.config.update(
        MAX_CONTENT_LENGTH=LARGEST_SENDING,
        MAX_FORM_MEMORY_SIZE=LARGEST_SENDING,
        MAX_FORM_PARTS=MOST_FIELDS,
        PERMANENT_SESSION_LIFETIME=STAYS_SIGNED_IN,
        SESSION_COOKIE_NAME="thriftloom",
        SESSION_COOKIE_HTTPONLY=True,
        SESSION_COOKIE_SAMESITE="Lax",
        SESSION_COOKIE_SECURE=secure,
        WTF_CSRF_TIME_LIMIT=None,  # as long as the session: a form may lie open over a lunch
        WTF_CSRF_SSL_STRICT=False,
        WTF_I18N_ENABLED=False,
        RATELIMIT_HEADERS_ENABLED=False,
    )
    app.before_request(_room_for_files)
    app.before_request(_not_too_many_fields)  # before anything reads the form
    csrf.init_app(app)
    limiter.init_app(app)
    app.after_request(_with_headers)
    app.jinja_env.globals["static_address"] = static_address


def _room_for_files() -> None:
    """A form that sends a file has room for it; set before anything reads the form."""
    room = FILES.get(request.endpoint or "")
    if room:
        request.max_content_length = room + LARGEST_SENDING


def _not_too_many_fields() -> None:
    """Refuse a sending of more fields than any form has, before each of them costs time."""
    if request.mimetype == "application/x-www-form-urlencoded" and request.get_data().count(b"&") >= MOST_FIELDS:
        abort(413)


def give_back_attempt() -> None:
    """An attempt that was right does not count."""
    counted = limiter.current_limit
    if counted is not None:
        limiter.limiter.storage.decr(counted.key)  # type: ignore[attr-defined]  # kept in memory


def seconds_to_wait() -> int | None:
    """How long until there are attempts again, for a sending that was one too many."""
    counted = limiter.current_limit
    return None if counted is None else max(1, counted.reset_at - int(time.time()))


def minutes_counted() -> int | None:
    """For how many minutes attempts are counted, for a sending that was one too many."""
    counted = limiter.current_limit
    return None if counted is None else counted.limit.get_expiry() // 60


def _with_headers(response: Response) -> Response:
    for name, value in HEADERS.items():
        response.headers.setdefault(name, value)
    if request.endpoint == "static":
        if "v" in request.args and response.status_code == 200:
            response.headers["Cache-Control"] = f"public, max-age={A_YEAR}, immutable"
    elif response.headers.get("Cache-Control") != "private, no-cache" and (
        "Cache-Control" not in response.headers or current_user.is_authenticated
    ):
        response.headers["Cache-Control"] = "no-store"
    return response


def static_address(name: str) -> str:
    """Where a file of ours is fetched; the address changes with the file, so it can be kept for long."""
    return url_for("static", filename=name, v=_fingerprint(name))


@cache
def _fingerprint(name: str) -> str:
    path = Path(__file__).resolve().parent / "static" / name
    return hashlib.sha256(path.read_bytes()).hexdigest()[:12]
