"""The pages of finished rugs: the list, a rug, entering and correcting, from a job, sold, photographed."""

import html
import io
import re
from decimal import Decimal

import pytest

from shop.core.account_of_order import Happening
from shop.usecases import job, order_money, rug_card, rug_page, rug_sale, sale, whereabouts
from shop.usecases import price as prices
from shop.usecases.given import fresh_token
from tests.a_stall import a_kept_fair, a_rug_at_home, packed, sold_there
from tests.builders import (
    a_fair_row,
    a_haul_at_home,
    a_job,
    a_kept_loom,
    a_planned_job,
    a_price_rule,
    a_rug_entered,
    a_sheet,
    an_outlet,
    drawn,
    inches,
    money,
)
from tests.usecases.a_photograph import a_photograph

TYPED = {
    "name": "Blue ladder",
    "made_on": "2026-02-03",
    "width": "2 ft",
    "length": "36",
    "weight": "2.6 lb",
    "colour": "#2f4470",
    "second": "#efe6d2",
    "has_second": "y",
    "third": "#9c3b2e",
    "fibres": "100% cotton",
    "cloth": "4",
    "hours": "5 1/2",
    "price": "150",
}


@pytest.fixture
def shop(owner, sqlite_store, now):
    """A shop with one rug entered by hand, No. 1."""
    a_rug_entered(sqlite_store, now)
    return sqlite_store


def text_of(answer):
    return html.unescape(re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.get_data(as_text=True))))


def test_an_empty_shop_says_where_rugs_come_from(owner):
    assert "No rug is for sale yet." in text_of(owner.get("/rugs"))
    assert "No rug is at home" in text_of(owner.get("/rugs/papers"))
    assert "No shop has rugs of yours yet." in text_of(owner.get("/rugs/outlets"))


def test_strangers_see_no_rug(app, shop):
    for address in ("/rugs", "/rugs/1", "/rug/1", "/rugs/papers/tags.pdf", "/rugs/1/thumbnail.jpg"):
        answer = app.test_client().get(address)
        assert answer.status_code == 303
        assert "/sign-in" in answer.headers["Location"]


def test_a_rug_is_entered_and_stands_in_the_list(owner, sqlite_store):
    answer = owner.press("/rugs/new", **TYPED)
    assert (answer.status_code, answer.headers["Location"]) == (303, "/rugs/1")
    text = text_of(owner.get("/rugs"))
    for part in ("Blue ladder", "No. 1", "$150.00", "2 ft × 3 ft", "Cost $4.00", "estimate", "at home"):
        assert part in text, part
    card = rug_card.rug(sqlite_store, number=1)
    assert card.minutes == 330
    assert [colour for colour, _ in card.stripes] == ["#efe6d2", "#2f4470", "#efe6d2"]


def test_what_cannot_be_read_is_told_beside_it_and_stays_typed(owner, sqlite_store):
    answer = owner.press("/rugs/new", **{**TYPED, "width": "wide", "price": "-3", "hours": "a day", "name": ""})
    text = text_of(answer)
    assert answer.status_code == 422
    assert "“wide” is not a length we can read" in text
    assert "4 things need another look" in text
    assert 'value="wide"' in answer.get_data(as_text=True)
    assert rug_card.rugs(sqlite_store).rugs == ()
    assert owner.press("/rugs/new", **{**TYPED, "made_on": "2999-01-01"}).status_code == 422


def test_a_rug_is_corrected_but_not_over_somebody_else_s_change(owner, shop):
    form = owner.hidden("/rugs/1/facts")
    assert form["revision"] == "1"
    assert owner.press("/rugs/1/facts", **{**TYPED, "name": "Renamed"}).status_code == 303
    assert rug_card.rug(shop, number=1).name == "Renamed"
    late = owner.client.post("/rugs/1/facts", data={**form, **TYPED})
    assert late.status_code == 422
    assert "was changed in another window" in text_of(late)


