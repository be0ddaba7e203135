"""The offers of a quote side by side: drawn to one scale, with what changed from each to the next in words and figures."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from typing import Final

from flask import Blueprint, Response, url_for

from shop.core.money import Money
from shop.core.revision import Part, Revision, changes, joined, shares_of_colours
from shop.usecases import revisions as offers
from shop.usecases.revisions import Revisions, RevisionShown
from shop.web.offer import STATES
from shop.web.pages import page, show
from shop.web.rug_drawing import RugBeside, rugs_beside
from shop.web.shell import moment, store_now, words_now
from shop.words import Words, mark

room = Blueprint("revisions", __name__, url_prefix="/offers")

MOST_TOLD: Final = 12
"""Stripes that are told one by one; of more it is told how many."""
NONE: Final = "–"
"""Stands where there is nothing."""


@dataclass(frozen=True, slots=True)
class RevisionColumn:
    """An offer at the head of its column."""

    address: str
    number: int
    state: str
    here: bool
    drawing: RugBeside


@dataclass(frozen=True, slots=True)
class RevisionFact:
    """A row of what was offered: its name, and each offer's (lines, whether it differs from the offer before)."""

    name: str
    cells: tuple[tuple[tuple[str, ...], bool], ...]


@page("offer/revisions.html")
class RevisionsPage:
    """The offers of a quote side by side."""

    title: str
    quote: int
    back: str
    columns: tuple[RevisionColumn, ...]
    facts: tuple[RevisionFact, ...]
    told: tuple[tuple[int, int, tuple[str, ...]], ...]
    earlier: str


@room.get("/<int:offer_id>/revisions")
def show_revisions(offer_id: int) -> Response:
    """The offers of the quote that this one was made from."""
    words = words_now()
    found = offers.revisions(store_now(), offer_id=offer_id, now=moment())
    drawn = rugs_beside([(one.revision.size, joined(one.revision.stripes), _told(one, words)) for one in found.given], words)
    return show(
        RevisionsPage(
            title=found.given[-1].name or words.say("Quote %(number)s", number=str(found.quote)),
            quote=found.quote,
            back=url_for("offer.show_offer", offer_id=offer_id),
            columns=tuple(
                RevisionColumn(
                    address=url_for("offer.show_offer", offer_id=one.id),
                    number=one.revision.number,
                    state=words.say(STATES[one.state.value]),
                    here=one.id == offer_id,
                    drawing=drawing,
                )
                for one, drawing in zip(found.given, drawn, strict=True)
            ),
            facts=_facts(found, words),
            told=tuple(
                (before.revision.number, after.revision.number, what_changed(before, after, words))
                for before, after in pairwise(found.given)
            ),
            earlier=words.say_n(
                "One earlier offer is left out here.", "%(n)s earlier offers are left out here.", found.earlier
            )
            if found.earlier
            else "",
        )
    )


def _told(one: RevisionShown, words: Words) -> str:
    """A drawing in words."""
    bands = joined(one.revision.stripes)
    stripes = [f"{_cloth(colour, one)} {words.percent(share, 0)}" for colour, share in bands[:MOST_TOLD]]
    if len(bands) > MOST_TOLD:
        stripes.append(words.say_n("%(n)s more", "%(n)s more", len(bands) - MOST_TOLD))
    return words.say(
        "Offer %(number)s: a rug %(width)s wide and %(length)s long, drawn to the same scale as the others. From one end: %(stripes)s.",
        number=one.revision.number,
        width=words.length(one.revision.size.width, as_size=True),
        length=words.length(one.revision.size.length, as_size=True),
        stripes=", ".join(stripes),
    )


def _cloth(colour: str, one: RevisionShown) -> str:
    """What a band is called: by its cloth where that was kept, else by its colour."""
    return one.cloth_names.get(colour) or colour


def _facts(found: Revisions, words: Words) -> tuple[RevisionFact, ...]:
    """What was offered, row by row."""
    changed = [frozenset[Part](), *(changes(before.revision, after.revision) for before, after in pairwise(found.given))]

    def row(name: str, part: Part | None, text: Callable[[RevisionShown], str | tuple[str, ...]]) -> RevisionFact:
        texts = [text(one) for one in found.given]
        lines = [(one,) if isinstance(one, str) else one for one in texts]
        return RevisionFact(name, tuple((line, part in parts) for line, parts in zip(lines, changed, strict=True)))

    say, money = words.say, words.money
    return (
        row(say("Offered"), None, lambda one: words.date(words.today(one.offered_at), "medium")),
        row(say("Size"), Part.SIZE, lambda one: words.size(one.revision.size)),
        row(say("Stripes"), Part.STRIPES, lambda one: _stripes(one, words)),
        row(say("Woven of"), Part.CLOTH, lambda one: one.revision.cloths or NONE),
        row(say("Price"), Part.PRICE, lambda one: money(one.revision.price)),
        row(say("Tax"), Part.TAX, lambda one: _money(one.revision.tax, words)),
        row(say("Customer pays"), Part.TOTAL, lambda one: money(one.revision.total)),
        row(say("Deposit"), Part.DEPOSIT, lambda one: _money(one.revision.deposit, words)),
        row(say("Ready by"), Part.PROMISED, lambda one: _day(one.revision.promised, words)),
        row(say("Holds until"), Part.HOLDS, lambda one: _day(one.revision.holds, words)),
    )


