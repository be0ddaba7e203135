"""From the plan to the loom, on a telephone: stripes, the cutting plan held, strips ticked, rows marked, will it reach."""

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


def bring_two_home(page, ends, middle):
    """Two sheets of 80 by 90 in, washed and dried, for 5.00 each; gives their numbers."""
    page.goto("/cloth/hauls/new")
    entry(page, "Where").fill("Church hall")
    for place, name in enumerate((ends, middle)):
        piece = page.locator("fieldset.piece-entry").nth(place)
        entry(piece, "What it is").fill(name)
        entry(piece, "Width").fill("80 in")
        entry(piece, "Length").fill("90 in")
        entry(piece, "Price of one").fill("5.00")
        piece.get_by_label("Washed and dried already").check()
    press(page, "Bring it home")
    expect(page.get_by_text("The cloth is home.")).to_be_visible()
    return [int(number) for number in re.findall(r"No\. (\d+)", page.locator("table.spread tbody").inner_text())]


def plan_stripes(page, ends, middle, title):
    """A rug of 20 by 30 in on the floor loom: ends of ten rows, a band row by row, the rest the middle; mirrored."""
    page.goto("/quotes/new")
    entry(page, "Width").fill("20 in")
    entry(page, "Length").fill("30 in")
    page.locator("label.choice", has_text="Big floor loom").locator("input").check()
    entry(page, "Width of a strip").fill("2 in")
    page.locator("#stripes > summary").click()
    lines = page.locator("fieldset.stripe-line")
    first, second, third = (lines.nth(place) for place in range(3))
    entry(first, "Cloth").select_option(str(ends))
    entry(first, "How much").fill("10")
    entry(first, "Measured as").select_option("rows")
    entry(second, "Cloth").select_option(str(middle))
    entry(second, "Row by row with").select_option(str(ends))
    entry(second, "How much").fill("3 in")
    entry(second, "Measured as").select_option("length")
    entry(third, "Cloth").select_option(str(middle))
    page.get_by_label("Mirrored").check()
    entry(page, "What the rug is called").fill(title)
    shoot(page, "plan stripes")
    assert scrolls_sideways(page) <= 0
    press(page, "Save as a draft")
    expect(page.get_by_text(re.compile(r"Quote \d+ is saved as a draft."))).to_be_visible()
    expect(page.locator("#comes-to svg.rug-drawing")).to_have_attribute("aria-label", re.compile("in 5 bands"))


@pytest.mark.parametrize("place", PLACES)
def test_stripes_become_strips_and_strips_become_rows(worked_on, place):
    with worked_on.visit(**PLACES[place]) as page:
        ends, middle = bring_two_home(page, f"Slate sheet, {place}", f"Butter sheet, {place}")
        title = f"Mirror rug, {place}"
        plan_stripes(page, ends, middle, title)

        # The job, and its cutting plan: looked at, then held.
        press(page, "Begin the job")
        expect(page.get_by_role("heading", name=title)).to_be_visible()
        job = page.url
        page.get_by_role("link", name="Cutting plan").click()
        expect(page.locator("main")).to_contain_text("No better plan is possible.")
        shoot(page, f"plan {place}")
        assert scrolls_sideways(page) <= 0
        press(page, "Hold this cloth for the job")
        expect(page.get_by_text("Held for the job: strips of 2 pieces.")).to_be_visible()
        page.goto(f"/cloth/pieces/{ends}")
        expect(page.locator("main")).to_contain_text("held for")

        # The card: three strips ticked, one of them by mistake.
        page.goto(f"{job}/card")
        first = page.locator(".cut-line").first
        first.get_by_text("Tick strip by strip").click()
        first.locator(".tick").nth(2).click()
        expect(page.locator(".cut-line").first).to_contain_text("3 of")
        first.locator(".tick").nth(2).click()
        expect(page.locator(".cut-line").first).to_contain_text("2 of")
        shoot(page, f"card {place}")
        assert scrolls_sideways(page) <= 0

        # What was really cut goes into the job: all that is planned of the one, and of the other.
        for _ in range(2):
            line = page.locator(".cut-line", has=page.get_by_role("button", name="Into the job")).first
            strips = int(re.search(r"of (\d+) cut", line.inner_text())[1])
            entry(line, "Strips really cut").fill(str(strips))
            line.get_by_role("button", name="Into the job").click()
            expect(page.get_by_text("Drawn into the job: what was really cut.")).to_be_visible()
        expect(page.locator("main")).to_contain_text("Everything that was planned is cut and in the job.")

        # Rows at the loom: one by one, a band at once, one back, and typed.
        expect(page.locator("#at")).to_contain_text("10 rows of Slate sheet")
        for step, row in (("+1 row", 1), ("+5 rows", 6), ("Band done", 10), ("One row back", 9)):
            press(page, step)
            expect(page.locator("#at-told")).to_contain_text(f"Row {row} of")
        expect(page.locator("#at")).to_contain_text("1 row of Slate sheet")
        entry(page, "I am at row").fill("99999")
        press(page, "Mark it")
        expect(page.locator("#rows-wrong")).to_contain_text("rows; write a number")
        whole = int(re.search(r"Row 9 of (\d+)", page.locator("#at-told").inner_text())[1])
        entry(page, "I am at row").fill(str(whole * 8 // 10))
        press(page, "Mark it")
        expect(page.locator("#at-told")).to_contain_text(f"Row {whole * 8 // 10} of {whole}")

        # Half way up and further, with hardly any of one cloth left: it will not reach.
        page.get_by_role("link", name="Will it reach?").click()
        entry(page, "Strip left, its length").nth(1).fill("1 yd")
        press(page, "Will it reach?")
        expect(page.locator(".verdict.short")).to_contain_text("It will not reach.")
        expect(page.locator(".verdict.short")).to_contain_text("leave out")
        shoot(page, f"reach {place}")
        assert scrolls_sideways(page) <= 0

        card = page.request.get(f"{job}/card.pdf")
        text = "\n".join(one.extract_text() for one in pypdf.PdfReader(io.BytesIO(card.body())).pages)
        assert title in text
        assert f"No. {ends}" in text
