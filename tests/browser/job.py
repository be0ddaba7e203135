"""The whole job as a new weaver does it, in the words that stand on the pages."""

import re

from playwright.sync_api import expect

NAME, PASSWORD = "hedda", "nine yards of linsey rags"


def entry(where, label):
    """A field by its label, whatever else the label says of it."""
    return where.get_by_label(re.compile(rf"^{re.escape(label)}( \(may be left empty\))?( starting guess)?$"))


def press(page, name):
    """Press a button of the page."""
    page.get_by_role("button", name=name, exact=True).first.click()


def next_step(page, name):
    """Go to the bench, and follow the step that it says comes next."""
    page.goto("/")
    step = page.locator(".steps .next")
    expect(step).to_contain_text(name)
    step.get_by_role("link", name=name).click()


def open_the_shop(page):
    page.goto("/")
    entry(page, "Name of the shop").fill("Hedda’s Rags")
    entry(page, "Your name for signing in").fill(NAME)
    entry(page, "Password").fill(PASSWORD)
    entry(page, "The same password again").fill(PASSWORD)
    press(page, "Open the shop")
    expect(page.get_by_text("The shop is open. Welcome.")).to_be_visible()


def enter_a_frame(page):
    next_step(page, "Enter a loom")
    page.locator("a[href$='/looms/new/frame']").first.click()
    entry(page, "What you call it").fill("Nail frame")
    entry(page, "Pegs on each end").fill("25")
    entry(page, "From one peg to the next").fill("1 in")
    entry(page, "From peg to peg, end to end").fill("37 1/2 in")
    press(page, "Keep this loom")
    expect(page.get_by_text("Nail frame is kept.")).to_be_visible()


def set_the_rates(page):
    next_step(page, "Say what an hour is worth")
    entry(page, "Wage wanted for an hour").fill("18")
    press(page, "Save")
    expect(page.get_by_text("Saved.")).to_be_visible()


def choose_a_price_rule(page):
    next_step(page, "Choose a rule for prices")
    entry(page, "Markup or margin").fill("40")
    entry(page, "Price steps").fill("5")
    press(page, "Save")
    expect(page.get_by_text("Saved.")).to_be_visible()


def bring_cloth_home(page):
    next_step(page, "Bring cloth home")
    entry(page, "Where").fill("Church stairs")
    piece = page.locator(".piece-entry").first
    entry(piece, "What it is").fill("Plum striped sheet")
    entry(piece, "Width").fill("6 ft 8 in")
    entry(piece, "Length").fill("96")
    entry(piece, "Price of one").fill("4.50")
    entry(piece, "How many alike").fill("2")
    press(page, "Bring it home")
    expect(page.locator("main")).to_contain_text("Plum striped sheet")


def begin_a_quote(page):
    next_step(page, "Reckon the first rug")
    expect(page.locator("#comes-to")).to_contain_text("25 pegs, 50 passes")


def describe_the_rug(page):
    entry(page, "Width").fill("20 in")
    page.get_by_label("Plum striped sheet").first.check()
    entry(page, "Who asked for it").fill("Ravenna Tuck")
    entry(page, "What the rug is called").fill("Plum mat for the landing")


def price_asked(page):
    return page.locator("#comes-to .asking").first.inner_text()
