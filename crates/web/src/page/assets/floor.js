// The floor page: one block fills the screen, the exercise to do now is large. It draws what the session says and never keeps
// anything by itself.

import * as course from "./course.js";
import * as outbox from "./outbox.js";
import * as sheets from "./sheets.js";
import * as time from "./time.js";
import { bar, hung, inWords } from "./bar.js";
import { h, left, many } from "./node.js";
import { Session } from "./session.js";

// A second press within this time is the same press of a wet thumb.
const SAME_PRESS_MS = 1_500;
const LOOK_MS = 15_000;
const TICK_MS = 250;

const root = document.getElementById("floor");
const session = new Session(JSON.parse(root.dataset.floor));
const { plan } = session;
let busy = false;
let logged = -Infinity;
let refused = [];
let withheld = null;

/** Does something once, however often it is pressed, and draws again. */
async function once(work) {
  if (busy) return;
  busy = true;
  try {
    await work();
  } finally {
    busy = false;
    draw();
  }
}

/** The block that is shown: the one that was chosen, else the first that is not over. */
function shown() {
  const sets = session.sets();
  const isOver = (i) => course.isOver(plan.blocks[i], session.of(i), sets);
  const chosen = session.state.block;
  if (chosen !== null && !isOver(chosen)) return chosen;
  const first = plan.blocks.findIndex((_, i) => !isOver(i));
  return first < 0 ? null : first;
}

/** Seconds of rest that are left before the next step of a place. */
function restLeft(place) {
  if (!place.last || !place.next || session.state.rested === place.last.id) return 0;
  return place.rest - (time.now() - Date.parse(place.last.at)) / 1000;
}

function draw() {
  const i = shown();
  const open = root.querySelector("dialog[open]");
  if (open) return;
  const at = document.activeElement;
  if (outbox.isCleared(plan.client)) {
    root.replaceChildren(h("p", { class: "refused", role: "status" }, "This client was forgotten. What this device kept of them is cleared."));
    root.removeAttribute("data-floor");
    document.title = "Forgotten";
    return;
  }
  if (withheld) {
    root.replaceChildren(line(), stopped());
    return;
  }
  root.replaceChildren(line(), session.state.finished ? ended() : i === null ? last() : block(i), foot(i));
  if (!at.isConnected) focusLike(at);
  tick();
}

/** Gives the focus to what stands where the one that had it stood, so that nobody who walks by keyboard is thrown back to the top. */
function focusLike(was) {
  const likes = [...root.querySelectorAll(was.tagName)].filter((n) => n.className === was.className);
  (likes.find((n) => n.textContent === was.textContent) ?? (was.className ? likes[0] : null))?.focus({ preventScroll: true });
}

/** The truth about the connection. */
function line() {
  const sets = session.waiting.filter((e) => e.what.set).length;
  const others = session.length() - sets;
  const waits = [sets > 0 && many(sets, "set"), others > 0 && many(others, "other line")].filter(Boolean).join(" and ");
  const words = waits ? `${waits} waiting to send.` : outbox.isOnline() === false && outbox.isSignedIn() ? "No connection. All you log is kept here." : "All is kept.";
  return h("div", { class: "line", role: "status", "data-waiting": session.length() },
    h("span", {}, `${plan.name}, ${plan.focus}. `, words),
    plan.left_out.map((text) => h("p", { class: "refused" }, text)),
    outbox.isSignedIn() ? null : h("p", { class: "refused" }, "You are signed out. All you log is kept on this device until you ",
      h("a", { href: `/login?to=${location.pathname}` }, "sign in again"), "."),
    refused.map((r) => h("p", { class: "refused" }, `Refused: ${r.why ?? "no reason given"} `,
      h("button", { type: "button", onclick: () => once(async () => { await outbox.dismiss(r.place); refused = await outbox.refused(); }) }, "I have seen it"))));
}

function block(i) {
  const part = plan.blocks[i];
  const place = course.place(part, session.of(i), session.sets());
  const lanes = part.lanes.map((_, n) => n).filter((n) => !session.of(i).dropped[n]);
  return h("div", { class: `fields of-${lanes.length}`, "data-block": part.letter },
    lanes.map((lane) => (lane === place.next.lane ? now(i, place) : waits(i, lane, place))));
}

function label(i, lane) {
  const { letter, lanes } = plan.blocks[i];
  return lanes.length > 1 ? `${letter}${lane + 1}` : letter;
}

/** What the step asks: reps, load, reps in reserve. */
function asked(step, card) {
  if (step.kind === "warm_up") {
    const { reps, load } = card.ramp[step.n];
    return { kind: "warm_up", reps, load, rir: null };
  }
  return { kind: "work", reps: card.target, load: card.rung === null ? null : card.ladder[card.rung], rir: card.rir };
}

function inALine(card, want) {
  const unit = card.counted_in ? ` ${card.counted_in}` : "";
  const side = card.each_side ? " a side" : "";
  const words = left(want.rir);
  return `${want.reps}${unit}${side} ${inWords(card, want.load?.kg)}${words ? `, ${words}` : ", easy"}`;
}

