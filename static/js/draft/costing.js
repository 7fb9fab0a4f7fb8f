import { el } from "../dom.js";
import { showFieldErrors } from "../fields.js";
import { words } from "../words/words.js";

const W = words.making.costing;
const COLUMNS = /** @type {const} */ (["name", "count", "price"]);

/**
 * How many are made, the hardware of one, and the minutes of the steps that the maker timed. Until the maker changes the
 * hardware, it is what the pattern itself asks for; a step without minutes is reckoned by the rates of the rack.
 * @param {HTMLElement} place
 * @param {() => void} changed
 */
export function costingForm(place, changed) {
  /** @type {Record<string, string>[] | null} null: as the pattern asks */
  let lines = null;
  let usual = [];
  /** @type {Record<string, string>} minutes as typed, by the step's name */
  let timed = {};
  const copies = el("input", { id: "costing-copies", name: "costing.copies", inputmode: "numeric", autocomplete: "off", oninput: changed, "aria-describedby": "copies-wrong" });
  const list = el("ul.hardware-lines", { "aria-label": W.hardware });
  const back = el("button.button.plain", { type: "button", onclick: asUsual }, W.asUsual);
  const more = el("button.button", { type: "button", onclick: add }, W.add);
  const said = el("p.soft.small", { role: "status" });
  const stepList = el("ul.step-minutes", { "aria-label": W.minutes });

  place.replaceChildren(
    el("div.field.copies", {}, el("label", { for: "costing-copies" }, W.copies), copies, wrong("costing.copies", "copies-wrong")),
    el("h3", {}, W.hardware),
    said,
    list,
    el("p.row", {}, more, back),
    el("h3", {}, W.minutes),
    el("p.soft.small", {}, W.minutesMean),
    stepList,
  );

  function draw() {
    const shown = lines ?? usual;
    list.replaceChildren(...shown.map(line));
    back.hidden = lines === null;
    said.textContent = lines !== null ? W.own : shown.length === 0 ? W.none : W.proposed;
  }

  function line(values, index) {
    const cells = COLUMNS.map((column) => cell(values, index, column));
    const take = el("button.button.remove", { type: "button", "aria-label": W.remove(index + 1), onclick: () => remove(index) }, "×");
    return el("li.hardware-line", {}, ...cells, take);
  }

  function cell(values, index, column) {
    const name = `costing.hardware.${index}.${column}`;
    const typed = (event) => {
      own()[index][column] = event.target.value;
      changed();
    };
    const input = el("input", { name, value: values[column], autocomplete: "off", "aria-label": W.label(index + 1, W.columns[column]), oninput: typed });
    return el("div.cell", {}, el("span.soft.small", { "aria-hidden": "true" }, W.columns[column]), input, wrong(name));
  }

  /** From the first change on, the hardware is the maker's own. */
  function own() {
    if (lines === null) {
      lines = usual.map((one) => ({ ...one }));
      back.hidden = false;
      said.textContent = W.own;
    }
    return lines;
  }

  function add() {
    own().push({ name: "", count: "1", price: "" });
    draw();
    list.lastElementChild?.querySelector("input")?.focus();
  }

  function remove(index) {
    own().splice(index, 1);
    draw();
    more.focus();
    changed();
  }

  /** One small field beside each step; it shows the minutes that are reckoned while none are typed. */
  function drawSteps(/** @type {any[]} */ work) {
    const shown = work.map((step) => step.step).join();
    if (stepList.dataset.steps !== shown) stepList.replaceChildren(...work.map(stepRow));
    stepList.dataset.steps = shown;
    for (const step of work) stepInput(step.step)?.setAttribute("placeholder", step.each.toFixed(1));
  }

  function stepRow(step) {
    const [id, name] = [`minutes-${step.step}`, `costing.steps.${step.step}`];
    const typed = (event) => {
      timed = { ...timed, [step.step]: event.target.value };
      changed();
    };
    const input = el("input", { id, name, value: timed[step.step] ?? "", inputmode: "decimal", autocomplete: "off", "aria-describedby": `${id}-wrong`, oninput: typed });
    return el("li", {}, el("label", { for: id }, step.title), input, el("span.soft.small", { "aria-hidden": "true" }, W.min), wrong(name, `${id}-wrong`));
  }

  const stepInput = (step) => /** @type {HTMLInputElement | null} */ (stepList.querySelector(`#${CSS.escape(`minutes-${step}`)}`));

  function asUsual() {
    lines = null;
    draw();
    more.focus();
    changed();
  }

  return {
    /** What is typed; a line without a name is not finished and is left out. */
    values: () => ({ copies: copies.value.trim(), ...stepsTyped(timed), ...(lines === null ? {} : { hardware: lines.filter((one) => one.name.trim() !== "") }) }),
    set(/** @type {any} */ typed) {
      copies.value = typed?.copies ?? "";
      lines = typed?.hardware ? typed.hardware.map((one) => ({ ...one })) : null;
      timed = { ...typed?.steps };
      delete stepList.dataset.steps;
      draw();
    },
    /** Show what the pattern asks for, while the maker has not said otherwise. */
    understood(/** @type {any} */ costing, /** @type {any[]} */ work) {
      const fresh = costing.usual.map((one) => ({ name: one.name, count: String(one.count), price: one.price ? String(one.price) : "" }));
      const same = JSON.stringify(fresh) === JSON.stringify(usual);
      usual = fresh;
      if (lines === null && !same) draw();
      drawSteps(work);
      showFieldErrors(place, null);
    },
    refused: (error) => showFieldErrors(place, error),
  };
}

/** The steps that the maker timed; none at all is as if nothing had been said. */
function stepsTyped(timed) {
  const said = Object.entries(timed).filter(([, text]) => text.trim() !== "");
  return { steps: Object.fromEntries(said) };
}

const wrong = (name, id = `${name}-wrong`) => el("p.wrong-here", { id, "data-for": name, role: "alert" });
