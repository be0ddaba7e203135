"""Quotes: each keeps the rug as it was described, and what that came to when it was saved."""

from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import (
    BigInteger,
    CheckConstraint,
    ForeignKey,
    Index,
    PrimaryKeyConstraint,
    delete,
    insert,
    select,
)
from sqlalchemy.orm import Mapped, Session, mapped_column

from shop.core.measure import Length
from shop.store.base import BIG_ID, PLAIN_TEXT, Base, Document, Id, Key, Minor
from shop.store.folding import words_of


class Quote(Base):
    """A quote.

    Attributes:
        described: the rug as its owner described it, a nested document.
        figures: what it came to, a nested document; never reckoned again behind a customer's back.
        stripes: the rug's bands as ``[colour, share]`` pairs, for drawing it wherever it is mentioned.
        asking: the price asked; ``total`` what the customer pays, tax and all.
        search_text: the folded words of customer, contact and title, each with a space before it.
        revision: goes up with each save.
    """

    __tablename__ = "quote"
    __table_args__ = (
        CheckConstraint("state IN ('draft')", name="state"),
        Index("ix_quote_newest", "updated_at", "id"),
    )

    id: Mapped[Id]
    number: Mapped[int] = mapped_column(BigInteger, unique=True)
    state: Mapped[Key]
    customer_name: Mapped[str]
    customer_contact: Mapped[str]
    title: Mapped[str]
    described: Mapped[Document]
    figures: Mapped[Document]
    stripes: Mapped[Document]
    width: Mapped[Length]
    length: Mapped[Length]
    asking: Mapped[Minor]
    total: Mapped[Minor]
    currency: Mapped[Key]
    created_at: Mapped[datetime]
    updated_at: Mapped[datetime]
    search_text: Mapped[Key]
    revision: Mapped[int]


class QuoteWord(Base):
    """A word of a quote, beside the quote's place in the list: a search reads its hits newest first.

    Words are taken out by their whole key when their quote is saved again, so ``quote_id`` has no index.
    """

    __tablename__ = "quote_word"
    __table_args__ = (PrimaryKeyConstraint("word", "updated_at", "quote_id"), {"sqlite_with_rowid": False})

    word: Mapped[str] = mapped_column(PLAIN_TEXT)
    updated_at: Mapped[datetime]
    quote_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Quote.id), autoincrement=False)


def by_number(session: Session, number: int, *, lock: bool = False) -> Quote | None:
    """The quote of that number."""
    found = select(Quote).where(Quote.number == number)
    return session.execute(found.with_for_update() if lock else found).scalar_one_or_none()


def numbers_of(session: Session, quote_ids: set[int]) -> dict[int, int]:
    """The numbers of quotes by their ids; asks nothing where none is wanted."""
    if not quote_ids:
        return {}
    found = select(Quote.id, Quote.number).where(Quote.id.in_(quote_ids))
    return {row.id: row.number for row in session.execute(found)}


def search_text(*texts: str) -> str:
    """The words of these texts as they are searched."""
    return "".join(f" {word}" for word in words_of(" ".join(texts)))


def save(session: Session, quote: Quote, *, now: datetime) -> None:
    """Save a quote, new or changed, and put its words in the index at its new place."""
    if quote.id is not None:
        gone = delete(QuoteWord).where(
            QuoteWord.word.in_(quote.search_text.split()),
            QuoteWord.updated_at == quote.updated_at,
            QuoteWord.quote_id == quote.id,
        )
        session.execute(gone.execution_options(synchronize_session=False))
    quote.search_text = search_text(quote.customer_name, quote.customer_contact, quote.title)
    quote.updated_at = now
    session.add(quote)
    session.flush()
    words = [
        {"word": word, "updated_at": quote.updated_at, "quote_id": quote.id}
        for word in quote.search_text.split()
    ]
    if words:
        session.execute(insert(QuoteWord), words)


def newest_since(session: Session, since: datetime, *, limit: int) -> Sequence[Quote]:
    """The newest quotes, of those saved since then."""
    found = select(Quote).where(Quote.updated_at >= since).order_by(Quote.updated_at.desc(), Quote.id.desc())
    return session.execute(found.limit(limit)).scalars().all()
