"""The till's page and what a phone asks of the shop; the desk of a fair's till; receipts."""

import gzip
import io
import json
import re
from datetime import UTC, datetime

import pypdf
import pytest
from pypdf import PdfReader

from shop.assemble import application
from shop.settings import read_settings
from shop.usecases import outbox, till_desk
from shop.web.till import files_kept
from shop.web.till_words import SAID
from tests.a_fair import a_fair, a_key, a_phone, a_sale, an_entry, an_undo, sent, some_rugs
from tests.builders import a_kept_loom
from tests.web.conftest import Visitor

ROOM = 150 * 1000


@pytest.fixture
def stall(owner, sqlite_store, now):
    """A fair with three rugs and a phone, in an open shop: the ids of the rugs, the phone's secret."""
    fair = a_fair(sqlite_store, now, tax_name="Sales tax")
    assert fair == 1
    return some_rugs(sqlite_store, now, fair), a_phone(sqlite_store, now, fair)


def shown_by(secret):
    return {"Authorization": f"Bearer {secret}"}


def post(app, secret, *entries, **options):
    """As a phone sends it: without a cookie, without a form's token."""
    return app.test_client().post("/till/entries", json={"entries": list(entries)}, headers=shown_by(secret), **options)


def test_the_page_opens_to_everybody_and_holds_nothing_of_anybody(app, owner, stall, page_of):
    outside, inside = (page_of(one.get("/till")) for one in (Visitor(app), owner))
    assert outside == inside, "the phone keeps one page, whoever is signed in"
    assert "Hall runner" not in outside
    answer = owner.get("/till")
    assert "camera=(self)" in answer.headers["Permissions-Policy"]
    assert "camera=()" in owner.get("/").headers["Permissions-Policy"]
    assert "worker-src 'self'; manifest-src 'self'" in answer.headers["Content-Security-Policy"]
    assert answer.headers["Referrer-Policy"] == "no-referrer"


def test_the_whole_till_is_light(app, owner, stall):
    """As it is served, without any packing by a server before it; all that a phone keeps but the photographs."""
    with app.test_request_context():
        kept = files_kept()
    answers = {address: owner.get(address, buffered=True) for address in [*kept, "/till/worker.js"]}
    assert {answer.status_code for answer in answers.values()} == {200}
    pack = owner.get("/till/pack", headers=shown_by(stall[1]))
    plain = sum(len(answer.get_data()) for answer in answers.values())
    packed = sum(len(gzip.compress(answer.get_data())) for answer in answers.values())
    assert plain + len(pack.get_data()) < ROOM
    assert packed < ROOM / 3


def test_the_page_asks_for_nothing_that_is_not_kept(app, owner, page_of):
    with app.test_request_context():
        kept = files_kept()
    html = page_of(owner.get("/till"))
    asked = re.findall(r'<(?:link|script)[^>]*(?:href|src)="([^"]+)"', html)
    assert set(asked) <= set(kept)
    for address in kept:
        if address.partition("?")[0].endswith(".js"):
            script = owner.get(address, buffered=True).get_data(as_text=True)
            imported = {f"/static/till/{name}" for name in re.findall(r'from "\./([^"]+)"', script)}
            assert imported <= set(kept)


def test_every_word_that_a_script_says_is_there_and_each_is_said(app):
    with app.test_request_context():
        kept = [name for name in files_kept() if "/till/" in name and ".js" in name]
    scripts = "".join(app.test_client().get(name, buffered=True).get_data(as_text=True) for name in kept)
    said = set(re.findall(r'\bsay\("(\w+)"', scripts))
    for begin, ends in {"means_": ("cash", "card", "transfer", "cheque", "other"), "state_": ("unsent", "sent", "kept", "refused")}.items():
        assert f"say(`{begin}${{" in scripts
        said |= {begin + end for end in ends}
    said |= {f"what_{what}" for what in ("sale", "undo", "cash", "refused", "wish")}
    for many in re.findall(r'sayMany\("(\w+)"', scripts):
        said |= {f"{many}_one", f"{many}_many"}
    assert said == set(SAID)


