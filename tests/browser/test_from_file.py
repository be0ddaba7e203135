"""Cloth brought home from a file at a browser: a file with slips of the hand, the mended one, and one that has grown."""

from playwright.sync_api import expect

from tests.browser.test_pages import look_over
from tests.browser.watching import PHONE

HEAD = "place,day,name,width,length,price,colour,fibre,washed,count,tax,yarn,weight,shelf"
ROWS = (
    'Ferry Lane jumble,2026-03-14,Blue striped sheet with a mended hem,81 in,96 in,4.00,blue,"cotton 60, polyester 40",yes,2,0.66,,,B',
    "Ferry Lane jumble,2026-03-14,Carpet warp,,,12,#efe6d2,cotton,,,,8/4,1 lb,B",
    "Quay market,2026-03-15,Moss curtain,54,84,5.50,green,linen,no,,,,,C",
)
SLIPS = (
    ROWS[0].replace("81 in", "wide").replace("blue", "plaid"),
    ROWS[1].replace("2026-03-14", "last Saturday"),
    "Quay market,2026-03-15,Moss curtain,54,84,5.50,green,linen,no,,,,,C,come apart",
)
GROWN = "Quay market,2026-03-15,Rust blanket,60,80,9,orange,wool,no,,,,,C"


def choose(page, *rows):
    """Choose a file of these rows, and have it looked over."""
    content = "\n".join((HEAD, *rows)).encode()
    page.goto("/cloth/hauls/from-file")
    page.get_by_label("A CSV file or an XLSX workbook").set_input_files(
        {"name": "cloth.csv", "mimeType": "text/csv", "buffer": content}
    )
    page.get_by_role("button", name="Look it over").click()


def test_a_file_is_mended_brought_home_and_known_again(worked_on, axe):
    wrong = []
    with worked_on.visit() as page:
        choose(page, *SLIPS)
        assert page.get_by_role("row").count() == 5
        wrong += look_over(page, axe, "file with slips")
        choose(page, *ROWS)
        wrong += look_over(page, axe, "file looked over")
        page.get_by_role("button", name="Bring 4 pieces home").click()
        expect(page.get_by_text("All of it is home.")).to_be_visible()
        expect(page.get_by_role("link", name="Quay market")).to_be_visible()
        choose(page, *ROWS)
        assert page.get_by_role("button", name="Bring").count() == 0
        wrong += look_over(page, axe, "file that is home")
        page.get_by_role("link", name="Quay market").click()
        expect(page.get_by_role("heading", level=1, name="Quay market")).to_be_visible()
        choose(page, *ROWS, GROWN)
        page.get_by_role("button", name="Bring 5 pieces home").click()
        wrong += look_over(page, axe, "file that has grown")
    assert wrong == []


def test_it_works_on_a_phone_without_javascript(worked_on):
    row = "Chapel fair,2026-04-01,Plum sheet,81,96,3,purple,cotton,yes,1,,,,A"
    with worked_on.visit(size=PHONE, java_script_enabled=False) as page:
        choose(page, row)
        page.get_by_role("button", name="Bring 1 piece home").click()
        expect(page.get_by_role("heading", level=1, name="Chapel fair")).to_be_visible()
        grown = (row, row.replace("Plum", "Rose"))
        choose(page, *grown)
        page.get_by_label("This is other cloth").check()
        page.get_by_role("button", name="Bring 2 pieces home").click()
        expect(page.get_by_role("heading", level=1, name="Chapel fair")).to_be_visible()
