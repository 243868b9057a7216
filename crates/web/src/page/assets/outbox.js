// What this device has written and the ledger has not yet named as kept. It lies on the device's disk before the screen changes,
// leaves it only when the ledger names it, and never grows too old. What the ledger refuses is kept aside until somebody has seen it.
// All of it is of the account that was signed in: another one on the same device neither sees nor sends it.

import * as time from "./time.js";

const NAME = "setwright";
const EVENTS = "/api/v1/events";
const AT_ONCE = 50;
const AGAIN_MS = [1_000, 2_000, 5_000, 15_000, 30_000];
const WAIT_MOST_S = 120;

// Whose pages these are, as the server marks the account; nobody's on the machine itself, where none is needed.
const account = document.documentElement.dataset.account ?? "";
// Before devices knew of accounts nothing said whose it was: it is of whoever has the floor page of that client.
const floor = document.getElementById("floor")?.dataset.floor;
const client = floor ? JSON.parse(floor).client : null;

function isOwn(kept) {
  return kept.account === undefined ? account === "" || kept.event.client === client : kept.account === account;
}

function ownKey(key) {
  return `${account} ${key}`;
}

let opened;
function database() {
  opened ??= new Promise((resolve, reject) => {
    const asked = indexedDB.open(NAME, 1);
    asked.onupgradeneeded = () => {
      asked.result.createObjectStore("waiting", { keyPath: "place", autoIncrement: true });
      asked.result.createObjectStore("refused", { keyPath: "place" });
      asked.result.createObjectStore("notes");
    };
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => reject(asked.error);
  });
  return opened;
}

/** Does `work` with stores of one transaction that is on the disk when this resolves. */
async function within(stores, mode, work) {
  const db = await database();
  return new Promise((resolve, reject) => {
    const transaction = db.transaction(stores, mode, { durability: "strict" });
    let result;
    const keep = (value) => { result = value; };
    work(transaction, keep);
    transaction.oncomplete = () => resolve(result);
    transaction.onabort = () => reject(transaction.error);
    transaction.onerror = () => reject(transaction.error);
  });
}

function all(store) {
  return within([store], "readonly", (t, keep) => {
    const asked = t.objectStore(store).getAll();
    asked.onsuccess = () => keep(asked.result.filter(isOwn));
  });
}

/** Everything that waits, in the order in which it was written. */
export async function waiting() {
  return (await all("waiting")).map((kept) => kept.event);
}

/** Everything that was refused, with the reason. */
export function refused() {
  return all("refused");
}

/** Somebody has seen what was refused. */
export function dismiss(place) {
  return within(["refused"], "readwrite", (t) => t.objectStore("refused").delete(place));
}

/** Writes events, all of them or none. They are on the disk when this resolves. */
export async function put(events) {
  await within(["waiting"], "readwrite", (t) => {
    for (const event of events) t.objectStore("waiting").add({ event, account });
  });
  send();
}

/** Something small that a page remembers. */
export function note(key) {
  return within(["notes"], "readonly", (t, keep) => {
    const asked = t.objectStore("notes").get(ownKey(key));
    asked.onsuccess = () => keep(asked.result);
  });
}

/** Remembers something small. */
export function remember(key, value) {
  return within(["notes"], "readwrite", (t) => t.objectStore("notes").put(value, ownKey(key)));
}

/** Leaves of what this device keeps only what waits to be sent: pages and what they remember go. */
export async function forget() {
  if ("caches" in window) await caches.delete("pages");
  await within(["notes"], "readwrite", (t) => t.objectStore("notes").clear());
}

/** Whoever is signed in now finds nothing of who was before, though nobody signed out. What was kept before accounts were known goes too. */
async function takeOver() {
  const before = await within(["notes"], "readonly", (t, keep) => {
    const asked = t.objectStore("notes").get("account");
    asked.onsuccess = () => keep(asked.result);
  });
  if (before === account) return;
  await forget();
  await within(["notes"], "readwrite", (t) => t.objectStore("notes").put(account, "account"));
}

// The server looks again whether whoever has pages on this device is still there (judgement: within a working day).
const SWEEP_MS = 6 * 3_600_000;

/** Asks anew for the pages that this device keeps: the worker takes away those of whoever is not there any more. */
async function sweep() {
  if (!("caches" in window)) return;
  const before = await note("swept");
  if (before && Math.abs(Date.now() - before) < SWEEP_MS) return;
  const pages = await (await caches.open("pages")).keys();
  for (const page of pages) await fetch(page.url).catch(() => null);
  await remember("swept", Date.now());
}

/** Clears everything that this device keeps of a client who was forgotten, whoever of its accounts wrote it. */
export async function clear(client) {
  await within(["waiting", "refused", "notes"], "readwrite", (t) => {
    for (const store of ["waiting", "refused", "notes"]) {
      const asked = t.objectStore(store).openCursor();
      asked.onsuccess = () => {
        const at = asked.result;
        if (!at) return;
        if (at.value?.event?.client === client || at.value?.client === client) at.delete();
        at.continue();
      };
    }
  });
  if ("caches" in window) await (await caches.open("pages")).delete(`/clients/${client}/floor`);
  cleared.add(client);
}

