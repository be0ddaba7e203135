"""The entries of the history as they are kept, beside what they would be if all of them were written anew."""

from sqlalchemy import delete, select

from shop.store import history_entry
from shop.store.history_entry import HistoryEntry, HistoryWord
from shop.store.job import Job


def entries_in(session):
    """All entries and words, in order; a profit is noted once and never written anew, so it is left out."""
    return [
        [
            tuple(row)
            for row in session.execute(
                select(*(one for one in table.__table__.columns if one.name != "profit")).order_by(*table.__table__.primary_key)
            )
        ]
        for table in (HistoryEntry, HistoryWord)
    ]


def entries_kept(store):
    """All entries and words as they are kept."""
    with store.reading() as session:
        return entries_in(session)


def entries_anew(store):
    """All entries and words as they would be written now; changes nothing."""
    with store.writing() as session:
        for table in (HistoryWord, HistoryEntry):
            session.execute(delete(table))
        history_entry.renew(session, session.execute(select(Job.id)).scalars().all())
        found = entries_in(session)
        session.rollback()
    return found