/** The field of the step to do now. */
function now(i, place) {
  const { lane, kind, n } = place.next;
  const card = place.cards[lane];
  const want = asked(place.next, card);
  const of = kind === "warm_up" ? `warm-up ${n + 1} of ${card.ramp.length}` : `set ${n + 1} of ${card.sets}`;
  const [low, high] = card.reps;
  const range = kind === "work" && low !== high ? `${low} to ${high} will do.` : "";
  return h("section", { class: `field now side-${lane % 2}`, "aria-labelledby": "now", "data-exercise": card.id },
    h("div", { class: "tide", "aria-hidden": "true" }),
    h("p", { class: "soft" }, `${label(i, lane)}, ${of}`, card.at ? `, ${card.at}` : ""),
    h("h1", { id: "now" }, card.name),
    picture(card, want),
    h("div", { class: "rest", hidden: true },
      h("span", { class: "clock" }),
      h("button", { type: "button", onclick: () => once(() => endRest(place)) }, "Begin now")),
    h("button", { type: "button", class: "target", onclick: () => log(card, want) }, inALine(card, want), h("small", {}, `Press when it is done. ${range}`)),
    h("div", { class: "row" },
      h("button", { type: "button", class: "otherwise", onclick: () => sheets.otherwise(root, card, want, (done) => log(card, done, true)) }, "It went otherwise"),
      h("button", { type: "button", onclick: () => sheets.taken(root, plan.blocks[i].lanes[lane], card, (swap) => once(() => session.choose("swaps", i, lane, swap))) }, "Station taken"),
      kind === "warm_up" && h("button", { type: "button", onclick: () => once(() => session.choose("warm", i, lane, true)) }, "Warm enough")),
    previous(place, lane));
}

function picture(card, want) {
  return bar(card, want.load) ?? h("p", { class: "load" }, hung(card, want.load?.kg));
}

/** The field that waits. */
function waits(i, lane, place) {
  const card = place.cards[lane];
  const next = place.list.find((s) => s.lane === lane && (s.kind === "work" ? s.n >= place.counts[lane].work : s.n >= place.counts[lane].warm));
  const text = next ? inALine(card, asked(next, card)) : "done";
  return h("section", { class: `field waits side-${lane % 2}`, "aria-label": card.name },
    h("p", { class: "soft" }, `${label(i, lane)}, then`),
    h("p", { class: "then" }, `${card.name}: ${text}`));
}

/** The last set of the lane, and a way to mend it. */
function previous(place, lane) {
  const set = place.counts[lane].sets.at(-1) ?? place.last;
  if (!set) return null;
  const of = place.cards.find((c) => c.id === set.done.exercise) ?? place.cards[lane];
  const said = inALine(of, { ...set.done, load: set.done.load ? { kg: set.done.load.kg } : null });
  return h("p", { class: "previous soft" }, `Last: ${said}. `,
    h("button", { type: "button", onclick: () => sheets.mend(root, of, set, mend(set)) }, "Change it"));
}

function mend(set) {
  return {
    save: (done) => once(() => session.correct(set.id, done)),
    away: () => once(() => session.takeAway(set.id)),
  };
}

/** The set as the ledger writes it. */
function asDone(card, given) {
  const load = given.load ? { value: given.load.kg, unit: "kg", kg: given.load.kg } : null;
  return { exercise: card.id, kind: given.kind, load, reps: given.reps, rir: given.rir ?? null };
}

function log(card, given, sure = false) {
  // A load that is found on the day has to be said.
  if (!sure && given.kind === "work" && !given.load && card.ladder.length > 0) {
    sheets.otherwise(root, card, given, (done) => log(card, done, true));
    return;
  }
  if (!sure && performance.now() - logged < SAME_PRESS_MS) return;
  once(async () => {
    await session.log(asDone(card, given));
    logged = performance.now();
  });
}

async function endRest(place) {
  session.state.rested = place.last.id;
  await session.save();
}

/** Everything is done but the end. */
function last() {
  return h("div", { class: "fields of-1" }, h("section", { class: "field now" },
    h("h1", {}, "That was the session."),
    h("p", {}, `${many(session.sets().filter((s) => s.done.kind !== "warm_up").length, "work set")} logged.`),
    h("button", { type: "button", class: "target", onclick: () => sheets.end(root, 0, finish) }, "End the session", h("small", {}, "How hard was it, as a whole?"))));
}

function ended() {
  const n = session.sets().filter((s) => s.done.kind !== "warm_up").length;
  if (session.state.early) return endedEarly(n);
  return h("div", { class: "fields of-1" }, h("section", { class: "field now" },
    h("h1", {}, "The session is over."),
    h("p", {}, `${many(n, "work set")} logged. Leave this page open until all is sent, or open it again when there is reception: nothing gets lost.`),
    h("p", {}, h("a", { href: `/clients/${plan.client}` }, "To the client's page"))));
}

/** A clinician's word comes first: nothing to do is shown. */
function stopped() {
  return h("div", { class: "fields of-1" }, h("section", { class: "field now", role: "alert" },
    h("h1", {}, "Stop here."),
    h("p", {}, `${withheld} What was logged is kept.`),
    h("p", {}, h("a", { href: `/clients/${plan.client}` }, "To the client's page"))));
}

