"""The door under pressure: many attempts at once, cookies copied before signing out, broken addresses, sendings of too many fields."""

from threading import Barrier, Thread

import pytest

from tests.web.conftest import PASSWORD, Visitor


def test_attempts_made_at_once_are_all_counted(app, open_shop):
    open_shop()
    wrong = {"name": "astrid", "password": "not the one I have"}
    sent = [(one, {**one.hidden("/sign-in"), **wrong}) for one in (Visitor(app) for _ in range(8))]
    start, came = Barrier(len(sent)), []

    def attempt(one, form):
        start.wait()
        came.append(one.client.post("/sign-in", data=form).status_code)

    threads = [Thread(target=attempt, args=pair) for pair in sent]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(came) == [422] * 3 + [429] * 5


def test_right_attempts_do_not_use_up_the_others(app, open_shop):
    open_shop()
    for _ in range(5):
        assert Visitor(app).sign_in().status_code == 303
    for _ in range(3):
        assert Visitor(app).sign_in(password="not the one I have").status_code == 422
    assert Visitor(app).sign_in().status_code == 429


def test_whoever_tried_too_often_is_told_how_long_to_wait(visitor, open_shop, page_of):
    open_shop()
    for _ in range(3):
        visitor.sign_in(password="not the one I have")
    answer = visitor.sign_in()
    assert answer.status_code == 429
    assert "Wait 15 min and try again." in page_of(answer)
    assert 1 <= int(answer.headers["Retry-After"]) <= 15 * 60 + 1


def test_a_cookie_copied_before_signing_out_is_worth_nothing_after(app, owner):
    copied = owner.client.get_cookie("thriftloom").value
    thief = app.test_client()
    thief.set_cookie("thriftloom", copied)
    assert thief.get("/guide").status_code == 200
    owner.press("/sign-out", page="/guide")
    assert thief.get("/guide").location.startswith("/sign-in")
    thief.set_cookie("thriftloom", copied)
    assert thief.get("/guide").location.startswith("/sign-in")
    assert owner.sign_in().status_code == 303
    assert owner.get("/guide").status_code == 200


@pytest.mark.parametrize("wanted", ["//[x", "/[x", "http://[", "//%5B"])
def test_a_right_sign_in_with_a_broken_address_comes_in(visitor, open_shop, wanted):
    open_shop()
    form = {**visitor.hidden("/sign-in"), "name": "astrid", "password": PASSWORD}
    assert visitor.client.post("/sign-in", query_string={"next": wanted}, data=form).status_code == 303


@pytest.mark.parametrize(("fields", "status"), [(1900, 303), (2000, 413), (300_000, 413)])
def test_a_sending_of_too_many_fields_is_refused(owner, page_of, fields, status):
    hidden = owner.hidden("/rates/")
    body = "&".join([f"{name}={value}" for name, value in hidden.items()] + ["overhead=none"] + ["a="] * fields)
    answer = owner.client.post("/rates/", data=body, content_type="application/x-www-form-urlencoded")
    assert answer.status_code == status
    if status == 413:
        assert "larger than this page takes" in page_of(answer)


def test_a_shop_damaged_while_it_is_open_says_that_its_books_are_out_of_reach(app, owner, settings, page_of):
    app.extensions["thriftloom_store"].close()
    path = settings.instance.parent / "shop.sqlite3"
    for beside in settings.instance.parent.glob("shop.sqlite3-*"):
        beside.unlink()
    path.write_bytes(path.read_bytes()[:4096] + b"\x55" * 60_000)
    answer = owner.get("/guide")
    assert answer.status_code == 503
    assert "The database does not answer." in page_of(answer)