def test_the_worker_is_another_version_when_anything_changed(app, owner, stall, page_of, monkeypatch):
    answer = owner.get("/till/worker.js")
    assert answer.headers["Service-Worker-Allowed"] == "/till"
    assert answer.headers["Cache-Control"] == "no-store"
    version = re.search(r'"version": "(\w+)"', page_of(answer))[1]
    assert re.search(r'"version": "(\w+)"', page_of(Visitor(app).get("/till/worker.js")))[1] == version
    monkeypatch.setitem(SAID, "undo", "Take this sale back")
    assert re.search(r'"version": "(\w+)"', page_of(owner.get("/till/worker.js")))[1] != version


def test_the_manifest_makes_a_program_of_it(owner):
    answer = owner.get("/till/manifest.webmanifest")
    told = json.loads(answer.get_data())
    assert answer.mimetype == "application/manifest+json"
    assert (told["start_url"], told["scope"], told["display"]) == ("/till", "/till", "standalone")
    assert owner.get(told["icons"][0]["src"], buffered=True).status_code == 200


def test_the_pack_is_packed_where_a_phone_can_unpack_it(owner, stall):
    plain = owner.get("/till/pack", headers=shown_by(stall[1]))
    packed = owner.get("/till/pack", headers={**shown_by(stall[1]), "Accept-Encoding": "gzip, br"})
    assert packed.headers["Content-Encoding"] == "gzip"
    assert json.loads(gzip.decompress(packed.get_data())) == plain.get_json()
    assert "Accept-Encoding" in plain.headers["Vary"]


def test_the_pack_holds_rugs_and_prices_and_nothing_of_cost(owner, stall):
    told = owner.get("/till/pack", headers=shown_by(stall[1])).get_json()
    assert [(rug["number"], rug["price"]) for rug in told["rugs"]] == [(1, 4500), (2, 5000), (3, 5500)]
    assert told["tax"] == {"rate": "0.06", "contained": True, "said": "Sales tax 6%"}
    assert set(told) == {
        "fair", "name", "place", "over", "phone", "language", "said", "currency", "manner", "tender", "cashStep", "openingFloat", "tax", "receipts", "colours", "rugs",
    }  # fmt: skip
    assert set(told["rugs"][0]) == {
        "id", "number", "name", "size", "width", "length", "price", "colour", "family", "stripes", "picture", "sold",
    }  # fmt: skip


@pytest.mark.parametrize("header", [{}, {"Authorization": ""}, {"Authorization": "Basic abc"}, {"Authorization": "Bearer guess" + "x" * 40}])
def test_without_its_secret_a_phone_is_shown_nothing_and_nothing_is_taken(app, owner, stall, header):
    for client in (app.test_client(), owner.client):
        assert client.get("/till/pack", headers=header).status_code == 403
        assert client.get("/till/picture/1-0123.jpg", headers=header).status_code == 403
        answer = client.post("/till/entries", json={"entries": [a_sale(a_key(1), stall[0][0])]}, headers=header)
        assert answer.status_code == 403
    assert client.get(f"/till/pack?secret={stall[1]}").status_code == 403, "a secret is never taken from an address"


def test_entries_are_answered_for_by_their_keys(app, stall):
    rugs, secret = stall
    told = post(app, secret, a_sale(a_key(1), rugs[0]), a_sale(a_key(1), rugs[0]), a_sale(a_key(2), rugs[1], total=1)).get_json()
    assert [(one["key"], one["answer"]) for one in told["answers"]] == [(a_key(1), "taken"), (a_key(1), "had"), (a_key(2), "kept")]
    assert told["answers"][2]["why"] == ["Its sums do not add up."]


def test_a_name_that_is_no_text_is_kept_to_be_looked_at_and_the_rest_is_answered(app, stall):
    rugs, secret = stall
    answer = post(app, secret, a_sale(a_key(1), rugs[0], **{"\ud800x": 1}), a_sale(a_key(2), rugs[1]))
    assert answer.status_code == 200
    assert [one["answer"] for one in answer.get_json()["answers"]] == ["kept", "taken"]


@pytest.mark.parametrize(
    ("body", "status"),
    [(b"", 400), (b"{", 400), (b"[]", 400), (b'{"entries": 5}', 400), (b'{"entries": {}}', 400), (b'{"entries": []}', 200), (b"[" * 100_000, 400), (b"9" * 5000, 400)],
)
def test_what_cannot_be_read_is_refused_whole(app, stall, body, status):
    answer = app.test_client().post("/till/entries", data=body, headers=shown_by(stall[1]))
    assert answer.status_code == (status if body else 413)


