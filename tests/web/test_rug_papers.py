"""Tags and lists from their page: which rugs, what is wrong with the asking, and the papers themselves."""

import re

import pytest

from shop.usecases import rug_papers, whereabouts
from shop.usecases.given import fresh_token
from shop.web import rug_papers as pages
from tests.builders import a_fair_row, a_rug_entered, an_outlet, money
from tests.paper.a_paper import opened, text_of

PDFS = ("tags", "prices", "packing")


@pytest.fixture
def shop(owner, sqlite_store, now):
    """Three rugs, the third without a price."""
    for price in (money("150"), money("95"), None):
        a_rug_entered(sqlite_store, now, price=price)
    return sqlite_store


def html_of(answer):
    return answer.get_data(as_text=True)


def test_all_that_are_at_home_are_chosen_at_first(owner, shop, now):
    place = an_outlet(shop, now)
    whereabouts.send(shop, outlet=place.id, rugs=[2], saving=fresh_token(), now=now)
    page = html_of(owner.get("/rugs/papers"))
    assert 'value="1, 3"' in page
    assert "1 of them has no price" in page
    assert "http://localhost/rug/1" in page
    assert "A phone could not open these codes." in page
    assert 'value="2"' in html_of(owner.get(f"/rugs/papers?outlet={place.id}"))
    ticked = html_of(owner.get("/rugs/papers?rug=3&rug=1"))
    assert 'value="3, 1"' in ticked


@pytest.mark.parametrize("name", PDFS)
def test_each_paper_is_printed_for_the_rugs_that_are_asked_for(owner, shop, name):
    answer = owner.get(f"/rugs/papers/{name}.pdf?numbers=2-3&size=large&title=Midsummer+fair")
    assert (answer.status_code, answer.mimetype) == (200, "application/pdf")
    assert len(opened(answer.data).pages) == 1
    text = text_of(answer.data)
    assert "$95.00" in text
    assert "$150.00" not in text
    assert ("Midsummer fair" in text) == (name != "tags")


def test_the_price_list_goes_from_the_cheapest_up(owner, shop):
    text = text_of(owner.get("/rugs/papers/prices.pdf?numbers=1-3").data)
    assert text.index("$95.00") < text.index("$150.00") < text.index("to be agreed")


def test_the_packing_list_adds_up(owner, shop):
    text = text_of(owner.get("/rugs/papers/packing.pdf?numbers=1-3").data)
    assert "3 rugs to pack · 7.94 lb · $245.00" in text


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        ("numbers=", "Say which rugs"),
        ("numbers=first", "is not the number of a rug"),
        ("numbers=1-400", "At most 300 rugs"),
        ("numbers=1,9", "There is no rug 9 here."),
        ("numbers=1&size=huge", "choices"),
    ],
)
@pytest.mark.parametrize("to", ["", *(f"/{name}.pdf" for name in PDFS)])
def test_what_is_wrong_with_the_asking_is_told_and_nothing_printed(owner, shop, to, asked, sentence):
    answer = owner.get(f"/rugs/papers{to}?{asked}")
    assert (answer.status_code, answer.mimetype) == (422, "text/html")
    if sentence != "choices":
        assert sentence in html_of(answer)


def test_the_size_that_was_printed_last_is_offered_again(owner, shop):
    owner.get("/rugs/papers/tags.pdf?numbers=1&size=middle")
    assert re.search(r'value="middle"[^>]* checked', html_of(owner.get("/rugs/papers")))


def test_many_rugs_ask_no_more_queries_than_few(owner, shop, now, count_queries):
    with count_queries(shop) as few:
        owner.get("/rugs/papers/tags.pdf?numbers=1")
    for _ in range(20):
        a_rug_entered(shop, now)
    with count_queries(shop) as many:
        owner.get("/rugs/papers/tags.pdf?numbers=1-23")
    assert len(many) == len(few)


def test_a_fair_s_rugs_are_printed_with_their_prices_there(owner, shop, now, app):
    with shop.writing() as session:
        a_fair_row(session)
    packed = [(1, money("175")), (3, money("60"))]
    whereabouts.pack(shop, fair=1, rugs=packed, saving=fresh_token(), now=now)
    cards = rug_papers.packed_rugs(shop, fair=1)
    assert [(card.number, card.price) for card in cards] == packed
    with app.test_request_context("/"):
        app.preprocess_request()
        words = pages.words_now()
        text = text_of(pages.packing_list_for(cards, "Fair 1", words, also=("The float",)))
        tags = text_of(pages.tags_for(cards, pages.SIZES["small"], words))
        listed = text_of(pages.price_list_for(cards, "Fair 1", words))
    assert "$235.00" in text
    assert "The float" in text
    for paper in (tags, listed):
        assert "$175.00" in paper
        assert "$60.00" in paper
    assert "$150.00" not in tags
