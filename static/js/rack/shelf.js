import { el } from "../dom.js";
import { typed } from "../lengths.js";
import { rackWords as W } from "../words/rack.js";
import { picture } from "./pictures.js";
import { strip } from "./strip.js";

const LENGTHS = new Set(["low", "high", "size", "pitch", "hole", "width", "length"]);
const inWords = (column, text) => (LENGTHS.has(column) ? typed(text) : text);

/**
 * One shelf of the rack: what hangs there, line by line, and a way to hang up more.
 * @param {string} part
 * @param {Record<string, string>[]} lines as typed
 * @param {any[]} understood the same as the drafts understand them
 * @param {() => void} changed
 */
export function shelf(part, lines, understood, changed) {
  const { title, words: meaning, add } = W.parts[part];
  const list = el("ul.rack-lines", { "data-part": part }, ...lines.map((line, i) => row(part, line, i, understood[i] ?? {}, changed)));
  const more = el("button.button", { type: "button", onclick: () => addLine(part, list, changed) }, add);
  return el("section.card", { "data-of": part }, el("h2", {}, title), el("p.soft.small", {}, meaning), list, more);
}

/** What is typed, line by line. */
export const typedOn = (/** @type {HTMLElement} */ form, /** @type {string} */ part) =>
  Array.from(form.querySelectorAll(`[data-part="${part}"] > li`), valuesOf);

const valuesOf = (item) =>
  Object.fromEntries(Array.from(item.querySelectorAll("[data-column]"), (input) => [input.dataset.column, inWords(input.dataset.column, input.value.trim())]));

function addLine(part, list, changed) {
  const line = row(part, {}, list.childElementCount, {}, changed);
  list.append(line);
  line.querySelector("input, select").focus();
  changed();
}

/** One thing on the rack: its drawing, its fields, and a way to take it down. */
function row(part, line, index, understood, changed) {
  const cells = Object.entries(W.columns[part]).map(([column, label]) => cell(column, label, line[column] ?? ""));
  const remove = el("button.button.remove", { type: "button", onclick: () => take(part, item, changed) }, "×");
  const more = part === "leathers" ? strip(line, understood, cell) : null;
  const item = el("li.rack-line", {}, picture(part, line), ...cells, remove, more);
  name(part, item, index);
  item.addEventListener("input", () => item.querySelector("svg").replaceWith(picture(part, valuesOf(item))));
  return item;
}

function cell(column, label, value) {
  const input =
    column === "shape"
      ? el("select", {}, ...Object.entries(W.shapes).map(([key, text]) => el("option", { value: key, selected: key === value }, text)))
      : el("input", { value, autocomplete: "off", autocapitalize: "none", spellcheck: "false" });
  input.dataset.column = column;
  input.dataset.label = label;
  return el("div.cell", {}, el("span.soft.small", { "aria-hidden": "true" }, label), input, el("p.wrong-here", { role: "alert" }));
}

/** Names follow the place in the list, as the server counts. */
function name(part, item, index) {
  for (const one of item.querySelectorAll(".cell")) {
    const input = one.querySelector("input, select");
    input.name = `${part}.${index}.${input.dataset.column}`;
    input.setAttribute("aria-label", W.label(W.parts[part].one, index + 1, input.dataset.label));
    one.querySelector(".wrong-here").dataset.for = input.name;
  }
  item.querySelector(".remove").setAttribute("aria-label", W.remove(W.parts[part].one, index + 1));
}

function take(part, item, changed) {
  const list = item.parentElement;
  const next = item.nextElementSibling ?? item.previousElementSibling;
  item.remove();
  Array.from(list.children).forEach((line, i) => name(part, line, i));
  (next?.querySelector(".remove") ?? list.parentElement.querySelector(".button")).focus();
  changed();
}
