import { choices as radios, mark } from "../choices.js";
import { el } from "../dom.js";
import { typed as inWords } from "../lengths.js";
import { own as W } from "../words/own.js";
import { choose, field, wrongHere } from "./choose.js";
import { lineOptions } from "./single.js";

const S = W.size;

/** @typedef {"file" | "unit" | "line" | "points"} Way */

/**
 * How large the drawing is: as the file says, by its unit, by a line or by two points of known length.
 * @param {HTMLElement} place
 * @param {any} drawing
 * @param {{changed: (part: object) => void, point: (what: "line" | "first" | "second" | null) => void}} tell
 */
export function sizeParts(place, drawing, tell) {
  let now = drawing;
  /** @type {Way | ""} */
  let way = wayOf(drawing.choices) || (drawing.sheet.unit_known ? "file" : "");
  /** @type {[number, number][]} */
  let picked = drawing.choices.known?.points ?? [];
  const result = el("p", { role: "status", "aria-live": "polite" });
  const ways = el("fieldset.choices", {}, el("legend", {}, S.way));
  const parts = el("div.stack.tight");
  // A file that says its unit needs no more than its size; how else to give it stays folded away.
  const known = drawing.sheet.unit_known;
  const others = known ? el("details", { open: way !== "file" }, el("summary", {}, S.other), el("div.stack.tight", {}, ways, parts)) : null;
  place.replaceChildren(...(others === null ? [el("p", {}, S.saysNot), ways, parts, result] : [result, others]));
  const entries = Object.entries(S.ways).filter(([name]) => name !== "file" || drawing.sheet.unit_known);
  radios(ways, "way", /** @type {[string, string][]} */ (entries), way, setWay);
  fill();

  function setWay(/** @type {Way} */ next) {
    way = next;
    picked = [];
    fill();
    if (way === "file") tell.changed({ unit: null, known: null });
    if (way === "unit") tell.changed({ known: null });
    tell.point(way === "line" ? "line" : way === "points" ? "first" : null);
  }

  function fill() {
    parts.replaceChildren(...{ "": [], file: [], unit: unitParts(), line: lineParts(), points: pointParts() }[way]);
  }

  function unitParts() {
    const entries = /** @type {[string, string][]} */ ([["", S.chooseUnit], ...Object.entries(S.units)]);
    const act = (/** @type {string} */ unit) => tell.changed({ unit: unit || null, known: null });
    const input = choose({ id: "unit", name: "unit" }, entries, now.choices.unit ?? "", act);
    return [field(S.unit, input, wrongHere("unit"))];
  }

  function lineParts() {
    const known = now.choices.known;
    const entries = /** @type {[string, string][]} */ ([["", W.single.none], ...lineOptions(drawing, now.factor)]);
    const which = choose({ id: "known", name: "known" }, entries, String(known?.line ?? ""), (value) => setLine(value, across.value));
    const across = choose({ id: "across" }, Object.entries(S.acrosses), known?.across ?? "along", (value) => setLine(which.value, value));
    return [field(S.line, which, wrongHere("known")), el("div.pair", {}, field(S.across, across), lengthField(S.length))];
  }

  function setLine(/** @type {string} */ line, /** @type {string} */ across) {
    tell.point(line === "" ? "line" : null);
    tell.changed({ known: line === "" ? null : { line: Number(line), across } });
  }

  function pointParts() {
    const again = el("button.button", { type: "button", onclick: () => pickAgain() }, S.pickAgain);
    return [el("div.field", {}, el("p.legend", {}, S.points), again, wrongHere("known")), lengthField(S.between)];
  }

  function pickAgain() {
    picked = [];
    tell.changed({ known: null });
    tell.point("first");
  }

  function lengthField(/** @type {string} */ title) {
    const input = el("input", { id: "length", name: "length", autocomplete: "off", value: now.choices.length, placeholder: "100 mm" });
    input.addEventListener("input", () => tell.changed({ length: inWords(input.value.trim()) }));
    return field(title, input, el("span.range", {}, S.lengthHint), wrongHere("length"));
  }

  return {
    /** @param {any} next */
    show(next) {
      now = next;
      const [width, height] = extent(drawing.sheet, next.factor);
      const says = known && way === "file" ? ` ${S.says}` : "";
      result.textContent = next.unit_known ? S.now(width, height) + says : S.unknown(width, height, drawing.sheet.unit);
      result.className = next.unit_known ? "" : "note mind";
      mark(ways, way);
    },
    /** A line was pressed while one was asked for. @param {number} line */
    line(line) {
      setLine(String(line), now.choices.known?.across ?? "along");
      fillSoon();
    },
    /** A point was pressed while one was asked for. @param {[number, number]} at */
    point(at) {
      picked = picked.length === 1 ? [picked[0], at] : [at];
      tell.point(picked.length === 1 ? "second" : null);
      if (picked.length === 2) tell.changed({ known: { points: picked } });
      if (picked.length === 2) place.querySelector("#length")?.focus();
    },
    points: () => picked,
  };

  function fillSoon() {
    const line = now.choices.known?.line;
    fill();
    const select = place.querySelector("#known");
    if (select && line !== undefined) select.value = String(line);
    /** @type {HTMLElement | null} */ (place.querySelector("#length"))?.focus();
  }
}

/** @returns {Way | ""} */
function wayOf(choices) {
  if (choices.known) return "points" in choices.known ? "points" : "line";
  return choices.unit ? "unit" : "";
}

function extent(sheet, factor) {
  const sizes = sheet.pages.map(({ box }) => [(box[2] - box[0]) * factor, (box[3] - box[1]) * factor]);
  return sizes.reduce((most, size) => (size[0] * size[1] > most[0] * most[1] ? size : most));
}
