/* What this phone keeps, in its own database (IndexedDB), so that it is there without signal and after the phone was off.

   `tills`: for each fair the secret that the phone shows itself by, and its pack (the rugs and the rest).
   `entries`: everything that happened, each with a key of chance; it stays here after it was sent.
   A promise here is kept only when the phone's database says that it is safely written. */

const NAME = "thriftloom-till";
const A_SEASON = 120 * 24 * 3600 * 1000;
let opened = null;

function open() {
  opened ??= new Promise((done, failed) => {
    const asked = indexedDB.open(NAME, 1);
    asked.onupgradeneeded = () => {
      asked.result.createObjectStore("tills", { keyPath: "fair" });
      asked.result.createObjectStore("entries", { keyPath: "key" });
    };
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => failed(asked.error);
  });
  return opened;
}

async function written(stores, act) {
  const database = await open();
  return new Promise((done, failed) => {
    const work = database.transaction(stores, "readwrite", { durability: "strict" });
    let result;
    work.oncomplete = () => done(result);
    work.onerror = work.onabort = () => failed(work.error);
    act(work, (value) => { result = value; });
  });
}

async function readAll(store) {
  const database = await open();
  return new Promise((done, failed) => {
    const asked = database.transaction(store).objectStore(store).getAll();
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => failed(asked.error);
  });
}

/** A key of chance: 128 bits, as letters and digits. */
export function freshKey() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return btoa(String.fromCharCode(...bytes)).replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
}

/** Every till that was opened on this phone, the last one first. */
export async function tills() {
  return (await readAll("tills")).sort((one, other) => other.openedAt - one.openedAt);
}

export function keepTill(till) {
  return written(["tills"], (work) => work.objectStore("tills").put(till));
}

/** Everything that happened, oldest first. */
export async function entries() {
  return (await readAll("entries")).sort((one, other) => one.order - other.order);
}

/** Keep something that happened. Says whether it is new: the same key a second time changes nothing. */
export function keepEntry(entry) {
  return written(["entries"], (work, result) => {
    const asked = work.objectStore("entries").add(entry);
    result(true);
    asked.onerror = (event) => {
      event.preventDefault();
      event.stopPropagation();
      result(false);
    };
  });
}

/** Change entries under their keys, each by a function of what is kept; only what it gives back is kept in its place. */
export function changeEntries(keys, change) {
  return written(["entries"], (work) => {
    const store = work.objectStore("entries");
    for (const key of keys) {
      const asked = store.get(key);
      asked.onsuccess = () => {
        const changed = asked.result && change(asked.result);
        if (changed) store.put(changed);
      };
    }
  });
}

/** Let go of what was sent long ago. */
export async function tidy(now = Date.now()) {
  const old = (await entries()).filter((entry) => entry.state === "sent" && entry.order < now - A_SEASON);
  await written(["entries"], (work) => old.forEach((entry) => work.objectStore("entries").delete(entry.key)));
}
