"""The till: phones that sell at a fair, what each sent, and the sales that came of it.

Whatever a phone sends is an *entry* with a key of chance that the phone made. It is kept as it came, and what comes of it is
written in the same transaction; so an entry that is sent again finds itself, and nothing happens twice.
"""

from datetime import date, datetime
from typing import Final

from sqlalchemy import BigInteger, CheckConstraint, ForeignKey, Index, UniqueConstraint, text
from sqlalchemy.orm import Mapped, mapped_column

from shop.core.measure import Length
from shop.store.base import BIG_ID, Base, Document, Id, Key, Minor
from shop.store.fair import Fair
from shop.store.order_money import MEANS
from shop.store.quote import Quote
from shop.store.rug import Outlet, Rug

WHATS: Final = ("sale", "undo", "cash", "refused", "wish", "other")
"""What an entry can be; ``other`` is one that nobody could understand, kept for her to look at."""
CASH: Final = ("float", "put in", "taken out", "counted")
_DOUBTFUL: Final = text("doubt <> ''")


def _names(words: tuple[str, ...]) -> str:
    return ", ".join(repr(word) for word in words)


class TillPhone(Base):
    """A phone that may sell at a fair.

    Attributes:
        name: what she calls it.
        secret: a digest of what the phone shows itself by; the secret itself is nowhere kept.
        revoked_at: since when nothing of it is taken, such as when it was lost.
    """

    __tablename__ = "till_phone"
    __table_args__ = (UniqueConstraint("secret"),)

    id: Mapped[Id]
    fair_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Fair.id), index=True)
    name: Mapped[str]
    secret: Mapped[Key]
    opened_at: Mapped[datetime]
    seen_at: Mapped[datetime | None]
    revoked_at: Mapped[datetime | None]


class TillEntry(Base):
    """What a phone sent, or what was typed in at the desk, as it came.

    It is never changed, but that the words in its content about a person are blanked when that person is to be forgotten.

    Attributes:
        key: made by the phone of chance; the same entry has the same key however often it is sent. The entry that undoes a
            sale has a key made from that of the sale, so that each finds the other whichever comes first.
        phone_id: which phone sent it; ``None`` for the desk.
        digest: of all that was sent: another content under the same key is refused.
        at: when it happened, by the phone's clock, which may run ahead; ``received_at`` when it came, by ours.
        looked_at: when she had looked at one that nobody could understand.
    """

    __tablename__ = "till_entry"
    __table_args__ = (
        CheckConstraint(f"what IN ({_names(WHATS)})", name="what"),
        UniqueConstraint("key"),
        Index("ix_till_entry_fair_id", "fair_id", "id"),
    )

    id: Mapped[Id]
    key: Mapped[Key]
    fair_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Fair.id))
    phone_id: Mapped[int | None] = mapped_column(BIG_ID, ForeignKey(TillPhone.id), index=True)
    what: Mapped[Key]
    content: Mapped[Document]
    digest: Mapped[Key]
    at: Mapped[datetime]
    received_at: Mapped[datetime]
    looked_at: Mapped[datetime | None]


class Sale(Base):
    """A sale of one or more rugs: at a fair, by an outlet, or from home.

    Attributes:
        number: of all sales, in the order in which they were received; it stands on the receipt.
        fair_id, outlet_id: where; neither for one from home.
        entry_id: what the phone sent.
        total: what was to be paid, tax in it; ``tax`` of it, ``rounding`` what cash rounding added (or took).
        asked: what the tags said together; ``total`` less tax on top is below it by the bargain.
        means: how it was paid; ``given`` in cash, and ``change`` that went back.
        outlet_share: what the outlet keeps of it.
        undone_at: since when it no longer counts; it stays in the record. ``undone_why`` in her words.
    """

    __tablename__ = "sale"
    __table_args__ = (
        CheckConstraint(f"means IN ({_names(MEANS)})", name="means"),
        CheckConstraint(
            "asked >= 0 AND total >= 0 AND tax >= 0 AND given >= 0 AND change >= 0 AND outlet_share >= 0",
            name="amounts",
        ),
        CheckConstraint("(undone_at IS NULL) OR (undone_at >= received_at)", name="undone"),
        Index("ix_sale_fair_id", "fair_id", "id"),
        Index("ix_sale_on", "on", "id"),
    )

    id: Mapped[Id]
    number: Mapped[int] = mapped_column(BigInteger, unique=True)
    fair_id: Mapped[int | None] = mapped_column(BIG_ID, ForeignKey(Fair.id))
    outlet_id: Mapped[int | None] = mapped_column(BIG_ID, ForeignKey(Outlet.id), index=True)
    entry_id: Mapped[int | None] = mapped_column(BIG_ID, ForeignKey(TillEntry.id), unique=True)
    asked: Mapped[Minor]
    total: Mapped[Minor]
    tax: Mapped[Minor]
    rounding: Mapped[Minor]
    currency: Mapped[Key]
    means: Mapped[Key]
    given: Mapped[Minor]
    change: Mapped[Minor]
    outlet_share: Mapped[Minor]
    mail: Mapped[str]
    note: Mapped[str]
    on: Mapped[date]
    at: Mapped[datetime]
    received_at: Mapped[datetime]
    undone_at: Mapped[datetime | None]
    undone_why: Mapped[str]


