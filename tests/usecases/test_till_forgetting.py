"""Whoever bought at a till or wished for a rug there is forgotten: by hand, and with the customer that they are."""

import pytest
from sqlalchemy import text

from shop.core.errors import NotFound
from shop.store.till import Sale, TillEntry, Wish
from shop.usecases import customer, forgetting, outbox, till_forgetting
from shop.usecases.customer import CustomerGiven
from shop.usecases.given import fresh_token
from shop.usecases.till_desk import desk
from tests.a_fair import a_fair, a_key, a_phone, a_sale, an_entry, an_undo, sent, some_rugs
from tests.builders import an_open_shop, codes

TABLES = ("till_entry", "sale", "wish")


def a_wish(key, **said):
    return an_entry(key, "wish", {**dict.fromkeys(("name", "contact", "words", "width", "length"), ""), **said})


@pytest.fixture
def stall(store, now):
    """A fair with five rugs and a phone: its number, the ids of the rugs, the phone's secret."""
    an_open_shop(store, now)
    fair = a_fair(store, now)
    return fair, some_rugs(store, now, fair, 5), a_phone(store, now, fair)


def kept(store):
    with store.engine.connect() as connection:
        return "\n".join(str(row) for name in TABLES for row in connection.execute(text(f"SELECT * FROM {name}")))  # noqa: S608


def test_a_buyer_is_forgotten_by_hand_and_the_sale_stays(store, stall, now):
    fair, rugs, secret = stall
    sale = a_sale(a_key(1), rugs[0], mail="asa@example.org", note="limps")
    other = a_sale(a_key(2), rugs[1], mail="otto@example.org", note="tall")
    sent(store, secret, sale, other, an_undo(a_key(1), "She fainted"))
    with store.writing() as session:
        for about in ("sale.1", "offer.1"):
            outbox.put(session, to="asa@example.org", subject="Hello", body="There", about=about, now=now)
    before = desk(store, fair=fair).sales[1]
    token = fresh_token()
    for _ in range(2):
        till_forgetting.forget_buyer(store, fair=fair, sale=1, saving=token, now=now)
    found = desk(store, fair=fair).sales[1]
    assert (found.mail, found.note, found.undone_why) == ("", "", "–")
    assert (found.total, found.rugs, found.undone_at, found.key) == (before.total, before.rugs, before.undone_at, before.key)
    assert [letter.about for letter in outbox.letters(store, limit=5).letters] == ["offer.1"], "only the letter with the receipt goes"
    left = kept(store)
    for word in ("asa@", "limps", "fainted"):
        assert word not in left, word
    assert "otto@example.org" in left
    assert sent(store, secret, sale) == ["had"], "the phone that sends it again is known"


def test_whoever_wished_is_forgotten_by_hand_and_the_size_stays(store, stall, now):
    fair, _, secret = stall
    sent(store, secret, a_wish(a_key(1), name="Asa", contact="555-0101", words="for her mother", width="24", length="by the sofa"))
    till_forgetting.forget_wisher(store, fair=fair, wish=1, saving=fresh_token(), now=now)
    (found,) = desk(store, fair=fair).wishes
    assert (found.name, found.contact, found.words, found.width.to("in")) == ("–", "", "", 24)
    for word in ("Asa", "555", "mother", "sofa"):
        assert word not in kept(store), word


def test_nobody_is_forgotten_at_another_fair(store, stall, now):
    _, rugs, secret = stall
    sent(store, secret, a_sale(a_key(1), rugs[0], mail="asa@example.org"), a_wish(a_key(2), name="Asa"))
    other = a_fair(store, now, name="Another fair")
    for act, code in (
        (lambda: till_forgetting.forget_buyer(store, fair=other, sale=1, saving=fresh_token(), now=now), "sale.unknown"),
        (lambda: till_forgetting.forget_wisher(store, fair=other, wish=1, saving=fresh_token(), now=now), "wish.unknown"),
    ):
        with pytest.raises(NotFound) as refused:
            act()
        assert codes(refused) == {("", code)}
    assert "asa@example.org" in kept(store)


def test_a_customer_who_is_erased_is_forgotten_at_the_till_and_nobody_else_is(store, stall, now):
    _, rugs, secret = stall
    who = CustomerGiven(name="Åsa Lindqvist", mail="asa@example.org", contact="555-0101\nthe mill")
    number = customer.keep(store, customer=who, saving=fresh_token(), now=now).number
    sent(
        store,
        secret,
        a_sale(a_key(1), rugs[0], mail="ASA@example.org", note="blue door"),
        a_sale(a_key(2), rugs[1], note="ring 555-0101, green door"),
        a_sale(a_key(3), rugs[2], mail="otto@example.org", note="friend of åsa lindqvist, red door"),
        a_wish(a_key(4), name="åsa LINDQVIST", words="in mauve"),
        a_wish(a_key(5), name="A.", contact="asa@example.org or 555-0101", words="in ochre"),
        a_wish(a_key(6), name="Asa Berg", contact="555-01011", words="in greens"),
        a_wish(a_key(7), name="Otto", words="as Åsa Lindqvist has"),
        an_entry(a_key(8), "dance", {"for": "Åsa Lindqvist"}),
        an_entry(a_key(9), "dance", {"for": "Asa Berg"}),
    )
    forgetting.erase(store, number=number, saving=fresh_token(), now=now)
    left = kept(store)
    for word in ("indqvist", "INDQVIST", "asa@", "ASA@", "blue door", "green door", "mauve", "ochre", "\\u00c5sa"):
        assert word not in left, word
    with store.reading() as session:
        assert [sale.note for sale in session.query(Sale).order_by(Sale.id)] == ["", "", "friend of –, red door"]
        wishes = [(one.name, one.contact, one.words) for one in session.query(Wish).order_by(Wish.id)]
        assert wishes[2:] == [("Asa Berg", "555-01011", "in greens"), ("Otto", "", "as – has")]
        assert wishes[:2] == [("–", "", "")] * 2
        assert session.query(TillEntry).count() == 9
    assert "otto@example.org" in left
    assert left.count("Asa Berg") == 3
