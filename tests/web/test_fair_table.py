"""The pages of a fair's table, its reckoning, and fairs side by side; bad prices stay and change nothing."""

import io
import re

import pytest
from pypdf import PdfReader

from shop.usecases import fair, rug
from shop.usecases.given import fresh_token
from tests.a_stall import a_kept_fair, a_rug_at_home, packed, sold_there


def text_of(answer):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.get_data(as_text=True)))


@pytest.fixture
def stall(owner, sqlite_store, now):
    a_kept_fair(sqlite_store, now)
    a_rug_at_home(sqlite_store, now, "Blue ladder", price=60)
    a_rug_at_home(sqlite_store, now, "Hearth", width=30, length=60, cost=80, price=None)
    return sqlite_store


def worked(owner, act, **typed):
    return owner.press("/fairs/1/table", "/fairs/1/table", act=act, **typed)


def test_a_table_is_looked_at_then_packed(owner, stall):
    assert "Blue ladder" in text_of(owner.get("/fairs/1/table"))
    looked = worked(owner, "look", **{"take-1": "y", "price-1": "75"})
    assert "This is only looked at" in text_of(looked)
    assert "$75.00" in text_of(looked)
    assert rug.rug(stall, number=1).place == "home"
    assert worked(owner, "keep", **{"take-1": "y", "price-1": "75", "price-2": ""}).status_code == 303
    assert rug.rug(stall, number=1).place == "fair"
    assert 'value="75.00"' in owner.get("/fairs/1/table").get_data(as_text=True)


def test_prices_go_by_the_rule_or_to_the_round_prices_of_the_fair(owner, stall):
    by_rule = worked(owner, "by rule", **{"take-1": "y", "price-1": "999"}).get_data(as_text=True)
    assert "999" not in by_rule
    rounded = worked(owner, "round", **{"take-1": "y", "price-1": "63.20"}).get_data(as_text=True)
    assert 'value="65.00"' in rounded


@pytest.mark.parametrize(("price", "sentence"), [("much", "much"), ("-3", "less than nothing"), ("99999999999999999999", "")])
def test_a_bad_price_stays_beside_its_sentence_and_nothing_is_packed(owner, stall, price, sentence):
    answer = worked(owner, "keep", **{"take-1": "y", "price-1": price})
    assert answer.status_code == 422
    html = answer.get_data(as_text=True)
    assert f'value="{price}"' in html
    assert 'id="wrong-1"' in html
    assert sentence in text_of(answer)
    assert rug.rug(stall, number=1).place == "home"


def test_a_rug_that_nobody_knows_and_rows_that_are_none_do_no_harm(owner, stall):
    assert worked(owner, "keep", **{"take-99": "y"}).status_code == 404
    assert worked(owner, "look", **{"take-0": "y", "price-x": "3", "take-1 ": "y"}).status_code == 200


def test_the_reckoning_tells_what_the_fair_earned_and_brings_the_rest_home(owner, stall, now):
    packed(stall, now, 1, r1=60, r2=130)
    assert "Nothing has been sold there yet." in text_of(owner.get("/fairs/1/reckoning"))
    sold_there(stall, now, 1, (1, 60), means="card")
    text = text_of(owner.get("/fairs/1/reckoning"))
    for said in ("It did not bear its own cost.", "$63.75", "1 rug is packed for it still.", "Blue", "card"):
        assert said in text, said
    assert owner.press("/fairs/1/home", "/fairs/1/reckoning").status_code == 303
    assert rug.rug(stall, number=2).place == "home"


def test_fairs_side_by_side_show_those_that_are_over(owner, stall, now):
    assert "No fair is over yet" in text_of(owner.get("/fairs/beside"))
    packed(stall, now, 1, r1=60)
    sold_there(stall, now, 1, (1, 60))
    fair.end(stall, number=1, saving=fresh_token(), now=now)
    html = owner.get("/fairs/beside?series=Harvest+fair").get_data(as_text=True)
    assert "1 of 1" in html
    assert '<option value="Harvest fair" selected>' in html
    assert "No fair is over yet" in text_of(owner.get("/fairs/beside?series=nothing"))


@pytest.mark.parametrize(("paper", "said"), [("tags.pdf?size=small", "65"), ("prices.pdf", "Harvest fair"), ("packing.pdf", "card reader")])
def test_papers_of_a_fair_have_its_prices(owner, stall, now, paper, said):
    assert owner.get(f"/fairs/1/papers/{paper}").status_code == 404
    packed(stall, now, 1, r1=65)
    answer = owner.get(f"/fairs/1/papers/{paper}")
    assert answer.mimetype == "application/pdf"
    text = "".join(page.extract_text() for page in PdfReader(io.BytesIO(answer.data)).pages)
    assert said in text