/** Ended before all was done: it does not count, and goes on when somebody says so. */
function endedEarly(n) {
  return h("div", { class: "fields of-1" }, h("section", { class: "field now" },
    h("h1", {}, "The session ended early."),
    h("p", {}, `${many(n, "work set")} logged. It does not count as done: this session comes again.`),
    h("button", { type: "button", class: "target", onclick: () => once(() => session.resume()) }, "Take it up again"),
    h("p", {}, h("a", { href: `/clients/${plan.client}` }, "To the client's page"))));
}

/** How many exercises are not done yet. */
function undone() {
  const sets = session.sets();
  return plan.blocks.reduce((sum, part, i) => {
    const { list, counts } = course.place(part, session.of(i), sets);
    const lanes = new Set(list.filter((s) => s.kind === "work" && s.n >= counts[s.lane].work).map((s) => s.lane));
    return sum + lanes.size;
  }, 0);
}

function finish(effort, early) {
  return once(() => session.finish(effort, early));
}

function foot(i) {
  return h("div", { class: "foot" },
    h("button", { type: "button", class: "hurts", onclick: () => hurts(i) }, "Something hurts"),
    !session.state.finished && h("button", { type: "button", onclick: () => sheets.whole(root, wholeOf()) }, "Whole session"));
}

function hurts(i) {
  const place = i === null ? null : course.place(plan.blocks[i], session.of(i), session.sets());
  const card = place && !session.state.finished ? place.cards[place.next.lane] : null;
  sheets.hurts(root, plan, card, {
    end: (pain) => once(async () => {
      await session.hurts(pain);
      await session.finish(null, true);
    }),
    without: (pain) => once(async () => {
      await session.hurts(pain);
      await session.choose("dropped", i, place.next.lane, true);
    }),
    note: (pain) => once(() => session.hurts(pain)),
  });
}

/** What the list of the whole session needs. */
function wholeOf() {
  const sets = session.sets();
  return {
    plan,
    blocks: plan.blocks.map((b, i) => ({ part: b, state: session.of(i), place: course.place(b, session.of(i), sets) })),
    go: (i) => once(async () => {
      session.state.block = i;
      await session.save();
    }),
    more: (i, lane) => once(async () => {
      session.state.block = i;
      await session.choose("more", i, lane, (session.of(i).more[lane] ?? 0) + 1);
    }),
    sore: () => sheets.sore(root, plan, (levels) => once(() => session.write(...levels.map((soreness) => ({ soreness }))))),
    end: () => sheets.end(root, undone(), finish),
  };
}

/** Moves the tide. It is reckoned from the moment of the last set, so it is right after any sleep. */
function tick() {
  const field = root.querySelector(".field.now");
  const rest = field?.querySelector(".rest");
  if (!rest) return;
  const i = shown();
  if (i === null) return;
  const place = course.place(plan.blocks[i], session.of(i), session.sets());
  const seconds = restLeft(place);
  const resting = seconds > 0;
  if (!rest.hidden && !resting) navigator.vibrate?.(200);
  rest.hidden = !resting;
  field.classList.toggle("resting", resting);
  field.style.setProperty("--tide", resting ? String(Math.min(1, seconds / place.rest)) : "0");
  rest.querySelector(".clock").textContent = time.clock(seconds);
}

async function look() {
  if (document.visibilityState !== "visible") return;
  const said = await outbox.ask(`/api/v1/clients/${plan.client}/sessions/${session.state.id}`);
  if (outbox.isCleared(plan.client)) return draw();
  await session.look();
  if (said && session.heard(said)) await session.save();
  if (said) withheld = said.withheld ?? null;
  draw();
}

async function begin() {
  // Without being asked to keep it, a browser may throw the outbox away when the device is full.
  navigator.storage?.persist?.();
  await outbox.begin();
  await session.open();
  refused = await outbox.refused();
  draw();
  outbox.whenSent(async () => {
    if (outbox.isCleared(plan.client)) return draw();
    await session.look();
    refused = await outbox.refused();
    // What was sent is in the ledger and no longer in the outbox: it must not vanish from the screen between the two.
    if (!busy) draw();
  });
  await look();
  if (outbox.isCleared(plan.client)) return;
  outbox.send();
  setInterval(tick, TICK_MS);
  setInterval(look, LOOK_MS);
  addEventListener("visibilitychange", look);
  await keepPage();
}

/** Has this page kept for when there is no reception, where the browser allows it: over a safe connection. */
async function keepPage() {
  if (!("serviceWorker" in navigator)) return;
  try {
    await navigator.serviceWorker.register("/worker.js");
    // The page came before the worker, which has therefore not seen it.
    const answer = await fetch(location.pathname);
    if (answer.ok && !answer.redirected) await (await caches.open("pages")).put(location.pathname, answer);
    root.dataset.kept = "yes";
  } catch {
    // Without it only a reload without reception fails; what is logged is kept in any case.
  }
}

begin();
