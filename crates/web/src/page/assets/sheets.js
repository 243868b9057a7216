// What opens over the floor page: another result, a neighbour, the whole session, soreness, pain, the end.

import { dial } from "./dial.js";
import { hung } from "./bar.js";
import { h, many } from "./node.js";

/** Opens a sheet; `fill` gives its content and gets the way to close it. */
function sheet(root, title, fill) {
  const close = () => {
    node.close();
    node.remove();
  };
  const node = h("dialog", { "aria-label": title, oncancel: close }, h("h2", {}, title));
  node.append(...fill(close).flat().filter(Boolean));
  root.append(node);
  node.showModal();
}

function button(text, press, kind = "") {
  return h("button", { type: "button", class: kind, onclick: press }, text);
}

const REPS_MOST = 60;
const RIR_MOST = 6;

/** The dials of a set, beginning with what was asked or done. */
function dials(card, from) {
  const count = Array.from({ length: Math.max(REPS_MOST, 2 * from.reps) + 1 }, (_, i) => i);
  const unit = card.counted_in ? ` ${card.counted_in}` : "";
  const reps = dial("reps", count, from.reps, (v) => `${v}${unit}`);
  const reserve = [null, ...Array.from({ length: RIR_MOST + 1 }, (_, i) => i)];
  const rir = dial("left in you", reserve, reserve.indexOf(from.rir ?? null), (v) => (v === null ? "not said" : String(v)));
  const rungs = card.ladder.map((r) => r.kg);
  let load = null;
  if (rungs.length > 0) {
    const kg = from.load?.kg ?? null;
    const values = kg === null || rungs.includes(kg) ? rungs : [...rungs, kg].sort((a, b) => a - b);
    const at = kg === null ? Math.floor(values.length / 3) : values.indexOf(kg);
    load = dial("load", values, at, (v) => hung(card, v));
  }
  const read = () => ({
    kind: from.kind,
    reps: reps.value,
    rir: rir.value,
    load: load ? { kg: load.value } : from.load,
  });
  return { nodes: [reps, rir, load], read };
}

/** How a set went, when not as asked. */
export function otherwise(root, card, want, log) {
  sheet(root, card.name, (close) => {
    const { nodes, read } = dials(card, want);
    return [nodes, button("Log it", () => { close(); log(read()); }, "main"), button("Back", close)];
  });
}

/** Mends a set that is logged. */
export function mend(root, card, set, { save, away }) {
  sheet(root, `Change: ${card.name}`, (close) => {
    const load = set.done.load ? { kg: set.done.load.kg } : null;
    const { nodes, read } = dials(card, { ...set.done, load });
    const kept = () => {
      const now = read();
      const kg = now.load?.kg ?? null;
      const same = kg === null || kg === set.done.load?.kg;
      const load = same ? set.done.load : { value: kg, unit: "kg", kg };
      close();
      save({ ...set.done, reps: now.reps, rir: now.rir, load });
    };
    return [nodes, button("Keep this instead", kept, "main"), button("It was not done: take it away", () => { close(); away(); }), button("Back", close)];
  });
}

/** What could stand in. */
export function taken(root, lane, card, choose) {
  sheet(root, `Instead of ${card.name}`, (close) => {
    const pick = (swap) => () => { close(); choose(swap); };
    const others = lane.near.map((near, i) => {
      if (near.card.id === card.id) return null;
      const load = near.card.rung === null ? null : near.card.ladder[near.card.rung].kg;
      return h("button", { type: "button", class: "choice", onclick: pick(i) },
        h("strong", {}, near.card.name),
        h("span", {}, hung(near.card, load), near.card.at ? `, ${near.card.at}` : ""),
        h("span", { class: "soft" }, costs(near)));
    });
    const back = lane.card.id === card.id ? null
      : h("button", { type: "button", class: "choice", onclick: pick(null) }, h("strong", {}, lane.card.name), h("span", { class: "soft" }, "as planned"));
    const none = lane.near.length === 0 && h("p", {}, "Nothing else here trains the same with what there is. Do another block first: open the whole session.");
    return [back, others, none, button("Back", close)];
  });
}

function costs(near) {
  const minutes = Math.round(near.minutes);
  const time = minutes === 0 ? "as long" : `${many(Math.abs(minutes), "minute")} ${minutes > 0 ? "longer" : "shorter"}`;
  return near.doses.length === 0 ? `${time}, the same dose` : `${time}; sets: ${near.doses.join(", ")}`;
}

