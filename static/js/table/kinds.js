import { el, svg } from "../dom.js";
import { words } from "../words/words.js";

const KINDS = ["cut", "slot", "stitch", "hole", "fold", "mark"];

/** Which kinds of line the light draws. @param {HTMLElement} place @param {(show: Record<string, boolean>) => void} changed */
export function kindsPanel(place, changed) {
  const inputs = Object.fromEntries(
    KINDS.map((kind) => [kind, el("input", { type: "checkbox", name: kind, onchange: () => changed(values()) })]),
  );
  const values = () =>
    Object.fromEntries(Object.entries(inputs).map(([kind, input]) => [kind, /** @type {any} */ (input).checked]));
  for (const [kind, input] of Object.entries(inputs)) {
    place.append(el("label.switch", {}, input, sample(kind), el("span", {}, words.draft.line[kind])));
  }
  return function update(/** @type {Record<string, boolean>} */ show) {
    for (const [kind, input] of Object.entries(inputs)) /** @type {any} */ (input).checked = show[kind] !== false;
  };
}

function sample(kind) {
  const shape =
    kind === "hole"
      ? svg("circle.role-hole", { "data-role": kind, cx: 18, cy: 7, r: 3 })
      : svg(`path.role-${kind}`, { "data-role": kind, d: "M1 7H35" });
  return svg("svg.drawing.sample", { viewBox: "0 0 36 14", "aria-hidden": "true" }, shape);
}