const cleared = new Set();
/** Whether a client was forgotten, as far as this page has heard. */
export function isCleared(client) {
  return cleared.has(client);
}

let taken;
/** These pages are of whoever is signed in; what they left unsent on this device is sent. Nothing else may be asked before. */
export async function begin() {
  taken ??= takeOver();
  await taken;
  sweep().catch(() => null);
  if ((await all("waiting")).length > 0) send();
}

/** Tries to send what waits, for so long at most; what is left then. */
export async function unsent(most_ms) {
  await Promise.race([send(), new Promise((resolve) => setTimeout(resolve, most_ms))]);
  return waiting();
}

const listeners = new Set();
/** Calls back after anything was sent or refused, and when the connection came or went. */
export function whenSent(listener) {
  listeners.add(listener);
}

let signedIn = true;
/** Whether the ledger still knows who this is. Over a network a session ends; what was written waits here until the next. */
export function isSignedIn() {
  return signedIn;
}

let online = null;
/** Whether the ledger answered last time; null before anything was asked. */
export function isOnline() {
  return online;
}
function heard(yes) {
  online = yes;
  for (const listener of listeners) listener();
}

/** Asks the ledger, and learns the time from its answer. Null when there was no answer. */
export async function ask(path, body) {
  const asked = Date.now();
  try {
    const answer = await fetch(path, {
      method: body ? "POST" : "GET",
      // Another tab may have signed somebody else in: then nothing is taken in their name.
      headers: { "x-account": account, ...(body ? { "content-type": "application/json" } : {}) },
      body,
      cache: "no-store",
      signal: AbortSignal.timeout(15_000),
    });
    signedIn = answer.status !== 401;
    if (answer.status === 429) {
      wait(Number(answer.headers.get("retry-after")));
      heard(true);
      return null;
    }
    if (answer.status === 410) {
      const of = path.match(/^\/api\/v1\/clients\/([^/]+)/)?.[1] ?? client;
      if (of) await clear(of);
      heard(true);
      return null;
    }
    if (!answer.ok && answer.status !== 422) throw new Error(String(answer.status));
    const said = await answer.json();
    if (said.now) time.learn(said.now, asked);
    heard(true);
    return said;
  } catch {
    heard(false);
    return null;
  }
}

let until = 0;
/** The ledger has taken enough for now: nothing is sent for so many seconds, and all of it stays here. */
function wait(seconds) {
  until = performance.now() + 1_000 * Math.min(Math.max(seconds || 1, 1), WAIT_MOST_S);
}

let sending = false;
let wanted = false;
let fails = 0;
let later;

/** Sends what waits, until nothing does or the connection fails; then it tries again by itself. */
export async function send() {
  if (sending) {
    wanted = true;
    return;
  }
  sending = true;
  clearTimeout(later);
  try {
    // Two pages of one browser take turns, so that nothing is sent by both at once.
    const turns = navigator.locks;
    const whole = turns ? await turns.request("setwright-outbox", sendAll) : await sendAll();
    fails = whole ? 0 : fails + 1;
    const again = AGAIN_MS[Math.min(fails, AGAIN_MS.length) - 1];
    if (!whole) later = setTimeout(send, Math.max(again, until - performance.now()));
  } finally {
    sending = false;
  }
  if (wanted) {
    wanted = false;
    send();
  }
}

async function sendAll() {
  for (;;) {
    const kept = (await all("waiting")).slice(0, AT_ONCE);
    if (kept.length === 0) return true;
    if (performance.now() < until) return false;
    const said = await ask(EVENTS, JSON.stringify(kept.map((k) => k.event)));
    if (!said || !Array.isArray(said.answers)) return false;
    const named = await settle(kept, said.answers);
    for (const listener of listeners) listener();
    // An answer that names nothing of what was sent would go on for ever.
    if (named === 0) return false;
  }
}

/** Takes away what the ledger names; what it refuses goes aside. */
async function settle(kept, answers) {
  const byId = new Map(answers.map((a) => [a.id, a]));
  const forgotten = new Set(kept.filter((k) => byId.get(k.event.id)?.answer === "gone").map((k) => k.event.client));
  for (const client of forgotten) await clear(client);
  let named = 0;
  await within(["waiting", "refused"], "readwrite", (t) => {
    for (const k of kept) {
      const answer = byId.get(k.event.id);
      if (!answer) continue;
      named += 1;
      // Another device began the same session: it is there, and that is all that was wanted.
      const begun = answer.answer === "conflict" && "session_started" in k.event.what;
      if (answer.answer === "created" || answer.answer === "exists" || begun) {
        t.objectStore("waiting").delete(k.place);
      } else if (answer.answer === "conflict" || answer.answer === "rejected") {
        t.objectStore("refused").put({ ...k, why: answer.why });
        t.objectStore("waiting").delete(k.place);
      }
    }
  });
  return named;
}

addEventListener("online", () => send());
addEventListener("visibilitychange", () => {
  if (document.visibilityState === "visible") send();
});
