// Answers as they are given: each change is sent at once, a first look comes back, then the whole
// verdict. Without this module every form still works; it only saves the waiting.
import { offerThumbs } from "./thumb.js";

const sheet = () => document.getElementById("sheet");
const status = document.getElementById("status");
const QUIET = 350; // ms of silence after which what is typed is kept
const RETRY = 2000; // ms
const SPELLING = 1000; // ms in which a browser takes the keys pressed in a choice as one word
let queue = Promise.resolve();
let typing; // waits for silence while something is typed
let behind = 0; // forms that are waiting to be sent
let spelt = 0; // when a key was last pressed in a choice
let looks = 0; // counts questions to the server; an answer to an older one is let go

function say(words, lost = false) {
  status.textContent = words;
  status.classList.toggle("lost", lost);
}

const fieldsOf = (box) => [...box.querySelectorAll("input[name], select[name]")];

function isTyped(field) {
  if (field.tagName !== "SELECT") return field.value !== field.defaultValue;
  const first = [...field.options].find((option) => option.defaultSelected) || field.options[0];
  return field.value !== first.value;
}

// What could not be sent is kept by the browser until the program answers again.
const storeName = () => "unsent " + sheet().dataset.here;
const unsent = () => JSON.parse(localStorage.getItem(storeName()) || "{}");
function keepUnsent(pairs) {
  localStorage.setItem(storeName(), JSON.stringify({ ...unsent(), ...pairs }));
}

async function ask(address, options = {}) {
  const answer = await fetch(address, { headers: { "x-live": "1" }, redirect: "manual", ...options });
  const html = await answer.text();
  if (answer.status === 403 || answer.status >= 500) throw new Error(html);
  return new DOMParser().parseFromString(html, "text/html");
}

// Put the new page in place of the old one; focus, open notes and half-typed answers stay.
function show(page, sent = {}) {
  const fresh = page.getElementById("sheet");
  const typed = new Map();
  for (const field of document.querySelectorAll("#entry input[name], #entry select[name]"))
    if (field.type !== "hidden" && isTyped(field) && sent[field.name] !== field.value) typed.set(field.name, field.value);
  if (!fresh) {
    // Both versions of a job that was changed elsewhere; its forms are plain ones.
    sheet().replaceWith(page.querySelector("main"));
    say("");
    document.querySelector("h1")?.focus();
    return;
  }
  const focused = document.activeElement;
  const held = focused && focused.id;
  const place = placeOf(focused);
  const range = focused && focused.tagName === "INPUT" ? [focused.selectionStart, focused.selectionEnd] : null;
  const opened = [...document.querySelectorAll("details[open]")].map((one) => one.id);
  const turning = document.querySelector("#turn[open] canvas");
  sheet().replaceWith(fresh);
  for (const id of opened) if (id && id !== "turn") document.getElementById(id)?.setAttribute("open", "");
  for (const [name, value] of typed) {
    const field = document.querySelector(`#entry [name="${name}"]`);
    if (field) field.value = value;
  }
  dress();
  if (turning) document.getElementById("turn").open = true;
  const again = (held && document.getElementById(held)) || stopAt(place);
  if (again && again !== document.activeElement) {
    again.focus({ preventScroll: true });
    if (range && range[0] !== null && again.setSelectionRange) again.setSelectionRange(...range);
  }
  document.title = page.title;
}

const stops = () => [...sheet().querySelectorAll("a[href], button, input, select, summary, [tabindex]")];

// What has no id keeps its place by the last stop of the keyboard before it that has one.
function placeOf(stop) {
  const all = stops();
  const at = all.indexOf(stop);
  for (let back = 0; at - back >= 0; back++) if (all[at - back].id) return [all[at - back].id, back];
  return null;
}

function stopAt(place) {
  const all = stops();
  const from = place ? all.findIndex((one) => one.id === place[0]) : -1;
  return from < 0 ? undefined : all[from + place[1]];
}

