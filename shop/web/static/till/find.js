/* Finding a rug: by its picture, its number or name, its size, price or colour; or by the code on its tag. */

import * as keep from "./keep.js";
import { by, fill, make, rugDrawing } from "./draw.js";
import { say, sayMany, stall } from "./stall.js";

const A_WHILE = 25_000; /* how long it can still be said what somebody offered, before the entry is sent */
const SHOWN = 60;
let shown = SHOWN;
let stream = null;
let sure = 0; /* the sold rug that was pressed once: pressed again, it is sold all the same */

export function begin() {
  for (const id of ["find", "by-size", "by-price", "by-colour"]) {
    by(id).addEventListener("input", () => {
      shown = SHOWN;
      show();
    });
  }
  by("find-form").addEventListener("submit", (event) => {
    event.preventDefault();
    takeTyped(by("find").value);
  });
  by("more-rugs").addEventListener("click", () => {
    shown += SHOWN;
    show();
  });
  if ("BarcodeDetector" in window && navigator.mediaDevices) {
    by("scan").hidden = false;
    by("scan").addEventListener("click", scan);
    by("scan-end").addEventListener("click", endScan);
    addEventListener("pagehide", endScan);
  }
}

/** Thirds of the rugs by what they measure or cost, so that each drawer holds as many. */
function thirds(rugs, worth) {
  const sorted = rugs.map(worth).filter((value) => value !== null).sort((one, other) => one - other);
  return [sorted[Math.floor(sorted.length / 3)] ?? 0, sorted[Math.floor((2 * sorted.length) / 3)] ?? 0];
}

const area = (rug) => rug.width * rug.length;

function isIn(drawer, value, [low, high]) {
  if (!drawer) return true;
  if (value === null) return false;
  return drawer === (value < low ? "low" : value < high ? "middle" : "high");
}

function textOf(rug) {
  return `${rug.number} ${rug.name} ${rug.size} ${stall.pack.colours[rug.family]}`.toLowerCase();
}

function found() {
  const rugs = stall.pack.rugs, words = by("find").value.toLowerCase().split(/\s+/).filter(Boolean);
  const sizes = thirds(rugs, area), prices = thirds(rugs, (rug) => rug.price);
  return rugs.filter((rug) => words.every((word) => textOf(rug).includes(word))
    && isIn(by("by-size").value, area(rug), sizes) && isIn(by("by-price").value, rug.price, prices)
    && (!by("by-colour").value || rug.family === by("by-colour").value));
}

/** Enter in the search: the one rug of that number, or the only one that is left. */
function takeTyped(typed) {
  const number = numberIn(typed);
  const rugs = found();
  const rug = stall.pack.rugs.find((one) => String(one.number) === number) ?? (rugs.length === 1 ? rugs[0] : null);
  if (!rug) {
    by("found").textContent = number ? say("no_rug", { number }) : say("which");
    return false;
  }
  by("find").value = "";
  if (!stall.basket.some((line) => line.rug === rug.id)) stall.put(rug);
  by("found").textContent = say("in_basket", { number: rug.number, name: rug.name });
  return true;
}

