import { svg, el } from "../dom.js";
import { words } from "../words/words.js";

/**
 * Steps of the error picture in mm, and their colours: from dark blue to light yellow, so that they stay in order for every
 * eye and in grey (the order of lightness of the cividis map; Nunez, Anderton & Renslow, PLoS ONE 13 (2018) e0199239).
 */
const STEPS = [
  { below: 0.15, colour: "#12306b" },
  { below: 0.25, colour: "#3a4a6c" },
  { below: 0.4, colour: "#62646f" },
  { below: 0.7, colour: "#8a8678" },
  { below: 1.2, colour: "#bba965" },
  { below: Infinity, colour: "#f7da3e" },
];

const stepOf = (error) => STEPS.find((step) => error < step.below) ?? STEPS[STEPS.length - 1];

/** @typedef {{footprint: number[][], columns: number, rows: number, points: number[][], error_mm: number[], pixel_mm: number, worst_mm: number, median_mm: number}} ErrorMap */

/**
 * The expected error over the table, in table millimetres.
 * @param {ErrorMap} map
 */
export function heat(map) {
  const [x0, y0, x1, y1] = box(map.footprint);
  const margin = (x1 - x0) * 0.06;
  const wide = x1 - x0 + 2 * margin;
  const drawing = svg(
    "svg.heat",
    {
      viewBox: `${x0 - margin} ${y0 - margin} ${wide} ${y1 - y0 + 2 * margin}`,
      role: "img",
    },
    ...cells(map),
    svg("polygon.footprint", { points: map.footprint.map((p) => p.join(",")).join(" ") }),
  );
  return drawing;
}

/** One four-sided cell between four neighbouring points, coloured by the mean of their errors. */
function cells(/** @type {ErrorMap} */ map) {
  const found = [];
  for (let row = 0; row + 1 < map.rows; row += 1) {
    for (let column = 0; column + 1 < map.columns; column += 1) {
      const at = row * map.columns + column;
      const corners = [at, at + 1, at + 1 + map.columns, at + map.columns];
      const mean = corners.reduce((sum, i) => sum + map.error_mm[i], 0) / 4;
      const colour = stepOf(mean).colour;
      found.push(
        svg("polygon", {
          points: corners.map((i) => map.points[i].join(",")).join(" "),
          fill: colour,
          stroke: colour,
          "stroke-width": 1.5,
        }),
      );
    }
  }
  return found;
}

/** What the colours mean, in mm. */
export function heatLegend() {
  const entry = (step, i) => {
    const patch = el("span.patch", { "aria-hidden": "true" });
    patch.style.background = step.colour;
    const from = i === 0 ? 0 : STEPS[i - 1].below;
    return el("li", {}, patch, words.bench.heatStep(from, step.below));
  };
  return el("ul.heat-legend", { "aria-label": words.bench.heatLegend }, ...STEPS.map(entry));
}

export function box(/** @type {number[][]} */ points) {
  const xs = points.map((p) => p[0]);
  const ys = points.map((p) => p[1]);
  return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
}