def _stripes(one: RevisionShown, words: Words) -> tuple[str, ...]:
    """How many stripes, and how much of the length each cloth takes."""
    bands = joined(one.revision.stripes)
    shares = shares_of_colours(one.revision.stripes)
    return (
        words.say_n("%(n)s stripe", "%(n)s stripes", len(bands)),
        *(f"{_cloth(colour, one)} {words.percent(share, 0)}" for colour, share in list(shares.items())[:MOST_TOLD]),
    )


def _money(amount: Money | None, words: Words) -> str:
    return NONE if amount is None else words.money(amount)


def _day(day: date | None, words: Words) -> str:
    return words.date(day, "medium") if day else NONE


AMOUNTS: Final[tuple[tuple[Part, str, Callable[[Revision], Money | None]], ...]] = (
    (Part.PRICE, mark("Price"), lambda one: one.price),
    (Part.TAX, mark("Tax"), lambda one: one.tax),
    (Part.TOTAL, mark("Customer pays"), lambda one: one.total),
    (Part.DEPOSIT, mark("Deposit"), lambda one: one.deposit),
)
DAYS: Final[tuple[tuple[Part, str, Callable[[Revision], date | None]], ...]] = (
    (Part.PROMISED, mark("Ready by"), lambda one: one.promised),
    (Part.HOLDS, mark("Holds until"), lambda one: one.holds),
)


def what_changed(before: RevisionShown, after: RevisionShown, words: Words) -> tuple[str, ...]:
    """What is not the same in two offers, a sentence each."""
    parts = changes(before.revision, after.revision)
    told = [_size_changed(before.revision, after.revision, words)] if Part.SIZE in parts else []
    if Part.CLOTH in parts:
        told += _cloth_changed(before.revision, after.revision, words)
    if Part.STRIPES in parts:
        told.append(_stripes_changed(before, after, words))
    for part, name, amount in AMOUNTS:
        if part in parts:
            told.append(_amount_changed(words.say(name), amount(before.revision), amount(after.revision), words))
    for part, name, day in DAYS:
        if part in parts:
            told.append(_day_changed(words.say(name), day(before.revision), day(after.revision), words))
    return tuple(told) or (words.say("Nothing of what is shown here."),)


def _size_changed(before: Revision, after: Revision, words: Words) -> str:
    say, found = words.say, []
    sides = (
        (before.size.width, after.size.width, mark("%(length)s wider"), mark("%(length)s narrower")),
        (before.size.length, after.size.length, mark("%(length)s longer"), mark("%(length)s shorter")),
    )
    for old, new, more, less in sides:
        if old != new:
            found.append(say(more if new > old else less, length=words.length(type(old)(abs(new.nm - old.nm)), as_size=True)))
    return say(
        "Size: %(after)s instead of %(before)s, which is %(how)s.",
        after=words.size(after.size),
        before=words.size(before.size),
        how=words.all_of(found),
    )


def _cloth_changed(before: Revision, after: Revision, words: Words) -> list[str]:
    come = [cloth for cloth in after.cloths if cloth not in before.cloths]
    gone = [cloth for cloth in before.cloths if cloth not in after.cloths]
    told = []
    if come:
        told.append(words.say("Now woven of %(cloths)s too.", cloths=words.all_of(come)))
    if gone:
        told.append(words.say("No longer woven of %(cloths)s.", cloths=words.all_of(gone)))
    return told or [words.say("Woven of other cloth of the same names.")]


def _stripes_changed(before: RevisionShown, after: RevisionShown, words: Words) -> str:
    old, new = (words.say_n("%(n)s stripe", "%(n)s stripes", len(joined(one.revision.stripes))) for one in (before, after))
    if old == new:
        return words.say("Stripes: %(after)s as before, in other colours or widths.", after=new)
    return words.say("Stripes: %(after)s instead of %(before)s.", after=new, before=old)


def _amount_changed(name: str, before: Money | None, after: Money | None, words: Words) -> str:
    said = {"name": name, "after": _money(after, words), "before": _money(before, words)}
    if before is None or after is None or before.currency != after.currency:
        return words.say("%(name)s: %(after)s instead of %(before)s.", **said)
    differs = words.money(Money(abs(after.minor - before.minor), after.currency))
    if after.minor > before.minor:
        return words.say("%(name)s: %(after)s instead of %(before)s, %(amount)s more.", **said, amount=differs)
    return words.say("%(name)s: %(after)s instead of %(before)s, %(amount)s less.", **said, amount=differs)


def _day_changed(name: str, before: date | None, after: date | None, words: Words) -> str:
    said = {"name": name, "after": _day(after, words), "before": _day(before, words)}
    if before is None or after is None:
        return words.say("%(name)s: %(after)s instead of %(before)s.", **said)
    days = abs((after - before).days)
    if after > before:
        return words.say_n(
            "%(name)s: %(after)s instead of %(before)s, a day later.",
            "%(name)s: %(after)s instead of %(before)s, %(n)s days later.",
            days,
            **said,
        )
    return words.say_n(
        "%(name)s: %(after)s instead of %(before)s, a day earlier.",
        "%(name)s: %(after)s instead of %(before)s, %(n)s days earlier.",
        days,
        **said,
    )
