import { el, svg } from "../dom.js";
import { words } from "../words/words.js";

const W = words.sure;
const COLUMNS = 9;
const ROWS = 6;
/** Numbers stand at every other ellipse, so that they can be read on a small screen too. */
const NUMBERED = { columns: [0, 2, 4, 6, 8], rows: [0, 2, 3, 5] };

/** @typedef {{at: [number, number], long_mm: number, short_mm: number, turn: number}} Ellipse half axes, degrees clockwise on the table */

/** How many times larger the ellipses are drawn, so that the longest fills half of its place: 1, 2, 5, 10, ... @param {Ellipse[]} all */
export function enlarged(all) {
  const [a, b] = [all[0].at, all[1].at];
  const room = Math.hypot(b[0] - a[0], b[1] - a[1]) * 0.46;
  const most = room / Math.max(...all.map((e) => e.long_mm), 1e-9);
  const whole = 10 ** Math.floor(Math.log10(most));
  return [5, 2, 1].map((k) => k * whole).find((k) => k <= most) ?? 1;
}

/** The ellipses on the table, enlarged. @param {Ellipse[]} all @param {number} times @param {number} size of the numbers, mm */
export function ellipseMarks(all, times, size) {
  const shapes = all.map((e) =>
    svg(
      "ellipse",
      {
        rx: e.long_mm * times,
        ry: e.short_mm * times,
        transform: `translate(${e.at.join(" ")}) rotate(${e.turn})`,
      },
      svg("title", {}, W.one(e)),
    ),
  );
  const numbers = NUMBERED.rows.flatMap((row) =>
    NUMBERED.columns.map((column) => numberOf(all[row * COLUMNS + column], size)),
  );
  return svg("g.ellipses", {}, ...shapes, ...numbers);
}

function numberOf(/** @type {Ellipse} */ e, /** @type {number} */ size) {
  const place = { x: e.at[0], y: e.at[1], "font-size": size };
  return svg("text", { ...place, "text-anchor": "middle", "dominant-baseline": "central" }, e.long_mm.toFixed(2));
}

/** All of them as numbers. @param {Ellipse[]} all */
export function ellipseTable(all) {
  const cells = (e) => [e.long_mm.toFixed(2), e.short_mm.toFixed(2), `${Math.round(e.turn)}°`];
  const row = (e) =>
    el(
      "tr",
      {},
      el("th", { scope: "row" }, e.at.map((v) => Math.round(v)).join(", ")),
      ...cells(e).map((text) => el("td.number", {}, text)),
    );
  const head = [W.at, W.long, W.short, W.turn].map((text, i) => el(i ? "th.number" : "th", { scope: "col" }, text));
  return el("table", {}, el("thead", {}, el("tr", {}, ...head)), el("tbody", {}, ...all.map(row)));
}

/** Are these the ellipses of the grid? Along outlines they have no rows. @param {Ellipse[]} all */
export const isGrid = (all) => all.length === COLUMNS * ROWS;
