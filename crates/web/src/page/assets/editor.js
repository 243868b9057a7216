// The editor and the plans in the making. Everything works without it: buttons send forms, pages are loaded again.

// A plan in the making tells what it has found; when there is no more to come, the page shows what came of it.
export const follow = (section) => {
  const news = new EventSource(section.dataset.news);
  const line = document.getElementById("news-line");
  const meter = document.getElementById("news-share");
  news.onmessage = (message) => {
    const told = JSON.parse(message.data);
    if (!told.open) {
      news.close();
      location.reload();
      return;
    }
    if (line.textContent !== told.line) line.textContent = told.line;
    meter.hidden = told.share === null;
    if (told.share !== null) meter.value = told.share;
  };
  addEventListener("pagehide", () => news.close());
};

// Points of the curve are pressed in the drawing as their buttons are below it.
export const points = (form) => {
  const buttons = [...form.querySelectorAll("button")];
  for (const drawing of document.querySelectorAll("main svg.drawing")) {
    [...drawing.querySelectorAll("g.point")].forEach((point, nth) => {
      if (!buttons[nth] || buttons[nth].disabled) return;
      point.classList.add("pressable");
      point.addEventListener("click", () => buttons[nth].click());
    });
  }
};

// The editor: a change is made without leaving the place on the page, and the address follows, so that going back undoes.
export const edit = () => {
  const main = document.querySelector("main");
  let busy = false;

  const put = async (answer, focus) => {
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const fresh = page.querySelector("main");
    if (!fresh) return location.assign(answer.url);
    if (answer.ok) history.pushState({ editor: true }, "", answer.url);
    main.replaceChildren(...fresh.childNodes);
    arm();
    const again = focus && [...main.querySelectorAll("button[name=make]")].find((b) => b.getAttribute("aria-label") === focus && !b.disabled);
    (again ?? main).focus({ preventScroll: true });
  };

  const send = async (form, make, focus) => {
    if (busy) return;
    busy = true;
    main.setAttribute("aria-busy", "true");
    try {
      const body = new URLSearchParams(new FormData(form));
      body.set("make", make);
      await put(await fetch(form.action, { method: "POST", body }), focus);
    } catch {
      document.getElementById("editor-line").textContent = "The program does not answer. Nothing was changed; try again.";
    } finally {
      busy = false;
      main.removeAttribute("aria-busy");
    }
  };

  const arm = () => {
    const form = main.querySelector("form[data-editor]");
    if (!form) return;
    form.addEventListener("submit", (event) => {
      const button = event.submitter;
      if (!button || button.name !== "make") return;
      event.preventDefault();
      send(form, button.value, button.getAttribute("aria-label"));
    });
    for (const lanes of form.querySelectorAll("[data-lanes]")) pull(lanes, form, send);
    form.dataset.armed = "yes";
  };

  addEventListener("popstate", async () => {
    const answer = await fetch(location.href);
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const fresh = page.querySelector("main");
    if (!fresh) return location.reload();
    main.replaceChildren(...fresh.childNodes);
    arm();
  });
  arm();
};

// Pixels that a set is pulled for one more or one less, and that tell a pull from a press.
const ONE_SET = 24;
const PULLED = 8;

// Pulling in a drawing of lanes: a block up or down moves it, onto the middle of another alternates the two; the end of the
// last set to the side changes the sets.
const pull = (lanes, form, send) => {
  const svg = lanes.querySelector("svg");
  const session = lanes.closest("[data-session]").dataset.session;
  const blocks = [...svg.querySelectorAll("g.block")];
  const boxes = () => blocks.map((b) => b.getBoundingClientRect());
  svg.addEventListener("pointerdown", (down) => {
    const lane = down.target.closest("g.lane");
    if (!lane || down.button !== 0) return;
    const { block, lane: nth } = lane.dataset;
    const of_set = down.target.closest(".work");
    svg.setPointerCapture(down.pointerId);
    const group = blocks[Number(block)];
    const move = (event) => {
      const [x, y] = [event.clientX - down.clientX, event.clientY - down.clientY];
      group.classList.toggle("pulled", Math.abs(x) > PULLED || Math.abs(y) > PULLED);
      if (!of_set) group.setAttribute("transform", `translate(0 ${y})`);
      mark(event, x);
      event.preventDefault();
    };
    const mark = (event, x) => {
      const line = document.getElementById("editor-line");
      if (of_set) {
        const by = Math.round(x / ONE_SET);
        if (by) line.textContent = by > 0 ? `Let go for ${by} more set${by > 1 ? "s" : ""}.` : `Let go for ${-by} set${by < -1 ? "s" : ""} less.`;
        return;
      }
      const to = target(event.clientY, Number(block));
      line.textContent = to.join === undefined ? "Let go to move the block here." : "Let go to alternate the two.";
    };
    const target = (y, own) => {
      const all = boxes();
      for (let n = 0; n < all.length; n += 1) {
        if (n === own) continue;
        const { top, height } = all[n];
        if (y < top || y > top + height) continue;
        const share = (y - top) / height;
        if (share > 0.25 && share < 0.75 && alone(n) && alone(own)) return { join: n };
        return { place: share < 0.5 ? n : n + 1 };
      }
      const before = all.filter((box, n) => n !== own && box.top + box.height / 2 < y).length;
      return { place: before >= own ? before + 1 : before };
    };
    const alone = (n) => blocks[n].querySelectorAll("g.lane").length === 1;
    const end = (event) => {
      svg.removeEventListener("pointermove", move);
      svg.removeEventListener("pointerup", end);
      svg.removeEventListener("pointercancel", end);
      group.removeAttribute("transform");
      group.classList.remove("pulled");
      if (event.type !== "pointerup") return;
      const [x, y] = [event.clientX - down.clientX, event.clientY - down.clientY];
      const own = Number(block);
      if (of_set) {
        const by = Math.round(x / ONE_SET);
        const sets = lane.querySelectorAll(".work").length + by;
        if (by && sets > 0) send(form, `sets.${session}.${block}.${nth}.${sets}`);
        return;
      }
      if (Math.abs(y) <= PULLED) return;
      const to = target(event.clientY, own);
      if (to.join !== undefined) send(form, `join.${session}.${to.join}.${own}`);
      else if (to.place !== own && to.place !== own + 1) send(form, `move.${session}.${own}.${session}.${to.place}`);
    };
    svg.addEventListener("pointermove", move);
    svg.addEventListener("pointerup", end);
    svg.addEventListener("pointercancel", end);
  });
};
