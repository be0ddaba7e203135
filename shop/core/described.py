"""A rug described in a document of tables, and the plan that it means.

The same document is what ``thriftloom reckon`` reads from a file, what the quote page builds from its
form, and what a quote keeps. ``KEYS`` names all that it may hold. Whatever is missing takes its default;
a default that stands for the shop's own experience is a starting guess and is named in ``assumed``.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from shop.core.asking import Described, Reader, plain, unknown_keys
from shop.core.described_doubt import doubts_described
from shop.core.described_money import overhead_described, price_described
from shop.core.described_stripes import stripes_described
from shop.core.described_stuff import (
    cloths_described,
    join_loss_described,
    loom_described,
    rows_counted,
    size_described,
    yarn_described,
)
from shop.core.errors import NotPossible, Problem, Refusal
from shop.core.hours import PACES, STEPS, Pace, pace_guess
from shop.core.keys import KEYS, NO_SMALLER, LoomKind, Units, money_guess, strip_guess
from shop.core.loom import FrameLoom
from shop.core.money import Money, decimals_of
from shop.core.plan import RugPlan
from shop.core.strips import Tool, Way
from shop.core.weft import CUTTING_WASTE, packing_guess, take_up_guess


@dataclass(frozen=True, slots=True)
class Manner:
    """How a document is written and its answer is to be shown.

    Attributes:
        currency: ISO 4217 code.
        locale: such as ``en_US``.
        units: imperial or metric; a bare number is inches or centimetres by it.
    """

    currency: str = "USD"
    locale: str = "en_US"
    units: Units = Units.IMPERIAL


def manner_of(document: Described) -> Manner:
    """The ``[shop]`` table.

    Raises:
        Refusal: when the currency or the units are not known.
    """
    reader = Reader(document, bare_unit="in", currency="USD")
    currency = reader.text("shop.currency", "USD", most=3)
    units = reader.choice("shop.units", Units, Units.IMPERIAL, guess=False)
    locale = reader.text("shop.locale", "en_US", most=20)
    try:
        decimals_of(currency)
    except NotPossible as error:
        reader.problems.extend(problem.at("shop.currency") for problem in error.problems)
    if reader.problems:
        raise Refusal(*reader.problems)
    return Manner(currency, locale, units)


def plan_of(document: Described, *, decimal_mark: str = ".") -> RugPlan:
    """The plan that a described rug means.

    Args:
        document: nested tables; see ``KEYS``.
        decimal_mark: of numbers within text; numbers of the document itself need none.

    Raises:
        Refusal: with every problem found, each at its dotted path.
    """
    if not isinstance(document, Mapping):
        raise Refusal(Problem("key.table"))
    unknown = unknown_keys(document, KEYS)
    try:
        plan = _plan(document, decimal_mark)
    except Refusal as refusal:
        told = {problem.where for problem in unknown}
        raise Refusal(*unknown, *(one for one in refusal.problems if one.where not in told)) from None
    if unknown:
        raise Refusal(*unknown)
    return plan


def _plan(document: Described, decimal_mark: str) -> RugPlan:
    """The plan by the keys that are known."""
    manner = manner_of(document)
    bare = "in" if manner.units is Units.IMPERIAL else "cm"
    reader = Reader(document, bare_unit=bare, currency=manner.currency, decimal_mark=decimal_mark)
    kind = reader.choice("loom.kind", LoomKind, LoomKind.FRAME).value
    loom = loom_described(reader, kind)
    size = size_described(reader, loom)
    yarn, yarn_price = yarn_described(reader, kind, manner.units)
    strip = reader.length("weft.strip", strip_guess(kind, manner.units), least=NO_SMALLER)
    cloths = cloths_described(reader, document)
    counted = rows_counted(reader)
    packing = packing_guess(loom)
    if counted is None:
        packing = reader.number("weft.packing", packing, 0.2, 50)
    pace = _pace(reader, kind)
    given = {
        step: reader.number(f"hours.{step}", 0.0, 0, 100_000, guess=False)
        for step in STEPS
        if reader.has(f"hours.{step}")
    }
    plan = RugPlan(
        size=size,
        rugs_on_warp=reader.count("rug.rugs_on_warp", 1, 1, 100, guess=False),
        loom=loom,
        yarn=yarn,
        yarn_price=yarn_price,
        strip=strip,
        tool=reader.choice("weft.tool", Tool, Tool.ROTARY),
        way=reader.choice("weft.way", Way, Way.ALONG, guess=False),
        join_loss=join_loss_described(reader, strip),
        cloths=cloths,
        repeats=reader.count("weft.repeats", 1, 1, 100, guess=False),
        stripes=stripes_described(reader, document, cloths),
        packing=packing,
        rows_per_metre=counted,
        take_up=reader.number("weft.take_up", take_up_guess(loom), 1, 10),
        waste=float(reader.share("weft.waste", Decimal(str(CUTTING_WASTE)), most=Decimal("0.8"))),
        pace=pace,
        given_minutes=given,
        wage=reader.money("rates.wage", money_guess("wage", manner.currency)),
        pay={
            step: reader.money(f"rates.pay.{step}", Money.zero(manner.currency), guess=False)
            for step in STEPS
            if reader.has(f"rates.pay.{step}")
        },
        overhead=overhead_described(reader),
        bought_in=tuple(
            (name, reader.money(f"bought_in.{name}", Money.zero(manner.currency), guess=False))
            for name in ("postage", "label", "mat")
            if reader.has(f"bought_in.{name}")
        ),
        price=price_described(reader),
        own=doubts_described(reader, document),
    )
    measured = _names(reader, document, "measured")
    guessed = _names(reader, document, "guessed")
    if reader.problems:
        raise Refusal(*reader.problems)
    assumed = tuple(name for name in dict.fromkeys((*reader.assumed, *guessed)) if _bears_on(name, given, plan))
    return replace(plan, assumed=assumed, measured=measured)


def _bears_on(name: str, given: Mapping[str, float], plan: RugPlan) -> bool:
    """Whether a missing number has any part in the figures: a pace of a step whose minutes are given has none."""
    if not name.startswith("hours.pace."):
        return True
    pace = name.removeprefix("hours.pace.")
    step = {"band": "weave", "seam": "finish"}.get(pace.split("_")[0], pace.split("_")[0])
    if step in given:
        return False
    if pace.startswith("cut_"):
        return pace == f"cut_{plan.tool.value}_per_m"
    unused = "warp_per_end" if isinstance(plan.loom, FrameLoom) else "warp_per_pass"
    return pace != unused


def _pace(reader: Reader, kind: str) -> Pace:
    guess = pace_guess(kind)
    return Pace(**{name: reader.number(f"hours.pace.{name}", getattr(guess, name), 0, 10_000) for name in PACES})


def _names(reader: Reader, document: Described, key: str) -> tuple[str, ...]:
    """The names of numbers that are ``measured``, or that are given and yet only ``guessed``."""
    names = document.get(key, ())
    if not isinstance(names, list | tuple) or not all(isinstance(name, str) for name in names):
        reader.note("names.list", key)
        return ()
    known = {f"{table}.{name}" for table, keys in KEYS.items() for name in keys}
    for name in names:
        if re.sub(r"^cloth\.[0-9]{1,2}\.", "cloth.", name) not in known:
            reader.note("names.unknown", key, name=plain(name)[:40])
    return tuple(names)
