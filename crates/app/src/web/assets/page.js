// The little that pages do by themselves. Everything works without it.

// Typing in a filter leaves the lines that hold all its words.
for (const field of document.querySelectorAll("[data-filters]")) {
  const list = document.getElementById(field.dataset.filters);
  field.addEventListener("input", () => {
    const words = field.value.toLowerCase().split(/\s+/).filter(Boolean);
    for (const line of list.children) {
      const text = line.textContent.toLowerCase();
      line.hidden = !words.every((word) => text.includes(word));
    }
  });
}

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

// The editor and plans in the making have more to them.
const news = document.querySelector("[data-news]");
const curve = document.querySelector("[data-points]");
const bench = document.querySelector("[data-bench]");
if (news || curve || bench) {
  const desk = await import("./bench.js");
  if (news) desk.follow(news);
  if (curve) desk.points(curve);
  if (bench) desk.edit();
}
