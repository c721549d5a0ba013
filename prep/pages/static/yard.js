// Poor signal and shared tablets: nothing typed is lost, sent twice, or sent under another name.
// Every page works without this file; the service asks all of it again.
//
// A form that carries a command is sent from here, so that the page stays when the signal does not.
// Forms marked `data-keep` (readings and checks; never a PIN, never a picture) then wait on the
// tablet, under the name of who typed them and with the moment they were typed.

import { forget, kept, note, restore, typable } from "./drafts.js";
import {
  NAME,
  PERSON,
  WAITING,
  add,
  change,
  field,
  mine,
  others,
  remove,
  shown,
} from "./waiting.js";
import { fill, gettext, ngettext } from "./words.js";

const PATIENCE = 15000; // ms until an answer that does not come counts as no signal
const UPLOAD = 180000; // the same where a picture or a file goes up a thin line
const AGAIN = 20000; // ms between tries while something waits
const LOOK = 2000; // ms between looks at a paper that is being made
const TOLD = "yardproof.told-unsent"; // how many waiting entries the service was last told of
const MISTAKE = gettext(
  "Not recorded. What you typed is still here: try again in a minute. Something went wrong on " +
    "our end; it has been logged.",
);
const NO_SIGNAL = gettext(
  "Not sent: no signal. What you typed is still here; send it again when the signal is back.",
);
const NO_ROOM = gettext(
  "Not sent, and this tablet has no room to store it. What you typed is still here; send it again " +
    "when the signal is back.",
);
let notice = "";
let sending = false;

// Sending

function keep(form, body) {
  const fields = [...body].filter(([name]) => name !== "csrfmiddlewaretoken");
  const happened = body.get("happened") || new Date().toISOString();
  const entry = {
    path: location.pathname,
    box: form.closest(".box").id,
    words: form.dataset.keep.trim(),
    fields: [...fields.filter(([name]) => name !== "happened"), ["happened", happened]],
  };
  try {
    add(entry);
  } catch {
    say(NO_ROOM);
    return;
  }
  forget(form);
  say("");
  draw();
}

const token = () => document.querySelector("[name=csrfmiddlewaretoken]").value;

/** The answer, or null where there was none: no signal. */
async function ask(path, body) {
  const method = body ? "POST" : "GET";
  const patience = body?.has("photo") || body?.has("file") ? UPLOAD : PATIENCE;
  if (body?.has("happened")) body.set("clock", new Date().toISOString()); // tells how far it is off
  try {
    const answer = await fetch(path, { method, body, signal: AbortSignal.timeout(patience) });
    const { status, url } = answer;
    return { status, url, page: await answer.text() };
  } catch {
    return null;
  }
}

const here = () => location.pathname + location.search;
/** Whether nobody has looked at what was sent: no signal, or a service that is away. */
const away = (answer) => !answer || (answer.status >= 502 && answer.status <= 504);
const asksWho = (answer) => answer.status === 403 || new URL(answer.url).pathname === "/sign-in";
const whatIsAway = (answer) =>
  (answer && parsed(answer).querySelector("[role=alert]")?.textContent.trim()) || NO_SIGNAL;
const parsed = (answer) => new DOMParser().parseFromString(answer.page, "text/html");

async function send(form, button) {
  const body = new FormData(form);
  if (button?.name) body.set(button.name, button.value);
  const value = body.get("text") || body.get("answer");
  if (form.taken && shown(form.taken) === value)
    body.set("happened", field(form.taken, "happened"));
  const path = form.getAttribute("action") || here();
  form.dataset.busy = "yes"; // a second tap sends nothing; the command's id would make it count once
  const answer = await ask(path, body);
  delete form.dataset.busy;
  const reached = !away(answer) && answer.status < 500;
  if (reached && !asksWho(answer)) {
    forget(form);
    show(answer, form.closest(".box")?.id);
  } else if (form.dataset.keep && answer?.status !== 500) {
    keep(form, body);
    if (!away(answer)) location.assign(`/sign-in?next=${encodeURIComponent(here())}`);
  } else if (reached) {
    say(
      gettext(
        "Not sent. Sign in again first. What you typed stays here until you leave this page.",
      ),
    );
  } else {
    say(answer?.status === 500 ? MISTAKE : whatIsAway(answer));
  }
}

