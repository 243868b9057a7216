// The course of a session: which step comes next after what was logged, and how long to rest before it. Nothing is kept here: the
// same log always gives the same place, on any device.

/** What stands in a lane now: the exercise itself or the neighbour that was chosen for it. */
export function standing(lane, swap) {
  return swap === undefined || swap === null || !lane.near[swap] ? lane.card : lane.near[swap].card;
}

/** The steps of a block, in order: warm-up by turns, then rounds, as the session clock lays them. */
export function steps(block, cards, dropped) {
  const lanes = block.lanes.map((_, i) => i).filter((i) => !dropped[i]);
  const list = [];
  const most = Math.max(0, ...lanes.map((i) => cards[i].ramp.length));
  for (let n = 0; n < most; n++) {
    for (const lane of lanes) {
      if (cards[lane].ramp[n]) list.push({ kind: "warm_up", lane, n, rest: block.ramp_rest_s });
    }
  }
  const rounds = Math.max(0, ...lanes.map((i) => cards[i].sets));
  for (let n = 0; n < rounds; n++) {
    const active = lanes.filter((i) => cards[i].sets > n);
    active.forEach((lane, turn) => {
      const ends = turn + 1 === active.length;
      list.push({ kind: "work", lane, n, rest: ends ? block.rest_s : 0 });
    });
  }
  return list;
}

/** How many sets of each kind a lane has, of the exercise itself and of every neighbour that stood in for it. */
export function counted(block, lane, sets) {
  const ids = new Set([block.lanes[lane].card.id, ...block.lanes[lane].near.map((n) => n.card.id)]);
  const mine = sets.filter((s) => ids.has(s.done.exercise));
  const warm = mine.filter((s) => s.done.kind === "warm_up");
  const work = mine.filter((s) => s.done.kind !== "warm_up");
  return { warm: warm.length, work: work.length, sets: mine };
}

/** Where a block stands: the next step, the last set, and the rest after it. */
export function place(block, state, sets) {
  const cards = block.lanes.map((lane, i) => {
    const card = standing(lane, state.swaps[i]);
    return { ...card, sets: card.sets + (state.more[i] ?? 0) };
  });
  const counts = block.lanes.map((_, i) => counted(block, i, sets));
  const list = steps(block, cards, state.dropped);
  const isDone = (step) => {
    const count = counts[step.lane];
    if (step.kind === "work") return step.n < count.work;
    // Who began to work, or said that it is enough, is warm.
    return step.n < count.warm || count.work > 0 || state.warm[step.lane];
  };
  const next = list.find((step) => !isDone(step)) ?? null;
  const mine = counts.flatMap((c) => c.sets).sort((a, b) => Date.parse(a.at) - Date.parse(b.at));
  const last = mine.at(-1) ?? null;
  return { cards, counts, list, next, last, rest: last && next ? restAfter(last, list, counts, block) : 0 };
}

function restAfter(last, list, counts, block) {
  const lane = counts.findIndex((c) => c.sets.includes(last));
  if (last.done.kind === "warm_up") return block.ramp_rest_s;
  const step = list.find((s) => s.kind === "work" && s.lane === lane && s.n === counts[lane].work - 1);
  return step ? step.rest : block.rest_s;
}

/** Whether nothing is left of a block. */
export function isOver(block, state, sets) {
  return place(block, state, sets).next === null;
}
