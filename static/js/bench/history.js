import { get } from "../api.js";
import { ago } from "../dates.js";
import { el } from "../dom.js";
import { sayRefused } from "../say.js";
import { words } from "../words/words.js";
import { historyPlot } from "./history-plot.js";

const W = words.history;
const MOST = 40;

/** @typedef {{id: number, at: string, kind: string, decision: string, drift_mm: number | null, sigma0: number | null, sentence: string}} Entry newest first */

/** Every session of a bench: a plot of drift and sigma, and a list. @param {HTMLElement} place @param {number} id of the bench */
export function historySection(place, id) {
  const plot = el("div.plot");
  const list = el("ol.entries");
  const none = el("p.soft", {}, W.none);
  place.append(el("p.soft", {}, W.intro), none, plot, list);

  async function draw() {
    try {
      /** @type {Entry[]} */
      const entries = await get(`/api/benches/${id}/sessions`);
      none.hidden = entries.length > 0;
      plot.hidden = entries.length === 0;
      plot.replaceChildren(historyPlot(entries.slice(0, MOST).reverse()));
      list.replaceChildren(...entries.map(row));
    } catch (error) {
      sayRefused(error);
    }
  }
  return { draw };
}

function row(/** @type {Entry} */ entry) {
  return el(
    "li",
    { "data-kind": entry.kind, "data-decision": entry.decision },
    el("span.what", {}, W.kinds[entry.kind][entry.decision]),
    el("time.soft.small", { datetime: entry.at }, ago(entry.at)),
    el(
      "span.numbers",
      {},
      [amount("drift", entry.drift_mm, " mm"), amount("σ", entry.sigma0, "")].filter(Boolean).join(", "),
    ),
    el("span.soft.small.sentence", {}, entry.sentence),
  );
}

const amount = (name, value, unit) => (value === null ? "" : `${name} ${value.toFixed(2)}${unit}`);
