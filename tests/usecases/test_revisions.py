"""The offers of a quote beside each other: as each was given, whatever the quote has become since."""

from datetime import timedelta

import pytest

from shop.core.errors import NotFound
from shop.core.order import OfferState
from shop.core.revision import Part, changes
from shop.usecases import offer, revisions
from shop.usecases.customer import CustomerGiven
from shop.usecases.given import fresh_token
from shop.usecases.offer import OfferGiven
from shop.usecases.revisions import SHOWN
from tests.builders import (
    a_haul_at_home,
    a_kept_loom,
    a_planned_quote,
    a_quote,
    a_sheet,
    an_open_shop,
    codes,
    inches,
    money,
    saved_again,
)

KEY = b"a key that only this shop has, and long"
CONTENT = {
    "name": "Hall runner",
    "materials": [{"name": "Blue striped sheet", "fibre": "cotton", "colour": "#5577aa"}, {"name": "Warp yarn", "fibre": "", "colour": ""}],
}


@pytest.fixture
def bench(store, now):
    an_open_shop(store, now)
    a_kept_loom(store, now)
    a_haul_at_home(store, now, a_sheet(ready=True))
    return store


def made(store, now, quote, revision=1, content=CONTENT, **changed):
    given = {"paper": b"%PDF", "deposit": money("70.00"), "holds_until": now.date() + timedelta(days=30), **changed}
    return offer.offer(
        store,
        quote=quote,
        revision=revision,
        given=OfferGiven(content=content, **given),
        customer=CustomerGiven(name="Asa Lindqvist"),
        key=KEY,
        saving=fresh_token(),
        now=now,
    )


def test_each_is_as_it_was_kept_and_the_quote_of_now_changes_none_of_it(bench, now):
    number = a_planned_quote(bench, now, 1)
    first = made(bench, now, number)
    before = revisions.revisions(bench, offer_id=first.id, now=now)
    later = saved_again(bench, now, number, width=inches(10))
    assert revisions.revisions(bench, offer_id=first.id, now=now) == before
    second = made(bench, now, number, revision=later.revision, promised=now.date() + timedelta(days=60))
    found = revisions.revisions(bench, offer_id=first.id, now=now)
    assert found == revisions.revisions(bench, offer_id=second.id, now=now)
    assert (found.quote, found.earlier) == (number, 0)
    one, other = found.given
    assert one.revision == before.given[0].revision
    assert (one.name, one.state, other.state) == ("Hall runner", OfferState.WITHDRAWN, OfferState.OFFERED)
    assert one.cloth_names == {"#5577aa": "Blue striped sheet"}
    assert {Part.SIZE, Part.PROMISED} <= changes(one.revision, other.revision)
    assert one.revision.tax is not None


def test_what_was_not_kept_is_left_out(bench, now):
    number = a_quote(bench, now).number
    card = made(bench, now, number, content={"name": None, "materials": "none"}, deposit=None)
    [one] = revisions.revisions(bench, offer_id=card.id, now=now).given
    assert (one.name, one.revision.cloths, one.revision.tax, one.revision.deposit) == ("", (), None, None)


def test_of_many_the_newest_stand_beside_each_other(bench, now, count_queries):
    number = a_quote(bench, now).number

    def asked(card):
        with count_queries(bench) as said:
            found = revisions.revisions(bench, offer_id=card.id, now=now)
        return len(said), found

    few, _ = asked(made(bench, now, number))
    for _ in range(SHOWN + 1):
        card = made(bench, now, number)
    many, found = asked(card)
    assert many == few
    assert [one.revision.number for one in found.given] == list(range(3, SHOWN + 3))
    assert found.earlier == 2


@pytest.mark.parametrize("number", [0, 99, 10**30])
def test_an_offer_that_is_not_there_has_none_beside_it(bench, now, number):
    with pytest.raises(NotFound) as refused:
        revisions.revisions(bench, offer_id=number, now=now)
    assert codes(refused) == {("", "offer.unknown")}
