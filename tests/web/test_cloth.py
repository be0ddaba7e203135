"""The pages of the cloth: a haul comes home once and to the cent, and each piece says what it cost and how to cut it."""

import re
from datetime import date
from decimal import Decimal

import pytest

from shop.assemble import application
from shop.usecases import account, haul, loom, piece
from shop.usecases.given import fresh_token
from shop.usecases.shop import ShopGiven
from tests.builders import a_blanket, a_haul_at_home, a_loom, a_piece_in_hand, a_sheet, inches, money
from tests.web.a_haul import NEW, a_haul_typed, a_piece_typed, said

PASSWORD = "blue and madder stripes"


@pytest.fixture
def app(settings, store):
    """The application, on either database."""
    return application(settings, store)


@pytest.fixture
def open_shop(store, now):
    """Opens the shop: an owner, and settings as given."""

    def opened(**given):
        shop = ShopGiven(**{"name": "Warp & Rag", **given})
        return account.open_shop(
            store, name="astrid", password=PASSWORD, shop=shop, saving=fresh_token(), now=now
        )

    return opened


def test_an_empty_shop_says_what_to_do(owner):
    text = said(owner.get("/cloth"))
    assert "There is no cloth here yet." in text
    assert NEW in text
    assert "dryer on high, 30 minutes" in text


def test_a_haul_comes_home(owner, store):
    answer = owner.press(NEW, **a_haul_typed())
    assert answer.status_code == 303
    home = haul.haul(store, haul_id=1)
    assert answer.location == "/cloth/hauls/1"
    assert (home.place, home.on) == ("Jumble sale", date(2026, 3, 14))
    rose, *blue = home.pieces
    assert (rose.name, rose.width, rose.length, rose.tears) == ("Rose sheet", inches(66), inches(96), None)
    assert [(p.name, p.width, p.tears, p.paid) for p in blue] == [
        ("Blue blanket", inches(60), True, money("4.25"))
    ] * 2
    assert {p.state for p in home.pieces} == {"set aside to wash"}
    assert home.cost == money("11.50") + money("3.50") - money("1.01")


def test_the_spread_is_shown_to_the_cent(owner, store):
    text = said(owner.client.get(owner.press(NEW, **a_haul_typed()).location))
    home = haul.haul(store, haul_id=1)
    table = re.search(r'<table class="stacks spread">.*?</table>', text, re.DOTALL)[0]
    body, foot = table.split("<tfoot>")
    shown = [Decimal(amount) for amount in re.findall(r"<strong>\$([\d.]+)</strong>", body)]
    assert sum(shown) == home.cost.amount
    less = [Decimal(amount) for amount in re.findall(r"-\$([\d.]+)", body)]
    assert sum(less) == Decimal("1.01")
    assert "-$1.01" in foot
    assert "$3.50" in foot
    assert "$13.99" in foot


def test_the_same_press_twice_is_one_haul(owner, store):
    hidden = owner.hidden(NEW)
    sent = [owner.client.post(NEW, data={**hidden, **a_haul_typed()}) for _ in range(2)]
    assert [answer.location for answer in sent] == ["/cloth/hauls/1"] * 2
    assert len(piece.pieces(store, shown="all").pieces) == 3


def test_washed_cloth_may_join_the_rest_at_once(owner, store):
    owner.press(NEW, **a_haul_typed(**a_piece_typed(0, ready="y")))
    assert haul.haul(store, haul_id=1).pieces[0].state == "ready"


def test_a_piece_is_shown_with_its_costs_for_the_strip_asked_for(owner, store, now):
    """A sheet 81 by 96 in for $4.00: 27 strips of 3 in, each 96 in, are 72 yd; 40 of 2 in are 106.7 yd."""
    a_piece_in_hand(store, now)
    text = said(owner.get("/cloth?strip=3 in"))
    assert "A yard of strip</dt><dd>$0.0556</dd>" in text
    assert "A yard of cloth</dt><dd>$1.50</dd>" in text
    assert "A square foot</dt><dd>$0.0741</dd>" in text
    assert "A pound</dt><dd>$3.14</dd>" in text
    assert "A yard of strip</dt><dd>$0.0375</dd>" in said(owner.get("/cloth"))


