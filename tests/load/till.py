"""The till on a slow phone: what goes over the wire, the first paint, and how long a sale takes after the tap.

Chromium's own throttling makes the processor four times slower. The till is timed beside a bare page of as many bytes, and a sale
beside the bare keeping of one entry in the phone's database, in the same run.
"""


from __future__ import annotations

import gzip
import tempfile
from datetime import UTC, datetime
from pathlib import Path
from statistics import median, quantiles

from playwright.sync_api import sync_playwright

from seed_demo import story
from shop.store.engine import Store
from shop.store.migrate import migrate
from shop.store.till_list import rugs_by_id
from shop.web.till import files_kept
from tests.a_fair import a_fair, a_phone, some_rugs
from tests.browser.conftest import CHROMIUM, QUIET
from tests.browser.serving import served

SLOWER, RUGS = 4, 200
PAINT = """() => {
  const paint = performance.getEntriesByName('first-contentful-paint')[0];
  const ready = performance.getEntriesByName('till-ready')[0];
  return [paint ? paint.startTime : 0, ready ? ready.startTime : 0];
}"""
BARE = """() => new Promise((done) => {
  const begun = performance.now();
  const asked = indexedDB.open('bare', 1);
  asked.onupgradeneeded = () => asked.result.createObjectStore('entries', { keyPath: 'key' });
  asked.onsuccess = () => {
    const work = asked.result.transaction(['entries'], 'readwrite', { durability: 'strict' });
    work.objectStore('entries').put({ key: String(begun) });
    work.oncomplete = () => { asked.result.close(); done(performance.now() - begun); };
  };
})"""


def run(*, turns: int, rows: int) -> None:
    """Measure it, and print it."""
    sales = max(10, turns // 4)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        database = folder / "shop.sqlite3"
        migrate(f"sqlite:///{database}")
        store, now = Store(f"sqlite:///{database}"), datetime.now(UTC)
        story.build(store, now)
        fair = a_fair(store, now)
        ids = some_rugs(store, now, fair, RUGS)
        with store.reading() as session:
            numbers = sorted(rug.number for rug in rugs_by_id(session, ids).values())[:sales]
        secret = a_phone(store, now, fair)
        store.close()
        with served(database, folder / "instance") as (address, app), sync_playwright() as playwright:
            _weigh(app, secret)
            browser = playwright.chromium.launch(executable_path=CHROMIUM, args=list(QUIET))
            _time(browser, address, secret, numbers)
            browser.close()


def _weigh(app, secret: str) -> None:
    client = app.test_client()
    with app.test_request_context():
        kept = [*files_kept(), "/till/worker.js"]
    parts = [client.get(address, buffered=True).get_data() for address in kept]
    pack = client.get("/till/pack", headers={"Authorization": f"Bearer {secret}"}).get_data()
    plain, packed = sum(map(len, parts)), sum(len(gzip.compress(part)) for part in parts)
    print(f"over the wire: {plain / 1000:.1f} kB in {len(parts)} files as served, {packed / 1000:.1f} kB gzipped")
    print(f"a pack of {RUGS} rugs besides: {len(pack) / 1000:.1f} kB, {len(gzip.compress(pack)) / 1000:.1f} kB gzipped")


def _time(browser, address: str, secret: str, numbers: list[int]) -> None:
    context = browser.new_context(base_url=address, viewport={"width": 360, "height": 780})
    page = context.new_page()
    context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
    page.goto(f"/till#open={secret}")
    page.wait_for_selector("body[data-ready=yes]")
    first = page.evaluate(PAINT)
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    paints = []
    for _ in range(9):
        page.reload()
        page.wait_for_selector("body[data-ready=yes]")
        paints.append(page.evaluate(PAINT))
    print(f"first paint at {SLOWER} times slower: {first[0]:.0f} ms from the shop the first time; from the phone:")
    print(f"  paint {median(one for one, _ in paints):.0f} ms, all rugs there {median(one for _, one in paints):.0f} ms (medians of {len(paints)})")
    context.set_offline(True)
    bare = [page.evaluate(BARE) for _ in numbers]
    took = [_one_sale(page, number) for number in numbers]
    print(f"a sale from the tap to “Sold”, at {SLOWER} times slower, {len(numbers)} of them without signal:")
    print(f"  median {median(took):.0f} ms, nine of ten under {quantiles(took, n=10)[-1]:.0f} ms, longest {max(took):.0f} ms")
    print(f"  keeping one bare entry in the phone’s database beside it: median {median(bare):.0f} ms ({median(took) / median(bare):.1f} times)")
    context.close()


def _one_sale(page, number: int) -> float:
    page.evaluate("location.hash = 'sell'")
    page.locator("#find").fill(str(number))
    page.locator("#find").press("Enter")
    page.evaluate("location.hash = 'pay'")
    page.locator("#sell-button").click()
    page.wait_for_selector("#done:not([hidden])")
    return page.evaluate(
        "() => { const all = performance.getEntriesByName('sale', 'measure'); return all[all.length - 1].duration; }"
    )


if __name__ == "__main__":
    run(turns=50, rows=0)
