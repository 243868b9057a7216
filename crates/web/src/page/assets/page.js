// The little that pages do by themselves. Everything works without it.

// Typing in a filter leaves the lines that hold all its words.
const sift = (field) => {
  const words = field.value.toLowerCase().split(/\s+/).filter(Boolean);
  for (const name of field.dataset.filters.split(" ")) {
    for (const line of document.getElementById(name)?.children ?? []) {
      const text = line.textContent.toLowerCase();
      line.hidden = !words.every((word) => text.includes(word));
    }
  }
};
for (const field of document.querySelectorAll("[data-filters]")) field.addEventListener("input", () => sift(field));

// Lists of which parts are still being reckoned are fetched again until they are whole, unless somebody is in them.
const AGAIN_MS = 4000;
const again = async () => {
  const names = document.querySelector("[data-again]")?.dataset.again.split(" ");
  if (!names) return;
  const lists = names.map((name) => document.getElementById(name));
  if (!document.hidden && !lists.some((list) => list?.contains(document.activeElement))) {
    const answer = await fetch(location.href).catch(() => null);
    const page = answer?.ok && new DOMParser().parseFromString(await answer.text(), "text/html");
    if (page) for (const list of lists) list?.replaceChildren(...(page.getElementById(list.id)?.childNodes ?? []));
    for (const field of document.querySelectorAll("[data-filters]")) sift(field);
  }
  setTimeout(again, AGAIN_MS);
};
setTimeout(again, AGAIN_MS);

// Whoever signs out is told what this device has not sent yet, and leaves nothing else on it.
const SEND_MS = 5000;
const STORAGE_MS = 8000;
const out = document.querySelector("form.out");
// Storage that does not answer keeps nobody signed in: what waits to be sent lies in it as before.
const soon = (work) => Promise.race([work, new Promise((resolve) => setTimeout(resolve, STORAGE_MS))]);
const leave = async (outbox) => {
  await soon(outbox.forget());
  out.submit();
};
const signOut = async () => {
  out.querySelector("button").setAttribute("aria-busy", "true");
  const outbox = await import("./outbox.js").catch(() => null);
  const unsent = await soon(outbox?.unsent(SEND_MS).catch(() => []));
  if (!unsent?.length) return outbox ? leave(outbox).catch(() => out.submit()) : out.submit();
  out.querySelector("button").removeAttribute("aria-busy");
  const sets = unsent.filter((event) => event.what.set).length;
  const others = unsent.length - sets;
  const { h, many } = await import("./node.js");
  const said = [sets > 0 && many(sets, "set"), others > 0 && many(others, "other line")].filter(Boolean).join(" and ");
  const dialog = h("dialog", { "aria-labelledby": "unsent" },
    h("h2", { id: "unsent" }, `Not sent yet: ${said}`),
    h("p", {}, "It stays on this device and is sent when you sign in here again. Nobody else sees it. All else of you is cleared from the device."),
    h("p", {},
      h("button", { type: "button", onclick: () => dialog.remove() }, "Stay signed in"), " ",
      h("button", { type: "button", class: "quiet", onclick: () => leave(outbox) }, "Sign out all the same")));
  document.body.append(dialog);
  dialog.addEventListener("close", () => dialog.remove());
  dialog.showModal();
};
out?.addEventListener("submit", (event) => {
  event.preventDefault();
  event.stopImmediatePropagation();
  if (!document.getElementById("unsent")) signOut();
});

// What somebody left unsent here is sent when they are back, on whatever page that is.
if (out) import("./outbox.js").then((outbox) => outbox.begin()).catch(() => null);

// A form that was sent says so, and is not sent twice.
for (const form of document.querySelectorAll("form[method=post]")) {
  form.addEventListener("submit", (event) => {
    if (form.dataset.sent) {
      event.preventDefault();
      return;
    }
    form.dataset.sent = "yes";
    const button = event.submitter;
    if (button) button.setAttribute("aria-busy", "true");
  });
}
addEventListener("pageshow", () => {
  for (const form of document.querySelectorAll("form[data-sent]")) delete form.dataset.sent;
});

// The same where a device signed out without that. What was logged and waits to be sent stays.
if (new URLSearchParams(location.search).get("after") === "out") await import("./outbox.js").then((outbox) => outbox.forget()).catch(() => null);

// The editor and plans in the making have more to them.
const news = document.querySelector("[data-news]");
const curve = document.querySelector("[data-points]");
const editor = document.querySelector("[data-editor]");
if (news || curve || editor) {
  const module = await import("./editor.js");
  if (news) module.follow(news);
  if (curve) module.points(curve);
  if (editor) module.edit();
}

// A file can be read into a text area.
const chosen = document.querySelector("[data-reads]");
if (chosen) (await import("./chosen.js")).arm(chosen);