/** The whole session as a list. */
export function whole(root, { plan, blocks, go, more, sore, end }) {
  sheet(root, `Session ${plan.number}, ${plan.focus}`, (close) => {
    const then = (work) => () => { close(); work(); };
    const lines = blocks.map(({ part, state, place }, i) => h("section", { class: "part" },
      h("h3", {}, `Block ${part.letter}${place.next ? "" : ", done"}`),
      part.lanes.map((_, lane) => h("p", {}, oneLine(state, place, lane),
        h("button", { type: "button", onclick: then(() => more(i, lane)) }, "One set more"))),
      place.next && button("Go to this block", then(() => go(i)))));
    const ready = plan.not_ready.length > 0 && h("p", { class: "soft" }, `May not be ready yet: ${plan.not_ready.join(", ")}.`);
    return [ready, lines, button("Sore today", then(sore)), button("End the session", then(end)), button("Back", close, "main")];
  });
}

function oneLine(state, place, lane) {
  const card = place.cards[lane];
  if (state.dropped[lane]) return `${card.name}, left out`;
  return `${card.name}, ${place.counts[lane].work} of ${card.sets}`;
}

/** How sore the muscles of the session are. */
export function sore(root, plan, save) {
  sheet(root, "Sore today", (close) => {
    const levels = Array.from({ length: 11 }, (_, i) => i);
    const all = plan.muscles.map(([id, name]) => [id, dial(name, levels, 0, (v) => `${v} of 10`)]);
    const touched = new Set();
    for (const [id, node] of all) node.addEventListener("click", () => touched.add(id), true);
    for (const [id, node] of all) node.addEventListener("keydown", () => touched.add(id), true);
    for (const [id, node] of all) node.addEventListener("pointerdown", () => touched.add(id), true);
    const keep = () => {
      const said = all.filter(([id]) => touched.has(id)).map(([muscle, node]) => ({ muscle, level: node.value }));
      close();
      if (said.length > 0) save(said);
    };
    return [h("p", { class: "soft" }, "Only what you touch is written."), all.map(([, node]) => node), button("Keep", keep, "main"), button("Back", close)];
  });
}

/** How hard it was; with exercises left, also whether it counts as done. */
export function end(root, left, finish) {
  sheet(root, "How hard was the session?", (close) => {
    const levels = [null, ...Array.from({ length: 11 }, (_, i) => i)];
    const effort = dial("effort", levels, 0, (v) => (v === null ? "not said" : `${v} of 10`));
    const then = (early) => () => { close(); finish(effort.value, early); };
    if (left === 0) return [effort, button("End the session", then(false), "main"), button("Back", close)];
    return [
      h("p", {}, `${many(left, "exercise")} not done yet. A session that ends early comes again, and can be taken up again today.`),
      effort,
      button("End early", then(true), "main"),
      button("End, it counts as done", then(false)),
      button("Back", close),
    ];
  });
}

const SIDES = [["", "no side"], ["left", "left"], ["right", "right"], ["both", "both sides"]];

/** Pain: the caution first, then where and how, then what to do. The clock of the rest does not matter any more. */
export function hurts(root, plan, card, { end, without, note }) {
  sheet(root, "Stop", (close) => {
    // Nobody's pain is chosen for them: without a place nothing is written.
    const choice = ([id, name]) => h("option", { value: id }, name);
    const where = h("select", { id: "where" }, [["", "choose a place"], ...plan.places].map(choice));
    const side = h("select", { id: "side" }, SIDES.map(choice));
    const how = h("input", { id: "how", maxlength: 200, autocomplete: "off" });
    const said = () => ({ place: where.value, side: side.value || null, exercise: card?.id ?? null, words: how.value.trim() });
    const then = (work) => () => { const pain = said(); close(); work(pain); };
    const ways = [
      card ? button("End the session", then(end), "main") : button("Write it down", then(note), "main"),
      card && button(`Go on without ${card.name}`, then(without)),
    ].filter(Boolean);
    const allow = () => { for (const way of ways) way.disabled = where.value === ""; };
    where.addEventListener("change", allow);
    allow();
    return [
      h("p", { class: "caution" }, plan.caution),
      h("label", { for: "where" }, "Where does it hurt?"), where,
      h("label", { for: "side" }, "On which side?"), side,
      h("label", { for: "how" }, "How does it feel, in a few words?"), how,
      ...ways,
      button("Back: nothing hurts", close),
    ];
  });
}
