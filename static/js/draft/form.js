import { el } from "../dom.js";
import { showFieldErrors } from "../fields.js";
import { figure as lengthFigure, kindly, typed, unit } from "../lengths.js";
import { words } from "../words/words.js";
import { figure } from "./figures.js";

/**
 * @typedef {object} Measure
 * @property {string} name
 * @property {string} title
 * @property {string} meaning
 * @property {"length" | "leather" | "count" | "ratio" | "percent" | "choice"} unit
 * @property {number} low
 * @property {number} high
 * @property {number | null} default null where it is worked out from the others
 * @property {string} reference
 * @property {string} figure
 * @property {[string, string][]} [choices] name and title of each, for a choice
 */

const W = words.draft;

/** Which measures stand together; any other goes with the last group. */
const GROUPS = {
  thing: named(`width height thickness length diameter size section section-radius stands-out ring wire bar style board
    blade-length blade-width spine belly tip-drop handle-in handle-width handle-thickness tools largest smallest`),
  carry: named(`belt slot-width slot-gap pockets rear-pocket step notch-width notch-depth front closure flap flap-taper flap-corner
    closure-inset closure-hole tongue bridge fixing hole ear hanger-width strap-width snap-hole turn pin pin-slot hardware-hole holes
    hole-spacing tip-length keeper-width keeper-leather lid cap-depth cap-play pen pen-diameter loop-height pocket-depth tie-width
    tie-length`),
  leather: named(`leather neutral stretch edge-margin corner-radius back-margin tip neck-width neck-length welt welt-width flange wall
    bend-radius turn-in gap set-back square trim drain`),
  stitches: [],
};

function named(/** @type {string} */ names) {
  return names.split(/\s+/);
}

const groupOf = (name) => Object.keys(GROUPS).find((group) => GROUPS[group].includes(name)) ?? "stitches";
/** A number of the measure as it stands in its field. */
const written = (/** @type {Measure} */ measure, /** @type {number} */ value) =>
  isLength(measure) ? lengthFigure(value) : String(Math.round(value * 100) / 100);
const limitsOf = (/** @type {Measure} */ measure) => [written(measure, measure.low), written(measure, measure.high)];

const isLength = (/** @type {Measure} */ measure) => measure.unit === "length" || measure.unit === "leather";

/**
 * The form of a family's measures.
 * @param {HTMLElement} place
 * @param {Measure[]} measures
 * @param {{typed: () => void, focused: (name: string | null) => void}} tell
 */
export function measureForm(place, measures, tell) {
  const groups = Object.keys(GROUPS).map((group) => [group, measures.filter((m) => groupOf(m.name) === group)]);
  place.replaceChildren(
    ...groups.filter(([, inside]) => inside.length > 0).map(([group, inside]) => groupField(group, inside)),
  );
  const lengths = new Set(measures.filter(isLength).map((measure) => measure.name));
  const inputs = () =>
    /** @type {(HTMLInputElement | HTMLSelectElement)[]} */ (Array.from(place.querySelectorAll("input, select")));
  for (const input of inputs()) {
    input.addEventListener("input", tell.typed);
    input.addEventListener("focus", () => tell.focused(input.name));
    input.addEventListener("blur", () => tell.focused(null));
  }

  return {
    /** What is typed, by measure; what is left empty is left out. */
    values: () =>
      Object.fromEntries(
        inputs()
          .map((input) => [input.name, lengths.has(input.name) ? typed(input.value.trim()) : input.value.trim()])
          .filter(([, value]) => value !== ""),
      ),
    fill(values) {
      for (const input of inputs()) {
        const text = String(values[input.name] ?? "");
        input.value = lengths.has(input.name) ? kindly(text) : text;
      }
    },
    focus: (name) =>
      inputs()
        .find((input) => input.name === name)
        ?.focus(),
    refused(error) {
      const found = showFieldErrors(place, error);
      if (error !== null) for (const input of inputs()) forgetUnderstood(input);
      if (found) hintAtUnit(place, measures, error.field);
      // What is said must not hide below the bar with the buttons while the maker still types there.
      const said = document.activeElement?.closest(".measure")?.querySelector(".wrong-here");
      if (found && said?.textContent) said.scrollIntoView({ block: "nearest" });
      return found;
    },
    /** Show how the server understood each length, where that is not plain from what was typed, and what the rack fills in. */
    understood(mm, fromRack = {}) {
      for (const input of inputs()) {
        if (lengths.has(input.name)) sayUnderstood(input, mm[input.name]);
        sayFilled(input, fromRack[input.name]);
      }
    },
  };
}

