import { svg } from "../dom.js";
import { figure } from "../lengths.js";
import { words } from "../words/words.js";

/** @typedef {{label: string, piece: string, start: [number, number], end: [number, number], offset: number, measure_name: string | null, value_mm: number}} Dimension */

/**
 * A dimension line: two witness lines, a line with arrows that stands off by its offset (to the right-hand side as one
 * walks from start to end), and the number on it, never upside down. `unit` is the millimetres of one CSS pixel, so that
 * arrows and numbers keep their size however large the piece is.
 *
 * @param {Dimension} dimension
 * @param {number} unit
 * @param {(name: string | null) => void} chosen
 */
export function measureLine(dimension, unit, chosen) {
  const { start, end, offset } = dimension;
  const length = Math.hypot(end[0] - start[0], end[1] - start[1]);
  if (length < 1e-9) return null;
  const [ux, uy] = [(end[0] - start[0]) / length, (end[1] - start[1]) / length];
  const [nx, ny] = [-uy, ux];
  const off = (/** @type {number[]} */ [x, y], /** @type {number} */ by) => [x + nx * by, y + ny * by];
  const [a, b] = [off(start, offset), off(end, offset)];
  const beyond = Math.sign(offset) * 5 * unit;
  const witness = offset === 0 ? "" : `M${start}L${off(a, beyond)}M${end}L${off(b, beyond)}`;
  // A number that has no room on its line shows only while its measure has the focus, beside the line.
  const tight = length < 46 * unit;
  const head = Math.min(9 * unit, length / 2.5);
  const middle = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
  const line = svg(
    "g.measure-line",
    {
      "data-measure": dimension.measure_name ?? "",
      "data-tight": tight ? "yes" : "no",
      onclick: () => chosen(dimension.measure_name),
    },
    svg("path", { d: `${witness}M${a}L${b}` }),
    svg("path.arrow", { d: arrow(a, [ux, uy], head) + arrow(b, [-ux, -uy], head) }),
    number(dimension, tight ? off(middle, -14 * unit) : middle, [ux, uy], unit),
  );
  return line;
}

function arrow(/** @type {number[]} */ [x, y], /** @type {number[]} */ [ux, uy], /** @type {number} */ long) {
  const wide = long / 3;
  const [bx, by] = [x + ux * long, y + uy * long];
  return `M${x} ${y}L${bx - uy * wide} ${by + ux * wide}L${bx + uy * wide} ${by - ux * wide}z`;
}

/** The number on a ground of its own, so that no line runs through it. */
function number(
  /** @type {Dimension} */ dimension,
  /** @type {number[]} */ [x, y],
  /** @type {number[]} */ [ux, uy],
  /** @type {number} */ unit,
) {
  let turn = (Math.atan2(uy, ux) * 180) / Math.PI;
  if (turn > 91 || turn <= -90) turn += 180;
  const text = figure(dimension.value_mm);
  const wide = (text.length * 8.6 + 6) * unit;
  return svg(
    "g.number",
    { transform: `translate(${x} ${y}) rotate(${turn})` },
    svg("title", {}, words.draft.dimension(dimension.label, text)),
    svg("rect.behind", { x: -wide / 2, y: -8.5 * unit, width: wide, height: 17 * unit }),
    svg("text", { "font-size": 14 * unit, "dominant-baseline": "central" }, text),
  );
}
