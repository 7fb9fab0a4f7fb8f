import { svg } from "../dom.js";
import { figure, unit as makersUnit } from "../lengths.js";
import { words } from "../words/words.js";

/** Between numbered lines: 100 mm, or 4 in. */
const RULED = makersUnit === "in" ? 101.6 : 100;

/** @typedef {{left: number, top: number, right: number, bottom: number}} Room mm */

export function roomOf(/** @type {number[][]} */ points, around = 0) {
  const xs = points.map((p) => p[0]);
  const ys = points.map((p) => p[1]);
  return {
    left: Math.min(...xs) - around,
    top: Math.min(...ys) - around,
    right: Math.max(...xs) + around,
    bottom: Math.max(...ys) + around,
  };
}

/** The table top: a line every 50 mm, a stronger one with its number every 100 mm, and the outline of the picture. */
export function ground(
  /** @type {Room} */ room,
  /** @type {number[][] | null} */ footprint,
  /** @type {number} */ unit,
) {
  const parts = [
    svg("path.grid-fine", { d: lines(room, RULED / 2) }),
    svg("path.grid", { d: lines(room, RULED) }),
    ...numbers(room, unit),
  ];
  if (footprint !== null) {
    parts.push(
      svg(
        "polygon.footprint",
        { points: footprint.map((p) => p.join(",")).join(" ") },
        svg("title", {}, words.table.footprint),
      ),
    );
  }
  return svg("g.ground", {}, ...parts);
}

function steps(from, to, step) {
  const found = [];
  for (let at = Math.ceil(from / step) * step; at <= to; at += step) found.push(at);
  return found;
}

function lines(room, step) {
  const down = steps(room.left, room.right, step).map((x) => `M${x} ${room.top}V${room.bottom}`);
  const across = steps(room.top, room.bottom, step).map((y) => `M${room.left} ${y}H${room.right}`);
  return [...down, ...across].join("");
}

function numbers(room, pixel) {
  const every = pixel > 1.4 ? 2 * RULED : RULED;
  const text = (x, y, value, anchor) => svg("text", { x, y, "font-size": 11 * pixel, "text-anchor": anchor }, value);
  return [
    ...steps(room.left, room.right, every).map((x) => text(x + 3 * pixel, room.top + 13 * pixel, figure(x), "start")),
    ...steps(room.top + 24 * pixel, room.bottom, every).map((y) => text(room.left + 3 * pixel, y - 3 * pixel, figure(y), "start")),
  ];
}