@pytest.mark.parametrize("colours", [1, 2, 3])
def test_a_drawing_made_by_the_form_is_read_back_by_it(owner, sqlite_store, colours):
    typed = {key: text for key, text in TYPED.items() if key != "has_second"}
    owner.press("/rugs/new", **typed, **({"has_second": "y"} if colours > 1 else {}), **({"has_third": "y"} if colours > 2 else {}))
    before = rug_card.rug(sqlite_store, number=1).stripes
    page = owner.get("/rugs/1/facts").get_data(as_text=True)
    assert len(re.findall(r'type="checkbox"[^>]* checked', page)) == colours - 1
    again = {**typed, **({"has_second": "y"} if colours > 1 else {}), **({"has_third": "y"} if colours > 2 else {})}
    owner.press("/rugs/1/facts", **again)
    assert rug_card.rug(sqlite_store, number=1).stripes == before


def test_a_rug_shows_its_price_its_cost_and_what_the_hour_earns(owner, shop, now):
    prices.change(shop, pricing=a_price_rule(), revision=0, saving=fresh_token(), now=now)
    text = text_of(owner.get("/rugs/1"))
    for part in ("$150.00", "$25.00 for a square foot", "the hour earns $25.67", "$117.00", "5 h", "By your rule $170.00"):
        assert part in text, part
    form = owner.hidden("/rugs/1")
    assert owner.client.post("/rugs/1/price", data={**form, "price": "170.00"}).status_code == 303
    text = text_of(owner.get("/rugs/1"))
    assert "$170.00" in text
    assert "Prices it had" in text
    wrong = owner.press("/rugs/1/price", "/rugs/1", price="much")
    assert wrong.status_code == 422
    assert "is not an amount we can read" in text_of(wrong)
    assert owner.client.post("/rugs/1/price", data={**form, "price": "5"}).status_code == 422
    assert rug_card.rug(shop, number=1).price == money("170")


def test_the_code_of_a_tag_opens_the_rug(owner, shop):
    assert owner.get("/rug/1").headers["Location"] == "/rugs/1"
    assert owner.get("/rugs/2").status_code == 404
    assert "There is no rug 2 here." in text_of(owner.get("/rugs/2"))
    assert owner.get("/rugs/99999999999999999999").status_code == 404


def test_rugs_are_found_by_word_number_and_place(owner, shop, now):
    a_rug_entered(shop, now, name="Cat <mat>")
    for asked, found in (
        ("find=cat", "2"), ("find=2", "2"), ("find=zebra", ""), ("show=home", "21"), ("show=sold", ""), ("show=nonsense", "21"),
        ("below=2", "1"), ("below=x", "21"), ("find=%20", "21"),
    ):  # fmt: skip
        answer = owner.get(f"/rugs?{asked}")
        assert answer.status_code == 200
        assert "".join(re.findall(r'<h2><a href="/rugs/(\d+)"', answer.get_data(as_text=True))) == found, asked
    assert "Cat &lt;mat&gt;" in owner.get("/rugs").get_data(as_text=True)
    assert "No rug here is called “zebra”." in text_of(owner.get("/rugs?find=zebra"))


def test_the_list_goes_on_and_its_queries_do_not_grow(owner, shop, now, count_queries):
    with count_queries(shop) as few:
        owner.get("/rugs")
    for _ in range(31):
        a_rug_entered(shop, now)
    with count_queries(shop) as many:
        page = owner.get("/rugs").get_data(as_text=True)
    assert len(many) <= len(few)
    assert re.search(r'href="/rugs\?below=3"', page)
    assert 'href="/rugs/1"' in owner.get("/rugs?below=3").get_data(as_text=True)


@pytest.fixture
def bench(owner, sqlite_store, now):
    """A planned job that is ready, No. 1; one without a quote, No. 2."""
    a_kept_loom(sqlite_store, now)
    a_haul_at_home(sqlite_store, now, a_sheet(ready=True))
    number = a_planned_job(sqlite_store, now, 1)
    drawn(sqlite_store, now, 1, number)
    job.weave(sqlite_store, number=number, saving=fresh_token(), now=now)
    a_haul_at_home(sqlite_store, now, a_sheet(ready=True))
    second = a_job(sqlite_store, now, name="Kitchen mat")
    drawn(sqlite_store, now, 2, second)
    job.weave(sqlite_store, number=second, saving=fresh_token(), now=now)
    return sqlite_store


