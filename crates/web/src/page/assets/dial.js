// A dial for one thumb: drag it sideways, press its ends, or use the arrow keys.

const STEP_PX = 26;

/**
 * A dial over `values` that begins at `index`. `said` writes a value, `changed` hears the new one.
 * Answers its node; `node.value` is the value it shows.
 */
export function dial(name, values, index, said, changed) {
  const node = document.createElement("div");
  node.className = "dial";
  const less = end("−", `Less: ${name}`);
  const more = end("+", `More: ${name}`);
  const face = document.createElement("div");
  face.className = "face";
  face.tabIndex = 0;
  face.setAttribute("role", "slider");
  face.setAttribute("aria-label", name);
  const label = document.createElement("span");
  label.className = "soft";
  label.textContent = name;
  label.setAttribute("aria-hidden", "true");
  const number = document.createElement("strong");
  face.append(number, label);
  node.append(less, face, more);

  let at = Math.max(0, Math.min(values.length - 1, index));
  const show = () => {
    number.textContent = said(values[at]);
    face.setAttribute("aria-valuemin", "0");
    face.setAttribute("aria-valuemax", String(values.length - 1));
    face.setAttribute("aria-valuenow", String(at));
    face.setAttribute("aria-valuetext", said(values[at]));
    node.value = values[at];
  };
  const move = (by) => {
    const to = Math.max(0, Math.min(values.length - 1, at + by));
    if (to === at) return;
    at = to;
    show();
    changed?.(values[at]);
  };
  less.addEventListener("click", () => move(-1));
  more.addEventListener("click", () => move(1));
  face.addEventListener("keydown", (event) => {
    const by = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1, PageDown: -5, PageUp: 5 }[event.key];
    if (by === undefined) return;
    event.preventDefault();
    move(by);
  });
  let from = null;
  face.addEventListener("pointerdown", (event) => {
    from = event.clientX;
    face.setPointerCapture(event.pointerId);
  });
  face.addEventListener("pointermove", (event) => {
    if (from === null) return;
    const by = Math.trunc((event.clientX - from) / STEP_PX);
    if (by === 0) return;
    move(by);
    from += by * STEP_PX;
  });
  const end_drag = () => { from = null; };
  face.addEventListener("pointerup", end_drag);
  face.addEventListener("pointercancel", end_drag);
  show();
  return node;
}

function end(sign, name) {
  const button = document.createElement("button");
  button.type = "button";
  button.textContent = sign;
  button.setAttribute("aria-label", name);
  return button;
}
