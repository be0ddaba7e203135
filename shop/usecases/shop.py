"""The shop's own settings: its name and mark, and how it writes lengths, money and times."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Final
from zoneinfo import ZoneInfo

from babel import Locale, UnknownLocaleError

from shop.core.errors import Clash, NotPossible, Problem
from shop.core.money import decimals_of
from shop.store import saving as presses
from shop.store import shop as table
from shop.store.engine import Session, Store
from shop.usecases.given import Given

DEFAULT_MARK: Final = ("#2f4068", "#efe6d2", "#9c3b2e", "#efe6d2", "#2f4068")
MOST_COLOURS: Final = 9
MOST_LINES: Final = 8
UNITS: Final = ("imperial", "metric")


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopGiven:
    """A shop as its owner describes it.

    Attributes:
        address: lines, in order.
        contact: telephone, mail, web, as they are to stand on a quote.
        paying: how customers pay, as requests and invoices say it.
        tax_number: of the shop, as it is to stand on an invoice.
        no_tax: what an invoice says where no tax is charged.
        mark: the colours of the mark, a little striped rug: ``#rrggbb`` each.
        locale: such as ``en_US``.
        currency: ISO 4217 code.
        units: ``imperial`` or ``metric``.
        time_zone: such as ``Europe/Stockholm``.
    """

    name: str = ""
    address: tuple[str, ...] = ()
    contact: str = ""
    paying: str = ""
    tax_number: str = ""
    no_tax: str = ""
    mark: tuple[str, ...] = DEFAULT_MARK
    locale: str = "en_US"
    currency: str = "USD"
    units: str = "imperial"
    time_zone: str = "UTC"


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop(ShopGiven):
    """The shop as it is.

    Attributes:
        revision: goes up with each change; 0 before the shop was opened.
        currency_fixed: money has been recorded, so that the currency stays.
    """

    revision: int = 0
    currency_fixed: bool = False


def current(store: Store) -> Shop:
    """The shop, or what it would be before it was opened."""
    with store.reading() as session:
        return shop_in(session, with_money=True)


def shop_in(session: Session, *, with_money: bool = False) -> Shop:
    """The shop, as part of another use case; ``currency_fixed`` only if asked for."""
    row = table.load(session)
    if row is None:
        return Shop()
    return Shop(
        name=row.name,
        address=tuple(row.address),
        contact=row.contact,
        paying=row.paying,
        tax_number=row.tax_number,
        no_tax=row.no_tax,
        mark=tuple(row.mark),
        locale=row.locale,
        currency=row.currency,
        units=row.units,
        time_zone=row.time_zone,
        revision=row.revision,
        currency_fixed=with_money and table.money_recorded(session),
    )


def change(store: Store, *, shop: ShopGiven, revision: int, saving: str, now: datetime) -> Shop:
    """Change the shop's settings.

    Args:
        store: the shop's database.
        shop: all of its settings.
        revision: of the shop that the form showed; 0 to set it up for the first time.
        saving: the form's token.
        now: the time, zoned.

    Raises:
        Refusal: with every problem found: ``text.missing``, ``text.long``, ``text.control``,
            ``colour.unreadable``, ``shop.colours``, ``shop.lines``, ``locale.unknown``, ``money.currency``,
            ``zone.unknown``, ``choice.unknown``, ``shop.currency_fixed``.
        Clash: ``shop.changed`` when it has been changed since the form was shown.
    """
    with store.writing() as session:
        if presses.claim(session, act="shop.change", token=saving, given=shop, now=now) is None:
            put(session, shop=shop, revision=revision, now=now)
            presses.settle(session, act="shop.change", token=saving, about=1)
        session.flush()
        return shop_in(session, with_money=True)


def put(session: Session, *, shop: ShopGiven, revision: int, now: datetime) -> None:
    """Lay the settings into the row, as part of another use case."""
    given = Given()
    row = table.load(session, lock=True)
    name, contact = (
        given.line("shop.name", shop.name, required=True),
        given.block("shop.contact", shop.contact),
    )
    paying, no_tax = given.block("shop.paying", shop.paying), given.block("shop.no_tax", shop.no_tax, most=400)
    tax_number = given.line("shop.tax_number", shop.tax_number)
    lines = [given.line("shop.address", line) for line in shop.address]
    address = [line for line in lines if line]
    if len(address) > MOST_LINES:
        given.note("shop.lines", "shop.address", most=MOST_LINES)
    mark = [given.colour("shop.mark", colour) for colour in shop.mark]
    if not 1 <= len(mark) <= MOST_COLOURS:
        given.note("shop.colours", "shop.mark", most=MOST_COLOURS)
    _manner(given, shop)
    before = Shop().currency if row is None else row.currency
    if before != shop.currency and table.money_recorded(session):
        given.note("shop.currency_fixed", "shop.currency", currency=before)
    given.done()
    if (0 if row is None else row.revision) != revision:
        raise Clash(Problem("shop.changed"))
    if row is None:
        row = table.ShopRow(id=1, revision=0, created_at=now)
        session.add(row)
    row.name, row.address, row.contact, row.mark = name, address, contact, mark
    row.paying, row.tax_number, row.no_tax = paying, tax_number, no_tax
    row.locale, row.currency, row.units, row.time_zone = (
        shop.locale,
        shop.currency,
        shop.units,
        shop.time_zone,
    )
    row.revision, row.updated_at = revision + 1, now


def _manner(given: Given, shop: ShopGiven) -> None:
    """How it writes: locale, currency, units, time zone."""
    try:
        Locale.parse(shop.locale)
    except (UnknownLocaleError, ValueError, TypeError):
        given.note("locale.unknown", "shop.locale", text=shop.locale[:24])
    try:
        decimals_of(shop.currency)
    except NotPossible:
        given.note("money.currency", "shop.currency", currency=shop.currency[:24])
    given.choice("shop.units", shop.units, UNITS)
    try:
        ZoneInfo(shop.time_zone)
    except (KeyError, ValueError, OSError):
        given.note("zone.unknown", "shop.time_zone", text=shop.time_zone[:24])
