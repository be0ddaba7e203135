/* The sales of this phone: what each was, whether it is sent, its receipt, its undoing. */

import { by, codeDrawing, fill, make } from "./draw.js";
import { codeOf } from "./qr.js";
import { inPieces } from "./pay.js";
import { say, sayMany, stall } from "./stall.js";

const SHOWN = 30;
let shown = SHOWN;
let open = null;

export function begin() {
  by("more-sales").addEventListener("click", () => {
    shown += SHOWN;
    show();
  });
  by("next").addEventListener("click", () => { location.hash = "#sell"; });
}

function names(sale) {
  return sale.content.rugs.map(({ rug }) => {
    const known = stall.rugs.get(rug);
    return known ? say("number_name", { number: known.number, name: known.name }) : say("unknown_rug");
  });
}

export function show() {
  const sales = stall.sales().reverse(), undone = stall.undone();
  by("no-sales").hidden = sales.length > 0;
  fill(by("sales"), ...sales.slice(0, shown).map((sale) => make("li", { class: undone.has(sale.key) ? "is-undone" : "" },
    make("button", { type: "button", class: "sale", onclick: () => { showSale(sale); location.hash = "#done"; } },
      make("span", { class: "when" }, timeOf(sale)),
      make("span", { class: "what" }, names(sale).join(", ")),
      make("span", { class: "num" }, stall.money(sale.content.total)),
      make("span", { class: "how" }, ...howItStands(sale, undone.has(sale.key)))))));
  by("more-sales").hidden = sales.length <= shown;
  showOdd();
}

/** How a sale was paid and whether it is sent; of one undone, whether the shop knows that it is. */
function howItStands(sale, undone) {
  if (!undone) return [say(`means_${sale.content.means}`), " · ", say(`state_${sale.state}`)];
  const states = [sale.state, stall.undoing(sale).state];
  if (states.every((state) => state === "sent")) return [say("undone_known")];
  if (states.every((state) => state === "sent" || state === "unsent")) return [say("undone_unsent")];
  return [say("is_undone"), " · ", say(`state_${states.find((state) => state !== "sent" && state !== "unsent")}`)];
}

/** What the shop could not take or not understand: it stays here until somebody has looked at it. */
function showOdd() {
  const odd = stall.odd();
  by("odd").hidden = !odd.length;
  fill(by("odd-list"), ...odd.map((entry) => make("li", {}, `${timeOf(entry)} · ${say(`what_${entry.what}`)}`,
    entry.what === "sale" ? ` · ${stall.money(entry.content.total)} · ${names(entry).join(", ")}` : "", make("br"), say(`state_${entry.state}`), " ", entry.why.join(" "))));
}

function timeOf(entry) {
  return new Intl.DateTimeFormat(document.documentElement.lang, { weekday: "short", hour: "2-digit", minute: "2-digit" }).format(new Date(entry.at));
}

/** A sale on a page of its own; `fresh` when it was made just now. */
export function showSale(sale, { fresh = false } = {}) {
  open = sale.key;
  const { content } = sale;
  const undone = stall.undone().has(sale.key);
  by("done-heading").textContent = undone ? say("is_undone") : fresh ? say("sold_now") : say("a_sale");
  by("done-sum").textContent = stall.money(content.total);
  fill(by("done-what"), ...names(sale).map((name) => make("li", {}, name)));
  by("done-how").textContent = say(`means_${content.means}`);
  const back = BigInt(content.change);
  by("done-change").hidden = !(content.means === "cash" && back > 0n) || undone;
  by("done-change-sum").textContent = stall.money(back);
  by("done-pieces").textContent = inPieces(back);
  by("done-mail").hidden = !content.mail;
  by("done-mail").textContent = content.mail ? say("by_mail", { mail: content.mail }) : "";
  fill(by("done-code"), undone ? null : receiptCode(`${stall.pack.receipts}${sale.key}`));
  fill(by("done-undo"), undone ? null : undoButton(sale));
}

/** The receipt's code, made when it is asked for. */
function receiptCode(address) {
  const place = make("div");
  return make("details", { ontoggle: () => fill(place, codeDrawing(codeOf(address), say("receipt_code"))) },
    make("summary", {}, say("receipt")), place, make("p", { class: "hint" }, say("receipt_hint")));
}

/** Undoing takes two presses, and says in the second what has to be given back. */
function undoButton(sale) {
  const first = make("button", { type: "button", class: "button quiet", onclick: () => {
    const sure = make("button", { type: "button", class: "button madder", onclick: () => undo(sale) }, say("undo_sure", { sum: stall.money(sale.content.total) }));
    fill(by("done-undo"), sure, make("button", { type: "button", class: "button quiet", onclick: () => fill(by("done-undo"), undoButton(sale)) }, say("leave_it")));
    sure.focus();
  } }, say("undo"));
  return first;
}

async function undo(sale) {
  await stall.happened("undo", { sale: sale.key, why: "" }, { key: `${sale.key}-undo` });
  showSale(sale);
  by("done-heading").focus();
}

/** Whether there is a sale to show on its page, after the page was loaded anew. */
export function hasOpen() {
  return open !== null;
}

export function showUnsent() {
  const count = stall.unsent(), odd = stall.odd().length;
  const left = count ? sayMany("unsent", count) : "";
  by("unsent").textContent = stall.signal ? left || say("all_sent") : [say("no_signal"), left].filter(Boolean).join(" · ");
  by("unsent").classList.toggle("some", count > 0 || !stall.signal);
  by("odd-mark").hidden = !odd;
}
