"use strict";
// One step at a time; without this script the page shows every step, one below the other.
const steps = [...document.querySelectorAll("section.step")];
const back = document.getElementById("back");
const next = document.getElementById("next");
const place = document.getElementById("place");
let current = 0;

function show(number, focus) {
  current = Math.min(Math.max(number, 0), steps.length - 1);
  steps.forEach((step, at) => { step.hidden = at !== current; });
  back.disabled = current === 0;
  next.disabled = current === steps.length - 1;
  place.textContent = `${current + 1} of ${steps.length}`;
  if (focus) {
    const heading = steps[current].querySelector("h1, h2");
    heading.focus({ preventScroll: true });
    window.scrollTo(0, 0);
  }
}

function toggleTheme() {
  const root = document.documentElement;
  const dark = root.dataset.theme
    ? root.dataset.theme === "night"
    : window.matchMedia("(prefers-color-scheme: dark)").matches;
  root.dataset.theme = dark ? "day" : "night";
}

function numberIn(text) {
  const value = Number(text.trim().replace(",", ".").replace("−", "-"));
  return text.trim() === "" || !Number.isFinite(value) ? null : value;
}

function judge(form) {
  const verdict = form.querySelector(".verdict");
  const kind = form.dataset.kind;
  let right = false;
  let reply = "";
  if (kind === "choice") {
    const picked = form.querySelector("input:checked");
    if (picked === null) { verdict.textContent = "Pick an answer first."; return; }
    right = picked.dataset.right === "yes";
    reply = picked.dataset.reply;
  } else {
    const guess = numberIn(form.querySelector("input").value);
    if (guess === null) { verdict.textContent = "Write a number first."; return; }
    const wanted = Number(form.dataset.number);
    right = Math.abs(guess - wanted) <= Number(form.dataset.tolerance) + 1e-9;
    for (const mistake of JSON.parse(form.dataset.mistakes || "[]")) {
      if (!right && Math.abs(guess - mistake.value) <= mistake.tolerance) { reply = mistake.reply; }
    }
  }
  verdict.textContent = `${right ? "Yes." : "No."} ${reply}`.trim();
  verdict.className = `verdict ${right ? "right" : "wrong"}`;
  form.dataset.judged = right ? "right" : "wrong";
  reveal(form);
  score();
}

function reveal(form) {
  const answers = form.closest("section").querySelectorAll(".answer");
  answers.forEach((answer) => { answer.hidden = false; });
}

function score() {
  const line = document.getElementById("score");
  if (line === null) { return; }
  const forms = [...document.querySelectorAll("form[data-kind]")];
  const right = forms.filter((form) => form.dataset.judged === "right").length;
  const done = forms.filter((form) => form.dataset.judged).length;
  line.textContent = `${right} right of ${done} answered, ${forms.length} in all`;
}

for (const form of document.querySelectorAll("form[data-kind]")) {
  form.addEventListener("submit", (event) => { event.preventDefault(); judge(form); });
  form.querySelector(".reveal").addEventListener("click", () => reveal(form));
}
for (const answer of document.querySelectorAll(".answer")) { answer.hidden = true; }
document.getElementById("theme").addEventListener("click", toggleTheme);
score();

if (back !== null) {
  document.getElementById("bar").hidden = false;
  back.addEventListener("click", () => show(current - 1, true));
  next.addEventListener("click", () => show(current + 1, true));
  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey || event.target.closest("input, textarea, select")) { return; }
    const moves = { ArrowRight: 1, PageDown: 1, ArrowLeft: -1, PageUp: -1 };
    if (event.key in moves) { event.preventDefault(); show(current + moves[event.key], true); }
    else if (event.key === "Home") { event.preventDefault(); show(0, true); }
    else if (event.key === "End") { event.preventDefault(); show(steps.length - 1, true); }
    else if (event.key === "a") {
      const form = steps[current].querySelector("form[data-kind]");
      if (form !== null) { reveal(form); }
    } else if (event.key === "n") { toggleTheme(); }
  });
  const asked = /^#step-(\d+)$/.exec(window.location.hash);
  show(asked === null ? 0 : Number(asked[1]), false);
}
