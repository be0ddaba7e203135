/* The basket: what the rugs go for, how it is paid, and the sale. */

import { by, fill, make } from "./draw.js";
import { basket as reckon, change as pieces, likelyGiven, settle, shareOff } from "./money.js";
import { say, sayMany, stall } from "./stall.js";
import { showSale } from "./sold.js";

let selling = false;

export function begin() {
  by("together").addEventListener("input", () => { by("off").value = ""; showSums(); });
  by("off").addEventListener("input", () => { by("together").value = ""; showSums(); });
  by("given").addEventListener("input", showSums);
  by("means").addEventListener("change", showSums);
  by("pay-form").addEventListener("submit", (event) => {
    event.preventDefault();
    sell();
  });
}

function clear() {
  for (const id of ["together", "off", "given", "mail", "note"]) by(id).value = "";
  by("means").querySelector("input").checked = true;
  by("pay-more").open = false;
}

/** What the page says now, as sums; `wrong` names the entry that cannot be read, or what is missing. */
function sums() {
  const prices = stall.basket.map((line) => line.price ?? 0n);
  const { tax, cashStep } = stall.pack;
  const typed = { together: by("together").value.trim(), off: by("off").value.trim(), given: by("given").value.trim() };
  const asked = prices.reduce((sum, price) => sum + price, 0n);
  const wrong = {};
  const amount = (name) => {
    if (!typed[name]) return null;
    const sum = name === "off" && typed.off.endsWith("%") ? shareOff(asked, typed.off, stall.pack.manner) : stall.readMoney(typed[name]);
    if (sum === null) wrong[name] = say("no_amount");
    return sum;
  };
  const together = amount("together"), off = amount("off");
  let agreed = together ?? (off === null ? null : asked - off);
  if (agreed !== null && (agreed < 0n || agreed > asked)) {
    wrong[together === null ? "off" : "together"] = say("too_much", { sum: stall.money(asked) });
    agreed = null;
  }
  const unpriced = stall.basket.some((line) => line.price === null);
  const made = reckon(prices, tax, agreed);
  const means = new FormData(by("pay-form")).get("means");
  const inCash = means === "cash";
  const paid = settle(made.total, BigInt(cashStep), inCash ? amount("given") : null);
  const total = inCash ? paid.cash : made.total;
  if (inCash && paid.short > 0n && !wrong.given) wrong.given = say("short", { sum: stall.money(paid.short) });
  return { ...made, prices, means, inCash, paid, sum: total, wrong, unpriced, off: made.asked - made.due };
}

export function show() {
  const empty = !stall.basket.length;
  by("pay-form").hidden = empty;
  by("pay-empty").hidden = !empty;
  fill(by("lines"), ...stall.basket.map(line));
  if (!empty) showSums();
}

function line(one) {
  const rug = stall.rugs.get(one.rug);
  const name = say("number_name", { number: rug.number, name: rug.name });
  const price = rug.price !== null ? make("span", { class: "num" }, stall.money(rug.price)) : make("label", { class: "own-price" }, say("price_of", { number: rug.number }),
    make("input", {
      inputmode: "decimal", autocomplete: "off", value: one.price === null ? "" : stall.money(one.price),
      oninput: (event) => { one.price = stall.readMoney(event.target.value); showSums(); },
    }));
  return make("li", {}, make("span", { class: "line-name" }, name), price,
    make("button", { type: "button", class: "take-out", "aria-label": say("take_out", { number: rug.number }), onclick: () => stall.put(rug) }, "✕"));
}

function showSums() {
  const now = sums();
  const { tax } = stall.pack;
  const rows = [];
  if (now.off || now.prices.length > 1) rows.push([say("tags"), stall.money(now.asked)]);
  if (now.off) rows.push([say("bargain"), `−${stall.money(now.off)}`]);
  if (Number(tax.rate)) rows.push([tax.contained ? say("tax_in", { tax: tax.said }) : say("tax_on", { tax: tax.said }), stall.money(now.tax)]);
  if (now.inCash && now.paid.rounding) rows.push([say("rounding"), stall.money(now.paid.rounding)]);
  fill(by("sums"), ...rows.flatMap(([name, sum]) => [make("dt", {}, name), make("dd", {}, sum)]));
  by("to-pay").textContent = stall.money(now.sum);
  by("cash").hidden = !now.inCash;
  for (const name of ["together", "off", "given"]) {
    const told = by(`${name}-wrong`);
    told.textContent = now.wrong[name] ?? "";
    by(name).toggleAttribute("aria-invalid", false);
    if (now.wrong[name]) by(name).setAttribute("aria-invalid", "true");
  }
  fill(by("quick"), ...likelyGiven(now.paid.cash, stall.tender).map((sum) => make("button", {
    type: "button", class: "button quiet", onclick: () => { by("given").value = stall.money(sum); showSums(); },
  }, stall.money(sum))));
  by("change").textContent = now.wrong.given ? "" : stall.money(now.paid.change);
  by("pieces").textContent = now.wrong.given ? "" : inPieces(now.paid.change);
  const ready = !Object.keys(now.wrong).length && !now.unpriced && !selling;
  by("sell-button").disabled = !ready;
  by("sell-button").textContent = say("sell", { sum: stall.money(now.sum) });
  by("unpriced").hidden = !now.unpriced;
}

/** Which notes and coins make the change, in words. */
export function inPieces(sum) {
  const found = sum > 0n ? pieces(sum, stall.tender) : null;
  return found ? found.map(([worth, count]) => `${count}\u00a0×\u00a0${stall.money(worth)}`).join(" · ") : "";
}

/** The sale: kept on the phone first, and only then told. */
async function sell() {
  const now = sums();
  if (selling || !stall.basket.length || now.unpriced || Object.keys(now.wrong).length) return;
  selling = true;
  performance.mark("sale-tapped");
  const content = {
    rugs: stall.basket.map((line, place) => ({ rug: line.rug, asked: Number(now.prices[place]), price: Number(now.dues[place]) })),
    tax: Number(now.tax),
    contained: stall.pack.tax.contained,
    rounding: now.inCash ? Number(now.paid.rounding) : 0,
    total: Number(now.sum),
    currency: stall.pack.currency,
    means: now.means,
    given: now.inCash ? Number(now.paid.given) : 0,
    change: now.inCash ? Number(now.paid.change) : 0,
    mail: by("mail").value.trim(),
    note: by("note").value.trim(),
  };
  try {
    const entry = await stall.happened("sale", content);
    stall.empty();
    clear();
    showSale(entry, { fresh: true });
    location.hash = "#done";
    performance.measure("sale", "sale-tapped");
  } catch {
    by("not-kept").hidden = false;
  } finally {
    selling = false;
  }
}

export function showBar() {
  const sum = stall.basket.reduce((total, line) => total + (line.price ?? 0n), 0n);
  by("bar").hidden = !stall.basket.length;
  by("bar-sum").textContent = stall.basket.length ? `${sayMany("rugs", stall.basket.length)} · ${stall.money(sum)}` : "";
}
