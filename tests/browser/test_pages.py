"""Every page, as somebody with a narrow window, strong glasses or a screen reader meets it."""

import os

import pytest

from tests.browser.addresses import WRONG, pages_of
from tests.browser.watching import PHONE, open_all, resize, scrolls_sideways, shoot, widest_things

# 1280 px at 200 % are 640 CSS px; 320 is what reflow is asked for.
NARROW = (640, 360, 320)
# The pages are looked at in so many tests, which may run side by side.
SHARES = 4


def look_over(page, axe, name, *, widths=(1280, *NARROW), looked_at=(1280, 320)):
    """Look over an open page at every width, and as a screen reader at some; gives what is wrong with it."""
    wrong = []
    shoot(page, f"{name} {page.viewport_size['width']}")
    open_all(page)
    for width in widths:
        resize(page, width)
        if scrolls_sideways(page) > 0:
            wrong.append(f"{name} at {width}: sideways, {widest_things(page)}")
        if width in looked_at:
            wrong += [f"{name} at {width}: {fault}" for fault in axe(page)]
    if os.environ.get("THRIFTLOOM_SHOTS"):
        resize(page, 360)
        shoot(page, f"{name} 360")
    resize(page, widths[0])
    return wrong


@pytest.mark.parametrize("share", range(SHARES))
def test_every_page_fits_and_can_be_read_by_everybody(demo, axe, share):
    wrong = []
    with demo.visit() as page:
        for address in pages_of(demo.app)[share::SHARES]:
            assert page.goto(address).status == 200, address
            wrong += look_over(page, axe, address)
    assert wrong == []


@pytest.mark.parametrize("address", WRONG)
def test_a_page_that_is_not_there_says_so_and_can_be_read_by_everybody(demo, axe, address):
    with demo.visit() as page:
        assert page.goto(address).status == 404
        assert page.get_by_role("heading", level=1).inner_text()
        assert look_over(page, axe, address) == []


def test_a_form_that_is_not_ours_or_not_for_that_is_answered_with_a_page(demo, axe):
    with demo.visit() as page:
        assert page.goto("/quotes/reckon").status == 405
        assert look_over(page, axe, "not for that") == []
        page.goto("/shop")
        page.evaluate(
            "for (const one of document.querySelectorAll('[name=csrf_token]')) one.value = 'forged'"
        )
        with page.expect_navigation() as sent:
            page.locator("main form button[type=submit]").first.click()
        assert sent.value.status == 400
        assert look_over(page, axe, "forged") == []


def test_the_door_can_be_read_by_everybody(demo, axe):
    with demo.visit(storage_state=None) as page:
        assert page.goto("/quotes/").status == 200
        assert page.url.endswith("/sign-in?next=/quotes/")
        assert look_over(page, axe, "sign-in") == []
        page.get_by_label("Name").fill("nobody")
        page.get_by_label("Password").fill("nothing at all, really")
        page.get_by_role("button", name="Sign in").click()
        page.locator("#mistakes").wait_for()
        assert page.get_by_label("Name").input_value() == "nobody"
        assert look_over(page, axe, "sign-in refused") == []


def test_the_first_start_and_an_empty_shop_can_be_read_by_everybody(empty_shop, axe):
    wrong = []
    with empty_shop.visit(size=PHONE) as page:
        page.goto("/")
        assert page.url.endswith("/first-start")
        wrong += look_over(page, axe, "first-start")
        page.get_by_role("button").last.click()
        page.locator("#mistakes").wait_for()
        wrong += look_over(page, axe, "first-start refused")
    assert wrong == []
