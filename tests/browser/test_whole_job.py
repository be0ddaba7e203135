"""The whole job, from an empty shop to a quote in hand: at a desk, on a telephone, and without scripts."""

import io

import pypdf
import pytest
from playwright.sync_api import expect

from tests.browser import job
from tests.browser.watching import DESK, PHONE, scrolls_sideways, shoot

PLACES = {
    "desk": {"size": DESK},
    "telephone": {"size": PHONE, "has_touch": True, "is_mobile": True},
    "without scripts": {"size": DESK, "java_script_enabled": False},
}


@pytest.mark.parametrize("place", PLACES)
def test_a_new_weaver_opens_a_shop_and_prints_a_quote(empty_shop, place):
    with empty_shop.visit(**PLACES[place]) as page:
        job.open_the_shop(page)
        job.enter_a_frame(page)
        job.set_the_rates(page)
        job.choose_a_price_rule(page)
        job.bring_cloth_home(page)
        job.begin_a_quote(page)
        before = job.price_asked(page)
        job.describe_the_rug(page)
        if place == "without scripts":
            job.press(page, "Reckon")
        expect(page.locator("#comes-to")).to_contain_text("20 pegs, 40 passes")
        expect(page.locator("#comes-to-more")).to_contain_text("Plum striped sheet")
        asked = job.price_asked(page)
        assert asked != before
        assert asked.endswith(("0.00", "5.00"))
        assert page.locator("#comes-to-bar").inner_text().count(asked) == 1
        shoot(page, f"job {place} reckoned")

        job.press(page, "Save as a draft")
        expect(page.get_by_text("Quote 1 is saved as a draft.")).to_be_visible()
        assert job.price_asked(page) == asked
        assert job.entry(page, "Who asked for it").input_value() == "Ravenna Tuck"
        assert page.get_by_label("Plum striped sheet").first.is_checked()
        assert scrolls_sideways(page) <= 0
        shoot(page, f"job {place} saved")

        papers = {}
        with page.expect_download() as download:
            page.get_by_role("link", name="Download it").click()
        papers["quote"] = download.value.path().read_bytes()
        sheet = page.get_by_role("link", name="Cost sheet, for the shop only (PDF)").get_attribute("href")
        papers["sheet"] = page.request.get(sheet).body()
        for name, paper in papers.items():
            assert paper.startswith(b"%PDF-"), name
            text = "\n".join(one.extract_text() for one in pypdf.PdfReader(io.BytesIO(paper)).pages)
            assert asked in text, name
            assert "Plum mat for the landing" in text, name
        assert download.value.suggested_filename == "quote-1.pdf"

        page.goto("/quotes/")
        page.get_by_label("Look for a customer, a rug or a number").fill("tuck land")
        job.press(page, "Look")
        expect(page.locator("main")).to_contain_text("Plum mat for the landing")
        page.get_by_role("link", name="Quote 1").click()
        assert job.price_asked(page) == asked


def test_figures_change_as_the_form_does_and_what_was_opened_stays_open(demo):
    with demo.visit() as page:
        page.goto("/quotes/4")
        assert page.get_by_role("radio", name="Big floor loom").is_checked()
        page.locator("#comes-to-more .more-name", has_text="All figures: Price").click()
        expect(page.locator("#comes-to")).to_contain_text("211 ends")
        job.entry(page, "Width").fill("30 in")
        expect(page.locator("#comes-to")).not_to_contain_text("211 ends")
        expect(page.locator("#comes-to h2").first).to_have_text("2 ft 6 in × 3 ft")
        assert page.locator("#comes-to-more details", has_text="All figures: Price").first.evaluate(
            "e => e.open"
        )
        # A rug wider than the loom is told beside it at once, and woven in panels.
        job.entry(page, "Width").fill("72 in")
        expect(page.locator("label.choice", has_text="Big floor loom")).to_contain_text("2 panels")
        # What cannot be read is told, and the figures come back once it is mended.
        job.entry(page, "Width").fill("wide")
        expect(page.locator("#comes-to")).to_contain_text("Mend what is marked")
        job.entry(page, "Width").fill("24 in")
        expect(page.locator("#comes-to")).to_contain_text("211 ends")


def test_a_customary_size_is_put_into_both_sides(demo):
    with demo.visit() as page:
        page.goto("/quotes/new")
        job.entry(page, "A customary size").select_option(label="2 ft × 3 ft")
        expect(page.locator("#comes-to h2").first).to_have_text("2 ft × 3 ft")
        assert job.entry(page, "Width").input_value() == "2 ft"


def test_the_page_prints_what_it_comes_to(demo):
    with demo.visit() as page:
        page.goto("/quotes/3")
        page.emulate_media(media="print")
        assert page.locator("#comes-to").is_visible()
        assert not page.locator("nav.rooms").is_visible()
        assert not page.get_by_role("button", name="Save the draft").is_visible()
        printed = page.pdf(format="Letter")
        text = "\n".join(one.extract_text() for one in pypdf.PdfReader(io.BytesIO(printed)).pages)
        assert job.price_asked(page) in text
