"""A phone at the loom: a note, photographs of which one is chosen, and the rug measured; read by everybody on the way."""

import pytest

from tests.browser.test_pages import look_over
from tests.browser.test_photograph import a_file
from tests.browser.watching import DESK, PHONE
from tests.usecases.a_photograph import a_photograph

JOB = "/jobs/3"


def put_up(page, size, words):
    page.get_by_label("A photograph").set_input_files(a_file(a_photograph(size)))
    page.get_by_label("A few words about it").fill(words)
    page.get_by_role("button", name="Put it up").click()
    page.get_by_role("img", name=words).wait_for()


@pytest.mark.parametrize(("size", "wide"), [(PHONE, 600), (DESK, 640)], ids=["phone", "desk"])
def test_a_job_is_remembered_at_the_loom(worked_on, axe, size, wide):
    wrong = []
    with worked_on.visit(size=size) as page:
        page.goto(JOB)
        page.get_by_label("A note").fill("Beat it harder at the hem.\nTwo rows more.")
        page.get_by_role("button", name="Note it").click()
        page.wait_for_url(f"**{JOB}#notes")
        assert "Two rows more." in page.locator(".notes").inner_text()
        page.locator(f"a[href='{JOB}/photographs']").click()
        put_up(page, (wide, 400), f"On the loom {wide}")
        put_up(page, (wide, 410), f"Off the loom {wide}")
        wrong += look_over(page, axe, f"job photographs {size[0]}")
        page.get_by_role("img", name=f"Off the loom {wide}").click()
        shown = page.locator("img.photograph")
        assert shown.evaluate("one => one.decode().then(() => one.naturalWidth)") == wide
        page.get_by_role("button", name="Let it stand for the rug").click()
        page.get_by_text("This photograph stands for the rug now.").wait_for()
        wrong += look_over(page, axe, f"job photograph {size[0]}")
        page.goto(f"{JOB}/measures")
        page.get_by_label("Width").fill("much")
        page.get_by_role("button", name="Write it down").click()
        page.locator("#mistakes").wait_for()
        assert page.get_by_label("Width").input_value() == "much"
        wrong += look_over(page, axe, f"measured badly {size[0]}")
        page.get_by_label("Width").fill("23 1/2 in")
        page.get_by_label("Length").fill("35 in")
        page.get_by_label("Weight").fill("1 lb 14 oz")
        page.get_by_role("button", name="Write it down").click()
        page.get_by_text("Written down.").wait_for()
        page.goto(JOB)
        wrong += look_over(page, axe, f"job remembered {size[0]}")
        assert "2.1% less" in page.locator("section", has=page.locator("#measures")).inner_text()
    assert wrong == []