async function sendWaiting() {
  if (sending || !PERSON) return;
  sending = true;
  let taken = false;
  for (const entry of mine().filter((one) => !one.refused)) {
    const body = new FormData();
    for (const [name, value] of entry.fields) body.append(name, value);
    body.set("csrfmiddlewaretoken", token());
    const answer = await ask(entry.path, body);
    if (away(answer) || answer.status === 500) break;
    if (asksWho(answer)) {
      say(gettext("Sign in again to send the entries waiting on this tablet."));
      break;
    }
    if (answer.status < 400) {
      remove(entry);
      taken ||= entry.path === location.pathname;
    } else {
      const why = parsed(answer).querySelector("[role=alert] p, p[role=alert]");
      change(entry, { refused: why?.textContent.trim() || gettext("The service rejected it.") });
    }
  }
  sending = false;
  draw();
  if (taken) await lookAgain();
}

/** Show what the service has by now, unless the person went on meanwhile. */
async function lookAgain() {
  const before = document.querySelector("main");
  const answer = await ask(here());
  const idle = before.isConnected && !document.querySelector("[data-busy]");
  if (answer && answer.status === 200 && !asksWho(answer) && idle) show(answer);
}

/** Put an answer in the place of this page; another page, or another person's, is opened instead. */
function show(answer, box) {
  const page = parsed(answer);
  const same = new URL(answer.url).pathname === location.pathname || answer.status >= 400;
  if (!same || (page.body.dataset.person || "") !== PERSON) {
    location.assign(same ? here() : answer.url);
    return;
  }
  if (answer.status < 400) history.replaceState(null, "", answer.url);
  document.title = page.title;
  document.querySelector("main").replaceWith(page.querySelector("main"));
  say("");
  draw();
  const place =
    document.querySelector("main [role=alert]") || (box && document.getElementById(box));
  if (box || answer.status >= 400) (place || document.querySelector("main")).focus();
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
  const clock = { hour: "2-digit", minute: "2-digit", hourCycle: "h23" };
  const happened = new Date(field(entry, "happened")).toLocaleTimeString([], clock);
  return `${entry.words}: ${shown(entry)} (${happened})`;
}

function drawPanel(...more) {
  const panel = element("div", "");
  if (notice) panel.append(element("p", notice));
  const held = mine();
  const unsent = held.filter((entry) => !entry.refused);
  if (unsent.length) {
    const list = element("ul", "", ...unsent.map((entry) => element("li", told(entry))));
    const words = ngettext(
      "%(count)s entry waiting. It will be sent when the signal is back.",
      "%(count)s entries waiting. They will be sent when the signal is back.",
      unsent.length,
    );
    const waits = element("p", fill(words, { count: unsent.length }));
    panel.append(waits, list, button(gettext("Send now"), sendWaiting));
  }
  for (const entry of held.filter((one) => one.refused)) {
    const link = element("a", gettext("Show"));
    link.className = "button";
    link.href = `${entry.path === location.pathname ? "" : entry.path}#${entry.box}`;
    const words = fill(gettext("Rejected: %(entry)s."), { entry: told(entry) });
    panel.append(element("p", `${words} ${entry.refused}`), link, deletion(entry));
  }
  for (const name of new Set(others().map((entry) => entry.name))) {
    const count = others().filter((entry) => entry.name === name).length;
    const words = ngettext(
      "%(count)s entry by %(name)s is waiting on this tablet. It is sent when %(name)s signs in here.",
      "%(count)s entries by %(name)s are waiting on this tablet. They are sent when %(name)s signs in here.",
      count,
    );
    panel.append(element("p", fill(words, { count, name })));
  }
  panel.append(...more);
  document.getElementById("waiting").replaceChildren(panel);
}

function deletion(entry) {
  const asked = button(gettext("Delete"), () => {
    if (asked.dataset.sure) {
      remove(entry);
      draw();
    }
    asked.dataset.sure = "yes"; // a glove slips: only a second press loses anything
    asked.textContent = gettext("Press again to delete");
  });
  return asked;
}