def test_more_than_a_phone_can_have_to_say_is_refused(app, stall):
    _, secret = stall
    large = an_entry(a_key(1), "wish", {"words": "w" * 300_000})
    assert post(app, secret, large).status_code == 413
    assert post(app, secret, *(an_undo(a_key(place)) for place in range(51))).status_code == 422


def paper_of(visitor, key):
    """What stands on the paper of a receipt, in one line."""
    answer = visitor.get(f"/receipt/{key}/receipt.pdf")
    assert answer.status_code == 200
    pages = pypdf.PdfReader(io.BytesIO(answer.get_data())).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def test_a_receipt_opens_once_its_sale_is_here(app, stall, page_of):
    rugs, secret = stall
    stranger = Visitor(app)
    before = stranger.get(f"/receipt/{a_key(1)}")
    assert before.status_code == 404
    assert "try again in the evening" in page_of(before)
    post(app, secret, a_sale(a_key(1), rugs[0], given=5000, change=500))
    answer = stranger.get(f"/receipt/{a_key(1)}")
    html = page_of(answer)
    assert answer.status_code == 200
    for text in ("Receipt 1", "No. 1 Hall runner", "$45.00", "Sales tax 6% in it", "$2.55", "$5.00", "Paid: cash"):
        assert text in html
    assert answer.headers["X-Robots-Tag"] == "noindex, nofollow"
    assert answer.headers["Cache-Control"] == "no-store"
    said = paper_of(stranger, a_key(1))
    for text in ("Receipt 1", "Hall runner", "$45.00", "Sales tax 6% in it", "Paid: cash"):
        assert text in said
    assert "undone" not in said
    post(app, secret, an_undo(a_key(1)))
    assert "This sale was undone, and its money given back." in paper_of(stranger, a_key(1))
    assert "This sale was undone" in page_of(stranger.get(f"/receipt/{a_key(1)}"))
    assert "This sale was undone" in PdfReader(io.BytesIO(stranger.get(f"/receipt/{a_key(1)}/receipt.pdf").get_data())).pages[0].extract_text()
    assert stranger.get("/receipt/1").status_code == 404
    assert stranger.get(f"/receipt/{a_key(1)}-undo").status_code == 404


def test_a_receipt_goes_by_mail_once_where_letters_are_sent(sqlite_store, tmp_path, stall):
    rugs, secret = stall
    app = application(
        read_settings(
            {"THRIFTLOOM_SMTP_HOST": "127.0.0.1", "THRIFTLOOM_MAIL_FROM": "rugs@marshend.example"}, instance=tmp_path / "post"
        ),
        sqlite_store,
    )
    sale = a_sale(a_key(1), rugs[0], mail="asa@example.org")
    post(app, secret, sale, sale, a_sale(a_key(2), rugs[1], mail="no address"))
    post(app, secret, sale)
    (letter,) = outbox.letters(sqlite_store, about="sale.1", limit=5).letters
    assert letter.to == "asa@example.org"
    assert f"/receipt/{a_key(1)}" in letter.body
    assert "No. 1 Hall runner" in letter.body
    assert outbox.letters(sqlite_store, about="sale.2", limit=5).letters == ()


# --- the desk ---------------------------------------------------------------------------------


def desk(store):
    return till_desk.desk(store, fair=1)


def hidden(html, form):
    """The hidden fields of the form that goes to an address."""
    found = re.search(rf'<form[^>]*action="{re.escape(form)}".*?</form>', html, re.DOTALL)[0]
    return dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', found))


def press(owner, to, **typed):
    html = owner.get("/fairs/1/till").get_data(as_text=True)
    return owner.client.post(to, data={**hidden(html, to), **typed})


def test_the_desk_is_for_whoever_is_signed_in(app, stall):
    assert Visitor(app).get("/fairs/1/till").status_code == 303
    assert Visitor(app).client.post("/fairs/1/till/cash", data={}).status_code in (303, 400)


def test_a_fair_that_is_not_there_has_no_till(owner):
    assert owner.get("/fairs/7/till").status_code == 404