def test_the_strip_begins_as_the_looms_have_it(owner, store, now):
    loom.keep(store, loom=a_loom(strip=inches(3)), saving=fresh_token(), now=now)
    a_piece_in_hand(store, now)
    assert "A yard of strip</dt><dd>$0.0556</dd>" in said(owner.get("/cloth"))


@pytest.mark.parametrize(
    ("strip", "sentence"),
    [
        ("0", "This must be at least"),
        ("0.1 mm", "This must be at least"),
        ("-2 in", "is less than nothing."),
        ("5 parsecs", "“parsecs” is no unit we know."),
        ("40 ft", "This must be at most"),
        ("2,5", "could be meant in two ways."),
        ("🧶" * 10_000, "That is too long to be read here"),
    ],
)
@pytest.mark.parametrize("address", ["/cloth", "/cloth/pieces/1"])
def test_a_strip_that_cannot_be_is_said_beside_it(owner, store, now, address, strip, sentence):
    a_piece_in_hand(store, now)
    answer = owner.client.get(address, query_string={"strip": strip})
    text = said(answer)
    assert answer.status_code == 422
    assert sentence in text
    assert f'value="{strip[:120]}"' in text
    assert "Blue striped sheet" in text


@pytest.mark.parametrize(
    "query", ["after=x", "after=1.²", "after=1." + "9" * 40, "show=secret", "find=%00", "find=%25"]
)
def test_a_list_asked_for_in_nonsense_is_still_a_list(owner, store, now, query):
    a_piece_in_hand(store, now)
    assert owner.get(f"/cloth?{query}").status_code == 200


@pytest.mark.parametrize("query", ["colour=plaid", "order=x", "wide=x&long=3 ft", "wide=2 ft", "fibre=gold"])
def test_what_cannot_be_looked_for_is_told_beside_the_cloth(owner, store, now, query):
    a_piece_in_hand(store, now)
    answer = owner.get(f"/cloth?{query}")
    assert answer.status_code == 422
    assert "Blue striped sheet" in said(answer)


def test_the_list_can_be_looked_through(owner, store, now):
    a_haul_at_home(store, now, a_sheet(), a_blanket(), a_sheet(name="Green curtain", ready=True))
    piece.give_away(store, number=2, saving=fresh_token(), now=now)

    def names(query):
        return re.findall(r'<h2><a href="[^"]+">([^<]+)</a>', said(owner.get(f"/cloth?{query}")))

    assert names("") == ["Blue striped sheet", "Green curtain"]
    assert names("order=newest") == ["Green curtain", "Blue striped sheet"]
    assert names("show=to-wash") == ["Blue striped sheet"]
    assert names("show=ready") == ["Green curtain"]
    assert names("show=gone") == ["Grey wool blanket"]
    assert names("find=STRIPED") == ["Blue striped sheet"]
    assert names("find=velvet") == []


def test_a_page_ends_and_goes_on(owner, store, now):
    a_haul_at_home(store, now, a_sheet(count=35))
    first = said(owner.get("/cloth?strip=3 in"))
    assert len(re.findall('class="swatch-card"', first)) == 30
    further = re.search(r'href="([^"]+after=[^"]+)"', first)[1]
    assert "strip=3" in further
    second = said(owner.get(further))
    assert len(re.findall('class="swatch-card"', second)) == 5
    assert "Back to the beginning" in second


@pytest.mark.parametrize("address", ["/cloth", "/cloth/hauls", "/cloth/hauls/1"])
def test_a_page_takes_as_many_queries_however_much_cloth(owner, store, now, count_queries, address):
    a_haul_at_home(store, now, a_sheet())
    with count_queries(store) as few:
        owner.get(address)
    for _ in range(4):
        a_haul_at_home(store, now, a_sheet(count=6), a_blanket())
    with count_queries(store) as many:
        owner.get(address)
    assert len(many) == len(few)


