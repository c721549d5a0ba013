// The texts of the scripts in the language of the page, as script-texts has loaded them; in English
// where a poor signal lost that file. Named values stand as %(name)s in a text.

const english = {
  gettext: (text) => text,
  ngettext: (one, many, count) => (count === 1 ? one : many),
};

export const { gettext, ngettext } = globalThis.django?.gettext ? globalThis.django : english;

export const fill = (text, values) => text.replace(/%\((\w+)\)s/g, (_, name) => values[name]);
