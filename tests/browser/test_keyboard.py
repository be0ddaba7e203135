"""A quote made with Tab, Space and Enter alone; and nothing that has the focus is out of sight."""

import pytest
from playwright.sync_api import expect

from tests.browser import job
from tests.browser.watching import DESK, PHONE, open_all

MOST_TABS = 250
HELD = """() => {
  const held = document.activeElement;
  const label = held.labels && held.labels[0] ? held.labels[0].textContent : held.textContent;
  return {tag: held.tagName, id: held.id, name: held.name || '', said: label.replace(/\\s+/g, ' ').trim()};
}"""
# Whether some of what has the focus can be seen, and how: its outline, and that nothing lies over all of it.
SEEN = """() => {
  const held = document.activeElement, box = held.getBoundingClientRect(), how = getComputedStyle(held);
  const points = [[.5, .5], [.05, .5], [.95, .5], [.5, .1], [.5, .9]].map(([x, y]) =>
    document.elementFromPoint(box.left + x * box.width, box.top + y * box.height));
  const inSight = points.some((one) => one && (held.contains(one) || one.contains(held) || (held.labels && [...held.labels].some((l) => l.contains(one)))));
  return {inSight, marked: how.outlineStyle !== 'none' && parseFloat(how.outlineWidth) > 0};
}"""


def tab_to(page, wanted):
    """Press Tab until what is wanted has the focus."""
    for _ in range(MOST_TABS):
        page.keyboard.press("Tab")
        held = page.evaluate(HELD)
        if wanted(held):
            return held
    raise AssertionError("the focus never came there")


def test_a_quote_is_made_with_the_keyboard_alone(worked_on):
    with worked_on.visit() as page:
        page.goto("/")
        tab_to(page, lambda held: held["said"] == "A new quote")
        page.keyboard.press("Enter")
        page.wait_for_url("**/quotes/new")
        # The first stop skips the head of the page.
        page.keyboard.press("Tab")
        assert page.evaluate(HELD)["said"] == "Skip to the page"
        page.keyboard.press("Enter")
        tab_to(page, lambda held: held["name"] == "width")
        page.keyboard.type("2 ft")
        page.keyboard.press("Tab")
        page.keyboard.type("3 ft 1 1/2 in")
        tab_to(page, lambda held: held["said"].startswith("Indigo sheet"))
        page.keyboard.press("Space")
        page.keyboard.press("Tab")
        page.keyboard.type("2")
        tab_to(page, lambda held: held["said"].startswith("Undyed cotton sheet"))
        page.keyboard.press("Space")
        expect(page.locator("#comes-to h2").first).to_have_text("2 ft × 3 ft 1 1/2 in")
        expect(page.locator("#comes-to-more")).to_contain_text("Indigo sheet")
        tab_to(page, lambda held: held["name"] == "customer_name")
        page.keyboard.type("Tabitha Quoy")
        tab_to(page, lambda held: held["name"] == "title")
        page.keyboard.type("Two indigo to one undyed")
        tab_to(page, lambda held: held["said"] == "Save as a draft")
        page.keyboard.press("Enter")
        expect(page.get_by_text("is saved as a draft.")).to_be_visible()
        assert job.entry(page, "What the rug is called").input_value() == "Two indigo to one undyed"
        # A figure opens to its formula.
        tab_to(
            page, lambda held: held["said"].startswith("Warp ends") or held["said"].startswith("Warp passes")
        )
        page.keyboard.press("Enter")
        assert page.locator("#comes-to-more details[open] .formula").first.is_visible()


@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "telephone"])
@pytest.mark.parametrize("address", ["/", "/quotes/7", "/cloth/hauls/new", "/rates/", "/looms/2", "/shop"])
def test_what_has_the_focus_is_in_sight_and_marked(demo, size, address):
    with demo.visit(size=size, reduced_motion="reduce") as page:
        page.goto(address)
        open_all(page)
        unseen, first = [], None
        for _ in range(MOST_TABS):
            page.keyboard.press("Tab")
            held = page.evaluate(HELD)
            place = (held["tag"], held["id"], held["name"], held["said"])
            if held["tag"] == "BODY" or place == first:
                break
            first = first or place
            seen = page.evaluate(SEEN)
            if not (seen["inSight"] and seen["marked"]):
                unseen.append((place, seen))
        assert first is not None
        assert unseen == []
