import { el } from "./dom.js";

/**
 * Put a row of choices, of which one holds, into a fieldset; what its legend says stays.
 * @param {HTMLElement} place
 * @param {string} name
 * @param {[string, string][]} entries value and text of each
 * @param {string} chosen
 * @param {(value: any) => void} act
 */
export function choices(place, name, entries, chosen, act) {
  for (const old of place.querySelectorAll(":scope > label")) old.remove();
  place.append(...entries.map(([value, text]) => choice(name, value, text, value === chosen, act)));
}

function choice(name, value, text, checked, act) {
  const input = el("input", { type: "radio", name, value, checked, onchange: () => act(value) });
  return el("label.choice", {}, input, text);
}

/** Mark the choice that holds now. @param {HTMLElement} place @param {string} value */
export function mark(place, value) {
  for (const input of place.querySelectorAll("input")) input.checked = input.value === value;
}
