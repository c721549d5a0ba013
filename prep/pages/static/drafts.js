// What was typed into a form and not sent yet: kept for the same person, on the same page, as long
// as the page's tab is open. Never a PIN, never a picture.

import { PERSON } from "./waiting.js";
import { gettext } from "./words.js";

const UNKEPT = ["hidden", "password", "file", "submit", "button"];

export const typable = (control) => control.name && !UNKEPT.includes(control.type);

// A form that lets somebody in starts empty: roles or an address meant for one person would else
// be given to the next.
export const kept = (form) => PERSON && form?.elements.command && !("unkept" in form.dataset);

function draftKey(form) {
  const told = ["do", "box"].map((name) => form.elements[name]?.value || "");
  return [
    "yardproof.draft",
    PERSON,
    form.getAttribute("action") || location.pathname,
    ...told,
  ].join(" ");
}

export function note(form) {
  const typed = [...form.elements]
    .filter(typable)
    .map((control) => [
      control.name,
      control.value,
      control.type === "checkbox" ? control.checked : true,
    ]);
  sessionStorage.setItem(draftKey(form), JSON.stringify(typed));
}

export function forget(form) {
  sessionStorage.removeItem(draftKey(form));
}

export function restore(form) {
  const typed = JSON.parse(sessionStorage.getItem(draftKey(form)) || "[]");
  let changed = false;
  for (const control of [...form.elements].filter(typable)) {
    const ticks = control.type === "checkbox"; // several may share a name and differ in value
    const kept = typed.find(
      ([name, was]) => name === control.name && (!ticks || was === control.value),
    );
    if (!kept) continue;
    const [, value, checked] = kept;
    if (ticks) control.checked = checked;
    else if (control.value !== value) {
      control.value = value;
      changed = true;
    }
  }
  if (changed && !form.querySelector(".draft")) {
    const words = document.createElement("p");
    words.className = "draft";
    words.textContent = gettext("Typed earlier, not sent yet.");
    form.append(words);
    form.closest("details")?.setAttribute("open", "");
  }
}
