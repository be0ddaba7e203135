"""The phone's side of the till: its page that works without signal, the pack that it takes along, and what it sends.

A phone is not signed in: the script shows the phone's own secret in a header with each request, never in an address and
never in a cookie, so no other site can make a phone sell. The page itself is the same for everybody and holds nothing.
"""

from __future__ import annotations

import gzip
import hashlib
import json
from dataclasses import asdict
from pathlib import Path
from typing import Any, Final

from flask import Blueprint, Response, request, url_for

from shop.core.errors import NotFound, Refusal, Unreadable
from shop.core.measure import Length, parse_length
from shop.usecases import till, till_phone
from shop.usecases.till import Manner
from shop.usecases.till_phone import Pack, PackedRug
from shop.web.cloth_shown import COLOUR_WORDS
from shop.web.pages import page, show
from shop.web.receipt import letter_now
from shop.web.security import csrf, limiter, static_address
from shop.web.shell import moment, public_address, shell_now, store_now, words_now
from shop.web.till_words import till_words
from shop.words import Words
from shop.words.money_manner import money_manner
from shop.words.problems import problem_sentences

room = Blueprint("till", __name__, url_prefix="/till")

ATTEMPTS: Final = "3000 per 15 minutes"
"""From one address; a secret cannot be guessed anyhow, and a fair's phones may come through one door."""
LARGEST: Final = 256 * 1024
STATIC: Final = Path(__file__).resolve().parent / "static"
SCRIPTS: Final = ("keep", "money", "draw", "stall", "send", "qr", "find", "pay", "sold", "box")


@page("till/till.html")
class TillPage:
    """The till's page, kept on the phone."""

    said: dict[str, str]


@room.get("")
def show_till() -> Response:
    """The page; the camera may be asked for, to read the codes of tags."""
    answer = show(TillPage(said=till_words(words_now())))
    answer.headers["Permissions-Policy"] = "camera=(self), geolocation=(), microphone=(), payment=(), usb=()"
    answer.headers["Referrer-Policy"] = "no-referrer"
    answer.headers["X-Robots-Tag"] = "noindex"
    return answer


@room.get("/worker.js")
def show_worker() -> Response:
    """The worker, told what to keep; another content of the page or of any file makes it another version."""
    kept = files_kept()
    digest = hashlib.sha256(show(TillPage(said=till_words(words_now()))).get_data())
    for name in kept:
        digest.update(name.encode())
    for script in (*SCRIPTS, "worker"):
        digest.update((STATIC / "till" / f"{script}.js").read_bytes())
    keep = json.dumps({"version": digest.hexdigest()[:16], "files": kept})
    text = f"const KEEP = {keep};\n{(STATIC / 'till' / 'worker.js').read_text('utf-8')}"
    answer = Response(text, mimetype="text/javascript")
    answer.headers["Service-Worker-Allowed"] = "/till"
    return answer


def files_kept() -> list[str]:
    """Every address that the phone keeps."""
    scripts = [url_for("static", filename=f"till/{name}.js") for name in SCRIPTS]
    looks = [static_address(name) for name in ("thriftloom.css", "till/till.css", "till/till.js", "mark.svg")]
    return ["/till", url_for("till.show_manifest"), *looks, *scripts, url_for("static", filename="selvedge.svg")]


@room.get("/manifest.webmanifest")
def show_manifest() -> Response:
    """What a phone needs to know to put the till among its own programs."""
    say = words_now().say
    name = shell_now().shop_name
    manifest = {
        "id": "/till",
        "name": say("Till: %(name)s", name=name),
        "short_name": say("Till"),
        "lang": words_now().language,
        "start_url": "/till",
        "scope": "/till",
        "display": "standalone",
        "background_color": "#fffdf7",
        "theme_color": "#2b3d6e",
        "icons": [{"src": static_address("mark.svg"), "sizes": "any", "type": "image/svg+xml", "purpose": "any"}],
    }
    return Response(json.dumps(manifest, ensure_ascii=False), mimetype="application/manifest+json")


def _secret() -> str:
    """What the phone shows itself by."""
    scheme, _, secret = request.headers.get("Authorization", "").partition(" ")
    return secret.strip() if scheme.lower() == "bearer" else ""


def _told(status: int, **told: Any) -> Response:
    return Response(json.dumps(told, ensure_ascii=False), status=status, mimetype="application/json")