def test_a_piece_says_both_ways_to_cut_it(owner, store, now):
    """81 by 96 in, strips of 2 in: 40 of 96 in along, 48 of 81 in across."""
    a_piece_in_hand(store, now)
    rows = ways_shown(said(owner.get("/cloth/pieces/1")))
    assert rows["Along"] == ["40", "2.7 yd", "107 yd", "39", "$0.0375"]
    assert rows["Across"] == ["48", "2.3 yd", "108 yd", "47", "$0.037"]
    assert rows["Back and forth"][0] == "1"
    text = said(owner.get("/cloth/pieces/1"))
    assert re.search(r"Back and forth <span[^>]+>fewer joins", text)
    assert re.search(r"Across <span[^>]+>more strip", text)
    assert "close the blade" in text


def test_torn_strips_lose_what_frays_and_go_one_way(owner, store, now):
    """2 in torn take 2 1/4 in: 36 along, 42 across; and there is no tearing back and forth."""
    a_piece_in_hand(store, now)
    rows = ways_shown(said(owner.get("/cloth/pieces/1?tool=tear")))
    assert set(rows) == {"Along", "Across"}
    assert (rows["Along"][0], rows["Across"][0]) == ("36", "42")


def test_what_failed_its_tear_test_is_not_torn(owner, store, now):
    a_piece_in_hand(store, now, a_sheet(tears=False))
    text = said(owner.get("/cloth/pieces/1?tool=tear"))
    assert "failed its tear test, so it cannot be torn" in text
    assert not ways_shown(text)


def test_jersey_may_be_cut_in_a_spiral(owner, store, now):
    a_piece_in_hand(store, now, a_sheet(cloth="jersey", width=inches(40), length=inches(16)))
    rows = ways_shown(said(owner.get("/cloth/pieces/1")))
    assert rows["In a spiral"][:4] == ["1", "8.9 yd", "8.9 yd", "0"]


def test_a_piece_smaller_than_a_strip_says_so(owner, store, now):
    a_piece_in_hand(store, now, a_sheet(width=inches(1), length=inches("1.5")))
    text = said(owner.get("/cloth/pieces/1"))
    assert "Not one strip 2 in wide comes out of it." in text
    assert "A yard of strip</dt><dd>–</dd>" in text


def test_a_piece_is_washed_and_that_can_be_undone(owner, store, now):
    a_piece_in_hand(store, now)
    page = "/cloth/pieces/1"
    assert "Undo this" not in said(owner.get(page))
    assert owner.press(f"{page}/ready", page=page).location == page
    assert piece.piece(store, number=1).state == "ready"
    text = said(owner.get(page))
    assert "Piece 1 is washed, dried and ready." in text
    owner.press(f"{page}/undo", page=page)
    after = piece.piece(store, number=1)
    assert (after.state, len(after.steps)) == ("set aside to wash", 4)
    assert "<s>Washed, dried and ready</s>" in said(owner.get(page))


def test_a_piece_is_set_aside_again(owner, store, now):
    a_piece_in_hand(store, now, a_sheet(ready=True))
    owner.press("/cloth/pieces/1/set-aside", page="/cloth/pieces/1")
    assert piece.piece(store, number=1).state == "set aside to wash"


def test_a_piece_is_given_away_once_and_comes_back_when_undone(owner, store, now):
    a_piece_in_hand(store, now)
    page = "/cloth/pieces/1"
    hidden = owner.hidden(page)
    for _ in range(2):
        assert (
            owner.client.post(f"{page}/give-away", data={**hidden, "note": "the school"}).status_code == 303
        )
    gone = piece.piece(store, number=1)
    assert (gone.left, gone.state, len(gone.steps)) == (0, "given away", 3)
    assert "the school" in said(owner.get(page))
    owner.press(f"{page}/undo", page=page)
    back = piece.piece(store, number=1)
    assert (back.left, back.cost_left) == (1, back.cost)


