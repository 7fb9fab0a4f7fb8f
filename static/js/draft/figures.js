import { svg } from "../dom.js";
import * as common from "./figures/common.js";
import * as flatWork from "./figures/flat-work.js";
import * as pouches from "./figures/pouches.js";
import * as straps from "./figures/straps.js";

/** Small drawings of where a measure is taken: a sketch, and on it what is meant. */

const SHELVES = [common, pouches, flatWork, straps];
const SKETCHES = Object.assign({}, ...SHELVES.map((shelf) => shelf.sketches));
/** @type {Record<string, import("./figures/common.js").Figure>} */
const FIGURES = Object.assign({}, ...SHELVES.map((shelf) => shelf.figures));

/** What is drawn for a measure ("family/measure"): a family's own figure comes before what all have in common. */
function found(/** @type {string} */ id) {
  return FIGURES[id] ?? FIGURES[id.split("/").pop() ?? ""];
}

/** The small drawing of a measure, by its figure ("family/measure"); nothing for one that has none. */
export function figure(/** @type {string} */ id) {
  if (found(id) === undefined) return null;
  const [name, lines, lit] = found(id);
  const paths = SKETCHES[name].map(([kind, d]) => svg(`path.sketch-${kind}`, { d }));
  const meant = lit === undefined ? [] : [svg("path.sketch-lit", { d: lit })];
  return svg(
    "svg.figure",
    { viewBox: "0 0 96 72", "aria-hidden": "true" },
    ...paths,
    ...meant,
    ...lines.map(arrow),
  );
}

/** A line with an arrow head at each end, drawn from the inside outwards. */
function arrow(/** @type {[number, number, number, number]} */ [x1, y1, x2, y2]) {
  const length = Math.hypot(x2 - x1, y2 - y1);
  const [ux, uy] = [(x2 - x1) / length, (y2 - y1) / length];
  const head = Math.min(4.5, length / 2.6);
  const tip = (x, y, way) => {
    const [bx, by] = [x - way * ux * head, y - way * uy * head];
    return `M${x} ${y}L${bx - uy * head * 0.5} ${by + ux * head * 0.5}L${bx + uy * head * 0.5} ${by - ux * head * 0.5}z`;
  };
  return svg(
    "g.pointed",
    {},
    svg("path.shaft", { d: `M${x1} ${y1}L${x2} ${y2}` }),
    svg("path.tip", { d: tip(x1, y1, -1) + tip(x2, y2, 1) }),
  );
}