class SaleLine(Base):
    """A rug in a sale.

    Attributes:
        asked: what its tag said; ``price`` what it brought, the bargain taken off, without tax that comes on top.
        doubt: ``twice`` while another sale has the same rug, else empty; ``settled`` how it was settled, in her words.
        said_rug_id: the rug that the phone named, where it was settled that it was another one.
    """

    __tablename__ = "sale_line"
    __table_args__ = (
        CheckConstraint("doubt IN ('', 'twice')", name="doubt"),
        CheckConstraint("asked >= 0 AND price >= 0", name="amounts"),
        Index("ix_sale_line_rug_id", "rug_id", "sale_id"),
        Index("ix_sale_line_doubtful", "sale_id", sqlite_where=_DOUBTFUL, postgresql_where=_DOUBTFUL),
    )

    sale_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Sale.id), primary_key=True, autoincrement=False)
    place: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    rug_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Rug.id))
    asked: Mapped[Minor]
    price: Mapped[Minor]
    doubt: Mapped[Key]
    settled: Mapped[str]
    said_rug_id: Mapped[int | None] = mapped_column(BIG_ID, ForeignKey(Rug.id))


class TillCash(Base):
    """Cash that went into or out of the box without a sale, and how it was counted."""

    __tablename__ = "till_cash"
    __table_args__ = (
        CheckConstraint(f"what IN ({_names(CASH)})", name="what"),
        CheckConstraint("amount >= 0", name="amount"),
        Index("ix_till_cash_fair_id", "fair_id", "id"),
    )

    id: Mapped[Id]
    fair_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Fair.id))
    entry_id: Mapped[int | None] = mapped_column(BIG_ID, ForeignKey(TillEntry.id), unique=True)
    what: Mapped[Key]
    amount: Mapped[Minor]
    note: Mapped[str]
    at: Mapped[datetime]


class Refused(Base):
    """A rug that nearly sold: its price was asked and refused. ``offered`` what the visitor would have paid, if they said."""

    __tablename__ = "refused"
    __table_args__ = (Index("ix_refused_fair_id", "fair_id", "id"),)

    id: Mapped[Id]
    fair_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Fair.id))
    entry_id: Mapped[int | None] = mapped_column(BIG_ID, ForeignKey(TillEntry.id), unique=True)
    rug_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Rug.id), index=True)
    asked: Mapped[int | None] = mapped_column(BigInteger)
    offered: Mapped[int | None] = mapped_column(BigInteger)
    at: Mapped[datetime]


class Wish(Base):
    """A rug that somebody wished for at the stall, to be quoted at home. ``quote_id`` the quote that was begun for it."""

    __tablename__ = "wish"
    __table_args__ = (Index("ix_wish_fair_id", "fair_id", "id"),)

    id: Mapped[Id]
    fair_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Fair.id))
    entry_id: Mapped[int | None] = mapped_column(BIG_ID, ForeignKey(TillEntry.id), unique=True)
    name: Mapped[str]
    contact: Mapped[str]
    words: Mapped[str]
    width: Mapped[Length | None]
    length: Mapped[Length | None]
    at: Mapped[datetime]
    quote_id: Mapped[int | None] = mapped_column(BIG_ID, ForeignKey(Quote.id), index=True)
    done_at: Mapped[datetime | None]
