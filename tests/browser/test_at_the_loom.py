"""Cloth from the bag into the rug, on a telephone: a haul in, labels out, draws in three taps, a mistake undone, the cost seen."""

import io
import re

import pypdf
import pytest
from playwright.sync_api import expect

from tests.browser.job import entry, press
from tests.browser.watching import PHONE, scrolls_sideways, shoot

PLACES = {
    "telephone": {"size": PHONE, "has_touch": True, "is_mobile": True},
    "without scripts": {"size": PHONE, "java_script_enabled": False},
}
NAME = "Gingham tablecloth"


def bring_it_home(page, name):
    """One cloth of 60 by 80 in for 6.00, washed and dried."""
    page.goto("/cloth/hauls/new")
    entry(page, "Where").fill("Church hall")
    first = page.locator("fieldset.piece-entry").first
    entry(first, "What it is").fill(name)
    entry(first, "Width").fill("60 in")
    entry(first, "Length").fill("80 in")
    entry(first, "Price of one").fill("6.00")
    first.get_by_label("Washed and dried already").check()
    press(page, "Bring it home")
    expect(page.get_by_text("The cloth is home.")).to_be_visible()
    row = page.locator("table.spread tbody tr")
    return int(re.search(r"No\. (\d+)", row.inner_text())[1])


def cost_of_the_job(page, address):
    page.goto(address)
    foot = page.locator("table tfoot td.num").first
    return foot.inner_text().strip() if foot.count() else "$0.00"


@pytest.mark.parametrize("place", PLACES)
def test_cloth_goes_from_the_bag_into_the_rug(worked_on, place):
    with worked_on.visit(**PLACES[place]) as page:
        name = f"{NAME}, {place}"
        number = bring_it_home(page, name)

        page.get_by_role("link", name="Print labels").click()
        label = page.request.get(f"/cloth/labels/labels.pdf?piece={number}")
        paper = pypdf.PdfReader(io.BytesIO(label.body()))
        assert str(number) in paper.pages[0].extract_text()

        page.goto("/jobs")
        entry(page, "What the rug is called").fill(f"Table mat, {place}")
        press(page, "Begin the job")
        job_address = page.url
        assert "No cloth is in it yet." in page.locator("main").inner_text()

        # Three taps: the label or the swatch opens the piece, how much, done.
        page.get_by_role("link", name="Draw cloth into it").click()
        page.locator("a.tile", has_text=name).click()
        expect(page.locator("button.tap", has_text="About half")).to_be_visible()
        shoot(page, f"loom {place} how much")
        assert scrolls_sideways(page) <= 0
        page.locator("button.tap", has_text="About half").click()
        expect(page.locator(".done")).to_contain_text("Drawn: 50%")
        expect(page.locator(".done")).to_contain_text("$3.00")
        shoot(page, f"loom {place} drawn")
        assert cost_of_the_job(page, job_address) == "$3.00"

        # A mistake: undone where it was made, and both entries stay.
        page.go_back()
        press(page, "Undo it")
        expect(page.get_by_text("Undone. Both entries stay in the record")).to_be_visible()
        assert cost_of_the_job(page, job_address) == "$0.00"
        expect(page.locator("main")).to_contain_text("Undone: Drawn")

        # In strips, looked at before it is done: 10 strips of 80 in, 2 in wide, are a third of 60 in.
        page.goto(f"/cloth/pieces/{number}/draw")
        page.get_by_text("In strips", exact=True).click()
        entry(page, "Strips").fill("10")
        entry(page, "Width of a strip").fill("2 in")
        page.locator("button[name=look][value=strips]").click()
        expect(page.locator("main")).to_contain_text("That would be:")
        expect(page.locator("main .note")).to_contain_text("33.3%")
        expect(page.locator("main .note")).to_contain_text("$2.00")
        page.locator("button[name=how][value=strips]").click()
        expect(page.locator(".done")).to_contain_text("$2.00")
        assert cost_of_the_job(page, job_address) == "$2.00"

        # More than there is: told beside the field, what was typed stays, nothing is drawn.
        page.goto(f"/cloth/pieces/{number}/draw")
        page.get_by_text("By area", exact=True).click()
        entry(page, "Area").fill("500")
        page.locator("button[name=how][value=area]").click()
        expect(page.locator("#area-wrong")).to_contain_text("is left")
        assert entry(page, "Area").input_value() == "500"
        assert cost_of_the_job(page, job_address) == "$2.00"

        # A quarter of it was left over: back to the shelf at its cost; then the rug is done.
        page.get_by_role("link", name=re.compile("Give back, waste")).first.click()
        page.locator("button.tap", has_text="A quarter").click()
        expect(page.get_by_text("Given back to the shelf.")).to_be_visible()
        assert cost_of_the_job(page, job_address) == "$1.50"
        press(page, "The rug is done")
        expect(page.locator("main")).to_contain_text("The cloth in the rug")
        page.goto(f"/cloth/pieces/{number}")
        expect(page.locator("main")).to_contain_text("What it went into")
        expect(page.locator("main")).to_contain_text("in the rug")
        assert scrolls_sideways(page) <= 0
