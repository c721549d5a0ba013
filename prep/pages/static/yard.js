// Poor signal and shared tablets: nothing typed is lost, sent twice, or sent under another name.
// Every page works without this file; the service asks all of it again.
//
// A form that carries a command is sent from here, so that the page stays when the signal does not.
// Forms marked `data-keep` (readings and checks; never a PIN, never a picture) then wait on the
// tablet, under the name of who typed them and with the moment they were typed.
"use strict";

const WAITING = "yardproof.waiting"; // in localStorage: the entries of everybody on this tablet
const PATIENCE = 15000; // ms until an answer that does not come counts as no signal
const AGAIN = 20000; // ms between tries while something waits
const LOOK = 3000; // ms between looks at a paper that is being made
const PERSON = document.body.dataset.person || "";
const NAME = document.body.dataset.name || "";
let notice = "";
let sending = false;

// What waits

function waiting() {
  try {
    return JSON.parse(localStorage.getItem(WAITING)) || [];
  } catch {
    return [];
  }
}

function keepAll(entries) {
  localStorage.setItem(WAITING, JSON.stringify(entries));
}

const mine = () => waiting().filter((entry) => entry.person === PERSON);
const field = (entry, name) => (entry.fields.find(([key]) => key === name) || [])[1] || "";
const idOf = (entry) => field(entry, "command");
const shown = (entry) => field(entry, "text") || field(entry, "answer");

function change(entry, changes) {
  // Read afresh: another page of this tablet may have sent or added something meanwhile.
  keepAll(waiting().map((other) => (idOf(other) === idOf(entry) ? { ...other, ...changes } : other)));
}

function remove(entry) {
  keepAll(waiting().filter((other) => idOf(other) !== idOf(entry)));
}

function keep(form, body) {
  const fields = [...body].filter(([name]) => name !== "csrfmiddlewaretoken");
  const happened = body.get("happened") || new Date().toISOString();
  const entry = { person: PERSON, name: NAME, path: location.pathname, words: form.dataset.keep,
    fields: [...fields.filter(([name]) => name !== "happened"), ["happened", happened]] };
  try {
    keepAll([...waiting().filter((other) => idOf(other) !== idOf(entry)), entry]);
  } catch {
    say("This tablet cannot keep it. What you typed stays here: send it again when there is a signal.");
    return;
  }
  forget(form);
  say("");
  draw();
}

// Sending

const token = () => document.querySelector("[name=csrfmiddlewaretoken]").value;

/** The answer, or null where there was none worth the name: no signal, or a service that is away. */
async function ask(path, body) {
  try {
    const answer = await fetch(path, { method: body ? "POST" : "GET", body, signal: AbortSignal.timeout(PATIENCE) });
    return answer.status >= 502 && answer.status <= 504 ? null : { status: answer.status, url: answer.url, page: await answer.text() };
  } catch {
    return null;
  }
}

const asksWho = (answer) => answer.status === 403 || new URL(answer.url).pathname === "/sign-in";
const parsed = (answer) => new DOMParser().parseFromString(answer.page, "text/html");

async function send(form, button) {
  const body = new FormData(form);
  if (button?.name) body.set(button.name, button.value);
  if (form.taken && shown(form.taken) === (body.get("text") || body.get("answer"))) body.set("happened", field(form.taken, "happened"));
  const path = form.getAttribute("action") || location.pathname;
  form.dataset.busy = "yes"; // a second tap sends nothing; the command's id would make it count once
  const answer = await ask(path, body);
  delete form.dataset.busy;
  const reached = answer && answer.status < 500;
  if (reached && !asksWho(answer)) {
    forget(form);
    show(answer, form.closest(".box")?.id);
  } else if (form.dataset.keep && !(answer && answer.status === 500)) {
    keep(form, body);
    if (answer) location.assign(`/sign-in?next=${encodeURIComponent(location.pathname)}`);
  } else if (reached) {
    say("Not sent: sign in again first. What you typed stays on this page until you leave it.");
  } else {
    say(answer ? "The service made a mistake and noted it. Nothing was recorded; what you typed is still here. Try again in a minute."
      : "Not sent: no signal. What you typed is still here; send it again when the signal is back.");
  }
}

