"""The door: reads the shop and who is signed in, and sends strangers to the right page."""

from __future__ import annotations

from urllib.parse import urlsplit

from flask import Flask, Response, g, redirect, request, session, url_for
from flask_login import LoginManager, UserMixin, current_user, login_user, logout_user

from shop.usecases.account import SignedIn
from shop.usecases.door import at_the_door
from shop.web.asked import number_of
from shop.web.shell import store_now
from shop.words import Words

OPEN_TO_ALL = frozenset({
    "sign_in.show_sign_in", "sign_in.take_sign_in", "sign_in.leave", "due_dates.subscribe", "due_dates.go_astray",
    "answer.show_answer", "answer.print_answer", "answer.take_accept", "answer.take_decline", "answer.take_question", "answer.go_astray",
    "till.show_till", "till.show_worker", "till.show_manifest", "till.show_pack", "till.show_picture", "till.take_entries",
    "receipt.show_receipt", "receipt.print_receipt",
})  # fmt: skip
"""What nobody has to sign in for: the door, and what private links open."""
NEED_NOTHING = frozenset({"static", "favicon"})
FIRST = frozenset({"first_start.show_first_start", "first_start.take_first_start"})


class Weaver(UserMixin):
    """Whoever is signed in. Its number in the session's cookie holds the stamp of the password."""

    def __init__(self, person: SignedIn) -> None:
        self.person = person

    @property
    def name(self) -> str:
        """As it is shown."""
        return self.person.name

    @property
    def number(self) -> int:
        """Of the account."""
        return self.person.id

    def get_id(self) -> str:
        """For the session's cookie."""
        return f"{self.person.id}:{self.person.stamp}"


def keep_the_door(app: Flask) -> None:
    """Set up the door of an application."""
    manager = LoginManager()
    manager.session_protection = None  # an address that changes on the way is no reason to sign out
    manager.user_loader(_who)
    manager.init_app(app)
    app.before_request(_open)


def let_in(person: SignedIn) -> None:
    """Sign somebody in; the old session is thrown away, so that nobody can have planted it."""
    session.clear()
    session.permanent = True
    login_user(Weaver(person))


def let_out() -> None:
    """Sign out."""
    logout_user()
    session.clear()


def safe_address(address: str) -> str:
    """Where to go after signing in: a page of ours, else the bench."""
    try:
        parts = urlsplit(address.replace("\\", "/"))
    except ValueError:
        return "/"
    if parts.scheme or parts.netloc or not parts.path.startswith("/") or parts.path.startswith("//"):
        return "/"
    return address if address.isprintable() else "/"


def _who(_number: str) -> Weaver | None:
    door = g.get("door")
    return Weaver(door.person) if door and door.person else None


def _open() -> Response | None:
    """Before every page: read the door once, then decide."""
    if request.endpoint in NEED_NOTHING:
        return None
    number, _, stamp = str(session.get("_user_id", "")).partition(":")
    account_id = number_of(number) or 0
    g.door = door = at_the_door(store_now(), account_id=account_id, stamp=stamp)
    shop = door.shop
    g.shop = shop if shop.revision else None
    g.words = Words(shop.locale, shop.units, shop.time_zone, shop.currency)
    g.welcome = door.person is not None
    if not door.has_owner:
        return None if request.endpoint in FIRST else _to("first_start.show_first_start")
    if request.endpoint in FIRST:
        return _to_bench()
    if current_user.is_authenticated or request.endpoint in OPEN_TO_ALL:
        return None
    wanted = request.full_path.rstrip("?") if request.method == "GET" else "/"
    return _to("sign_in.show_sign_in", **({"next": wanted} if wanted != "/" else {}))


def _to(endpoint: str, **values: str) -> Response:
    return redirect(url_for(endpoint, **values), 303)  # type: ignore[return-value]


def _to_bench() -> Response:
    return redirect("/", 303)  # type: ignore[return-value]
