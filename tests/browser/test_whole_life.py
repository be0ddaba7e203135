"""The whole life of an order: quote, offer, yes on a telephone, deposit, cutting, clock, rows, handed over, compared."""

import io
import re

import pypdf
from playwright.sync_api import expect

from tests.browser.job import entry, press
from tests.browser.test_pages import look_over
from tests.browser.watching import PHONE, scrolls_sideways, shoot

QUOTE = 1
WORD = "Could it be ready before the feast?"


def offer_it(page, ready):
    """Offer the sand bath mat for a day; gives the private link."""
    page.goto(f"/quotes/{QUOTE}")
    page.get_by_role("link", name="Offer it").click()
    entry(page, "Name").fill("Oswin Tarrow")
    entry(page, "E-mail").fill("oswin@tarrow.example")
    entry(page, "The rug is ready by").fill(ready)
    press(page, "Offer it")
    expect(page.get_by_text("It is offered. Send the link, or the paper.")).to_be_visible()
    return page.locator("#link").input_value()


def answer_it(shop, link, axe):
    """The customer, on a telephone of their own: asks, then says yes."""
    wrong = []
    with shop.visit(storage_state=None, size=PHONE, has_touch=True, is_mobile=True) as page:
        page.goto(link)
        expect(page.get_by_role("heading", level=1)).to_contain_text("Sand bath mat")
        assert "wage" not in page.content().lower()
        wrong += look_over(page, axe, "the customer's page", widths=(360, 320), looked_at=(360,))
        entry(page, "Your question").fill(WORD)
        press(page, "Send the question")
        expect(page.get_by_text("Your question is with the weaver.")).to_be_visible()
        press(page, "I accept")
        expect(page.locator(".mistakes")).to_be_visible()
        entry(page, "Your name").fill("Oswin Tarrow")
        press(page, "I accept")
        expect(page.get_by_text("This offer is accepted.")).to_be_visible()
        shoot(page, "life accepted")
        page.reload()
        assert scrolls_sideways(page) <= 0
    return wrong


def test_an_order_lives_from_the_quote_to_the_comparison(worked_on, axe):
    with worked_on.visit(size=PHONE) as page:
        offer_it(page, "2099-04-01")
        link = offer_it(page, "2099-05-01")
        wrong = look_over(page, axe, "an offer")
        page.get_by_role("link", name="Side by side, with what changed").click()
        expect(page.get_by_role("img", name=re.compile("^Offer [12]: a rug"))).to_have_count(2)
        expect(page.locator("main")).to_contain_text("30 days later")
        wrong += look_over(page, axe, "offers side by side")
        page.go_back()
        wrong += answer_it(worked_on, link, axe)
        page.reload()
        expect(page.locator("main")).to_contain_text(WORD)
        expect(page.locator("main")).to_contain_text("accepted")
        page.get_by_role("link", name="Oswin Tarrow").click()
        wrong += look_over(page, axe, "a customer")
        page.go_back()
        page.get_by_role("link", name=re.compile(r"Job No\. \d+")).click()
        expect(page.get_by_role("heading", level=1)).to_contain_text("Sand bath mat")
        job = page.url

        # The deposit is asked for, and the request sent by hand; it comes, with a receipt; a slip of the hand is struck out.
        page.goto(f"{job}/money")
        press(page, "Write a request")
        expect(page.locator("#requests ~ ul")).to_contain_text("outstanding")
        press(page, "I have sent it")
        expect(page.get_by_text("Noted that it was sent today.")).to_be_visible()
        entry(page, "Amount").first.fill("40.00")
        press(page, "Write it down")
        expect(page.locator("main")).to_contain_text("$40.00")
        page.get_by_role("button", name="Write a receipt: $40.00").click()
        expect(page.get_by_text("The paper is written.")).to_be_visible()
        entry(page, "Amount").first.fill("4.00")
        press(page, "Write it down")
        page.get_by_role("button", name="Strike out: Paid, $4.00").click()
        expect(page.get_by_text("Struck out. It stays in the record.")).to_be_visible()
        wrong += look_over(page, axe, "money")

        # The clock runs while cloth is drawn; then minutes are typed for the rest.
        page.goto(f"{job}/time")
        press(page, "Cut or tear")
        expect(page.locator("#clock")).to_contain_text("Cut or tear")
        page.goto(f"{job}/time")
        press(page, "Stop")
        expect(page.get_by_text("The clock is stopped.")).to_be_visible()
        entry(page, "Step").select_option("weave")
        entry(page, "Minutes").fill("150")
        press(page, "Write it down")
        expect(page.locator("main")).to_contain_text("2 h 30 min")
        wrong += look_over(page, axe, "time")

        # A piece goes in, the rug is done, its label tells what is in it, and it is handed over.
        page.goto("/cloth/pieces/2/draw")
        page.locator("button.tap", has_text="A quarter").click()
        expect(page.locator(".done")).to_contain_text("Drawn")
        page.goto(job)
        press(page, "The rug is done")
        label = page.request.get(f"{job}/label.pdf")
        text = pypdf.PdfReader(io.BytesIO(label.body())).pages[0].extract_text()
        assert "% " in text
        assert "check them locally" in text
        page.goto(f"{job}/money")
        page.get_by_text("Write the invoice before the rug is handed over").click()
        press(page, "Write the invoice")
        expect(page.get_by_role("link", name=re.compile(r"Invoice \d+"))).to_be_visible()
        press(page, "Hand it over for that")
        expect(page.locator(".notice", has_text="The rug is handed over.")).to_be_visible()
        expect(page.locator("main")).to_contain_text("Still to pay")
        page.goto(f"{job}/compare")
        expect(page.locator("main")).to_contain_text("An hour earned")
        wrong += look_over(page, axe, "quoted and real")
        assert wrong == []