def _refused(status: int, refusal: Refusal) -> Response:
    return _told(status, why=problem_sentences(refusal.problems, words_now()))


@room.get("/pack")
@limiter.limit(ATTEMPTS)
def show_pack() -> Response:
    """The rugs and the rest that a phone takes along."""
    try:
        found = till_phone.pack(store_now(), secret=_secret(), now=moment())
    except NotFound as refusal:
        return _refused(403, refusal)
    answer = _told(200, **_pack(found, words_now()))
    if "gzip" in request.headers.get("Accept-Encoding", ""):  # many rugs are much alike, and signal is thin
        answer.set_data(gzip.compress(answer.get_data(), 6, mtime=0))
        answer.headers["Content-Encoding"] = "gzip"
    answer.headers["Vary"] = "Accept-Encoding"
    return answer


def _pack(found: Pack, words: Words) -> dict[str, Any]:
    rate = found.tax_rate.normalize()
    name = found.tax_name or words.say("Tax")
    return {
        "fair": found.fair,
        "name": found.name,
        "place": found.place,
        "over": found.over,
        "phone": found.phone,
        "language": words.language,
        "said": till_words(words),
        "currency": found.currency,
        "manner": asdict(money_manner(words, found.currency)),
        "tender": found.tender,
        "cashStep": found.cash_step,
        "openingFloat": found.opening_float,
        "tax": {
            "rate": f"{rate:f}",
            "contained": found.tax_contained,
            "said": words.say("%(name)s %(rate)s", name=name, rate=words.percent(found.tax_rate, 2)),
        },
        "receipts": f"{public_address()}{url_for('receipt.show_receipt', key='')}",
        "colours": {family: words.say(COLOUR_WORDS[family]) for family in dict.fromkeys(one.family for one in found.rugs)},
        "rugs": [_rug(one, words) for one in found.rugs],
    }


def _rug(one: PackedRug, words: Words) -> dict[str, Any]:
    picture = url_for("till.show_picture", number=one.number, digest=one.picture) if one.picture else ""
    return {
        "id": one.id,
        "number": one.number,
        "name": one.name,
        "size": words.size(one.size),
        "width": round(one.size.width.millimetres),
        "length": round(one.size.length.millimetres),
        "price": None if one.price is None else one.price.minor,
        "colour": one.colour,
        "family": one.family,
        "stripes": one.stripes,
        "picture": picture,
        "sold": one.sold,
    }


@room.get("/picture/<int:number>-<digest>.jpg")
@limiter.limit(ATTEMPTS)
def show_picture(number: int, digest: str) -> Response:  # noqa: ARG001 - another photograph has another address
    """The small photograph of a rug that is packed."""
    try:
        content = till_phone.picture(store_now(), secret=_secret(), number=number)
    except NotFound as refusal:
        return _refused(403 if refusal.problems[0].code == "till.unknown" else 404, refusal)
    return Response(content, mimetype="image/jpeg")


@room.post("/entries")
@csrf.exempt  # a phone shows its secret in a header, which no form of another site can
@limiter.limit(ATTEMPTS)
def take_entries() -> Response:
    """What happened on a phone: each entry is answered for by its key."""
    if (request.content_length or LARGEST + 1) > LARGEST:
        return _told(413)
    try:
        sent = json.loads(request.get_data())["entries"]
    except (ValueError, RecursionError, TypeError, KeyError):
        return _told(400)
    if not isinstance(sent, list):
        return _told(400)
    try:
        answers = till.take(store_now(), secret=_secret(), sent=sent, manner=manner_now(), now=moment())
    except NotFound as refusal:
        return _refused(403, refusal)
    except Refusal as refusal:
        return _refused(422, refusal)
    words = words_now()
    return _told(
        200,
        answers=[
            {"key": one.key, "answer": one.taken.value, "why": problem_sentences(one.why, words)} for one in answers
        ],
    )


def manner_now() -> Manner:
    """How the shop reads what a till brings, and writes its receipts."""
    words = words_now()

    def read_length(typed: str) -> Length | None:
        try:
            return parse_length(typed, decimal_mark=words.decimal_mark, bare_unit=words.bare_length)
        except Unreadable:
            return None

    return Manner(read_length=read_length, write_letter=letter_now())