function groupField(group, measures) {
  return el("fieldset.group", {}, el("legend", {}, W.groups[group]), ...measures.map(measureField));
}

function measureField(/** @type {Measure} */ measure) {
  const id = `measure-${measure.name}`;
  const limits = isLength(measure) ? W.range : measure.unit === "percent" ? W.percent : W.plainRange;
  return el(
    "div.measure",
    {},
    figure(measure.figure),
    el("label", { for: id }, measure.title),
    measure.unit === "choice" ? choiceInput(measure, id) : textInput(measure, id),
    el("p.meaning", { id: `${id}-meaning` }, measure.meaning),
    measure.unit !== "choice" &&
      el(
        "p.range",
        { id: `${id}-range` },
        el("span.limits", {}, limits(...limitsOf(measure))),
        " ",
        el("span.understood"),
        " ",
        el("span.from-rack"),
      ),
    el("p.wrong-here", { id: `${id}-wrong`, "data-for": measure.name, role: "alert" }),
  );
}

function textInput(measure, id) {
  return el("input", {
    id,
    name: measure.name,
    inputmode: "text",
    autocomplete: "off",
    autocapitalize: "none",
    spellcheck: "false",
    placeholder: measure.default === null ? "" : written(measure, measure.default),
    "aria-describedby": `${id}-meaning ${id}-range ${id}-wrong`,
  });
}

/** A choice left alone is the usual one, and says so. */
function choiceInput(measure, id) {
  const usual = measure.choices[measure.default ?? 0];
  const options = measure.choices.map(([name, title]) => el("option", { value: name === usual[0] ? "" : name }, title));
  return el("select", { id, name: measure.name, "aria-describedby": `${id}-meaning ${id}-wrong` }, ...options);
}

/** A measure left empty shows what it comes to; one written with a unit of its own shows its millimetres. */
function sayUnderstood(input, mm) {
  const place = input.closest(".measure").querySelector(".understood");
  const text = input.value.trim();
  input.dataset.understood = text;
  place.textContent = mm === undefined || text === "" || Number(text) === Number(lengthFigure(mm)) ? "" : W.understood(lengthFigure(mm));
  if (mm !== undefined && text === "") input.placeholder = lengthFigure(mm);
}

/** What the rack fills in, or would if the maker had not typed something else. */
function sayFilled(input, fill) {
  const place = input.closest(".measure").querySelector(".from-rack");
  if (place === null) return;
  place.textContent = fill === undefined ? "" : fill.used ? words.making.filled(fill.words) : words.making.notFilled(lengthFigure(fill.value), fill.words);
  if (fill?.used) input.placeholder = lengthFigure(fill.value);
}

/** What was understood of other words is not what stands in the field now. */
function forgetUnderstood(input) {
  const place = input.closest(".measure").querySelector(".understood");
  if (place && input.dataset.understood !== input.value.trim()) place.textContent = "";
}

/** A bare number out of range may have been meant in inches. */
function hintAtUnit(/** @type {HTMLElement} */ place, /** @type {Measure[]} */ measures, /** @type {string} */ name) {
  const measure = measures.find((m) => m.name === name);
  const input = /** @type {HTMLInputElement | null} */ (place.querySelector(`[name="${CSS.escape(name)}"]`));
  const text = input?.value.trim().replace(",", ".") ?? "";
  if (unit === "in" || !measure || !isLength(measure) || !/^\d*\.?\d+$/.test(text)) return;
  if (Number(text) >= measure.low && Number(text) <= measure.high) return;
  input?.closest(".measure")?.querySelector(".wrong-here")?.append(` ${W.bare(text)}`);
}
