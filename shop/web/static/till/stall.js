/* The stall as this phone knows it: its pack, what happened on it, and what is in the basket. Pages look here and are told
   of each change; whatever happens is kept on the phone before anybody is told that it has happened. */

import * as keep from "./keep.js";
import { read, written } from "./money.js";

const WORDS = JSON.parse(document.body.dataset.words);

/** A sentence in the shop's language, with its %(name)s filled in. The pack brings the words along, for a page that was kept
 *  before the shop changed its language. */
export function say(name, values = {}) {
  const { pack } = stall;
  const other = pack?.said && pack.language !== document.documentElement.lang ? pack.said : {};
  return (other[name] ?? WORDS[name] ?? name).replace(/%\((\w+)\)s/g, (_, key) => String(values[key] ?? ""));
}

/** The same where it changes with a number. */
export function sayMany(name, number) {
  return say(number === 1 ? `${name}_one` : `${name}_many`, { n: number });
}

class Stall extends EventTarget {
  till = null;
  entries = [];
  basket = [];
  signal = navigator.onLine !== false; /* as far as the phone knows; each answer of the shop, and each that fails to come, says better */
  others = typeof BroadcastChannel === "function" ? new BroadcastChannel("thriftloom-till") : null;

  get pack() {
    return this.till?.pack ?? null;
  }

  /** Read everything anew from what the phone keeps. */
  async read() {
    const all = await keep.tills();
    this.till = all[0] ?? null;
    this.all = await keep.entries();
    this.entries = this.all.filter((entry) => this.till && entry.fair === this.till.fair);
    this.rugs = new Map((this.pack?.rugs ?? []).map((rug) => [rug.id, rug]));
    this.basket = this.basket.filter((line) => this.rugs.has(line.rug));
    this.dispatchEvent(new Event("changed"));
  }

  /** Keep something that happened; gives its entry once it is safely on the phone. */
  async happened(what, content, { key = keep.freshKey(), notBefore = 0 } = {}) {
    const now = Date.now();
    const entry = {
      key, fair: this.till.fair, what, at: new Date(now).toISOString(), content, order: now, state: "unsent", why: [], notBefore,
    };
    if (await keep.keepEntry(entry)) {
      this.all.push(entry);
      this.entries.push(entry);
      this.dispatchEvent(new Event("changed"));
    } else await this.read(); /* another tab was quicker with the same */
    this.others?.postMessage("changed");
    this.dispatchEvent(new Event("happened"));
    return entry;
  }

  sales() {
    return this.entries.filter((entry) => entry.what === "sale");
  }

  undone() {
    return new Set(this.entries.filter((entry) => entry.what === "undo").map((entry) => entry.content.sale));
  }

  /** What became of an undone sale's undoing; the undoing of a sale that was never sent is sent after it. */
  undoing(sale) {
    return this.entries.find((entry) => entry.what === "undo" && entry.content.sale === sale.key);
  }

  heard(signal) {
    this.signal = signal;
    this.dispatchEvent(new Event("signal"));
  }

  /** The ids of the rugs that are sold, as far as this phone knows. */
  sold() {
    const undone = this.undone();
    const sold = new Set((this.pack?.rugs ?? []).filter((rug) => rug.sold).map((rug) => rug.id));
    for (const sale of this.sales()) {
      for (const line of sale.content.rugs) {
        if (undone.has(sale.key)) sold.delete(line.rug);
      }
    }
    for (const sale of this.sales()) {
      if (!undone.has(sale.key)) sale.content.rugs.forEach((line) => sold.add(line.rug));
    }
    return sold;
  }

  unsent() {
    return this.all.filter((entry) => entry.state === "unsent").length;
  }

  odd() {
    return this.all.filter((entry) => entry.state === "refused" || entry.state === "kept");
  }

  put(rug) {
    const at = this.basket.findIndex((line) => line.rug === rug.id);
    if (at < 0) this.basket.push({ rug: rug.id, price: rug.price === null ? null : BigInt(rug.price) });
    else this.basket.splice(at, 1);
    this.dispatchEvent(new Event("changed"));
  }

  empty() {
    this.basket = [];
    this.dispatchEvent(new Event("changed"));
  }

  money(minor) {
    return written(BigInt(minor), this.pack.manner);
  }

  readMoney(typed) {
    return read(typed, this.pack.manner);
  }

  get tender() {
    return this.pack.tender.map(BigInt);
  }
}

export const stall = new Stall();
stall.others?.addEventListener("message", () => stall.read());
