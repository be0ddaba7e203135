"""Who bought at a till and who wished for a rug there, forgotten: by hand, one by one, and all of a customer's when that one is erased.

Most who leave an address at a stall are no customers of the books. The sale, the wish and the entry that the phone sent stay,
with their sums, rugs, sizes and times; only what was said of the person goes.
"""

from __future__ import annotations

import json
import re
from collections.abc import Collection
from datetime import datetime
from typing import Final

from shop.core.errors import NotFound, Problem
from shop.core.till_entry import undo_key
from shop.store import sale as sale_table
from shop.store import saving as presses
from shop.store import till as table
from shop.store import till_list as rows
from shop.store import till_person as persons
from shop.store.engine import Session, Store
from shop.usecases import outbox
from shop.usecases.given import is_number_of_a_row
from shop.usecases.till_phone import fair_in
from shop.usecases.till_sale import about_sale

ERASED: Final = "–"
"""What stands where a name stood, and where words about somebody did."""
_OF_A_SALE: Final = ("mail", "note")
_OF_A_WISH: Final = ("name", "contact", "words", "width", "length")


def forget_buyer(store: Store, *, fair: int, sale: int, saving: str, now: datetime) -> None:
    """Forget who bought: the address and the note of a sale go, and the letters with its receipt.

    Raises:
        NotFound: ``fair.unknown``, ``sale.unknown``.
    """
    with store.writing() as session:
        row = fair_in(session, fair, lock=True)
        found = sale_table.by_number(session, sale) if is_number_of_a_row(sale) else None
        if found is None or found.fair_id != row.id:
            raise NotFound(Problem("sale.unknown", values={"number": sale}))
        if presses.claim(session, act=f"till.forget.sale.{found.id}", token=saving, given=None, now=now) is None:
            _forget_sale(session, found)


def forget_wisher(store: Store, *, fair: int, wish: int, saving: str, now: datetime) -> None:
    """Forget who wished for a rug: the name, how to reach them, and the words go; the size stays.

    Raises:
        NotFound: ``fair.unknown``, ``wish.unknown``.
    """
    with store.writing() as session:
        row = fair_in(session, fair, lock=True)
        found = session.get(table.Wish, wish) if is_number_of_a_row(wish) else None
        if found is None or found.fair_id != row.id:
            raise NotFound(Problem("wish.unknown"))
        if presses.claim(session, act=f"till.forget.wish.{found.id}", token=saving, given=None, now=now) is None:
            _forget_wish(session, found)


def forget_in(session: Session, *, names: Collection[str], reached: Collection[str]) -> None:
    """Forget a person wherever a till knows them, as part of another use case.

    A sale or a wish with one of their addresses in it, and a wish under their very name, is theirs: all words of it go. Where
    only the name stands among the words of another, the name is taken out. What nobody could understand goes whole if it
    has one of their addresses or names in it.

    Args:
        session: of the transaction.
        names: as they are written in the books.
        reached: addresses for e-mail, and how else they are reached.
    """
    name, address = _written(names), _written(reached)
    folded = {one.strip().casefold() for one in names} - {"", ERASED}
    if name is None and address is None:
        return

    def has(pattern: re.Pattern[str] | None, *texts: str) -> bool:
        return pattern is not None and any(pattern.search(text) for text in texts)

    def without(text: str) -> str:
        return text if name is None else name.sub(ERASED, text)

    for sale in persons.sales_with_words(session):
        if has(address, sale.mail, sale.note):
            _forget_sale(session, sale)
        elif has(name, sale.note, sale.undone_why):
            note = without(sale.note)
            sale.note, sale.undone_why = note, without(sale.undone_why)
            _blank(session, sale.entry_id, {"note": note})
    for wish in persons.wishes_with_words(session):
        if has(address, wish.contact, wish.words, wish.name) or wish.name.strip().casefold() in folded:
            _forget_wish(session, wish)
        elif has(name, wish.name, wish.contact, wish.words):
            kept = {"name": without(wish.name), "contact": without(wish.contact), "words": without(wish.words)}
            wish.name, wish.contact, wish.words = kept["name"], kept["contact"], kept["words"]
            _blank(session, wish.entry_id, kept)
    for entry in persons.riddles(session):
        sent = _readable(str(entry.content.get("sent", "")))
        if has(address, sent) or has(name, sent):
            entry.content = {"sent": ERASED}
    session.flush()


def _written(texts: Collection[str]) -> re.Pattern[str] | None:
    """Finds any of these texts as they are written, in capitals or not; never as a part of a longer word."""
    known = {line.strip() for text in texts for line in (text, *text.splitlines())} - {"", ERASED}
    ordered = sorted((re.escape(one) for one in known if len(one) > 1), key=len, reverse=True)
    return re.compile(rf"(?<!\w)(?:{'|'.join(ordered)})(?!\w)", re.IGNORECASE) if ordered else None


def _readable(sent: str) -> str:
    """What a phone sent with its letters as they are read."""
    try:
        return json.dumps(json.loads(sent), ensure_ascii=False)
    except (ValueError, RecursionError):
        return sent


def _forget_sale(session: Session, sale: table.Sale) -> None:
    outbox.forget_about(session, about=about_sale(sale.number))
    sale.mail, sale.note, sale.undone_why = "", "", ERASED if sale.undone_why else ""
    _blank(session, sale.entry_id, dict.fromkeys(_OF_A_SALE, ""))
    entry = session.get(table.TillEntry, sale.entry_id) if sale.entry_id is not None else None
    undoing = rows.entry_by_key(session, undo_key(entry.key)) if entry is not None else None
    if undoing is not None and undoing.what == "undo":
        _blank(session, undoing.id, {"why": ""})


def _forget_wish(session: Session, wish: table.Wish) -> None:
    wish.name, wish.contact, wish.words = ERASED, "", ""
    _blank(session, wish.entry_id, dict.fromkeys(_OF_A_WISH, ""))


def _blank(session: Session, entry_id: int | None, words: dict[str, str]) -> None:
    """Put other words into what a phone sent; its digest stays, so that it is known when it is sent again."""
    entry = session.get(table.TillEntry, entry_id) if entry_id is not None else None
    if entry is not None:
        entry.content = {**entry.content, **words}
    session.flush()
