"""A button pressed twice, and a form filled in wrongly: one act, or none, and nothing typed is lost."""

import pytest
from playwright.sync_api import expect

from tests.browser import job
from tests.browser.addresses import pages_of
from tests.browser.test_pages import SHARES, look_over

TYPED = "input:is([type=text], [type=search], [type=email], [type=password], :not([type])):visible, textarea:visible"


def quotes_of(page, words):
    page.goto(f"/quotes/?find={words}")
    return page.locator("tbody tr").count()


def test_a_double_click_on_save_saves_once(worked_on):
    with worked_on.visit() as page:
        page.goto("/quotes/new")
        job.entry(page, "Who asked for it").fill("Doubleday Frisk")
        page.get_by_role("button", name="Save as a draft").dblclick()
        expect(page.get_by_text("is saved as a draft.")).to_be_visible()
        assert quotes_of(page, "frisk") == 1


def test_the_same_form_sent_twice_at_once_saves_once(worked_on):
    with worked_on.visit() as page:
        page.goto("/quotes/new")
        job.entry(page, "Who asked for it").fill("Echo Lintner")
        addresses = page.evaluate(
            """async () => {
              const form = document.getElementById('quote-form');
              const sent = new FormData(form);
              sent.set('act', 'save');
              const one = () => fetch(form.action, {method: 'POST', body: sent}).then((answer) => answer.url);
              return await Promise.all([one(), one(), one()]);
            }"""
        )
        assert len(set(addresses)) == 1
        assert quotes_of(page, "echo") == 1


def test_a_quote_saved_in_another_window_meanwhile_is_not_lost(worked_on):
    with worked_on.visit() as page, worked_on.visit() as other:
        for window in (page, other):
            window.goto("/quotes/9")
        job.entry(other, "What the rug is called").fill("Hers, first")
        job.press(other, "Save the draft")
        expect(other.get_by_text("Quote 9 is saved as a draft.")).to_be_visible()
        job.entry(page, "What the rug is called").fill("His, too late")
        job.press(page, "Save the draft")
        expect(page.locator("#mistakes")).to_be_visible()
        assert job.entry(page, "What the rug is called").input_value() == "His, too late"
        other.goto("/quotes/9")
        assert job.entry(other, "What the rug is called").input_value() == "Hers, first"


def wrong_for(kind):
    """What no field of its kind takes: too much text, a short password, no number of anything."""
    if kind == "password":
        return "too short"
    return "é" * 3000 if kind == "text" else "12 parsecs <b>✂"


def fill_in_wrongly(form):
    """Fill every field of a form with what it cannot take; gives what was typed, by name."""
    typed = {}
    for field in form.locator(TYPED).all():
        held = field.evaluate("e => (e.closest('.field')?.className.match(/of-(\\w+)/) || [])[1] || 'number'")
        kind = "password" if field.get_attribute("type") == "password" else held
        field.fill(wrong_for(kind))
        if kind != "password":
            typed[field.get_attribute("name")] = wrong_for(kind)
    return typed


CHOSEN = """form => Object.fromEntries([...form.elements]
  .filter((one) => one.name && (one.tagName === 'SELECT' || ['radio', 'checkbox'].includes(one.type)))
  .map((one) => [one.name + ' ' + (one.type === 'select-one' ? '' : one.value),
    one.tagName === 'SELECT' ? one.value : one.checked]))"""


def choose_last(form):
    """Choose the last of everything there is to choose from; gives what is chosen then."""
    form.evaluate(
        """form => {
          for (const one of form.elements) {
            if (one.tagName === 'SELECT') one.selectedIndex = one.options.length - 1;
            if (['radio', 'checkbox'].includes(one.type)) one.checked = true;
          }
        }"""
    )
    return form.evaluate(CHOSEN)


def forms_that_ask(page):
    """The forms of a page in which something is typed and sent."""
    return [form for form in page.locator("main form[method=post]").all() if form.locator(TYPED).count()]


@pytest.mark.parametrize("share", range(SHARES))
def test_a_form_filled_in_wrongly_keeps_what_was_typed_and_changes_nothing(worked_on, axe, share):
    looked_at, wrong, before = 0, [], worked_on.everything()
    with worked_on.visit() as page:
        for address in pages_of(worked_on.app, one_of_each=True)[share::SHARES]:
            page.goto(address)
            for place in range(len(forms_that_ask(page))):
                form = forms_that_ask(page)[place]
                looked_at += 1
                first = form.locator(TYPED).first.get_attribute("name")
                page.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")
                typed, chosen = fill_in_wrongly(form), choose_last(form)
                main_one = form.locator("button[type=submit]:not(.quiet, .tap)")  # a tap says how much by itself
                with page.expect_navigation() as sent:
                    (main_one if main_one.count() else form.locator("button[type=submit]")).first.click()
                assert sent.value.status == 422, (address, sent.value.status)
                expect(page.get_by_role("heading", level=1)).to_be_visible()
                if typed:
                    kept = {name: page.locator(f"[name='{name}']").first.input_value() for name in typed}
                    assert kept == typed, address
                again = page.locator("main form", has=page.locator(f"[name='{first}']:not([type=hidden])"))
                assert again.evaluate(CHOSEN) == chosen, address
                assert page.locator("#mistakes a").count() >= min(len(typed), 1), address
                wrong += look_over(page, axe, f"{address} refused", looked_at=(320,))
                page.goto(address)
    assert wrong == []
    assert looked_at
    assert worked_on.everything() == before


@pytest.mark.parametrize(
    "width", ["0", "-3 ft", "1e400", "a million pegs", "2 ft 6 lb", "9" * 10_000, "\U0001f9f6"]
)
def test_a_size_that_cannot_be_is_told_beside_it(worked_on, width):
    with worked_on.visit(java_script_enabled=False) as page:
        page.goto("/quotes/new")
        job.entry(page, "Width").fill(width)
        job.press(page, "Save as a draft")
        expect(page.locator("#mistakes")).to_be_visible()
        held = job.entry(page, "Width")
        assert held.input_value() == width
        assert held.get_attribute("aria-invalid") == "true"
        assert page.locator(f"#{held.get_attribute('id')}-wrong").inner_text().strip()
