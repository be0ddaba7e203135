"""What a till keeps of people: sales and wishes that have words about somebody in them, and what nobody could understand."""

from collections.abc import Sequence

from sqlalchemy import or_, select
from sqlalchemy.orm import Session

from shop.store.till import Sale, TillEntry, Wish


def sales_with_words(session: Session) -> Sequence[Sale]:
    """Every sale with an address, a note or why it was undone."""
    found = select(Sale).where(or_(Sale.mail != "", Sale.note != "", Sale.undone_why != ""))
    return session.execute(found.order_by(Sale.id).with_for_update()).scalars().all()


def wishes_with_words(session: Session) -> Sequence[Wish]:
    """Every wish that says who wished, or in words what."""
    found = select(Wish).where(or_(Wish.name != "", Wish.contact != "", Wish.words != ""))
    return session.execute(found.order_by(Wish.id).with_for_update()).scalars().all()


def riddles(session: Session) -> Sequence[TillEntry]:
    """What nobody could understand, looked at or not."""
    return session.execute(select(TillEntry).where(TillEntry.what == "other").order_by(TillEntry.id)).scalars().all()
