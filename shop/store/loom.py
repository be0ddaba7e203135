"""The shop's looms, of three kinds in one table; a kind leaves the other kinds' columns empty."""

from collections.abc import Sequence
from decimal import Decimal

from sqlalchemy import CheckConstraint, Index, select, text
from sqlalchemy.orm import Mapped, Session

from shop.core.loom import FrameLoom, Loom, PlankLoom, Sett, ShaftLoom
from shop.core.measure import Length
from shop.core.money import exact
from shop.store.base import Base, Document, Id, Key


class LoomRow(Base):
    """A loom.

    Attributes:
        bar_places: further lengths of a frame, in whole nanometres.
        yarn: the warp yarn as typed, such as ``8/4``; ``yarn_price`` for a ``yarn_unit`` of it, in the
            shop's currency.
        strip: the width of strip that it is usually woven with.
        packing: how tightly rows pack on it, where measured; ``weft_take_up`` likewise.
        archived: put away; kept for the rugs that were reckoned on it.
    """

    __tablename__ = "loom"
    __table_args__ = (
        CheckConstraint("kind IN ('frame', 'shaft', 'plank')", name="kind"),
        CheckConstraint("yarn_unit IN ('lb', 'kg')", name="yarn_unit"),
        Index(
            "uq_loom_name_in_use",
            "name_key",
            unique=True,
            sqlite_where=text("NOT archived"),
            postgresql_where=text("NOT archived"),
        ),
    )

    id: Mapped[Id]
    kind: Mapped[Key]
    name: Mapped[str]
    name_key: Mapped[Key]
    pegs: Mapped[int | None]
    spacing: Mapped[Length | None]
    length: Mapped[Length | None]
    bar_places: Mapped[Document | None]
    passes_per_peg: Mapped[int | None]
    turn: Mapped[Length | None]
    tail: Mapped[Length | None]
    sett_per: Mapped[Decimal | None]
    sett_unit: Mapped[Key | None]
    width: Mapped[Length | None]
    draw_in: Mapped[Decimal | None]
    take_up: Mapped[Decimal | None]
    relaxation: Mapped[Decimal | None]
    waste: Mapped[Length | None]
    selvedge_ends: Mapped[int | None]
    hem: Mapped[Length | None]
    cut_space: Mapped[Length | None]
    knot: Mapped[Length | None]
    yarn: Mapped[str]
    yarn_price: Mapped[Decimal | None]
    yarn_unit: Mapped[Key | None]
    strip: Mapped[Length | None]
    packing: Mapped[Decimal | None]
    weft_take_up: Mapped[Decimal | None]
    archived: Mapped[bool]
    revision: Mapped[int]


_FRAME = ("pegs", "spacing", "length", "passes_per_peg", "turn", "tail")
_SHAFT = ("width", "waste", "selvedge_ends", "hem", "cut_space")
_SHARES = ("draw_in", "take_up", "relaxation")
_PLANK = ("pegs", "spacing", "knot")


def loom_of(row: LoomRow) -> Loom:
    """The loom as the arithmetic knows it."""
    if row.kind == "frame":
        places = tuple(Length(nm) for nm in row.bar_places or ())
        return FrameLoom(name=row.name, bar_places=places, **{key: getattr(row, key) for key in _FRAME})
    if row.kind == "plank":
        return PlankLoom(name=row.name, **{key: getattr(row, key) for key in _PLANK})
    if row.sett_per is None or row.sett_unit is None:
        raise ValueError("a shaft loom without a sett")
    return ShaftLoom(
        name=row.name,
        sett=Sett(row.sett_per, row.sett_unit),
        **{key: getattr(row, key) for key in _SHAFT},
        **{key: float(getattr(row, key)) for key in _SHARES},
    )


def lay(row: LoomRow, loom: Loom) -> None:
    """Lay a loom's own values into its row; whatever is not of its kind is emptied."""
    row.kind = loom.kind
    row.name = loom.name
    for key in {*_FRAME, *_SHAFT, *_SHARES, *_PLANK, "sett_per", "sett_unit", "bar_places"}:
        setattr(row, key, None)
    if isinstance(loom, FrameLoom):
        row.bar_places = [place.nm for place in loom.bar_places]
        keys: tuple[str, ...] = _FRAME
    elif isinstance(loom, PlankLoom):
        keys = _PLANK
    else:
        row.sett_per, row.sett_unit = loom.sett.per, loom.sett.unit
        for key in _SHARES:
            setattr(row, key, exact(getattr(loom, key)))
        keys = _SHAFT
    for key in keys:
        setattr(row, key, getattr(loom, key))


def by_id(session: Session, loom_id: int, *, lock: bool = False) -> LoomRow | None:
    """The loom of that number."""
    return session.get(LoomRow, loom_id, with_for_update=lock or None)


def name_in_use(session: Session, name_key: str, *, but: int | None = None) -> bool:
    """Whether another loom in use bears this name (made for comparing)."""
    found = select(LoomRow.id).where(LoomRow.name_key == name_key, ~LoomRow.archived)
    return any(loom_id != but for loom_id in session.execute(found).scalars())


def in_order(session: Session, *, archived: bool) -> Sequence[LoomRow]:
    """The looms in use, or those put away, by name."""
    chosen = select(LoomRow).where(LoomRow.archived if archived else ~LoomRow.archived)
    return session.execute(chosen.order_by(LoomRow.name_key, LoomRow.id)).scalars().all()
