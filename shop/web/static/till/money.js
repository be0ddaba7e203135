/* Money at the stall: the same arithmetic as shop/core/till.py and shop/core/cash.py, in whole smallest coins.

   Every amount is a BigInt of smallest coins, so nothing is ever a little off. Nothing here looks at the page, the clock or
   the network; tests run these functions in a browser against the cases that the shop's own arithmetic is held to. */

/** Whole units by division, half a unit up; for amounts of nothing or more. */
export function halfUp(numerator, denominator) {
  return (2n * numerator + denominator) / (2n * denominator);
}

/** Share out whole units in proportion to weights by largest remainder; ties go to the earlier, no weight at all to all alike. */
export function allocate(whole, weights) {
  const parts = weights.some((weight) => weight > 0n) ? weights : weights.map(() => 1n);
  const everything = parts.reduce((sum, part) => sum + part, 0n);
  const shares = parts.map((part) => (whole * part) / everything);
  const missing = Number(whole - shares.reduce((sum, share) => sum + share, 0n));
  const left = parts.map((part, place) => ({ place, rest: (whole * part) % everything }));
  left.sort((one, other) => (one.rest === other.rest ? one.place - other.place : one.rest > other.rest ? -1 : 1));
  for (const { place } of left.slice(0, missing)) shares[place] += 1n;
  return shares;
}

/** A rate written as a decimal, "0.0825", as a fraction. */
export function fraction(rate) {
  const [whole, decimals = ""] = String(rate).split(".");
  return { part: BigInt(whole + decimals), of: 10n ** BigInt(decimals.length) };
}

/** A share of a sum taken off it, written as "12.5%"; null where that is no share from nothing to all. */
export function shareOff(sum, typed, manner) {
  const bare = typed.replace(/\s/g, "").replace(manner.mark, ".");
  if (!/^\d{1,3}(\.\d{1,4})?%$/.test(bare)) return null;
  const { part, of } = fraction(bare.slice(0, -1));
  return part > 100n * of ? null : halfUp(sum * part, 100n * of);
}

/** Rugs bought together.
 *
 *  @param prices of the rugs, as their tags say.
 *  @param tax {rate: "0.06", contained: whether the prices contain it}.
 *  @param agreed the sum agreed for all of them instead, without a tax that goes on top; null for the prices.
 *  @returns {due, dues, tax, total}: the sum they go for and each one's part of it, the tax, what is to pay. */
export function basket(prices, tax, agreed = null) {
  const asked = prices.reduce((sum, price) => sum + price, 0n);
  const due = agreed === null ? asked : agreed;
  const { part, of } = fraction(tax.rate);
  const taxed = tax.contained ? halfUp(due * part, of + part) : halfUp(due * part, of);
  return { asked, due, dues: allocate(due, prices), tax: taxed, total: tax.contained ? due : due + taxed };
}

/** A sum as it is paid in cash: to the nearest step of the country, half a step up; a step of nothing leaves it. */
export function inCash(total, step) {
  return step > 0n ? halfUp(total, step) * step : total;
}

/** How a sum is paid in cash. `given` null for just what is due; `short` what is still missing of it. */
export function settle(total, step, given = null) {
  const cash = inCash(total, step);
  const laid = given === null ? cash : given;
  return { cash, rounding: cash - total, given: laid, change: laid > cash ? laid - cash : 0n, short: laid < cash ? cash - laid : 0n };
}

/** The fewest notes and coins that make a sum, the largest first, as [worth, how many]; null where they cannot. */
export function change(sum, tender) {
  const pieces = [];
  let left = sum;
  for (const worth of tender) {
    if (left >= worth) pieces.push([worth, left / worth]);
    left %= worth;
  }
  return left === 0n ? pieces : null;
}

/** Sums that a customer is likely to lay down for what is due: the next round ones of each larger note. */
export function likelyGiven(due, tender, most = 4) {
  const sums = new Set();
  for (const worth of [...tender].reverse()) {
    const sum = ((due + worth - 1n) / worth) * worth;
    if (sum > due && sum <= due * 10n) sums.add(sum);
  }
  return [...sums].sort((one, other) => (one < other ? -1 : 1)).slice(-most);
}

/** An amount with its sign and marks, in the manner of the shop's language: {before, after, mark, group, sizes, decimals}. */
export function written(minor, manner) {
  const digits = (minor < 0n ? -minor : minor).toString().padStart(manner.decimals + 1, "0");
  const cut = digits.length - manner.decimals;
  const whole = grouped(digits.slice(0, cut), manner);
  const decimals = manner.decimals ? manner.mark + digits.slice(cut) : "";
  return `${minor < 0n ? "−" : ""}${manner.before}${whole}${decimals}${manner.after}`;
}

function grouped(digits, { group, sizes }) {
  const parts = [];
  let rest = digits;
  for (let place = 0; rest.length; place += 1) {
    const size = sizes[Math.min(place, sizes.length - 1)];
    parts.unshift(rest.slice(-size));
    rest = rest.slice(0, -size);
  }
  return parts.join(group);
}

/** An amount as typed, or null where it is none: "12.50", "1,200", "12" in the shop's manner of writing.
 *  Thousands may be set apart as they are written; a point is a comma only where it can be nothing else. */
export function read(typed, manner) {
  let bare = typed.replace(manner.before.trim(), "").replace(manner.after.trim(), "").replace(/\s/g, "");
  const group = /\s/.test(manner.group) ? "" : manner.group;
  if (group && bare.includes(group)) {
    const [whole, ...rest] = bare.split(manner.mark);
    const parts = whole.split(group);
    if (!parts.every((part, place) => (place ? /^\d{2,3}$/ : /^\d{1,3}$/).test(part)) || parts.at(-1).length !== 3) return null;
    bare = [parts.join(""), ...rest].join(manner.mark);
  }
  if (manner.mark !== "." && group !== ".") bare = bare.replace(".", manner.mark);
  const [whole, decimals = "", ...more] = bare.split(manner.mark);
  const kept = decimals.replace(/0+$/, "");
  if (more.length || !/^\d{1,12}$/.test(whole) || !/^\d*$/.test(decimals) || kept.length > manner.decimals) return null;
  return BigInt(whole + kept.padEnd(manner.decimals, "0"));
}