def test_a_phone_is_let_in_by_an_address_that_is_shown_once(app, owner, stall, page_of, sqlite_store):
    answer = press(owner, "/fairs/1/till/phones", **{"phone-name": "The helper’s"})
    html = page_of(answer)
    secret = re.search(r"/till#open=([\w-]{43})", html)[1]
    assert owner.client.get("/till/pack", headers=shown_by(secret)).status_code == 200
    assert "a phone cannot reach it" in html
    assert secret not in page_of(owner.get("/fairs/1/till"))
    phone = desk(sqlite_store).phones[-1]
    assert phone.name == "The helper’s"
    press(owner, "/fairs/1/till/phones/revoked", phone=str(phone.id))
    assert owner.client.get("/till/pack", headers=shown_by(secret)).status_code == 403


def test_a_phone_without_a_name_is_not_let_in(owner, stall, page_of, sqlite_store):
    answer = press(owner, "/fairs/1/till/phones", **{"phone-name": " "})
    assert answer.status_code == 422
    assert len(desk(sqlite_store).phones) == 1


def test_a_sale_is_typed_in_with_bargain_and_change(owner, stall, sqlite_store):
    typed = {"sale-rugs": "1, 2", "sale-together": "90", "sale-means": "cash", "sale-given": "100", "sale-mail": "", "sale-note": "for the hall"}
    assert press(owner, "/fairs/1/till/sales", **typed).status_code == 303
    (sale,) = desk(sqlite_store).sales
    assert (sale.total.minor, sale.bargain.minor, sale.tax.minor, sale.note) == (9000, 500, 509, "for the hall")
    assert [rug.price.minor for rug in sale.rugs] == [4263, 4737]
    answer = owner.get(f"/receipt/{sale.key}")
    assert answer.status_code == 200
    text = re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.get_data(as_text=True)))
    for told in ("$45.00", "$50.00", "Bargained off -$5.00", "Paid: cash $90.00"):
        assert told in text, told


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"sale-rugs": "77"}, "does not know"),
        ({"sale-rugs": ""}, "sale-rugs-wrong"),
        ({"sale-rugs": "one"}, "sale-rugs-wrong"),
        ({"sale-rugs": "1", "sale-together": "46"}, "lies between nothing and"),
        ({"sale-rugs": "1", "sale-given": "44.99"}, "$0.01 short"),
        ({"sale-rugs": "3"}, "sold already"),
        ({"sale-rugs": "1-51"}, "One sale has at most 50 rugs"),
        ({"sale-rugs": "1-301"}, "One sale has at most 50 rugs"),
        ({"sale-mail": "not a mail"}, "“not a mail” is no e-mail address"),
    ],
)
def test_a_sale_that_will_not_do_is_told_beside_its_field(app, owner, stall, sqlite_store, page_of, typed, said):
    rugs, secret = stall
    post(app, secret, a_sale(a_key(1), rugs[2]))
    given = {"sale-rugs": "1", "sale-together": "", "sale-means": "cash", "sale-given": "", "sale-mail": "", "sale-note": "kept", **typed}
    answer = press(owner, "/fairs/1/till/sales", **given)
    assert answer.status_code == 422
    html = page_of(answer)
    assert said in html
    assert 'value="kept"' in html
    assert len(desk(sqlite_store).sales) == 1


def test_the_same_press_sells_once(owner, stall, sqlite_store):
    html = owner.get("/fairs/1/till").get_data(as_text=True)
    form = {**hidden(html, "/fairs/1/till/sales"), "sale-rugs": "1", "sale-means": "card"}
    assert [owner.client.post("/fairs/1/till/sales", data=form).status_code for _ in range(2)] == [303, 303]
    assert len(desk(sqlite_store).sales) == 1


def test_a_rug_sold_twice_is_settled_by_saying_which_it_was(app, owner, stall, sqlite_store, page_of):
    rugs, secret = stall
    post(app, secret, a_sale(a_key(1), rugs[0]), a_sale(a_key(2), rugs[0]))
    assert "Sold twice" in page_of(owner.get("/fairs/1/till"))
    to = "/fairs/1/till/sales/2/another/0"
    assert press(owner, to, **{"another-rug": "77"}).status_code == 422
    assert press(owner, to, **{"another-rug": "1"}).status_code == 422
    assert press(owner, to, **{"another-rug": "3"}).status_code == 303
    html = page_of(owner.get("/fairs/1/till"))
    assert "Sold twice" not in html
    assert "the phone said No. 1" in html
    found = desk(sqlite_store)
    assert [sale.rugs[0].number for sale in found.sales] == [3, 1]
    assert owner.client.post(to, data={**hidden(html, "/fairs/1/till/sales"), "another-rug": "2"}).status_code in (409, 422)