def test_one_press_on_a_job_s_page_makes_its_rug_one_for_sale(owner, bench):
    form = owner.hidden("/jobs/1")
    for _ in range(2):
        answer = owner.client.post("/jobs/1/rug", data=form)
        assert (answer.status_code, answer.headers["Location"]) == (303, "/rugs/1")
    text = text_of(owner.get("/rugs/1"))
    for part in ("Hall runner", "1 ft × 2 ft 6 in", "100% cotton", "Wash cold and mild", "Job No. 1"):
        assert part in text, part
    assert len(rug_card.rugs(bench).rugs) == 1
    page = text_of(owner.get("/jobs/1"))
    assert "Rug No. 1" in page
    assert "Take it up again" not in page
    money_page = text_of(owner.get("/jobs/1/money"))
    assert "Its rug is for sale: Rug No. 1" in money_page
    assert "Hand it over" not in money_page
    assert owner.get("/jobs/1/rug").headers["Location"] == "/rugs/1"
    assert owner.press("/rugs/1/none", "/rugs/1").headers["Location"] == "/jobs/1"
    assert "Make it a rug for sale" in text_of(owner.get("/jobs/1"))


def test_a_job_that_nobody_planned_is_measured_first(owner, bench):
    assert "/jobs/2/rug" in owner.get("/jobs/2").get_data(as_text=True)
    answer = owner.press("/jobs/2/rug", width="", length="30")
    assert answer.status_code == 422
    assert "Please write a length" in text_of(answer)
    assert owner.press("/jobs/2/rug", width="20", length="30", price="95").status_code == 303
    card = rug_card.rug(bench, number=1)
    assert (card.job, card.size.width, card.price) == (2, inches(20), money("95"))
    assert "No time was written down" in text_of(owner.get("/rugs/1"))
    assert owner.press("/rugs/1/anew", "/rugs/1").status_code == 303
    assert owner.press("/jobs/2/rug", "/rugs/1", width="20", length="30").status_code == 409


def test_a_job_s_rug_keeps_its_own_stripes_and_cost_when_it_is_corrected(owner, bench):
    owner.client.post("/jobs/1/rug", data=owner.hidden("/jobs/1"))
    before = rug_card.rug(bench, number=1)
    page = owner.get("/rugs/1/facts").get_data(as_text=True)
    assert "What it cost" not in page
    typed = {**TYPED, "cloth": "999"}
    assert owner.press("/rugs/1/facts", **typed).status_code == 303
    after = rug_card.rug(bench, number=1)
    assert after.cost == before.cost


def test_a_rug_goes_to_an_outlet_and_comes_back(owner, shop, now):
    place = an_outlet(shop, now)
    assert owner.press("/rugs/1/send", "/rugs/1", outlet=str(place.id)).status_code == 303
    text = text_of(owner.get("/rugs/1"))
    assert "at The Mill Shop" in text
    assert "The outlet sold it" in text
    assert owner.press("/rugs/1/send", "/rugs/1", outlet=str(place.id)).status_code == 409
    assert owner.press("/rugs/1/back", "/rugs/1").status_code == 303
    assert owner.press("/rugs/1/gone", "/rugs/1", note="The cat has it").status_code == 303
    text = text_of(owner.get("/rugs/1"))
    assert "given away or lost" in text
    assert "The cat has it" in text
    assert owner.press("/rugs/1/back", "/rugs/1").status_code == 303
    assert rug_card.rug(shop, number=1).place == "home"
    assert owner.press("/rugs/1/send", "/rugs/1", outlet="nowhere").status_code == 404
    assert owner.press("/rugs/1/gone", "/rugs/1", note="x" * 200).status_code == 422


def test_a_packed_rug_comes_home_from_its_page(owner, shop, now):
    with shop.writing() as session:
        a_fair_row(session)
    whereabouts.pack(shop, fair=1, rugs=[(1, None)], saving=fresh_token(), now=now)
    assert "packed for Fair 1" in text_of(owner.get("/rugs/1"))
    assert owner.press("/rugs/1/unpack", "/rugs/1").status_code == 303
    assert rug_card.rug(shop, number=1).place == "home"