def test_a_note_too_long_gives_nothing_away(owner, store, now):
    a_piece_in_hand(store, now)
    answer = owner.press("/cloth/pieces/1/give-away", page="/cloth/pieces/1", note="x" * 10_000)
    assert answer.status_code == 422
    text = said(answer)
    assert "use at most 120 characters." in text
    assert "x" * 10_000 in text
    assert piece.piece(store, number=1).left == 1


def test_what_is_gone_cannot_be_washed(owner, store, now):
    a_piece_in_hand(store, now)
    hidden = owner.hidden("/cloth/pieces/1")
    piece.give_away(store, number=1, saving=fresh_token(), now=now)
    answer = owner.client.post("/cloth/pieces/1/ready", data=hidden)
    assert answer.status_code == 422
    assert "Piece 1 is used up or given away." in said(answer)


@pytest.mark.parametrize("step", ["", "0", "99", "²", "1", "9" * 40])
def test_a_step_that_cannot_be_undone_stays(owner, store, now, step):
    a_piece_in_hand(store, now)
    answer = owner.press("/cloth/pieces/1/undo", page="/cloth/pieces/1", step=step)
    assert answer.status_code in (404, 422)
    assert len(piece.piece(store, number=1).steps) == 2


def test_a_piece_is_washed_from_the_page_of_its_haul(owner, store, now):
    a_haul_at_home(store, now, a_sheet(), a_blanket())
    answer = owner.press("/cloth/pieces/2/ready", page="/cloth/hauls/1")
    assert answer.location == "/cloth/hauls/1"
    assert [p.state for p in haul.haul(store, haul_id=1).pieces] == ["set aside to wash", "ready"]


@pytest.mark.parametrize(
    "address", ["/cloth/pieces/7", "/cloth/hauls/7", "/cloth/pieces/" + "9" * 30, "/cloth/hauls/0"]
)
def test_what_is_not_there_is_said_plainly(owner, address):
    answer = owner.get(address)
    assert answer.status_code == 404
    assert "There is no" in said(answer)


def test_hauls_go_on_over_the_page(owner, store, now):
    for day in range(1, 17):
        a_haul_at_home(store, now, a_sheet(), on=date(2026, 3, day), place=f"Market {day}")
        a_haul_at_home(store, now, a_sheet(), on=date(2026, 3, day), place=f"Fair {day}")
    first = said(owner.get("/cloth/hauls"))
    further = re.search(r'href="([^"]+after=[^"]+)"', first)[1]
    second = said(owner.get(further))
    seen = [re.findall(r">((?:Market|Fair) \d+)</a>", page) for page in (first, second)]
    assert [len(names) for names in seen] == [30, 2]
    assert len({*seen[0], *seen[1]}) == 32
    assert seen[0][0] == "Fair 16"
    assert seen[1] == ["Fair 1", "Market 1"]


@pytest.mark.parametrize(
    "after", ["x", "2026-03-01", "2026-03-01.x", "2026-03-01." + "9" * 30, "2026-13-01.1"]
)
def test_a_page_of_hauls_that_is_not_there_is_said_plainly(owner, after):
    answer = owner.get(f"/cloth/hauls?after={after}")
    assert answer.status_code == 404
    assert "There is no such page of the list." in said(answer)


def test_a_form_that_is_not_ours_does_nothing(owner, store, now):
    a_piece_in_hand(store, now)
    for address in (NEW, "/cloth/pieces/1/ready", "/cloth/pieces/1/give-away", "/cloth/pieces/1/undo"):
        assert owner.client.post(address, data=a_haul_typed()).status_code == 400
    assert len(piece.piece(store, number=1).steps) == 2


def ways_shown(text):
    """The rows of the table of ways: name to cells."""
    table = re.search(r'<table class="stacks ways">.*?</table>', text, re.DOTALL)
    found = {}
    for row in re.findall(r'<tr>\s*<th scope="row">(.*?)</tr>', table[0] if table else "", re.DOTALL):
        name = re.split(r"\s*<", row)[0]
        found[name] = [cell.strip() for cell in re.findall(r"<td[^>]*>(.*?)</td>", row, re.DOTALL)]
    return found
