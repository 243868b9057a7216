// The session as this device knows it: what the ledger had, what waits to be sent, and what was chosen on the way. Every change is
// on the device's disk before anything is shown.

import * as outbox from "./outbox.js";
import * as time from "./time.js";

const OPEN_MS = 12 * 3_600_000;

export class Session {
  constructor(plan) {
    this.plan = plan;
    this.kept = plan.done;
    this.waiting = [];
    this.state = null;
    this.last = 0;
  }

  async open() {
    this.key = `session ${this.plan.session}`;
    const known = (await outbox.note(this.key)) ?? this.fresh(this.plan.session);
    const begun = known.begun ?? time.now();
    // A page that was kept for lack of reception may be of a session that is over: what is done now is another one.
    const isEarly = Boolean(this.plan.ended_early) || known.early;
    const over = (known.finished && !isEarly) || (!this.plan.begun && time.now() - begun > OPEN_MS);
    this.state = over ? this.fresh(time.identifier(time.now())) : known;
    // Ended early, here or on another device: it can be taken up again.
    if (!over && this.plan.ended_early) Object.assign(this.state, { finished: true, early: true });
    if (over) this.kept = [];
    await this.look();
  }

  fresh(id) {
    return { id, client: this.plan.client, begun: null, finished: false, early: false, block: null, swaps: {}, dropped: {}, warm: {}, more: {}, rested: null };
  }

  /** Choices of a block. */
  of(block) {
    const { swaps, dropped, warm, more } = this.state;
    return { swaps: swaps[block] ?? {}, dropped: dropped[block] ?? {}, warm: warm[block] ?? {}, more: more[block] ?? {} };
  }

  /** Remembers a choice for a lane. */
  async choose(what, block, lane, value) {
    this.state[what][block] = { ...this.state[what][block], [lane]: value };
    await this.save();
  }

  async save() {
    await outbox.remember(this.key, this.state);
  }

  async look() {
    const waiting = (await outbox.waiting()).filter((e) => e.client === this.plan.client);
    const still = new Set(waiting.map((e) => e.id));
    // What was sent is in the ledger now, also while this page has not heard it from there.
    this.kept = this.after(this.waiting.filter((e) => !still.has(e.id)));
    this.waiting = waiting;
  }

  /** The ledger's answer to what stands in it; true when something is new. */
  heard(said) {
    const news = JSON.stringify(said.sets) !== JSON.stringify(this.kept) || (said.finished && !this.state.finished);
    this.kept = said.sets;
    // What says that it goes on may still wait to be sent.
    const goesOn = this.waiting.some((e) => e.what.session_resumed?.session === this.state.id);
    if (said.finished && !goesOn) Object.assign(this.state, { finished: true, early: Boolean(said.early) });
    return news;
  }

  /** Sets of the session as they stand, those that wait included, in order. */
  sets() {
    return this.after(this.waiting).sort((a, b) => Date.parse(a.at) - Date.parse(b.at));
  }

  /** The kept sets after these events. */
  after(events) {
    const sets = new Map(this.kept.map((s) => [s.id, s]));
    for (const { id, at, what } of events) {
      if (what.set?.session === this.state.id) sets.set(id, { id, at, done: what.set.done });
      if (what.set_corrected && sets.has(what.set_corrected.set)) {
        const set = sets.get(what.set_corrected.set);
        sets.set(set.id, { ...set, done: what.set_corrected.done });
      }
      if (what.voided) sets.delete(what.voided.event);
    }
    return [...sets.values()];
  }

  /** How many events wait. */
  length() {
    return this.waiting.length;
  }

  event(what, id) {
    // Two events never bear the same moment, so that their order is plain.
    this.last = Math.max(time.now(), this.last + 1);
    const actor = { role: "coach", name: "" };
    return { id: id ?? time.identifier(this.last), at: time.written(this.last), client: this.plan.client, actor, what };
  }

  async write(...whats) {
    const events = whats.map((what) => this.event(what));
    await outbox.put(events);
    await this.look();
    return events;
  }

  /** Logs a set; the session begins with it when it has not. */
  async log(done) {
    const events = [];
    if (!this.plan.begun && this.state.begun === null) {
      const { programme, day } = this.plan;
      events.push(this.event({ session_started: { programme, day } }, this.state.id));
      this.state.begun = this.last;
    }
    const set = this.event({ set: { session: this.state.id, done } });
    await outbox.put([...events, set]);
    await this.save();
    await this.look();
    return set;
  }

  correct(set, done) {
    return this.write({ set_corrected: { set, done } });
  }

  takeAway(set) {
    return this.write({ voided: { event: set } });
  }

  async finish(effort, early = false) {
    const begun = this.plan.begun || this.state.begun !== null;
    if (begun) await this.write({ session_finished: { session: this.state.id, effort, early } });
    Object.assign(this.state, { finished: true, early });
    await this.save();
  }

  /** Goes on with a session that ended early. */
  async resume() {
    const begun = this.plan.begun || this.state.begun !== null;
    if (begun) await this.write({ session_resumed: { session: this.state.id } });
    Object.assign(this.state, { finished: false, early: false });
    await this.save();
  }

  /** Writes down that something hurts. */
  hurts(pain) {
    return this.write({ pain: { ...pain, session: this.state.id } });
  }
}
