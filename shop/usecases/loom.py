"""The shop's looms: listing them, keeping a new or changed one, putting one away and taking it back."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Final

from shop.core.errors import Clash, NotFound, Problem, Refusal
from shop.core.loom import LONGEST, MOST_PEGS, WIDEST, FrameLoom, Loom, PlankLoom, ShaftLoom
from shop.core.measure import Length
from shop.core.money import exact
from shop.core.warp import PricePerWeight, parse_yarn
from shop.store import loom as table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.store.folding import name_key
from shop.usecases.given import Given, is_number_of_a_row

NO_SMALLER: Final = Length.of(3, "mm")
NOTHING: Final = Length(0)
MOST_PLACES: Final = 50
LARGEST_SHARE: Final = Decimal("0.5")
DEAREST_YARN: Final = Decimal(1_000_000)


@dataclass(frozen=True, slots=True, kw_only=True)
class LoomGiven:
    """A loom as its owner describes it.

    Attributes:
        loom: its kind and measures, and its name.
        yarn: the warp yarn as typed (``8/4``, ``2020 m/kg``); empty for the starting guess, and on a frame.
        yarn_price: what that costs by weight, in the shop's currency.
        strip: the width of strip usually woven on it.
        packing: k, where measured: how tightly rows pack on this loom.
        weft_take_up: m, where measured: strip over the width of a row.
    """

    loom: Loom
    yarn: str = ""
    yarn_price: PricePerWeight | None = None
    strip: Length | None = None
    packing: Decimal | None = None
    weft_take_up: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LoomCard(LoomGiven):
    """A loom of the shop.

    Attributes:
        id: its number, for addresses and forms.
        archived: put away.
        revision: goes up with each change.
    """

    id: int
    archived: bool
    revision: int


def looms(store: Store, *, archived: bool = False) -> tuple[LoomCard, ...]:
    """The looms in use, or those put away, by name."""
    with store.reading() as session:
        return looms_in(session, archived=archived)


def looms_in(session: Session, *, archived: bool = False, also: int = 0) -> tuple[LoomCard, ...]:
    """The looms, as part of another use case; and ``also`` one that may have been put away."""
    rows = list(table.in_order(session, archived=archived))
    if also and is_number_of_a_row(also) and also not in {row.id for row in rows}:
        asked = table.by_id(session, also)
        rows += [asked] if asked is not None else []
    return tuple(_card(row) for row in rows)


def loom(store: Store, *, loom_id: int) -> LoomCard:
    """One loom.

    Raises:
        NotFound: ``loom.unknown``.
    """
    with store.reading() as session:
        return _card(_row(session, loom_id))


def keep(
    store: Store,
    *,
    loom: LoomGiven,
    loom_id: int | None = None,
    revision: int = 0,
    saving: str,
    now: datetime,
) -> LoomCard:
    """Keep a loom: a new one, or one that has been changed.

    Args:
        store: the shop's database.
        loom: all of it.
        loom_id: which loom is changed; ``None`` for a new one.
        revision: of the loom that the form showed.
        saving: the form's token.
        now: the time, zoned.

    Raises:
        Refusal: with every problem found, at ``loom.pegs``, ``loom.yarn`` and so on: ``text.missing``,
            ``number.small``, ``number.large``, ``number.finer``, ``length.small``, ``length.most``,
            ``yarn.unreadable``, ``yarn.range``, ``sett.range``, ``loom.places``, ``choice.unknown``.
        Clash: ``loom.name_taken`` at ``loom.name``, or ``loom.changed``.
        NotFound: ``loom.unknown``.
    """
    checked = _checked(loom)
    with store.writing() as session:
        earlier = presses.claim(session, act="loom.keep", token=saving, given=(loom_id, loom), now=now)
        if earlier is not None:
            return _card(_row(session, earlier))
        row = (
            table.LoomRow(archived=False, revision=0)
            if loom_id is None
            else _row(session, loom_id, lock=True)
        )
        if loom_id is not None and row.revision != revision:
            raise Clash(Problem("loom.changed"))
        _lay(session, row, checked)
        session.add(row)
        session.flush()
        presses.settle(session, act="loom.keep", token=saving, about=row.id)
        return _card(row)


def put_away(store: Store, *, loom_id: int) -> LoomCard:
    """Put a loom away; what was reckoned on it stays. Doing it twice changes nothing."""
    return _set_archived(store, loom_id, archived=True)


def take_back(store: Store, *, loom_id: int) -> LoomCard:
    """Take a loom back into use.

    Raises:
        Clash: ``loom.name_taken`` when another in use now bears its name.
    """
    return _set_archived(store, loom_id, archived=False)


def _set_archived(store: Store, loom_id: int, *, archived: bool) -> LoomCard:
    with store.writing() as session:
        row = _row(session, loom_id, lock=True)
        if row.archived != archived:
            if not archived and table.name_in_use(session, row.name_key):
                raise Clash(Problem("loom.name_taken", "loom.name", {"name": row.name}))
            row.archived = archived
            row.revision += 1
        return _card(row)


def _row(session: Session, loom_id: int, *, lock: bool = False) -> table.LoomRow:
    row = table.by_id(session, loom_id, lock=lock) if is_number_of_a_row(loom_id) else None
    if row is None:
        raise NotFound(Problem("loom.unknown"))
    return row


def _card(row: table.LoomRow) -> LoomCard:
    price = None
    if row.yarn_price is not None and row.yarn_unit is not None:
        price = PricePerWeight(row.yarn_price, row.yarn_unit)
    return LoomCard(
        loom=table.loom_of(row),
        yarn=row.yarn,
        yarn_price=price,
        strip=row.strip,
        packing=row.packing,
        weft_take_up=row.weft_take_up,
        id=row.id,
        archived=row.archived,
        revision=row.revision,
    )


def _lay(session: Session, row: table.LoomRow, loom: LoomGiven) -> None:
    table.lay(row, loom.loom)
    row.name = " ".join(loom.loom.name.split())
    row.name_key = name_key(row.name)
    if not row.archived and table.name_in_use(session, row.name_key, but=row.id):
        raise Clash(Problem("loom.name_taken", "loom.name", {"name": row.name}))
    row.yarn = " ".join(loom.yarn.split())
    row.yarn_price = None if loom.yarn_price is None else loom.yarn_price.amount
    row.yarn_unit = None if loom.yarn_price is None else loom.yarn_price.unit
    row.strip, row.packing, row.weft_take_up = loom.strip, loom.packing, loom.weft_take_up
    row.revision += 1


def _checked(given_loom: LoomGiven) -> LoomGiven:
    """The same, when nothing is wrong with it."""
    given, loom = Given(), given_loom.loom
    given.line("loom.name", loom.name, required=True)
    if isinstance(loom, ShaftLoom):
        _check_shaft(given, loom)
    else:
        _check_pegs(given, loom)
    if given_loom.strip is not None:
        given.length("loom.strip", given_loom.strip, NO_SMALLER, Length.of(1, "m"))
    if given_loom.packing is not None:
        given.number("loom.packing", given_loom.packing, Decimal("0.2"), 50)
    if given_loom.weft_take_up is not None:
        given.number("loom.weft_take_up", given_loom.weft_take_up, 1, 10)
    if given_loom.yarn.strip():
        try:
            parse_yarn(given.line("loom.yarn", given_loom.yarn))
        except Refusal as refusal:
            given.problems.extend(problem.at("loom.yarn") for problem in refusal.problems)
    if given_loom.yarn_price is not None:
        given.number("loom.yarn_price", given_loom.yarn_price.amount, 0, DEAREST_YARN)
        given.choice("loom.yarn_price", given_loom.yarn_price.unit, ("lb", "kg"))
    given.done()
    return given_loom


def _check_pegs(given: Given, loom: FrameLoom | PlankLoom) -> None:
    given.count("loom.pegs", loom.pegs, 1, MOST_PEGS)
    given.length("loom.spacing", loom.spacing, NO_SMALLER, Length.of(1, "m"))
    if isinstance(loom, PlankLoom):
        given.length("loom.knot", loom.knot, NOTHING, Length.of(2, "m"))
        return
    given.length("loom.length", loom.length, NO_SMALLER, LONGEST)
    for place in loom.bar_places:
        given.length("loom.bar_places", place, NO_SMALLER, LONGEST)
    if len(loom.bar_places) > MOST_PLACES:
        given.note("loom.places", "loom.bar_places", most=MOST_PLACES)
    given.count("loom.passes_per_peg", loom.passes_per_peg, 1, 10)
    given.length("loom.turn", loom.turn, NOTHING, Length.of(1, "m"))
    given.length("loom.tail", loom.tail, NOTHING, Length.of(10, "m"))


def _check_shaft(given: Given, loom: ShaftLoom) -> None:
    given.number("loom.sett", loom.sett.per, Decimal("0.1"), 100)
    given.choice("loom.sett", loom.sett.unit, ("in", "cm"))
    if not given.problems and not 1 <= loom.sett.per_inch <= 100:
        given.note("sett.range", "loom.sett", text=loom.sett.text())
    given.length("loom.width", loom.width, NO_SMALLER, WIDEST)
    for name, share in (
        ("draw_in", loom.draw_in), ("take_up", loom.take_up), ("relaxation", loom.relaxation)
    ):  # fmt: skip
        given.number(f"loom.{name}", exact(share), 0, LARGEST_SHARE)
    given.length("loom.waste", loom.waste, NOTHING, Length.of(10, "m"))
    given.count("loom.selvedge_ends", loom.selvedge_ends, 0, 100)
    given.length("loom.hem", loom.hem, NOTHING, Length.of(2, "m"))
    given.length("loom.cut_space", loom.cut_space, NOTHING, Length.of(2, "m"))
