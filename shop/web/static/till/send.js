/* Sending what happened to the shop, whenever there is signal.

   An entry is sent until the shop has answered for it, however often that takes: the shop knows each by its key and takes it
   once. Only one tab sends at a time, where the phone has locks; where it has none, sending twice does no harm. */

import * as keep from "./keep.js";

const AT_ONCE = 20;
const FIRST_WAIT = 5_000;
const LONGEST_WAIT = 300_000;

/** What can become of a round of sending. */
export const SENT = "sent", NOTHING = "nothing", NO_SIGNAL = "no signal", STUCK = "stuck", NOT_LET_IN = "not let in";

export function headers(till) {
  return { Authorization: `Bearer ${till.secret}` };
}

function asSent({ key, what, at, content }) {
  return { key, what, at, content };
}

export function isToSend(entry, now = Date.now()) {
  return entry.state === "unsent" && !(entry.notBefore > now);
}

async function sendSome(till, some, stuck) {
  let answer;
  try {
    answer = await fetch("/till/entries", {
      method: "POST",
      credentials: "omit",
      headers: { ...headers(till), "Content-Type": "application/json" },
      body: JSON.stringify({ entries: some.map(asSent) }),
    });
  } catch {
    return NO_SIGNAL;
  }
  if (answer.status === 403) return NOT_LET_IN;
  if ([400, 413, 422, 500].includes(answer.status)) return oneByOne(till, some, answer.status, stuck);
  if (!answer.ok) return NO_SIGNAL;
  let told;
  try {
    told = new Map((await answer.json()).answers.map((one) => [one.key, one]));
  } catch {
    return NO_SIGNAL; /* half an answer is none: the same is sent again */
  }
  await keep.changeEntries(some.map((entry) => entry.key), (entry) => answered(entry, told.get(entry.key)));
  return SENT;
}

function answered(entry, told) {
  if (!told || entry.state !== "unsent") return null;
  const state = told.answer === "taken" || told.answer === "had" ? "sent" : told.answer;
  return { ...entry, state, why: told.why || [] };
}

/** One that the shop cannot even read must not hold up the others: it stays here, to be looked at. One over which something
 *  broke in the shop is tried again in the next round. */
async function oneByOne(till, some, status, stuck) {
  if (some.length === 1 && status === 500) stuck.add(some[0].key);
  else if (some.length === 1) await keep.changeEntries([some[0].key], (entry) => ({ ...entry, state: "refused", why: [String(status)] }));
  if (some.length === 1) return SENT;
  let came = SENT;
  for (const entry of some) {
    came = await sendSome(till, [entry], stuck);
    if (came !== SENT) return came;
  }
  return came;
}

async function sendAll() {
  const tills = new Map((await keep.tills()).map((till) => [till.fair, till]));
  const stuck = new Set();
  let came = NOTHING, shut = false;
  for (const [fair, till] of tills) {
    for (;;) {
      const left = (await keep.entries()).filter((entry) => entry.fair === fair && isToSend(entry) && !stuck.has(entry.key));
      if (!left.length) break;
      came = await sendSome(till, left.slice(0, AT_ONCE), stuck);
      if (came === NO_SIGNAL) return came;
      if (came === NOT_LET_IN) {
        shut = true; /* what belongs to another fair is sent all the same */
        break;
      }
    }
  }
  return shut ? NOT_LET_IN : stuck.size ? STUCK : came;
}

/** Send all there is; `undefined` when another tab is at it. */
export function sendNow() {
  if (!navigator.locks) return sendAll();
  return navigator.locks.request("thriftloom-till-sending", { ifAvailable: true }, (lock) => (lock ? sendAll() : undefined));
}

/** Goes on trying: after each thing that happened, when signal comes back, when the page is looked at again, and by and by. */
export class Sender {
  constructor(told) {
    this.told = told;
    this.wait = FIRST_WAIT;
    this.timer = 0;
    this.busy = false;
    this.again = false;
    addEventListener("online", () => this.soon());
    document.addEventListener("visibilitychange", () => { if (document.visibilityState === "visible") this.soon(); });
  }

  soon() {
    this.wait = FIRST_WAIT;
    return this.try();
  }

  async try() {
    if (this.busy) {
      this.again = true;
      return;
    }
    clearTimeout(this.timer);
    this.busy = true;
    let came;
    try {
      came = await sendNow();
    } catch {
      came = NO_SIGNAL;
    }
    this.busy = false;
    await this.told(came);
    const goOn = this.again;
    this.again = false;
    this.wait = [NO_SIGNAL, STUCK, NOT_LET_IN].includes(came) ? Math.min(LONGEST_WAIT, this.wait * 2) : FIRST_WAIT;
    const left = (await keep.entries()).some((entry) => entry.state === "unsent");
    if (goOn) this.try();
    else if (left) this.timer = setTimeout(() => this.try(), this.wait);
  }
}