async function sendWaiting() {
  if (sending || !PERSON) return;
  sending = true;
  const here = new Set();
  for (const entry of mine().filter((one) => !one.refused)) {
    const body = new FormData();
    for (const [name, value] of entry.fields) body.append(name, value);
    body.set("csrfmiddlewaretoken", token());
    const answer = await ask(entry.path, body);
    if (!answer || answer.status === 500) break;
    if (asksWho(answer)) {
      say("Sign in again: what waits on this tablet is sent after that.");
      break;
    }
    if (answer.status < 400) remove(entry);
    else change(entry, { refused: parsed(answer).querySelector("[role=alert] p, p[role=alert]")?.textContent.trim() || "The service did not take it." });
    here.add(entry.path);
  }
  sending = false;
  draw();
  if (here.has(location.pathname)) {
    const answer = await ask(location.pathname);
    if (answer && answer.status === 200 && !asksWho(answer)) show(answer);
  }
}

/** Put an answer in the place of this page; another page, or another person's, is opened instead. */
function show(answer, box) {
  const page = parsed(answer);
  const same = new URL(answer.url).pathname === location.pathname || answer.status >= 400;
  if (!same || (page.body.dataset.person || "") !== PERSON) {
    location.assign(same ? location.pathname : answer.url);
    return;
  }
  document.title = page.title;
  document.querySelector("main").replaceWith(page.querySelector("main"));
  say("");
  draw();
  const place = document.querySelector("main [role=alert]") || (box && document.getElementById(box));
  if (box || answer.status >= 400) (place || document.querySelector("main")).focus();
}

// What was typed and not sent, for the same person on the same page

const typable = (control) => control.name && !["hidden", "password", "file", "submit"].includes(control.type) && control.tagName !== "BUTTON";

function draftKey(form) {
  const told = ["do", "box"].map((name) => form.elements[name]?.value || "");
  return ["yardproof.draft", PERSON, form.getAttribute("action") || location.pathname, ...told].join(" ");
}

function note(form) {
  const typed = [...form.elements].filter(typable).map((control) =>
    [control.name, control.value, control.type === "checkbox" ? control.checked : true]);
  sessionStorage.setItem(draftKey(form), JSON.stringify(typed));
}

function forget(form) {
  sessionStorage.removeItem(draftKey(form));
}

function restore(form) {
  const typed = JSON.parse(sessionStorage.getItem(draftKey(form)) || "[]");
  let changed = false;
  for (const control of [...form.elements].filter(typable)) {
    const [, value, checked] = typed.find(([name, was]) => name === control.name && (control.type !== "checkbox" || was === control.value)) || [];
    if (value === undefined) continue;
    if (control.type === "checkbox") control.checked = checked;
    else if (!control.defaultValue && control.value !== value) {
      control.value = value;
      changed = true;
    }
  }
  if (changed && !form.querySelector(".draft")) {
    const words = element("p", "Typed before, not sent yet.");
    words.className = "draft";
    form.append(words);
    form.closest("details")?.setAttribute("open", "");
  }
}

// What the page says of it

function element(tag, text, ...children) {
  const made = document.createElement(tag);
  made.textContent = text;
  made.append(...children);
  return made;
}

function button(words, act) {
  const made = element("button", words);
  made.type = "button";
  made.className = "button";
  made.addEventListener("click", act);
  return made;
}

function say(words) {
  notice = words;
  drawPanel();
}

function told(entry) {
  const at = new Date(field(entry, "happened")).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" });
  return `${entry.words}: ${shown(entry)} (${at})`;
}

