import { el } from "../dom.js";
import { showFieldErrors } from "../fields.js";
import { words } from "../words.js";
import { figure } from "./figures.js";
import { short } from "./measure-lines.js";

/** @typedef {{name: string, title: string, meaning: string, unit: string, low: number, high: number, default: number | null, reference: string, figure: string}} Measure */

const W = words.draft;

/** Which measures stand together; any other goes with the last group. */
const GROUPS = {
  thing: ["width", "height", "thickness", "stands-out"],
  carry: ["belt", "slot-width", "slot-gap"],
  leather: ["leather", "edge-margin", "corner-radius", "back-margin"],
  stitches: [],
};

const groupOf = (name) => Object.keys(GROUPS).find((group) => GROUPS[group].includes(name)) ?? "stitches";

/**
 * The form of a family's measures.
 * @param {HTMLElement} place
 * @param {Measure[]} measures
 * @param {{typed: () => void, focused: (name: string | null) => void}} tell
 */
export function measureForm(place, measures, tell) {
  const groups = Object.keys(GROUPS).map((group) => [group, measures.filter((m) => groupOf(m.name) === group)]);
  place.replaceChildren(...groups.filter(([, inside]) => inside.length > 0).map(([group, inside]) => groupField(group, inside)));
  place.addEventListener("input", tell.typed);
  place.addEventListener("focusin", (event) => tell.focused(event.target.name ?? null));
  place.addEventListener("focusout", () => tell.focused(null));
  const inputs = () => /** @type {HTMLInputElement[]} */ (Array.from(place.querySelectorAll("input")));

  return {
    /** What is typed, by measure; what is left empty is left out. */
    values: () => Object.fromEntries(inputs().map((input) => [input.name, input.value.trim()]).filter(([, value]) => value !== "")),
    fill(values) {
      for (const input of inputs()) input.value = values[input.name] ?? "";
    },
    focus: (name) => place.querySelector(`input[name="${CSS.escape(name)}"]`)?.focus(),
    refused(error) {
      const found = showFieldErrors(place, error);
      // What is said must not hide below the bar with the buttons while the maker still types there.
      const said = document.activeElement?.closest(".measure")?.querySelector(".wrong-here");
      if (found && said?.textContent) said.scrollIntoView({ block: "nearest" });
      return found;
    },
    /** Show how the server understood each measure, where that is not plain from what was typed. */
    understood(mm) {
      for (const input of inputs()) sayUnderstood(input, mm[input.name]);
    },
  };
}

function groupField(group, measures) {
  return el("fieldset.group", {}, el("legend", {}, W.groups[group]), ...measures.map(measureField));
}

function measureField(/** @type {Measure} */ measure) {
  const id = `measure-${measure.name}`;
  const input = el("input", {
    id,
    name: measure.name,
    inputmode: "text",
    autocomplete: "off",
    autocapitalize: "none",
    spellcheck: "false",
    placeholder: measure.default === null ? "" : short(measure.default),
    "aria-describedby": `${id}-meaning ${id}-range ${id}-wrong`,
  });
  return el(
    "div.measure",
    {},
    figure(measure.figure) ?? figure(measure.name) ?? el("span"),
    el("label", { for: id }, measure.title),
    input,
    el("p.meaning", { id: `${id}-meaning` }, measure.meaning),
    el("p.range", { id: `${id}-range` }, el("span.limits", {}, W.range(short(measure.low), short(measure.high))), " ", el("span.understood")),
    el("p.wrong-here", { id: `${id}-wrong`, "data-for": measure.name, role: "alert" }),
  );
}

/** A measure left empty shows what it comes to; one written with a unit of its own shows its millimetres. */
function sayUnderstood(input, mm) {
  const place = input.closest(".measure").querySelector(".understood");
  const text = input.value.trim();
  place.textContent = mm === undefined || text === "" || Number(text) === mm ? "" : W.understood(short(mm));
  if (mm !== undefined && text === "") input.placeholder = short(mm);
}