def test_a_rug_is_sold_from_home_and_taken_back(owner, shop, now):
    prices.change(shop, pricing=a_price_rule(), revision=0, saving=fresh_token(), now=now)
    page = owner.get("/rugs/1/sell")
    assert "6% Sales tax comes on top of it." in text_of(page)
    assert 'value="150.00"' in page.get_data(as_text=True)
    wrong = owner.press("/rugs/1/sell", price="all of it", means="cash", on="")
    assert wrong.status_code == 422
    assert rug_card.rug(shop, number=1).place == "home"
    form = owner.hidden("/rugs/1/sell")
    for _ in range(2):
        answer = owner.client.post("/rugs/1/sell", data={**form, "price": "140", "means": "cash", "note": "A neighbour"})
        assert answer.status_code == 303
    text = text_of(owner.get("/rugs/1"))
    for part in ("is sold: sale 1, $148.40", "Sale 1", "It brought $140.00", "Tax $8.40", "The hour earned", "A neighbour"):
        assert part in text, part
    assert owner.press("/rugs/1/sell", "/rugs/1", price="9", means="cash").status_code == 409
    assert owner.press("/rugs/1/sales/1/undo", "/rugs/1", why="Too blue").status_code == 303
    text = text_of(owner.get("/rugs/1"))
    assert "Too blue" in text
    assert "Sell it from home" in text
    assert owner.press("/rugs/1/sales/9/undo", "/rugs/1").status_code == 404


def test_a_rug_of_which_no_cost_was_written_down_has_none_that_is_known(owner, sqlite_store, now):
    a_rug_entered(sqlite_store, now, **dict.fromkeys(("cloth", "warp", "labour", "overhead", "bought_in"), money("0")), minutes=Decimal(0))
    prices.change(sqlite_store, pricing=a_price_rule(), revision=0, saving=fresh_token(), now=now)
    assert not rug_card.rug(sqlite_store, number=1).cost_known
    text = text_of(owner.get("/rugs/1"))
    assert "Cost not known" in text
    assert "By your rule" not in text
    assert "$0.00" not in text
    text = text_of(owner.get("/rugs"))
    assert "Cost not known" in text
    assert "$0.00" not in text
    assert 'value="0.00"' not in owner.get("/rugs/1/facts").get_data(as_text=True)


def test_one_part_of_the_cost_is_enough_for_the_rule(owner, shop, now):
    prices.change(shop, pricing=a_price_rule(), revision=0, saving=fresh_token(), now=now)
    assert "By your rule" in text_of(owner.get("/rugs/1"))


def test_a_sale_by_card_at_a_fair_leaves_what_the_fair_s_reckoning_leaves(owner, sqlite_store, now):
    a_kept_fair(sqlite_store, now, card_percent=Decimal("0.025"), card_fixed=money("0.10"))
    for price in (60, 130):
        a_rug_at_home(sqlite_store, now, price=price)
    packed(sqlite_store, now, 1, r1=60, r2=130)
    sold_there(sqlite_store, now, 1, (1, 60), (2, 130), means="card", rate=Decimal(0))
    first, second = (rug_page.opened(sqlite_store, number=number).sales[0] for number in (1, 2))
    assert first.fee + second.fee == money("4.85")  # 190.00 x 2.5 % + 0.10
    assert first.left + second.left == money("185.15")
    assert first.left + first.fee == money("60.00")
    assert f"The card reader keeps ${first.fee.amount}" in text_of(owner.get("/rugs/1"))


def test_a_sold_rug_shows_what_it_brought_and_not_its_old_price(owner, shop, now):
    rug_sale.sell_from_home(shop, number=1, price=money("140"), means="cash", saving=fresh_token(), now=now)
    assert rug_card.rug(shop, number=1).brought == money("140")
    text = text_of(owner.get("/rugs?show=sold"))
    assert "Brought $140.00" in text
    assert "$150.00" not in text
    assert "$140.00 It brought this; its price was $150.00." in text_of(owner.get("/rugs/1"))
    sale.undo(shop, number=1, saving=fresh_token(), now=now)
    assert rug_card.rug(shop, number=1).brought is None


