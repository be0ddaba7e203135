"""The customer's answer to an offer, by its private link: looked at, asked about, accepted or declined, each once."""

from __future__ import annotations

from datetime import datetime
from typing import Final

from shop.core.errors import Clash, NotFound, Problem, Refusal
from shop.core.order import OfferState
from shop.store import history_entry
from shop.store import job as job_table
from shop.store import offer as table
from shop.store import quote as quote_table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.store.numbering import take
from shop.usecases.given import Given
from shop.usecases.offer import OfferCard, card_in, close, found_by, must_be_open, paper_in

MOST_QUESTIONS: Final = 20


def _by_token(session: Session, token: str, *, lock: bool = False) -> table.Offer:
    row = table.by_link(session, found_by(token), lock=lock) if len(token) <= 100 else None
    if row is None:
        raise NotFound(Problem("offer.unknown"))
    return row


def open_link(store: Store, *, token: str, key: bytes, now: datetime) -> OfferCard:
    """What the holder of a private link may see.

    Raises:
        NotFound: ``offer.unknown`` for any link that is not, or not any more, one of ours.
    """
    with store.reading() as session:
        return card_in(session, _by_token(session, token), key, now)


def paper_for(store: Store, *, token: str) -> bytes:
    """The PDF of an offer as it was given, for the holder of its private link.

    Raises:
        NotFound: ``offer.unknown``; ``offer.no_paper`` when it was taken away with the customer's name.
    """
    with store.reading() as session:
        return paper_in(_by_token(session, token))


def accept(store: Store, *, token: str, name: str, digest: str, key: bytes, saving: str, now: datetime) -> OfferCard:
    """The customer says yes: the job begins, waiting, with the rug as it was offered. Saying it twice is saying it once.

    Args:
        store: the shop's database.
        token: of the private link.
        name: as the customer typed it.
        digest: of the content that the customer had before them.
        key: of the shop.
        saving: the form's token.
        now: the time, zoned.

    Raises:
        NotFound: ``offer.unknown``.
        Clash: ``offer.closed`` when it was declined, withdrawn or has lapsed; ``offer.other`` when it is not what was read.
        Refusal: ``text.missing`` and so on at ``name``.
    """
    typed = Given()
    called = typed.line("name", name, required=True)
    typed.done()
    with store.writing() as session:
        row = _by_token(session, token, lock=True)
        if row.state == OfferState.ACCEPTED:
            return card_in(session, row, key, now)
        if presses.claim(session, act=f"offer.accept.{row.id}", token=saving, given=called, now=now) is None:
            if digest != row.digest:
                raise Clash(Problem("offer.other"))
            must_be_open(session, row, now)
            close(row, OfferState.ACCEPTED, called, now)
            quote = session.get_one(quote_table.Quote, row.quote_id)
            job = job_table.Job(
                number=take(session, "job")[0],
                name=quote.title or quote.customer_name or f"No. {quote.number}",
                note="",
                state="waiting",
                quote_id=quote.id,
                described=row.described,
                begun_at=now,
                ended_at=None,
                revision=1,
            )
            session.add(job)
            session.flush()
            row.job_id = job.id
            history_entry.renew(session, [job.id])
        return card_in(session, row, key, now)


def decline(store: Store, *, token: str, word: str, key: bytes, saving: str, now: datetime) -> OfferCard:
    """The customer says no, with a word or without.

    Raises:
        As ``accept``, but for ``offer.other``; ``text.long`` at ``word``.
    """
    typed = Given()
    said = typed.block("word", word, most=1000)
    typed.done()
    with store.writing() as session:
        row = _by_token(session, token, lock=True)
        if row.state == OfferState.DECLINED:
            return card_in(session, row, key, now)
        if presses.claim(session, act=f"offer.decline.{row.id}", token=saving, given=said, now=now) is None:
            must_be_open(session, row, now)
            close(row, OfferState.DECLINED, said, now)
            session.flush()
        return card_in(session, row, key, now)


def ask(store: Store, *, token: str, words: str, key: bytes, saving: str, now: datetime) -> OfferCard:
    """The customer asks something.

    Raises:
        NotFound: ``offer.unknown``.
        Refusal: ``text.missing`` and so on at ``words``; ``offer.asked`` after so many questions that somebody plays.
    """
    typed = Given()
    said = typed.block("words", words, most=1000)
    if not said:
        typed.note("text.missing", "words")
    typed.done()
    with store.writing() as session:
        row = _by_token(session, token, lock=True)
        if presses.claim(session, act=f"offer.ask.{row.id}", token=saving, given=said, now=now) is None:
            if len(table.questions_of(session, row.id)) >= MOST_QUESTIONS:
                raise Refusal(Problem("offer.asked", "words"))
            session.add(table.Question(offer_id=row.id, words=said, at=now))
            session.flush()
        return card_in(session, row, key, now)
