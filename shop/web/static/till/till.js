/* The till: opens what the phone keeps, shows one page of it at a time, and keeps in touch with the shop while there is signal.

   The page is opened once by an address whose part after the # holds the phone's secret; that part is never sent in an
   address, is kept on the phone, and is taken out of the address at once. */

import * as keep from "./keep.js";
import * as find from "./find.js";
import * as pay from "./pay.js";
import * as sold from "./sold.js";
import * as box from "./box.js";
import { by } from "./draw.js";
import { say, stall } from "./stall.js";
import { headers, NO_SIGNAL, NOT_LET_IN, NOTHING, STUCK, Sender } from "./send.js";

const PAGES = ["sell", "pay", "done", "sold", "box", "wish"];
const STALE = 120_000;
const PICTURES = "thriftloom-till-pictures";

/** Fetch the pack; says how that went, for a person. */
async function fetchPack(till) {
  let answer;
  try {
    answer = await fetch("/till/pack", { headers: headers(till), credentials: "omit", cache: "no-store" });
  } catch {
    stall.heard(false);
    return say("pack_no_signal");
  }
  stall.heard(true);
  if (answer.status === 403) return say("not_let_in");
  if (!answer.ok) return say("pack_no_signal");
  const pack = await answer.json();
  await keep.keepTill({ ...till, fair: pack.fair, pack, fetchedAt: Date.now() });
  await stall.read();
  fetchPictures(till, pack);
  return "";
}

/** Keep the photographs on the phone, where it can: the worker shows them from there. */
async function fetchPictures(till, pack) {
  if (!("caches" in window)) return;
  try {
    const kept = await caches.open(PICTURES);
    const there = new Set((await kept.keys()).map((request) => new URL(request.url).pathname));
    let some = false;
    for (const { picture } of pack.rugs) {
      if (!picture || there.has(picture)) continue;
      const answer = await fetch(picture, { headers: headers(till), credentials: "omit" });
      if (answer.ok) {
        await kept.put(picture, answer);
        some = true;
      }
    }
    if (some) find.show();
  } catch {
    /* no signal, or no room: the rugs are drawn by their stripes */
  }
}

/** The shop speaks another language than the page that this phone keeps: the worker fetches the page anew, and it is opened
 *  again, which loses nothing but a basket; so not while there is one. */
async function inTheShopsLanguage() {
  if (!stall.pack?.language || stall.pack.language === document.documentElement.lang || stall.basket.length) return;
  try {
    const worker = await navigator.serviceWorker?.getRegistration("/till");
    await worker?.update();
    if (worker?.installing || worker?.waiting) {
      await new Promise((next) => navigator.serviceWorker.addEventListener("controllerchange", next, { once: true }));
    }
    location.reload();
  } catch {
    /* no signal any more: the next time then */
  }
}

/** The secret in the address that the phone was opened by, taken out of the address. */
function secretGiven() {
  const given = location.hash.match(/^#open=([\w-]{20,100})$/);
  if (given) history.replaceState(null, "", location.pathname);
  return given ? given[1] : "";
}

async function openBy(secret) {
  const told = await fetchPack({ secret, openedAt: Date.now() });
  by("open-told").textContent = told;
  return told === "";
}

function turn() {
  const asked = location.hash.slice(1);
  const here = !stall.pack ? "" : PAGES.includes(asked) && (asked !== "done" || sold.hasOpen()) ? asked : "sell";
  by("not-open").hidden = Boolean(here);
  document.body.classList.toggle("is-open", Boolean(here));
  for (const page of PAGES) by(page).hidden = page !== here;
  for (const link of document.querySelectorAll(".till-rooms a")) {
    if (link.hash === `#${here}`) link.setAttribute("aria-current", "page");
    else link.removeAttribute("aria-current");
  }
  if (!here) return;
  scrollTo(0, 0);
  show(here);
  const heading = by(here).querySelector("h1");
  if (asked === here) heading?.focus({ preventScroll: true });
}

function show(here) {
  pay.showBar();
  by("bar").hidden ||= here !== "sell";
  sold.showUnsent();
  if (here === "sell") find.show();
  if (here === "pay") pay.show();
  if (here === "sold") sold.show();
  if (here === "box" || here === "wish") box.show();
}

function changed() {
  document.title = stall.pack ? `${stall.pack.name} · ${say("title")}` : say("title");
  if (!stall.pack) {
    turn();
    return;
  }
  by("fair-name").textContent = stall.pack.name;
  by("is-over").hidden = !stall.pack.over;
  const here = PAGES.find((page) => !by(page).hidden);
  if (here) show(here);
  else turn();
}

/** What to do when a round of sending is over: show how it stands, and fetch the rugs anew now and then. */
async function afterSending(came) {
  await stall.read();
  by("let-in").hidden = came !== NOT_LET_IN;
  by("signal").hidden = came !== NO_SIGNAL && came !== STUCK;
  if (came !== undefined) stall.heard(came === NOTHING ? navigator.onLine !== false : came !== NO_SIGNAL);
  if (![NO_SIGNAL, STUCK, NOT_LET_IN].includes(came) && stall.till && Date.now() - stall.till.fetchedAt > STALE) {
    by("let-in").hidden = (await fetchPack(stall.till)) !== say("not_let_in");
  }
}

/** Whether this phone keeps the page is said among the rugs, where it is looked for first, and with the sales. */
function showKept(which) {
  for (const told of document.querySelectorAll(`.${which}`)) told.hidden = false;
}

async function begin() {
  by("no-script").hidden = true;
  const install = "serviceWorker" in navigator ? navigator.serviceWorker.register("/till/worker.js", { scope: "/till" }) : Promise.reject(new Error("none"));
  install.then(() => navigator.serviceWorker.ready).then(() => showKept("keeps"), () => showKept("keeps-not"));
  navigator.serviceWorker?.addEventListener("controllerchange", () => { if (stall.pack) find.show(); });
  navigator.storage?.persist?.().catch(() => false);

  [find, pay, sold, box].forEach((page) => page.begin());
  stall.addEventListener("changed", changed);
  stall.addEventListener("signal", () => { if (stall.pack) sold.showUnsent(); });
  addEventListener("offline", () => stall.heard(false));
  addEventListener("hashchange", async () => {
    const secret = secretGiven();
    if (secret) await openBy(secret);
    turn();
  });

  const sender = new Sender(afterSending);
  stall.addEventListener("happened", () => sender.soon());
  by("send").addEventListener("click", () => sender.soon());
  by("fetch").addEventListener("click", async () => { 
    by("fetch-told").textContent = (await fetchPack(stall.till)) || say("fetched");
    await inTheShopsLanguage();
  });

  const secret = secretGiven();
  await stall.read();
  if (secret) await openBy(secret);
  turn();
  document.body.dataset.ready = "yes";
  performance.mark("till-ready");
  await keep.tidy();
  sender.soon();
}

begin();
