import { el } from "../dom.js";
import { figure } from "../draft/figures.js";
import { shortLength, typed as inWords } from "../lengths.js";
import { own as W } from "../words/own.js";
import { choose, wrongHere } from "./choose.js";

const S = W.stitching;

/**
 * Pitch, which stitches are eased, leather and plies.
 * @param {HTMLElement} place
 * @param {any} choices
 * @param {(part: object) => void} changed
 * @param {Record<string, number>} [filled] mm that the rack fills in where nothing is typed
 */
export function stitchingParts(place, choices, changed, filled) {
  const plies = Array.from({ length: 10 }, (_, i) => /** @type {[string, string]} */ ([String(i + 1), String(i + 1)]));
  place.replaceChildren(
    measure("pitch", "pitch", S.pitch, S.pitchMeans, typed("pitch", choices.pitch, changed, filled)),
    measure("stepping", "stepping", S.stepping, S.steppingMeans, steppingInput(choices, changed)),
    measure("leather", "leather", S.leather, S.leatherMeans, typed("leather", choices.leather, changed, filled)),
    measure("plies", "leather", S.plies, S.pliesMean, pliesInput(plies, choices, changed)),
  );
}

const steppingInput = (choices, changed) =>
  choose({ id: "stepping", name: "stepping", "aria-describedby": "stepping-means" }, S.steppings, choices.stepping ?? "whole", (value) => changed({ stepping: value }));

const pliesInput = (entries, choices, changed) =>
  choose({ id: "plies", name: "plies", "aria-describedby": "plies-means" }, entries, String(choices.plies), (value) => changed({ plies: Number(value) }));

function typed(name, value, changed, filled) {
  const placeholder = filled === undefined ? "" : shortLength(filled[name]);
  const input = el("input", { id: name, name, value, placeholder, autocomplete: "off", "aria-describedby": `${name}-means` });
  input.addEventListener("input", () => changed({ [name]: inWords(input.value.trim()) }));
  return input;
}

function measure(name, drawing, title, meaning, input) {
  return el(
    "div.measure.short",
    {},
    figure(drawing),
    el("label", { for: name }, title),
    input,
    el("p.meaning", { id: `${name}-means` }, meaning),
    wrongHere(name),
  );
}
