// Small comforts; every page works without them.
"use strict";
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.method !== "post") return;
  if (!navigator.onLine) {
    // Nothing is lost: the page stays as it is, typed text and all, until there is a signal again.
    event.preventDefault();
    say("Not sent: no signal. What you typed stays here. Send again when there is a signal.");
    return;
  }
  // A second tap sends nothing; the command's id would make it count once all the same.
  if (form.dataset.sent) event.preventDefault();
  form.dataset.sent = "yes";
});
window.addEventListener("pageshow", () => {
  for (const form of document.forms) delete form.dataset.sent;
});
window.addEventListener("offline", () => say("No signal. You can go on typing; send when it is back."));
window.addEventListener("online", () => document.querySelector(".offline")?.remove());
function say(text) {
  let line = document.querySelector(".offline");
  if (!line) {
    line = document.createElement("p");
    line.className = "offline";
    line.setAttribute("role", "status");
    document.body.prepend(line);
  }
  line.textContent = text;
}
