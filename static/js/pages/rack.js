import { get, put, Refused } from "../api.js";
import { byId, el } from "../dom.js";
import { showFieldErrors } from "../fields.js";
import { picture } from "../rack/pictures.js";
import { say, sayRefused } from "../say.js";
import { words } from "../words.js";

const W = words.rack;
const PARTS = Object.keys(W.parts);
const form = byId("rack");
/** @type {any} */
let starter = null;

function show(rack) {
  byId("parts").replaceChildren(...PARTS.map((part) => partCard(part, rack[part])));
  byId("rate-grid").replaceChildren(
    field("arm_span", "Longest thread you like to sew with", rack.arm_span),
    ...Object.entries(W.rates).map(([name, label]) => field(`rates.${name}`, label, rack.rates[name] ?? "")),
  );
}

function partCard(part, lines) {
  const { title, words: meaning, add } = W.parts[part];
  const list = el("ul.rack-lines", { "data-part": part }, ...lines.map((line, i) => row(part, line, i)));
  const more = el("button.button", { type: "button", onclick: () => addLine(part, list) }, add);
  return el("section.card", { "data-of": part }, el("h2", {}, title), el("p.soft.small", {}, meaning), list, more);
}

function addLine(part, list) {
  const line = row(part, {}, list.childElementCount);
  list.append(line);
  line.querySelector("input, select").focus();
  changed();
}

/** One thing on the rack: its drawing, its fields, and a way to take it down. */
function row(part, line, index) {
  const cells = Object.entries(W.columns[part]).map(([column, label]) =>
    cell(part, index, column, label, line[column] ?? ""),
  );
  const remove = el("button.button.remove", { type: "button", onclick: () => take(part, item) }, "×");
  const item = el("li.rack-line", {}, picture(part, line), ...cells, remove);
  name(part, item, index);
  item.addEventListener("input", () => item.querySelector("svg").replaceWith(picture(part, valuesOf(item))));
  return item;
}

function cell(part, index, column, label, value) {
  const input =
    column === "shape"
      ? el("select", {}, ...Object.entries(W.shapes).map(([key, text]) => el("option", { value: key, selected: key === value }, text)))
      : el("input", { value, autocomplete: "off", autocapitalize: "none", spellcheck: "false" });
  input.dataset.column = column;
  return el("div.cell", {}, el("span.soft.small", { "aria-hidden": "true" }, label), input, el("p.wrong-here", { role: "alert" }));
}

/** Names follow the place in the list, as the server counts. */
function name(part, item, index) {
  for (const cell of item.querySelectorAll(".cell")) {
    const input = cell.querySelector("input, select");
    input.name = `${part}.${index}.${input.dataset.column}`;
    input.setAttribute("aria-label", W.label(W.parts[part].one, index + 1, W.columns[part][input.dataset.column]));
    cell.querySelector(".wrong-here").dataset.for = input.name;
  }
  item.querySelector(".remove").setAttribute("aria-label", W.remove(W.parts[part].one, index + 1));
}

function take(part, item) {
  const list = item.parentElement;
  const next = item.nextElementSibling ?? item.previousElementSibling;
  item.remove();
  Array.from(list.children).forEach((line, i) => name(part, line, i));
  (next?.querySelector(".remove") ?? list.parentElement.querySelector(".button")).focus();
  changed();
}

function field(key, label, value) {
  const id = `rate-${key.replace(".", "-")}`;
  return el(
    "div.field",
    {},
    el("label", { for: id }, label),
    el("input", { id, name: key, value, autocomplete: "off", spellcheck: "false" }),
    el("p.wrong-here", { "data-for": key, role: "alert" }),
  );
}

const valuesOf = (item) =>
  Object.fromEntries(Array.from(item.querySelectorAll("[data-column]"), (input) => [input.dataset.column, input.value.trim()]));

function typed() {
  const parts = PARTS.map((part) => [part, Array.from(form.querySelectorAll(`[data-part="${part}"] > li`), valuesOf)]);
  const rates = Object.keys(W.rates).map((key) => [key, form.elements[`rates.${key}`].value.trim()]);
  return { ...Object.fromEntries(parts), arm_span: form.elements.arm_span.value.trim(), rates: Object.fromEntries(rates) };
}

function changed() {
  byId("kept").textContent = W.changed;
}

function standing(rack) {
  starter = rack.starter;
  byId("restart").hidden = starter === null;
  byId("rack-words").textContent = rack.own ? W.own : W.starter;
}

async function save() {
  byId("kept").textContent = W.saving;
  try {
    standing(await put("/api/rack", typed()));
    showFieldErrors(form, null);
    byId("kept").textContent = W.saved;
  } catch (error) {
    changed();
    if (!(error instanceof Refused) || !showFieldErrors(form, error)) return sayRefused(error);
    form.querySelector('[aria-invalid="true"]')?.focus();
  }
  return undefined;
}

form.addEventListener("input", changed);
form.addEventListener("submit", (event) => {
  event.preventDefault();
  save();
});
byId("restart").addEventListener("click", () => {
  show(starter);
  changed();
  say(W.restarted);
});

async function start() {
  const rack = await get("/api/rack");
  show(rack);
  standing(rack);
  byId("save").disabled = false;
}

start().catch(sayRefused);
