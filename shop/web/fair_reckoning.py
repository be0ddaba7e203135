"""The reckoning after a fair: from takings to profit, what sold and what nearly did."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from flask import Blueprint, Response, redirect, url_for

from shop.core.colour import Family
from shop.core.fair_account import Alike, FairAccount
from shop.core.money import Money
from shop.usecases import fair_reckoning as reckonings
from shop.usecases.fair_reckoning import Reckoning
from shop.web.cloth_shown import COLOUR_WORDS
from shop.web.fair import STATES, days_of
from shop.web.fair_table_shown import SIZES
from shop.web.forms import PressForm, pressed
from shop.web.order_forms import MEANS
from shop.web.pages import page, show
from shop.web.shell import moment, store_now, tell_n, words_now
from shop.words import Words, mark

room = Blueprint("fair_reckoning", __name__, url_prefix="/fairs")


@dataclass(frozen=True, slots=True)
class AlikeRow:
    """Rugs of a kind: how many were there, how many went, what they brought and left."""

    what: str
    brought: int
    sold: int
    takings: str
    left: str


@page("fair/reckoning.html")
class FairReckoningPage:
    """A fair reckoned up."""

    number: int
    name: str
    days: str
    state: str
    series: str
    lines: tuple[tuple[str, str, bool], ...]
    means: tuple[tuple[str, str], ...]
    hours: tuple[tuple[str, str], ...]
    kinds: tuple[tuple[str, tuple[AlikeRow, ...]], ...]
    nearly: tuple[str, ...]
    packed: str
    unexplained: str
    verdict: str
    act: PressForm


@room.get("/<int:number>/reckoning")
def show_reckoning(number: int) -> Response:
    """A fair reckoned up, as far as it has come."""
    found, words = reckonings.reckoning(store_now(), number=number), words_now()
    account, card = found.record.account, found.record.card
    return show(
        FairReckoningPage(
            number=number,
            name=card.name,
            days=days_of(card),
            state=words.say(STATES[card.state]),
            series=card.series,
            lines=_lines(account, words),
            means=tuple((words.say(MEANS[means]), words.money(amount)) for means, amount in account.by_means),
            hours=_hours(found, words),
            kinds=_kinds(found, words),
            nearly=_nearly(found, words),
            packed=_packed(found, words),
            unexplained=_unexplained(found, words),
            verdict=_verdict(found, words),
            act=PressForm(formdata=None),
        )
    )


def _lines(account: FairAccount, words: Words) -> tuple[tuple[str, str, bool], ...]:
    """The account from takings to profit: what, how much, and whether it is a sum."""
    found: list[tuple[str, Money, bool]] = [(words.say("Takings"), account.takings, True)]
    if account.tax:
        found.append((words.say("Tax in them"), -account.tax, False))
    if account.fees:
        found.append((words.say("Kept by the card reader"), -account.fees, False))
    found += [
        (words.say("The rugs sold cost, your wage and overhead with it"), -account.rugs, False),
        (words.say("The fair cost"), -account.fair, False),
        (words.say("Profit"), account.profit, True),
    ]
    return tuple((what, words.money(much), is_sum) for what, much, is_sum in found)


def _hours(found: Reckoning, words: Words) -> tuple[tuple[str, str], ...]:
    account = found.record.account
    lines = [(words.say("Rugs brought, and sold"), f"{account.brought} – {account.sold}")]
    if account.hours:
        lines.append((words.say("Hours stood and travelled"), words.duration(float(account.hours * 60))))
    if account.hour_at_fair is not None:
        lines.append((words.say("An hour of them earned, over all else"), words.money(account.hour_at_fair)))
    if account.hour_in_all is not None and account.sold:
        lines.append((words.say("An hour earned, weaving and fair together"), words.money(account.hour_in_all)))
    lines.append((words.say("Wage wanted"), words.money(found.wage)))
    if found.box is not None:
        lines.append((words.say("The box, as counted"), _box(found.box, words)))
    if found.times is not None:
        lines.append((words.say("Times the stall’s fee that came in"), words.number(found.times, 1)))
    return tuple(lines)


def _box(difference: Money, words: Words) -> str:
    if not difference:
        return words.say("It is right.")
    if difference.minor > 0:
        return words.say("%(sum)s too much.", sum=words.money(difference))
    return words.say("%(sum)s missing.", sum=words.money(-difference))


def _kinds(found: Reckoning, words: Words) -> tuple[tuple[str, tuple[AlikeRow, ...]], ...]:
    def rows(alike: Sequence[Alike[Any]], named: Any) -> tuple[AlikeRow, ...]:
        return tuple(
            AlikeRow(named(one.what), one.brought, one.sold, words.money(one.takings), words.money(one.left)) for one in alike
        )

    return (
        (words.say("By size"), rows(found.sizes, lambda size: words.say(SIZES[size]))),
        (words.say("By colour"), rows(found.colours, lambda colour: words.say(COLOUR_WORDS[Family(colour).value]))),
        (
            words.say("By price"),
            rows(found.prices, lambda band: words.say("%(low)s to %(high)s", low=words.money(band.least), high=words.money(band.below))),
        ),
    )


def _nearly(found: Reckoning, words: Words) -> tuple[str, ...]:
    lines = []
    for one in found.record.nearly:
        name = found.record.names.get(one.rug, "")
        if one.best is None:
            told = words.say_n("%(name)s (No. %(rug)s): asked for and left once.", "%(name)s (No. %(rug)s): asked for and left %(n)s times.", one.times, name=name, rug=one.rug)
        else:
            told = words.say_n(
                "%(name)s (No. %(rug)s): asked for and left once; %(best)s was offered.",
                "%(name)s (No. %(rug)s): asked for and left %(n)s times; %(best)s was offered at most.",
                one.times, name=name, rug=one.rug, best=words.money(one.best),
            )  # fmt: skip
        lines.append(told)
    return tuple(lines)


def _packed(found: Reckoning, words: Words) -> str:
    count = len(found.still_packed) if found.record.card.state != "planned" or found.record.account.takings else 0
    return words.say_n("%(n)s rug is packed for it still.", "%(n)s rugs are packed for it still.", count) if count else ""


def _unexplained(found: Reckoning, words: Words) -> str:
    """Money that the rugs sold do not explain."""
    amount, doubtful = found.record.account.unexplained, found.record.doubtful
    if doubtful:
        return words.say("%(amount)s came in for a rug that another sale has too. It is left out until that is settled at the till.", amount=words.money(doubtful))
    if not amount:
        return ""
    if amount.minor > 0:
        return words.say("%(amount)s came in that no rug sold explains: look at the till.", amount=words.money(amount))
    return words.say("%(amount)s less came in than the rugs sold come to: look at the till.", amount=words.money(-amount))


def _verdict(found: Reckoning, words: Words) -> str:
    account = found.record.account
    if not account.takings:
        return words.say("Nothing has been sold there yet.")
    if account.profit.minor < 0:
        return words.say("It did not bear its own cost.")
    if account.hour_at_fair is not None and account.hour_at_fair < found.wage:
        return words.say("It bore its cost, but an hour there earned less than the wage wanted.")
    return words.say("It was worth the drive.")


@room.post("/<int:number>/home")
def bring_home(number: int) -> Response:
    """Whatever was not sold comes home."""
    count = reckonings.bring_home(store_now(), number=number, saving=pressed(), now=moment())
    tell_n(mark("%(n)s rug is home again."), mark("%(n)s rugs are home again."), count)
    return redirect(url_for("fair_reckoning.show_reckoning", number=number), 303)  # type: ignore[return-value]
