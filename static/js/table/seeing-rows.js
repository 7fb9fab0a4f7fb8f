import { el, svg } from "../dom.js";
import { seeingWords as W } from "../words/seeing.js";

/**
 * @typedef {{kind: string, name: string, width: number, dash: number[], ratio: number, weber: number, verdict: string, seen: string}} KindSeen
 * @typedef {{name: string, colour: string, ratio: number, verdict: string, seen: string}} ColourSeen
 */

/** One kind of line: as it looks on the leather, its colour, and its contrast as a number and in words. */
export function kindRow(/** @type {KindSeen} */ kind, /** @type {any} */ seeing, /** @type {(colour: string) => void} */ change) {
  const name = W.kind[kind.kind];
  const options = seeing.palette.map((/** @type {ColourSeen} */ colour) =>
    el(
      "option",
      { value: colour.name, selected: colour.name === kind.name },
      W.colourEntry(W.colours[colour.name], colour.ratio),
    ),
  );
  const attributes = { "aria-label": W.colourOf(name), onchange: (event) => change(event.target.value) };
  return el(
    "tr",
    { "data-verdict": kind.verdict, "data-kind": kind.kind },
    el("th", { scope: "row" }, sample(kind, seeing.unlit), el("span", {}, name)),
    el("td", {}, el("select", attributes, ...options)),
    el("td.contrast", {}, el("strong", {}, W.ratio(kind.ratio)), el("span.verdict", {}, W.verdict[kind.verdict])),
  );
}

/** The line in its own weight and dash, in the colours that are seen, on the unlit leather. */
function sample(/** @type {KindSeen} */ kind, /** @type {string} */ unlit) {
  const line = svg("path", {
    d: kind.kind === "hole" ? "M10 21l8-8M28 21l8-8M46 21l8-8" : "M4 17H60",
    stroke: kind.seen,
    "stroke-width": kind.width,
    "stroke-dasharray": kind.dash.join(" ") || null,
    fill: "none",
  });
  return svg(
    "svg.leather-sample",
    { viewBox: "0 0 64 34", "aria-hidden": "true" },
    svg("rect", { width: 64, height: 34, rx: 4, fill: unlit }),
    line,
  );
}

/** Which colour the leather has: a row of swatches, each with its name. */
export function swatches(/** @type {any} */ seeing, /** @type {(name: string) => void} */ change) {
  return seeing.leathers.map(({ name, colour }) => {
    const input = el("input", {
      type: "radio",
      name: "leather-colour",
      value: name,
      checked: name === seeing.leather,
      onchange: () => change(name),
    });
    const patch = svg("svg.patch", { viewBox: "0 0 20 20", "aria-hidden": "true" }, svg("rect", { width: 20, height: 20, fill: colour }));
    return el("label.choice.swatch", {}, input, patch, W.leathers[name]);
  });
}

/** A select of named entries. */
export function picker(/** @type {string} */ id, /** @type {string} */ label, entries, chosen, change) {
  const options = entries.map(([value, text]) => el("option", { value, selected: value === chosen }, text));
  const select = el("select", { id, name: id, onchange: (event) => change(event.target.value) }, ...options);
  return el("div.field", {}, el("label", { for: id }, label), select);
}

/** A switch with a line of words under it. */
export function toggle(/** @type {string} */ name, /** @type {string} */ label, /** @type {string} */ words, on, change) {
  const input = el("input", { type: "checkbox", name, checked: on, onchange: (event) => change(event.target.checked) });
  return el("div.toggle", {}, el("label.switch", {}, input, el("span", {}, label)), el("p.range", {}, words));
}