function drawPanel(...more) {
  const panel = element("div", "");
  if (notice) panel.append(element("p", notice));
  const held = mine();
  const unsent = held.filter((entry) => !entry.refused);
  if (unsent.length) {
    panel.append(element("p", `Not sent yet, will send when the signal is back: ${unsent.length} waiting.`));
    panel.append(element("ul", "", ...unsent.map((entry) => element("li", told(entry)))), button("Send now", sendWaiting));
  }
  for (const entry of held.filter((one) => one.refused)) {
    const link = element("a", "Open the step");
    link.className = "button";
    link.href = entry.path;
    panel.append(element("p", `Not taken: ${told(entry)}. ${entry.refused}`), link, button("Throw it away", () => { remove(entry); draw(); }));
  }
  for (const name of new Set(waiting().filter((entry) => entry.person !== PERSON).map((entry) => entry.name))) {
    const count = waiting().filter((entry) => entry.name === name).length;
    panel.append(element("p", `${count} waiting on this tablet, typed by ${name}: sent only when ${name} signs in here again.`));
  }
  panel.append(...more);
  document.getElementById("waiting").replaceChildren(panel);
}

function draw() {
  for (const form of document.forms) if (PERSON && form.elements.command) restore(form);
  drawPanel();
  document.querySelectorAll(".waits").forEach((old) => old.remove());
  for (const form of document.querySelectorAll("form[data-keep]")) {
    const entry = mine().find((one) => one.path === location.pathname && field(one, "box") === form.elements.box.value);
    form.hidden = Boolean(entry);
    if (!entry || form.previousElementSibling?.classList.contains("waits")) continue;
    const words = element("div", "", element("p", entry.refused ? `Not taken: ${shown(entry)}. ${entry.refused}` : `Waits to be sent: ${shown(entry)}`), button("Take it back", () => takeBack(form, entry)));
    words.className = "waits";
    form.before(words);
    form.closest("details")?.setAttribute("open", "");
  }
}

function takeBack(form, entry) {
  remove(entry);
  draw();
  form.taken = entry; // entered again unchanged, it still happened when it was typed first
  for (const control of [...form.elements].filter(typable)) control.value = field(entry, control.name) || control.value;
  form.querySelector("input:not([type=hidden]), select, button")?.focus();
}

// When

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.elements.command) {
    event.preventDefault();
    if (!form.dataset.busy) send(form, event.submitter);
  } else if (form.matches(".who") && !form.dataset.agreed) {
    leave(event, form);
  }
});

function leave(event, form) {
  const count = mine().length;
  if (navigator.onLine && !count) return;
  event.preventDefault();
  if (!navigator.onLine) {
    say(`No signal: the person cannot be changed now. Whatever is entered goes under the name of ${NAME}.`);
    return;
  }
  const go = button("Change person all the same", () => { form.dataset.agreed = "yes"; form.requestSubmit(); });
  drawPanel(element("p", `${count} of yours not sent yet. Change the person, and they stay on this tablet under your name until you sign in here again.`),
    button("Stay", () => say("")), go);
  go.previousElementSibling.focus();
}

document.addEventListener("input", (event) => {
  if (PERSON && event.target.form?.elements.command) note(event.target.form);
});
document.addEventListener("click", (event) => {
  const link = event.target.closest("a[href]");
  if (!link || navigator.onLine || link.getAttribute("href").startsWith("#")) return;
  event.preventDefault();
  say("No signal: that page cannot be opened now. This one stays as it is.");
});
window.addEventListener("online", () => { say(""); sendWaiting(); });
window.addEventListener("offline", () => say("No signal. Go on entering here; it is sent when the signal is back."));
window.addEventListener("storage", (event) => { if (event.key === WAITING) draw(); });
setInterval(() => { if (mine().some((entry) => !entry.refused)) sendWaiting(); }, AGAIN);
setInterval(async () => {
  const papers = document.querySelector("[data-poll]");
  const answer = papers && navigator.onLine && (await ask(location.pathname));
  const fresh = answer && answer.status === 200 && parsed(answer).getElementById(papers.id);
  if (fresh) papers.replaceWith(fresh);
}, LOOK);
draw();
sendWaiting();
