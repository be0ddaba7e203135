"""A piece is photographed in a browser: from its page and back, with what cannot be said beside the entry."""

import pytest

from tests.browser.test_pages import look_over
from tests.browser.watching import DESK, PHONE, shoot
from tests.usecases.a_photograph import cloth_on_a_table

PIECE = "/cloth/pieces/26"


def a_file(content, name="IMG_0001.JPG", kind="image/jpeg"):
    return {"name": name, "mimeType": kind, "buffer": content}


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_a_piece_is_photographed_and_takes_its_colour(worked_on, axe, size):
    with worked_on.visit(size=size) as page:
        page.goto(PIECE)
        page.locator("a[href$='/photograph']").click()
        page.wait_for_url("**/photograph")
        cloth = "#9fd0d0" if size == PHONE else "#dd7a2b"
        page.get_by_label("A photograph").set_input_files(a_file(cloth_on_a_table(cloth)))
        page.get_by_role("button", name="Put it up").click()
        page.get_by_role("button", name="Take this colour").wait_for()
        assert look_over(page, axe, f"photograph-{size[0]}") == []
        shown = page.locator("img.photograph")
        assert shown.evaluate("one => one.decode().then(() => one.naturalWidth)") == 400
        page.get_by_role("button", name="Take this colour").click()
        page.wait_for_url(f"**{PIECE}")
        page.locator(".thumbnail img").evaluate("one => one.decode()")
        assert look_over(page, axe, f"piece-photographed-{size[0]}") == []
        page.goto("/cloth")
        shoot(page, f"shelf-photographed-{size[0]}")


def test_what_is_no_photograph_is_told_to_everybody(worked_on, axe):
    with worked_on.visit(size=PHONE) as page:
        page.goto("/cloth/pieces/27/photograph")
        page.get_by_label("A photograph").set_input_files(a_file(b"a shopping list", "list.txt", "text/plain"))
        page.get_by_role("button", name="Put it up").click()
        page.locator("#photograph-wrong").wait_for()
        assert page.get_by_label("A photograph").get_attribute("aria-invalid") == "true"
        assert look_over(page, axe, "photograph-refused") == []
