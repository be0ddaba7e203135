/* The box with the cash: what was in it, what went in and out, what must be in it; and the wishes of those who found nothing. */

import { by, fill, make } from "./draw.js";
import { say, stall } from "./stall.js";

export function begin() {
  by("box-form").addEventListener("submit", async (event) => {
    event.preventDefault();
    const amount = stall.readMoney(by("box-amount").value);
    by("box-wrong").textContent = amount === null ? say("no_amount") : "";
    if (amount === null) {
      by("box-amount").focus();
      return;
    }
    await stall.happened("cash", { what: by("box-what").value, amount: Number(amount), note: by("box-note").value.trim() });
    by("box-form").reset();
    by("box-told").textContent = say("kept");
  });
  by("wish-form").addEventListener("submit", async (event) => {
    event.preventDefault();
    const content = Object.fromEntries(["name", "contact", "width", "length", "words"].map((name) => [name, by(`wish-${name}`).value.trim()]));
    const empty = !Object.values(content).some(Boolean);
    by("wish-wrong").textContent = empty ? say("wish_empty") : "";
    if (empty) {
      by("wish-name").focus();
      return;
    }
    await stall.happened("wish", content);
    by("wish-form").reset();
    by("wish-told").textContent = say("kept");
  });
}

/** The last float and the last count are those that hold; all else is added up. */
export function show() {
  const undone = stall.undone();
  const said = stall.entries.filter((entry) => entry.what === "cash");
  const of = (what) => said.filter((entry) => entry.content.what === what);
  const sum = (some) => some.reduce((total, amount) => total + BigInt(amount), 0n);
  const opening = BigInt(of("float").at(-1)?.content.amount ?? stall.pack.openingFloat);
  const sales = sum(stall.sales().filter((sale) => sale.content.means === "cash" && !undone.has(sale.key)).map((sale) => sale.content.total));
  const put = sum(of("put in").map((entry) => entry.content.amount)), taken = sum(of("taken out").map((entry) => entry.content.amount));
  const expected = opening + sales + put - taken;
  const counted = of("counted").at(-1);
  const rows = [[say("box_float"), opening], [say("box_sales"), sales], [say("box_put"), put], [say("box_taken"), -taken], [say("box_expected"), expected]];
  if (counted) rows.push([say("box_counted"), BigInt(counted.content.amount)], [say("box_difference"), BigInt(counted.content.amount) - expected]);
  const whole = (name) => (name === say("box_expected") ? "sum" : null);
  fill(by("box-sums"), ...rows.flatMap(([name, amount]) => [make("dt", { class: whole(name) }, name), make("dd", { class: whole(name) }, stall.money(amount))]));
  const wishes = stall.entries.filter((entry) => entry.what === "wish").reverse();
  fill(by("wishes"), ...wishes.slice(0, 20).map(({ content }) => make("li", {}, [content.name, [content.width, content.length].filter(Boolean).join(" × "), content.words].filter(Boolean).join(" · "))));
}