def test_a_quote_for_a_wish_keeps_what_was_said_and_sees_to_it(app, owner, stall, sqlite_store, now, page_of):
    loom = a_kept_loom(sqlite_store, now)
    wish = {"name": "Asa", "contact": "", "words": "Like <the sea> in November", "width": "2 ft", "length": "40 in"}
    post(app, stall[1], an_entry(a_key(3), "wish", wish))
    page = owner.get("/quotes/new?wish=1").get_data(as_text=True)
    assert "Like &lt;the sea&gt; in November" in page
    assert 'action="/quotes/new?wish=1"' in page
    typed = {
        "title": "Sea", "customer_name": "Asa", "width": "2 ft", "length": "30 in", "size": "", "tool": "rotary", "way": "along",
        "joins": "overlap", "new_kind": "sheeting", "new_colour": "#7d8a99", "loom": str(loom.id),
    }  # fmt: skip
    assert "Like &lt;the sea" in owner.press("/quotes/new?wish=1", act="reckon", **typed).get_data(as_text=True)
    saved = owner.press("/quotes/new?wish=1", act="save", **typed)
    assert saved.status_code == 303
    assert "Like &lt;the sea&gt; in November" in owner.get(saved.headers["Location"]).get_data(as_text=True)
    assert desk(sqlite_store).wishes[0].done_at is not None
    other = owner.press("/quotes/new?wish=1", act="save", **typed)
    assert "Like &lt;the sea" not in owner.get(other.headers["Location"]).get_data(as_text=True)


def test_undo_cash_riddle_and_wish_at_the_desk(app, owner, stall, sqlite_store, page_of):
    rugs, secret = stall
    wish = {"name": "Asa", "contact": "asa@example.org", "words": "", "width": "2 ft", "length": "40 in"}
    post(app, secret, a_sale(a_key(1), rugs[0]), an_entry(a_key(2), "dance", {}), an_entry(a_key(3), "wish", wish))
    press(owner, "/fairs/1/till/sales/1/undone", why="brought back")
    press(owner, "/fairs/1/till/cash", **{"cash-what": "counted", "cash-amount": "99.50", "cash-note": ""})
    html = page_of(owner.get("/fairs/1/till"))
    assert "brought back" in html
    assert "$0.50 missing" in html
    riddle = desk(sqlite_store).riddles[0]
    assert "dance" in html
    press(owner, "/fairs/1/till/looked-at", entry=str(riddle.id))
    assert desk(sqlite_store).riddles == ()
    quote = page_of(owner.get("/quotes/new?wish=1"))
    assert 'value="Asa"' in quote
    assert 'value="2 ft"' in quote or 'value="24 in"' in quote
    press(owner, "/fairs/1/till/wishes/done", wish="1", quote="")
    assert desk(sqlite_store).wishes[0].done_at is not None


def test_who_bought_and_who_wished_is_forgotten_at_the_desk(app, owner, stall, page_of):
    rugs, secret = stall
    wish = {"name": "Otto", "contact": "otto@example.org", "words": "", "width": "2 ft", "length": ""}
    post(app, secret, a_sale(a_key(1), rugs[0], mail="asa@example.org"), an_entry(a_key(2), "wish", wish))
    html = page_of(owner.get("/fairs/1/till"))
    assert "asa@example.org" in html
    assert "Otto" in html
    assert html.count("Forget who it was") == 2
    assert press(owner, "/fairs/1/till/sales/1/forgotten").status_code == 303
    assert press(owner, "/fairs/1/till/wishes/forgotten", wish="1").status_code == 303
    html = page_of(owner.get("/fairs/1/till"))
    for word in ("asa@example.org", "Otto", "otto@", "Forget who it was"):
        assert word not in html, word
    assert "Sale 1" in html


def test_after_the_fair_is_over_the_desk_still_shows_what_comes(app, owner, stall, sqlite_store, page_of):
    rugs, secret = stall
    sent(sqlite_store, secret, a_sale(a_key(1), rugs[0]), now=datetime(2026, 3, 20, tzinfo=UTC))
    assert "Sale 1" in page_of(owner.get("/fairs/1/till"))
