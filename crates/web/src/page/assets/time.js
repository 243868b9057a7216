// The time as the ledger's machine has it, and identifiers made on this device. The clock of a phone may be wrong by days: each
// time that the ledger answers, the difference is learned and kept.

const KEY = "setwright-skew-ms";
// A difference below this is the travel of the answer and not a wrong clock.
const WORTH_MS = 90_000;

let skew = Number(localStorage.getItem(KEY)) || 0;
// A jump further than this is no sleep of the device: somebody set the clock.
const SLEPT_AT_MOST_MS = 12 * 3_600_000;
// What the clock says less what has run since the page was opened: it moves when the clock is set, or the device slept.
let anchor = Date.now() - performance.now();

/** Milliseconds since 1970. */
export function now() {
  const moved = Date.now() - performance.now() - anchor;
  anchor += moved;
  if (moved < -WORTH_MS || moved > SLEPT_AT_MOST_MS) {
    skew -= Math.round(moved);
    localStorage.setItem(KEY, String(skew));
  }
  return Date.now() + skew;
}

/** Learns from an answer that was asked for at `asked` (this device's time) what the right time is. */
export function learn(text, asked) {
  const heard = Date.now();
  const right = Date.parse(text);
  if (Number.isNaN(right)) return;
  const off = right - (asked + heard) / 2;
  skew = Math.abs(off) < WORTH_MS ? 0 : Math.round(off);
  localStorage.setItem(KEY, String(skew));
}

/** A moment with the offset that holds here at that moment: "2026-11-27T18:05:09.120+01:00". */
export function written(ms) {
  const off = -new Date(ms).getTimezoneOffset();
  const local = new Date(ms + off * 60_000).toISOString().slice(0, 23);
  const two = (n) => String(Math.floor(n)).padStart(2, "0");
  const sign = off < 0 ? "-" : "+";
  return `${local}${sign}${two(Math.abs(off) / 60)}:${two(Math.abs(off) % 60)}`;
}

/** A time-ordered identifier (UUID version 7, RFC 9562) made at this moment. */
export function identifier(ms) {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  let left = Math.max(0, Math.floor(ms));
  for (let i = 5; i >= 0; i--) {
    bytes[i] = left % 256;
    left = Math.floor(left / 256);
  }
  bytes[6] = (bytes[6] & 0x0f) | 0x70;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = [...bytes].map((b) => b.toString(16).padStart(2, "0")).join("");
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
}

/** "2:05" of seconds. */
export function clock(seconds) {
  const s = Math.max(0, Math.ceil(seconds));
  return `${Math.floor(s / 60)}:${String(s % 60).padStart(2, "0")}`;
}
