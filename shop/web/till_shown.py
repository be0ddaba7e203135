"""The till of a fair in words, as its desk shows it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final
from urllib.parse import quote as in_address

from flask import url_for

from shop.core.money import Money
from shop.usecases.till_box import Box
from shop.usecases.till_desk import Desk, RefusedLine, SaleLine, SoldRug, WishLine
from shop.usecases.till_forgetting import ERASED
from shop.usecases.till_phone import PhoneLine
from shop.web.order_forms import MEANS
from shop.web.shell import public_address, shell_now
from shop.words import Words, mark

CASH: Final[dict[str, str]] = {
    "float": mark("Float at the start"),
    "put in": mark("Put in"),
    "taken out": mark("Taken out"),
    "counted": mark("Counted"),
}
STATES: Final[dict[str, str]] = {
    "planned": mark("planned"),
    "open": mark("open"),
    "over": mark("over"),
    "called off": mark("called off"),
}


@dataclass(frozen=True, slots=True)
class PhoneRow:
    """A phone."""

    id: int
    name: str
    opened: str
    seen: str
    revoked: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RugRow:
    """A rug in a sale."""

    place: int
    number: int
    what: str
    price: str
    in_doubt: bool
    settled: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SaleRow:
    """A sale."""

    number: int
    when: str
    rugs: tuple[RugRow, ...]
    total: str
    facts: str
    undone: str
    receipt: str
    mail: str
    letter: str
    note: str


@dataclass(frozen=True, slots=True)
class BoxShown:
    """The box: its sums, whether it is right, and what was said of it."""

    sums: tuple[tuple[str, str, bool], ...]
    difference: str
    lines: tuple[tuple[str, str, str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WishRow:
    """A rug that somebody wished for."""

    id: int
    name: str
    contact: str
    size: str
    words: str
    when: str
    done: bool
    quote: str
    said: bool


@dataclass(frozen=True, slots=True)
class RefusedRow:
    """A rug that nearly sold."""

    what: str
    asked: str
    offered: str
    when: str


@dataclass(frozen=True, slots=True)
class RiddleRow:
    """Something that nobody could understand."""

    id: int
    sent: str
    when: str


def shown(found: Desk, words: Words) -> dict[str, Any]:
    """Everything of the desk but its forms."""
    return {
        "number": found.number,
        "name": found.name,
        "place": found.place,
        "state": words.say(STATES[found.state]),
        "phones": tuple(_phone(one, words) for one in found.phones),
        "doubtful": tuple(_sale(one, words) for one in found.doubtful),
        "sales": tuple(_sale(one, words) for one in found.sales),
        "taken": _taken(found, words),
        "box": _box(found.box, words),
        "wishes": tuple(_wish(one, words) for one in found.wishes),
        "refused": tuple(_refused(one, words) for one in found.refused),
        "riddles": tuple(RiddleRow(one.id, one.sent, words.datetime(one.at)) for one in found.riddles),
        "waiting": found.waiting,
        "more": found.more,
    }


def _phone(one: PhoneLine, words: Words) -> PhoneRow:
    seen = words.datetime(one.seen_at) if one.seen_at else "–"
    return PhoneRow(
        one.id, one.name, words.datetime(one.opened_at), seen, words.datetime(one.revoked_at) if one.revoked_at else ""
    )


def _sale(one: SaleLine, words: Words) -> SaleRow:
    say, money = words.say, words.money
    facts = [say(MEANS[one.means])]
    if one.bargain:
        facts.append(say("bargained off %(sum)s", sum=money(one.bargain)))
    if one.tax:
        facts.append(say("tax %(sum)s", sum=money(one.tax)))
    if one.rounding:
        facts.append(say("rounded by %(sum)s", sum=money(one.rounding)))
    undone = ""
    if one.undone_at is not None:
        undone = " · ".join(part for part in (say("undone %(when)s", when=words.datetime(one.undone_at)), one.undone_why) if part)
    receipt = url_for("receipt.show_receipt", key=one.key) if one.key else ""
    return SaleRow(
        number=one.number,
        when=words.datetime(one.at),
        rugs=tuple(_rug(rug, words) for rug in one.rugs),
        total=money(one.total),
        facts=" · ".join(facts),
        undone=undone,
        receipt=receipt,
        mail=one.mail,
        letter=_letter(one, receipt, words) if one.mail and receipt and not undone else "",
        note=one.note,
    )


def _letter(one: SaleLine, receipt: str, words: Words) -> str:
    """The letter with the receipt that opens in the weaver's own mail program."""
    subject = words.say("Your receipt from %(shop)s", shop=shell_now().shop_name)
    body = words.say("Your receipt: %(link)s", link=f"{public_address()}{receipt}")
    return f"mailto:{in_address(one.mail)}?subject={in_address(subject)}&body={in_address(body)}"


def _rug(one: SoldRug, words: Words) -> RugRow:
    named = words.say("No. %(number)s %(name)s", number=str(one.number), name=one.name)
    settled = words.say("the phone said No. %(number)s", number=str(one.said)) if one.said is not None else ""
    return RugRow(
        place=one.place,
        number=one.number,
        what=f"{named} · {words.size(one.size)}",
        price=words.money(one.price),
        in_doubt=one.in_doubt,
        settled=" · ".join(part for part in (settled, one.settled) if part),
    )


def _taken(found: Desk, words: Words) -> tuple[tuple[str, str], ...]:
    rows = [
        (f"{words.say(MEANS[means])} · {words.say_n('%(n)s sale', '%(n)s sales', count)}", words.money(sum_))
        for means, count, sum_ in found.taken
    ]
    together = Money(sum(sum_.minor for _, _, sum_ in found.taken), found.currency)
    return (*rows, (words.say("Together"), words.money(together)))


def _box(box: Box, words: Words) -> BoxShown:
    say, money, drawer = words.say, words.money, box.drawer
    sums = [
        (say("Float at the start"), money(box.opening), False),
        (say("Sales in cash"), money(box.sales), False),
        (say("Put in"), money(box.put_in), False),
        (say("Taken out"), money(-box.taken_out), False),
        (say("Must be in the box"), money(drawer.expected), True),
    ]
    difference = ""
    if drawer.counted is not None and drawer.difference is not None:
        sums.append((say("Counted"), money(drawer.counted), False))
        off = drawer.difference
        if off.minor == 0:
            difference = say("It is right.")
        elif off.minor > 0:
            difference = say("%(sum)s too much.", sum=money(off))
        else:
            difference = say("%(sum)s missing.", sum=money(-off))
    lines = tuple((say(CASH[one.what]), money(one.amount), one.note, words.datetime(one.at)) for one in box.lines)
    return BoxShown(tuple(sums), difference, lines)


def _wish(one: WishLine, words: Words) -> WishRow:
    sides = [words.length(side, as_size=True) for side in (one.width, one.length) if side is not None]
    return WishRow(
        id=one.id,
        name=one.name,
        contact=one.contact,
        size=" × ".join(sides),
        words=one.words,
        when=words.datetime(one.at),
        done=one.done_at is not None,
        quote=url_for("quote.new_quote", wish=one.id),
        said=one.name not in ("", ERASED) or bool(one.contact or one.words),
    )


def _refused(one: RefusedLine, words: Words) -> RefusedRow:
    named = words.say("No. %(number)s %(name)s", number=str(one.number), name=one.name)
    asked, offered = (words.money(sum_) if sum_ is not None else "–" for sum_ in (one.asked, one.offered))
    return RefusedRow(named, asked, offered, words.datetime(one.at))
