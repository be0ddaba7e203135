"""A finished rug in a browser on a phone: from its job to the shelf, priced, photographed, tagged, sent out, sold and brought back."""

import io

from PIL import Image

from tests.browser.test_pages import look_over
from tests.browser.watching import PHONE


def test_a_rug_from_its_job_to_its_buyer(worked_on, axe):
    with worked_on.visit(size=PHONE) as page:
        page.goto("/rugs/14")
        page.get_by_text("It is not for sale after all").click()
        page.get_by_role("button", name="Make it its job’s rug again").click()
        page.wait_for_url("**/jobs/4")
        page.get_by_role("link", name="Make it a rug for sale").click()
        page.wait_for_url("**/jobs/4/rug")
        page.get_by_role("button", name="Make it a rug for sale").click()
        page.locator("#mistakes").wait_for()
        assert look_over(page, axe, "rug not measured") == []
        page.get_by_label("Width").fill("18")
        page.get_by_label("Length").fill("29 in")
        page.get_by_role("button", name="Make it a rug for sale").click()
        page.wait_for_url("**/rugs/15")
        page.get_by_role("button", name="Take the rule’s price").click()
        page.locator(".asking").wait_for()

        picture = io.BytesIO()
        Image.effect_noise((900, 1200), 60).convert("RGB").save(picture, "JPEG")
        page.get_by_role("link", name="Photograph", exact=True).click()
        page.get_by_label("A photograph").set_input_files(
            {"name": "IMG_1.JPG", "mimeType": "image/jpeg", "buffer": picture.getvalue()}
        )
        page.get_by_role("button", name="Put it up").click()
        page.wait_for_url("**/rugs/15")
        assert page.locator("img.photograph").evaluate("one => one.decode().then(() => one.naturalWidth)") == 900
        assert look_over(page, axe, "rug photographed") == []

        page.get_by_role("link", name="Tag", exact=True).click()
        page.wait_for_url("**/rugs/papers?rug=15")
        made = page.context.request.get("/rugs/papers/tags.pdf?numbers=15&size=small")
        assert made.body().startswith(b"%PDF")

        page.goto("/rugs/15")
        page.get_by_label("Outlet").select_option(label="The Mill Shop")
        page.get_by_role("button", name="Send it there").click()
        page.get_by_role("link", name="The outlet sold it").click()
        page.get_by_role("button", name="It is sold").click()
        page.wait_for_url("**/rugs/15")
        page.get_by_text("The outlet keeps").wait_for()
        page.get_by_text("It was a mistake, or came back").click()
        page.get_by_label("Why").fill("It was the other blue one")
        page.get_by_role("button", name="Undo the sale").click()
        page.locator(".notice").wait_for()
        page.get_by_role("button", name="It is home again").click()
        page.get_by_role("link", name="Sell it from home").wait_for()
        assert look_over(page, axe, "rug with a story") == []


def test_rugs_ticked_in_the_list_go_on_paper_and_to_an_outlet(worked_on, axe):
    with worked_on.visit(size=PHONE) as page:
        page.goto("/rugs")
        for number in (1, 7):
            page.get_by_label(f"Print for No. {number}", exact=True).check()
        page.get_by_role("button", name="Tags and lists for those ticked").click()
        assert page.get_by_label("Numbers of the rugs").input_value() == "7, 1"
        page.get_by_label("Numbers of the rugs").fill("7 and 1")
        page.get_by_role("button", name="Tags (PDF)").click()
        page.locator("#mistakes").wait_for()
        assert look_over(page, axe, "tags refused") == []
        page.goto("/rugs/outlets/2")
        page.locator("form[action$='/send']").get_by_label("Blue ladder").check()
        page.get_by_role("button", name="Send those ticked").click()
        page.get_by_text("It has 2 rugs").wait_for()
        page.locator("form[action$='/back']").get_by_label("Blue ladder").check()
        page.get_by_role("button", name="Those ticked are home again").click()
        page.get_by_text("It has 1 rug").wait_for()
