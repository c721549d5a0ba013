// The entries that wait on this tablet for a signal, in localStorage, each under the name of who
// typed it: {person, name, path, box, words, fields, refused}. Read afresh before every change,
// because another page of this tablet may have sent or added something meanwhile.

export const WAITING = "yardproof.waiting";
export const PERSON = document.body.dataset.person || "";
export const NAME = document.body.dataset.name || "";

/** Everybody's entries, in the order they were typed. */
function waiting() {
  try {
    return JSON.parse(localStorage.getItem(WAITING)) || [];
  } catch {
    return [];
  }
}

/** The entries of whoever is signed in. */
export const mine = () => waiting().filter((entry) => entry.person === PERSON);
export const others = () => waiting().filter((entry) => entry.person !== PERSON);
export const field = (entry, name) => (entry.fields.find(([key]) => key === name) || [])[1] || "";
export const shown = (entry) =>
  field(entry, "text") || field(entry, "because") || field(entry, "answer");

const idOf = (entry) => field(entry, "command");
const keep = (entries) => localStorage.setItem(WAITING, JSON.stringify(entries));
const allBut = (entry) => waiting().filter((other) => idOf(other) !== idOf(entry));

/** Add an entry of whoever is signed in. Throws where the tablet has no room for it. */
export const add = (entry) => keep([...allBut(entry), { person: PERSON, name: NAME, ...entry }]);
export const remove = (entry) => keep(allBut(entry));

export function change(entry, changes) {
  keep(waiting().map((other) => (idOf(other) === idOf(entry) ? { ...other, ...changes } : other)));
}
