"""Builders of a fair with its rugs, laid straight into the store; and of what a phone at it says."""

from datetime import UTC, date, datetime
from decimal import Decimal

from shop.core.measure import Length
from shop.store.fair import Fair
from shop.store.folding import name_key
from shop.store.numbering import take
from shop.store.packing import PackedRug
from shop.store.rug import Rug, RugMove
from shop.usecases import till, till_phone
from shop.usecases.given import fresh_token

KEY = b"the shop's own key"
AT = "2026-03-17T15:30:00+00:00"
COLOURS = ("#2b3d6e", "#97291d", "#d8c9a8", "#4d8a3e", "#595145", "#77478f")
MANNER = till.Manner(read_length=lambda typed: Length.of(typed, "in") if typed.isdigit() else None, write_letter=None)


def a_fair(store, now, **changed):
    """A fair that is open; gives its number."""
    given = {
        "name": "Saltmarsh Fair",
        "series": "Saltmarsh Fair",
        "place": "The green at Saltmarsh",
        "note": "",
        "first_on": date(2026, 3, 17),
        "last_on": date(2026, 3, 18),
        "state": "open",
        "currency": "USD",
        "card_percent": Decimal("0.027"),
        "card_fixed": 10,
        "card_share": Decimal("0.6"),
        "hours_stood": Decimal(14),
        "hours_travelled": Decimal(3),
        "tax_name": "Sales tax",
        "tax_rate": Decimal("0.06"),
        "tax_contained": True,
        "cash_step": 0,
        "price_points": {"step": 0, "points": []},
        "opening_float": 10_000,
        "counted": None,
        "ended_at": None,
        "revision": 1,
        **dict.fromkeys(("stall", "travel", "nights", "helper", "permits", "other"), 0),
        **changed,
    }
    with store.writing() as session:
        row = Fair(number=take(session, "fair")[0], series_key=name_key(given["series"]), created_at=now, **given)
        session.add(row)
        session.flush()
        return row.number


def some_rugs(store, now, fair, count=3, *, price=4500, **changed):
    """Rugs packed for a fair, each dearer than the one before; gives their ids."""
    ids = []
    with store.writing() as session:
        there = session.query(Fair).where(Fair.number == fair).one()
        for place in range(count):
            given = {
                "name": ("Hall runner", "Hearth mat", "Back step", "Bath mat")[place % 4],
                "note": "",
                "width": Length.of(24 + 6 * (place % 3), "in"),
                "length": Length.of(36 + 12 * (place % 4), "in"),
                "colour": COLOURS[place % len(COLOURS)],
                "price": price + 500 * place,
                **changed,
            }
            given |= {
                "stripes": [[given["colour"], 0.3], ["#d8c9a8", 0.4], [given["colour"], 0.3]],
                "number": take(session, "rug")[0],
                "job_id": None,
                "made_on": date(2026, 2, 1),
                "weight": None,
                "content": {},
                "cloth": 600,
                "warp": 300,
                "labour": 2000,
                "overhead": 200,
                "bought_in": 0,
                "minutes": Decimal(180),
                "guessed": False,
                "currency": there.currency,
                "place": "fair",
                "fair_id": there.id,
                "outlet_id": None,
                "search_text": "",
                "created_at": now,
                "revision": 1,
            }
            rug = Rug(**given)
            session.add(rug)
            session.flush()
            session.add(PackedRug(fair_id=there.id, rug_id=rug.id, price=rug.price, packed_at=now, back_at=None))
            session.add(
                RugMove(
                    rug_id=rug.id,
                    what="packed",
                    fair_id=there.id,
                    outlet_id=None,
                    sale_id=None,
                    note="",
                    on=date(2026, 3, 16),
                    at=now,
                )
            )
            session.flush()
            ids.append(rug.id)
    return ids


def a_phone(store, now, fair, name="Her own phone"):
    """A phone that may sell at a fair; gives its secret."""
    return till_phone.open_phone(store, fair=fair, name=name, key=KEY, saving=fresh_token(), now=now).secret


def a_key(place):
    """A key as a phone makes one, but told beforehand."""
    return f"{place:04}abcdefghijklmnopqr"


def an_entry(key, what, content, at=AT):
    return {"key": key, "what": what, "at": at, "content": content}


def a_sale(key, *rugs, price=4500, means="cash", at=AT, **changed):
    """A sale of rugs (their ids) at one price each, 6 % of tax in it."""
    total = price * len(rugs)
    cash = means == "cash"
    content = {
        "rugs": [{"rug": rug, "asked": price, "price": price} for rug in rugs],
        "tax": (2 * total * 6 + 106) // 212,
        "contained": True,
        "rounding": 0,
        "total": total,
        "currency": "USD",
        "means": means,
        "given": total if cash else 0,
        "change": 0,
        "mail": "",
        "note": "",
    }
    return an_entry(key, "sale", {**content, **changed}, at)


def an_undo(key, why="", at=AT):
    return an_entry(f"{key}-undo", "undo", {"sale": key, "why": why}, at)


def some_cash(key, what, amount, at=AT):
    return an_entry(key, "cash", {"what": what, "amount": amount, "note": ""}, at)


def sent(store, secret, *entries, now=None, manner=MANNER):
    """What a phone sends is taken; gives the answers in short."""
    answers = till.take(store, secret=secret, sent=entries, manner=manner, now=now or datetime(2026, 3, 17, 16, 0, tzinfo=UTC))
    return [one.taken.value for one in answers]
