"""Labels in a browser: from a haul to the PDF, and a form that was filled in wrongly."""

from tests.browser.test_pages import look_over
from tests.browser.watching import PHONE


def test_from_a_haul_to_its_labels(demo, axe):
    with demo.visit() as page:
        page.goto("/cloth/hauls/2")
        page.get_by_role("link", name="Print labels").click()
        page.wait_for_url("**/cloth/labels?haul=2")
        page.get_by_label("Begin at label No.").fill("5")
        page.get_by_role("button", name="Show the sheet").click()
        page.wait_for_url("**begin=5**")
        page.get_by_role("img", name="The first sheet").wait_for()
        assert look_over(page, axe, "labels of a haul") == []
        asked = page.url.replace("/cloth/labels?", "/cloth/labels/labels.pdf?")
        made = page.context.request.get(asked)
        assert made.headers["content-type"] == "application/pdf"
        assert made.body().startswith(b"%PDF")


def test_labels_asked_for_wrongly_can_be_read_by_everybody(demo, axe):
    with demo.visit(size=PHONE) as page:
        page.goto("/cloth/labels")
        page.get_by_label("Numbers of the pieces").fill("3-x")
        page.get_by_label("Begin at label No.").fill("99")
        page.get_by_role("button", name="Print the labels").click()
        page.locator("#mistakes").wait_for()
        assert page.get_by_label("Numbers of the pieces").input_value() == "3-x"
        assert look_over(page, axe, "labels refused") == []
