import { el } from "../dom.js";

/**
 * A select with entries of value and text.
 * @param {Record<string, string | undefined>} attributes @param {[string, string][]} entries @param {string} chosen
 * @param {(value: string) => void} act
 */
export function choose(attributes, entries, chosen, act) {
  const options = entries.map(([value, text]) => el("option", { value, selected: value === chosen }, text));
  return el("select", { ...attributes, onchange: (event) => act(event.target.value) }, ...options);
}

/** A labelled field. @param {string} label @param {HTMLElement} input @param {...(HTMLElement | string | null | false)} more */
export function field(label, input, ...more) {
  return el("div.field", {}, el("label", { for: input.id }, label), input, ...more);
}

/** Where a refusal about a field is said. @param {string} name */
export const wrongHere = (name) => el("p.wrong-here", { "data-for": name, role: "alert" });
