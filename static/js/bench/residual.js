import { el } from "../dom.js";
import { words } from "../words/words.js";

/** @typedef {{kind: string, names: string[], residual_mm: number, standardised: number, share: number, suspect: boolean, detectable_mm: number | null}} Residual */

/**
 * A residual as a bar and a number: how far this sighting is from what all the others say.
 * @param {Residual | null} residual
 * @param {number} scale mm of a full bar
 * @param {boolean} detect say also how large a slip must be to be found
 */
export function residualCell(residual, scale, detect = false) {
  const cell = el("td.residual");
  if (residual === null) return cell;
  const bar = el("span.filled", { "aria-hidden": "true" });
  bar.style.width = `${Math.min(100, (Math.abs(residual.residual_mm) / scale) * 100)}%`;
  const measure = el("span.track", { "aria-hidden": "true" }, bar);
  cell.append(measure, el("span.amount", {}, words.bench.residual(residual.residual_mm)));
  if (residual.suspect) cell.append(el("strong.again", {}, words.bench.again));
  if (detect) cell.append(el("span.detectable", {}, words.advice.detectable(residual.detectable_mm)));
  cell.dataset.suspect = residual.suspect ? "yes" : "no";
  return cell;
}

/**
 * The residuals of a report, found again by the list and the row that each sighting was typed in; unfinished rows have none.
 * @param {any} report
 */
export function residualsOf(report) {
  const all = report?.sightings ?? [];
  const found = new Map(all.map((r) => [`${r.list} ${r.row}`, r]));
  const of = (list) => (row) => found.get(`${list} ${row}`) ?? null;
  const ruled = all.filter((r) => r.list !== "lens").map((r) => Math.abs(r.residual_mm));
  return { position: of("positions"), distance: of("distances"), lens: of("lens"), scale: Math.max(0.5, ...ruled) };
}