function dress() {
  document.body.classList.add("live");
  for (const box of document.querySelectorAll(".question")) showBeside(box);
  offerThumbs(sheet());
  document.getElementById("turn")?.addEventListener("toggle", turn);
}

// Further fields are shown when the choice above them asks for them.
function showBeside(box) {
  const choice = box.querySelector("select");
  for (const more of box.querySelectorAll("[data-when]"))
    more.hidden = !more.dataset.when.split(",").includes(choice.value);
}

async function turn(event) {
  if (!event.target.open) return;
  const { drawLines } = await import("./turn.js");
  drawLines(event.target.querySelector("canvas"), document.getElementById("turn-said"), sheet().dataset.here + "/lines");
}

const here = (more = "") => {
  const at = sheet().dataset.at;
  const asked = [at && "at=" + encodeURIComponent(at), more].filter(Boolean).join("&");
  return sheet().dataset.here + (asked ? "?" + asked : "");
};

// The whole verdict, after a first look.
async function finish() {
  const mine = ++looks;
  const begun = Date.now();
  const told = setInterval(() => {
    if (Date.now() - begun >= 1000) say(`checking all patterns, ${Math.round((Date.now() - begun) / 1000)} s`);
  }, 500);
  try {
    const page = await ask(here("look=whole"));
    await spelled();
    if (mine !== looks) return;
    show(page);
    const verdict = document.getElementById("verdict");
    speak(verdict ? `All patterns checked: ${verdict.textContent.trim()}` : "");
  } finally {
    clearInterval(told);
  }
}

let quietly;
function speak(words) {
  say(words);
  clearTimeout(quietly);
  quietly = setTimeout(() => say(""), 2500);
}

// A choice that is put anew forgets what was spelled in it so far: let the word be ended.
async function spelled() {
  const choosing = () => document.activeElement?.tagName === "SELECT" && Date.now() - spelt < SPELLING;
  while (choosing()) await new Promise((go) => setTimeout(go, 40));
}

document.addEventListener("keydown", (event) => {
  if (event.target.tagName === "SELECT" && event.key.length === 1) spelt = Date.now();
});

function post(action, pairs, sent) {
  ++behind;
  const field = (name) => document.querySelector(`#entry [name="${name}"]`);
  const given = Object.fromEntries(sent.map((name) => [name, field(name)?.value]));
  queue = queue.then(async () => {
    --behind;
    sheet()?.classList.add("waiting");
    const base = document.querySelector('#entry [name="base"]');
    if (!base) return;
    const body = new URLSearchParams({ base: base.value, at: sheet().dataset.at, ...pairs });
    ++looks;
    try {
      const [kept, path] = [storeName(), sheet().dataset.here];
      const page = await ask(path + action, { method: "POST", body });
      localStorage.removeItem(kept);
      await spelled();
      show(page, given);
      if (sheet()?.dataset.whole === "no") {
        say("checking all patterns");
        if (!behind) finish().catch(lost);
      } else speak(document.querySelector("#summary") ? "Not put on the drawing: see the summary." : "");
    } catch {
      keepUnsent(Object.fromEntries(sent.map((name) => [name, pairs[name]])));
      lost();
    }
  });
  return queue;
}

let waiting;
function lost() {
  sheet()?.classList.add("stale");
  say("The program does not answer. What you typed is kept; start it again with: rafterstay open", true);
  clearTimeout(waiting);
  waiting = setTimeout(async () => {
    try {
      const page = await ask(here("look=first"));
      if (!page.getElementById("sheet")) throw new Error("no sheet");
      say("");
      show(page);
      await resend();
    } catch {
      lost();
    }
  }, RETRY);
}

function resend() {
  const pairs = unsent();
  const names = Object.keys(pairs);
  return names.length ? post("/put", pairs, names) : finish().catch(lost);
}