/** Say to the service, on a device of the yard, how many entries wait on it, whosever they are. */
async function tellUnsent() {
  const count = String(mine().length + others().length);
  if (!document.querySelector("[data-device]") || localStorage.getItem(TOLD) === count) return;
  const body = new FormData();
  body.set("csrfmiddlewaretoken", token());
  body.set("count", count);
  const answer = await ask("/devices/here/unsent", body);
  if (answer?.status === 204) localStorage.setItem(TOLD, count);
}

function draw() {
  tellUnsent();
  for (const form of document.forms) if (kept(form)) restore(form);
  drawPanel();
  document.querySelectorAll(".waits").forEach((old) => old.remove());
  const these = mine().filter((entry) => entry.path === location.pathname);
  for (const form of document.querySelectorAll("form[data-keep]")) {
    const entry = these.find((one) => field(one, "box") === form.elements.box.value);
    form.hidden = Boolean(entry);
    if (entry && !form.closest(".box").querySelector(".waits")) standIn(form, entry);
  }
}

/** What stands in the place of a form whose entry waits. */
function standIn(form, entry) {
  const said = entry.refused
    ? `${fill(gettext("Rejected: %(entry)s."), { entry: shown(entry) })} ${entry.refused}`
    : fill(gettext("Waiting to be sent: %(entry)s"), { entry: shown(entry) });
  const back = button(gettext("Undo"), () => takeBack(form, entry));
  const words = element("div", "", element("p", said), back);
  words.className = "waits";
  form.before(words);
  form.closest("details")?.setAttribute("open", "");
}

function takeBack(form, entry) {
  remove(entry);
  draw();
  form.taken = entry; // entered again unchanged, it still happened when it was typed first
  for (const control of [...form.elements].filter(typable)) {
    const value = field(entry, control.name);
    if (control.type === "checkbox") control.checked = Boolean(value);
    else if (value) control.value = value;
  }
  form.querySelector("input:not([type=hidden]), select, button")?.focus();
}

// When

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.elements.command) {
    event.preventDefault();
    if (!form.dataset.busy) send(form, event.submitter);
  } else if (form.matches(".switch") && !form.dataset.agreed) {
    leave(event, form);
  } else if (form.matches(".languages") && !navigator.onLine) {
    event.preventDefault();
    say(gettext("You cannot change the language without a signal."));
  }
});

function leave(event, form) {
  const count = mine().length;
  if (navigator.onLine && !count) return;
  event.preventDefault();
  if (!navigator.onLine) {
    const words = gettext(
      "You cannot switch users without a signal. Entries are recorded under the name of %(name)s.",
    );
    say(fill(words, { name: NAME }));
    return;
  }
  const stay = button(gettext("Stay signed in"), () => say(""));
  const go = button(gettext("Switch user anyway"), () => {
    form.dataset.agreed = "yes";
    form.requestSubmit();
  });
  const words = ngettext(
    "%(count)s of your entries is not sent yet. If you switch users, it stays on this tablet under " +
      "your name until you sign in here again.",
    "%(count)s of your entries are not sent yet. If you switch users, they stay on this tablet under " +
      "your name until you sign in here again.",
    count,
  );
  drawPanel(element("p", fill(words, { count })), stay, go);
  stay.focus();
}

document.addEventListener("input", (event) => {
  if (kept(event.target.form)) note(event.target.form);
});
document.addEventListener("click", (event) => {
  const link = event.target.closest("a[href]");
  if (!link || navigator.onLine || link.getAttribute("href").startsWith("#")) return;
  event.preventDefault();
  say(gettext("No signal: that page cannot be opened now. This page stays open."));
});
window.addEventListener("online", () => {
  say("");
  sendWaiting();
});
window.addEventListener("offline", () => {
  say(gettext("No signal. Keep entering here; entries are sent when the signal is back."));
});
window.addEventListener("storage", (event) => {
  if (event.key === WAITING) draw();
});
setInterval(() => {
  if (mine().some((entry) => !entry.refused)) sendWaiting();
}, AGAIN);
setInterval(async () => {
  const papers = document.querySelector("[data-poll]");
  const answer = papers && navigator.onLine && (await ask(here()));
  const fresh = answer && answer.status === 200 && parsed(answer).getElementById(papers.id);
  if (fresh) papers.replaceWith(fresh);
}, LOOK);
draw();
sendWaiting();
