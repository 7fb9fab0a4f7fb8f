import { el } from "../dom.js";
import { rackWords } from "../words/rack.js";

const W = rackWords.measured;

/** What was measured on a strip of a leather: its stretch, and the bend that K is worked out from. */
export function strip(line, understood, cell) {
  const cells = Object.entries(W.columns).map(([column, label]) => cell(column, label, line[column] ?? ""));
  const fromStrip = (line.neutral ?? "") === "" && typeof understood.neutral === "number";
  const k = fromStrip ? String(understood.neutral) : (line.neutral ?? "");
  return el(
    "details.strip",
    {},
    el("summary", {}, el("span", {}, W.summary(k, line.stretch ?? ""))),
    el("p.soft.small", {}, W.help),
    el("div.strip-cells", {}, ...cells),
    el("p.small.k-from", {}, fromStrip ? W.from(k) : ""),
  );
}

/** After saving: K as it was worked out from what is typed. */
export function refreshStrips(/** @type {HTMLElement} */ form, /** @type {any[]} */ leathers) {
  form.querySelectorAll(".strip").forEach((place, i) => {
    const typed = (column) => /** @type {HTMLInputElement} */ (place.querySelector(`[data-column="${column}"]`)).value.trim();
    const k = leathers[i]?.neutral;
    const fromStrip = typed("neutral") === "" && typeof k === "number";
    const shown = fromStrip ? String(k) : typed("neutral");
    place.querySelector("summary > span").textContent = W.summary(shown, typed("stretch"));
    place.querySelector(".k-from").textContent = fromStrip ? W.from(shown) : "";
  });
}
