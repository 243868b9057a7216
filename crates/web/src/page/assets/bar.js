// A load as one sees it from the side: the sleeve of the bar with its discs, or the number on a dumbbell or a pin.

const SVG = "http://www.w3.org/2000/svg";
const INK = "currentColor";

function shape(name, attributes) {
  const node = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, String(value));
  return node;
}

/** Height of a disc in the drawing: heavier discs are taller, small change is small. */
function height(kg) {
  return Math.min(84, 24 + 15 * Math.sqrt(kg));
}

/** A number without needless zeros. */
export function plain(kg) {
  return String(Math.round(kg * 100) / 100);
}

const POUNDS = globalThis.document?.documentElement.dataset.unit === "lb";
const KG_PER_LB = 0.45359237;

/** A load in the unit that the browser asked for; discs carry the number that is cast on them, and stay. */
export function weight(kg, pounds = POUNDS) {
  if (!pounds) return `${plain(kg)} kg`;
  const lb = kg / KG_PER_LB;
  return `${lb < 10 ? Math.round(10 * lb) / 10 : Math.round(2 * lb) / 2} lb`;
}

/** What is cast on the discs of a load; a plan that was kept from before they said so has kilograms alone. */
function cast(load) {
  return load.plates ?? load.discs.map((kg) => ({ number: kg, unit: "kg" }));
}

/** Discs in words, each by the number that is cast on it, with their unit once where it is one. */
export function called(plates) {
  const isMixed = plates.some((p) => p.unit !== plates[0].unit);
  const list = plates.map((p) => (isMixed ? `${plain(p.number)} ${p.unit}` : plain(p.number))).join(", ");
  return isMixed ? list : `${list} ${plates[0].unit}`;
}

/** The drawing of a load on a card, or null when there is nothing to hang. */
export function bar(card, load) {
  if (!load || card.sides === 0) return null;
  const plates = cast(load);
  const words = load.discs.length === 0
    ? "nothing to hang"
    : `${card.sides === 2 ? "each side" : "on the end"}: ${called(plates)} from the inside out`;
  const svg = shape("svg", { viewBox: "0 0 320 120", role: "img", "aria-label": words, class: "bar" });
  svg.append(shape("rect", { x: 0, y: 57, width: 84, height: 6, fill: INK }));
  svg.append(shape("rect", { x: 84, y: 46, width: 8, height: 28, fill: INK }));
  svg.append(shape("rect", { x: 92, y: 53, width: 220, height: 14, fill: "none", stroke: INK, "stroke-width": 1.5 }));
  const wide = Math.min(34, 208 / Math.max(1, load.discs.length));
  load.discs.forEach((kg, i) => {
    const h = height(kg);
    const x = 96 + i * wide;
    svg.append(shape("rect", { x, y: 60 - h / 2, width: wide - 3, height: h, rx: 3, class: "disc" }));
    const text = shape("text", { x: x + (wide - 3) / 2, y: 65, "text-anchor": "middle", class: "weight" });
    text.textContent = plain(plates[i].number);
    svg.append(text);
  });
  if (load.discs.length === 0) {
    const text = shape("text", { x: 204, y: 92, "text-anchor": "middle", class: "empty" });
    text.textContent = card.bar_kg ? `bar alone, ${weight(card.bar_kg)}` : "nothing hung";
    svg.append(text);
  }
  return svg;
}

const KINDS = {
  bar: "", dumbbell_pair: " in each hand", dumbbell: " dumbbell", kettlebell: " kettlebell",
  kettlebell_pair: " in each hand", stack: " on the stack", discs: " in discs", single: "",
  body_plus: " on top of the body", body: "", assisted: " taken off the body", band: "",
};

/** A load by itself: "60 kg", "12 kg in each hand", "the body alone". */
export function hung(card, kg) {
  if (kg === null || kg === undefined) {
    if (card.kind === "body") return "the body alone";
    if (card.kind === "band") return "a band";
    return "a load by feel";
  }
  if (kg === 0 && card.kind === "body_plus") return "the body alone";
  return `${weight(kg)}${KINDS[card.kind] ?? ""}`;
}

/** A load after a count: "at 60 kg", "with the body alone". */
export function inWords(card, kg) {
  const words = hung(card, kg);
  return /^[0-9]/.test(words) ? `at ${words}` : `with ${words}`;
}