def test_an_outlet_s_sale_is_told_on_both_pages(owner, shop, now):
    place = an_outlet(shop, now)
    whereabouts.send(shop, outlet=place.id, rugs=[1], saving=fresh_token(), now=now)
    assert "Sold by The Mill Shop" in text_of(owner.get("/rugs/1/sell"))
    assert owner.press("/rugs/1/sell", price="150", means="transfer").status_code == 303
    assert "The outlet keeps $60.00" in text_of(owner.get("/rugs/1"))
    text = text_of(owner.get(f"/rugs/outlets/{place.id}"))
    for part in ("It has no rugs", "They brought $150.00", "It kept $60.00", "Left for the shop $90.00", "Blue ladder"):
        assert part in text, part


def test_outlets_are_added_changed_filled_and_closed(owner, shop):
    wrong = owner.press("/rugs/outlets", name="", share="120")
    assert wrong.status_code == 422
    answer = owner.press("/rugs/outlets", name="Mill <shop>", share="35", contact="555-0101")
    assert answer.status_code == 303
    address = answer.headers["Location"]
    assert "It keeps 35% of each price." in text_of(owner.get(address))
    assert owner.press(f"{address}/send", address).status_code == 422
    assert owner.press(f"{address}/send", address, rug="1").status_code == 303
    text = text_of(owner.get(address))
    assert "It has 1 rug" in text
    assert "Their prices together: $150.00" in text
    assert owner.press(f"{address}/closed", address).status_code == 409
    assert owner.press(f"{address}/back", address, rug="1").status_code == 303
    assert owner.press(address, name="Mill", share="30").status_code == 303
    assert owner.press(f"{address}/closed", address).status_code == 303
    assert "Nothing is sent to these any more" in text_of(owner.get("/rugs/outlets"))
    assert owner.press(f"{address}/open", address).status_code == 303
    assert owner.get("/rugs/outlets/77").status_code == 404


def test_a_photograph_takes_the_place_of_the_stripes(owner, shop):
    hidden = owner.hidden("/rugs/1/photograph")
    wrong = owner.client.post("/rugs/1/photograph", data={**hidden, "photograph": (io.BytesIO(b"no picture"), "x.jpg")})
    assert wrong.status_code == 422
    assert "no photograph that can be read" in text_of(wrong)
    sent = owner.client.post("/rugs/1/photograph", data={**hidden, "photograph": (io.BytesIO(a_photograph()), "x.jpg")})
    assert sent.status_code == 303
    assert "/rugs/1/thumbnail.jpg" in owner.get("/rugs").get_data(as_text=True)
    small = owner.get("/rugs/1/thumbnail.jpg")
    assert small.mimetype == "image/jpeg"
    assert owner.get("/rugs/1/thumbnail.jpg", headers={"If-None-Match": small.headers["ETag"]}).status_code == 304
    assert owner.press("/rugs/1/photograph/away", "/rugs/1/photograph").status_code == 303
    assert owner.get("/rugs/1/photograph.jpg").status_code == 404


def test_a_rug_s_page_asks_as_much_after_a_long_story(owner, shop, now, count_queries):
    place = an_outlet(shop, now)
    turn = lambda: (  # noqa: E731 - told here so that it is read with what it is for
        whereabouts.send(shop, outlet=place.id, rugs=[1], saving=fresh_token(), now=now),
        sale.undo(
            shop,
            number=rug_sale.sell_at_outlet(
                shop, outlet_id=place.id, number=1, price=money("100"), saving=fresh_token(), now=now
            ).number,
            saving=fresh_token(),
            now=now,
        ),
        whereabouts.take_back(shop, rugs=[1], saving=fresh_token(), now=now),
    )
    turn()
    with count_queries(shop) as few:
        owner.get("/rugs/1")
    for _ in range(6):
        turn()
    with count_queries(shop) as many:
        owner.get("/rugs/1")
    assert len(many) <= len(few)
    assert len(rug_page.opened(shop, number=1).sales) == 7


def test_a_job_for_a_customer_offers_no_press(owner, bench, now):
    order_money.record(
        bench, job=2, what=Happening.PAYMENT, amount=money("40"), means="cash", saving=fresh_token(), now=now
    )
    assert "Make it a rug for sale" not in text_of(owner.get("/jobs/2"))
    answer = owner.press("/jobs/2/rug", width="20", length="30")
    assert answer.status_code == 422
    assert "Job 2 is for a customer." in text_of(answer)
    assert rug_card.rugs(bench).rugs == ()
