// Small help for making nodes.

/** A node with attributes; a function under "on…" listens, false and null leave an attribute out. */
export function h(name, attributes, ...children) {
  const node = document.createElement(name);
  for (const [key, value] of Object.entries(attributes ?? {})) {
    if (typeof value === "function") node.addEventListener(key.slice(2), value);
    else if (value !== false && value !== null && value !== undefined) node.setAttribute(key, value === true ? "" : String(value));
  }
  node.append(...children.flat().filter((c) => c !== null && c !== undefined && c !== false));
  return node;
}

const COUNTS = ["nothing", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"];

/** "two left in you", "nothing left in you"; nothing when nobody said. */
export function left(rir) {
  return rir === null || rir === undefined ? "" : `${COUNTS[rir] ?? rir} left in you`;
}

/** "1 set", "3 sets". */
export function many(n, thing) {
  return n === 1 ? `1 ${thing}` : `${n} ${thing}s`;
}