function put(box) {
  clearTimeout(typing);
  const fields = fieldsOf(box);
  const pairs = Object.fromEntries(fields.map((field) => [field.name, field.value]));
  return post("/put", pairs, Object.keys(pairs));
}

document.addEventListener("change", (event) => {
  const box = event.target.closest("#entry .question");
  if (!box) return;
  showBeside(box);
  const more = [...box.querySelectorAll("[data-when]:not([hidden]) :is(input[name], select)")];
  if (event.target.tagName === "SELECT" && event.target.value && more.some((field) => !field.value)) return; // not an answer yet
  put(box);
});

document.addEventListener("input", (event) => {
  if (!sheet()) return;
  const box = event.target.closest("#entry .question");
  if (!box || event.target.tagName !== "INPUT" || !event.target.name) return;
  clearTimeout(typing);
  typing = setTimeout(async () => {
    if (!sheet()) return;
    const pairs = { [event.target.name]: event.target.value };
    try {
      const answer = await fetch(sheet().dataset.here + "/typed", { method: "POST", headers: { "x-live": "1" }, body: new URLSearchParams(pairs) });
      if (!answer.ok) throw new Error("not kept");
      for (const [name, words] of Object.entries(await answer.json())) {
        const said = document.getElementById("s-" + name);
        if (said) said.textContent = words;
      }
    } catch {
      keepUnsent(pairs);
      lost();
    }
  }, QUIET);
});

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.id === "entry") {
    event.preventDefault();
    const pressed = event.submitter;
    if (pressed && pressed.name === "unknown") {
      const box = pressed.closest(".question");
      const next = document.querySelectorAll(".question button.quiet");
      const at = [...next].indexOf(pressed);
      const held = next[at + 1]?.value;
      post("/put", { unknown: pressed.value }, fieldsOf(box).map((field) => field.name)).then(() => {
        document.querySelector(`#f-${held || pressed.value}`)?.focus();
      });
      return;
    }
    for (const box of form.querySelectorAll(".question")) if (fieldsOf(box).some(isTyped)) put(box);
  } else if (form.dataset.act === "undo") {
    event.preventDefault();
    post("/undo", {}, []);
  } else if (form.dataset.act === "units") {
    event.preventDefault();
    post("/put", { show: event.submitter.value }, []);
  }
});

document.addEventListener("click", async (event) => {
  const link = event.target.closest("a");
  if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
  const target = link.getAttribute("href");
  if (link.dataset.working !== undefined) {
    event.preventDefault();
    return unfold(link, target);
  }
  const path = sheet()?.dataset.here;
  if (!path || !(target === path || target.startsWith(path + "?at="))) return;
  event.preventDefault();
  const at = new URL(target, location.href).searchParams.get("at") || "";
  sheet().dataset.at = at;
  history.pushState(null, "", target);
  await look(at);
});

async function look(at) {
  try {
    show(await ask(here("look=first")));
    const heading = document.getElementById("at");
    if (at && heading) {
      heading.focus();
      heading.scrollIntoView({ block: "start" });
    }
    if (sheet().dataset.whole === "no") await finish();
  } catch {
    lost();
  }
}

addEventListener("popstate", () => {
  sheet().dataset.at = new URL(location.href).searchParams.get("at") || "";
  look(sheet().dataset.at);
});

// Working on request, under the check it belongs to.
async function unfold(link, target) {
  const item = link.closest("li");
  const open = item.querySelector(".unfolded");
  if (open) return open.remove();
  const page = await ask(target);
  const lines = page.querySelector(".lines, #working p:nth-of-type(2)");
  const box = document.createElement("div");
  box.className = "unfolded";
  box.append(...[lines, ...page.querySelectorAll("#working > p:not(:first-of-type)")].filter(Boolean));
  item.append(box);
}

dress();
if (Object.keys(unsent()).length) resend();
else if (sheet().dataset.whole === "no") finish().catch(lost);