/** The number of a rug in what a tag's code says, or in what is typed: an address that ends in it, "No. 12", or 12. */
export function numberIn(text) {
  const bare = text.trim().replace(say("number", { number: "" }).trim(), "").trim();
  const found = bare.match(/^(\d{1,12})$/) ?? bare.split(/[?#]/)[0].match(/^https?:.*\/(\d{1,12})\/?$/);
  return found ? String(Number(found[1])) : "";
}

export function show() {
  const sold = stall.sold(), basket = new Set(stall.basket.map((line) => line.rug));
  const rugs = found().sort((one, other) => sold.has(one.id) - sold.has(other.id));
  by("how-many").textContent = sayMany("rugs", rugs.filter((rug) => !sold.has(rug.id)).length); /* sold ones are shown, but are not there */
  fill(by("rugs"), ...rugs.slice(0, shown).map((rug) => tile(rug, sold.has(rug.id), basket.has(rug.id))));
  by("more-rugs").hidden = rugs.length <= shown;
  const chosen = by("by-colour").value;
  fill(by("by-colour"), make("option", { value: "" }, say("any_colour")),
    ...Object.entries(stall.pack.colours).map(([family, word]) => make("option", { value: family, selected: family === chosen }, word)));
}

function tile(rug, sold, chosen) {
  const price = rug.price === null ? say("no_price") : stall.money(rug.price);
  const picture = make("span", { class: "picture" }, rugDrawing(rug));
  if (rug.picture && navigator.serviceWorker?.controller) {
    const image = make("img", { src: rug.picture, alt: "", loading: "lazy", width: 96, height: 64 });
    image.addEventListener("load", () => image.classList.add("there"));
    image.addEventListener("error", () => image.remove());
    picture.append(image);
  }
  const pick = make("button", {
    type: "button", class: "pick", "aria-pressed": String(chosen), "data-rug": rug.id, onclick: () => press(rug, sold, chosen),
  },
  picture,
  make("span", { class: "rug-name" }, make("b", {}, say("number", { number: rug.number })), " ", rug.name),
  make("span", { class: "rug-size" }, rug.size),
  make("span", { class: "rug-price" }, sold ? say("sold_already") : price));
  const asked = make("button", { type: "button", class: "asked", "aria-label": say("asked_of", { number: rug.number }), onclick: () => refused(rug) }, say("asked"));
  return make("li", { class: `rug${sold ? " is-sold" : ""}${chosen ? " is-chosen" : ""}` }, pick, sold ? null : asked);
}

function press(rug, sold, chosen) {
  const again = sold && !chosen && sure !== rug.id;
  sure = again ? rug.id : 0;
  by("found").textContent = again ? say("sell_again", { number: rug.number }) : "";
  if (again) return;
  stall.put(rug);
  document.querySelector(`[data-rug="${rug.id}"]`)?.focus();
}

/** The price was asked and refused: one tap is enough, and for a little while it can be said what was offered. */
async function refused(rug) {
  const entry = await stall.happened("refused", { rug: rug.id, asked: rug.price, offered: null }, { notBefore: Date.now() + A_WHILE });
  const offered = make("input", { id: "offered", inputmode: "decimal", autocomplete: "off", "aria-describedby": "offered-wrong" });
  const wrong = make("p", { class: "wrong", id: "offered-wrong", role: "alert" });
  const done = () => fill(by("noted"));
  const form = make("form", {
    class: "noted", onsubmit: async (event) => {
      event.preventDefault();
      const sum = stall.readMoney(offered.value);
      if (sum === null) {
        wrong.textContent = say("no_amount");
        return;
      }
      await keep.changeEntries([entry.key], (kept) => (kept.state === "unsent"
        ? { ...kept, content: { ...kept.content, offered: Number(sum) }, notBefore: 0 } : null));
      done();
      await stall.read();
      stall.dispatchEvent(new Event("happened"));
    },
  },
  make("p", {}, say("noted", { number: rug.number, name: rug.name })),
  make("label", { for: "offered" }, say("offered")), offered, wrong,
  make("div", { class: "row" }, make("button", { class: "button" }, say("keep")),
    make("button", { type: "button", class: "button quiet", onclick: done }, say("that_is_all"))));
  fill(by("noted"), form);
  setTimeout(() => {
    if (form.isConnected && !offered.value) done();
    stall.dispatchEvent(new Event("happened"));
  }, A_WHILE + 500);
}

async function scan() {
  const video = by("camera");
  try {
    stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment" } });
  } catch {
    by("found").textContent = say("no_camera");
    return;
  }
  by("scanning").hidden = false;
  video.srcObject = stream;
  video.play().catch(() => {}); /* the first picture comes when it comes */
  const detector = new window.BarcodeDetector({ formats: ["qr_code"] });
  while (stream) {
    try {
      const [code] = await detector.detect(video);
      if (code && takeTyped(code.rawValue)) {
        navigator.vibrate?.(60);
        endScan();
      }
    } catch {
      /* a picture that could not be read: the next one comes in a moment */
    }
    await new Promise((next) => setTimeout(next, 150));
  }
}

function endScan() {
  stream?.getTracks().forEach((track) => track.stop());
  stream = null;
  by("scanning").hidden = true;
}
