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

// Whoever signs out leaves no page behind on the device. What was logged and waits to be sent stays.
if (new URLSearchParams(location.search).get("after") === "out" && "caches" in window) await caches.delete("pages");

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
