import { el } from "../dom.js";
import { decimals, fromTyped } from "../lengths.js";
import { words } from "../words/words.js";
import { about, middleOf, tidyTurn } from "./lie.js";

const W = words.table;
const FIELDS = { x: W.x, y: W.y, turn: W.turn };

/** Numeric entry for the chosen piece, quarter turns, and mirror. @param {HTMLFormElement} form @param {any} hands */
export function numbersPanel(form, hands) {
  const inputs = Object.fromEntries(Object.entries(FIELDS).map(([name, label]) => [name, field(name, label, take)]));
  const mirror = /** @type {HTMLInputElement} */ (
    el("input", { type: "checkbox", onchange: () => change({ mirror: mirror.checked }) })
  );
  const turn = (by, text) => el("button.button", { type: "button", onclick: () => hands.turn(by) }, text);
  form.append(
    ...Object.values(inputs).map((input) => input.parentElement),
    el("div.row.turns", {}, turn(-90, W.left90), turn(90, W.right90)),
    el("label.switch", {}, mirror, el("span", {}, W.mirror)),
  );
  form.addEventListener("submit", (event) => event.preventDefault());

  function change(values) {
    const name = hands.chosen();
    const lie = hands.lie(name);
    const moved =
      "x" in values || "y" in values ? { ...lie, ...values } : about(lie, middleOf(hands.piece(name)), values);
    hands.moved(name, moved);
    hands.done(name);
  }

  function take(name) {
    const value = Number(inputs[name].value.trim().replace(",", ".").replace("−", "-"));
    const fine = inputs[name].value.trim() !== "" && Number.isFinite(value) && Math.abs(value) < 1e5;
    inputs[name].parentElement.querySelector(".wrong-here").textContent = fine ? "" : W.notANumber;
    inputs[name].toggleAttribute("aria-invalid", !fine);
    if (fine) change({ [name]: name === "turn" ? tidyTurn(value) : fromTyped(value) });
  }

  return function update() {
    const lie = hands.lie(hands.chosen());
    for (const [name, input] of Object.entries(inputs)) {
      if (document.activeElement !== input)
        input.value = shown(name, lie[name]);
    }
    mirror.checked = lie.mirror;
  };
}

const shown = (name, value) => (name === "turn" ? String(Number(value.toFixed(1))) : decimals(value));

function field(name, label, take) {
  const input = el("input", {
    id: `lie-${name}`,
    name,
    inputmode: "decimal",
    autocomplete: "off",
    onchange: () => take(name),
  });
  el("div.field", {}, el("label", { for: `lie-${name}` }, label), input, el("p.wrong-here", { role: "alert" }));
  return /** @type {HTMLInputElement} */ (input);
}
