import { choices, mark } from "../choices.js";
import { svg } from "../dom.js";
import { ground, roomOf } from "../table/ground.js";
import { workWords } from "../words/work.js";

/**
 * The table from above, in millimetres, as the light draws it: pieces as leather, lit lines, and the step card. Blows are
 * shown from near, everything else whole, until the maker chooses.
 * @param {HTMLElement} place @param {HTMLElement} views where to choose how near
 */
export function drawingOn(place, views) {
  const root = /** @type {SVGSVGElement} */ (svg("svg.work-drawing.table-drawing", { role: "img" }));
  place.append(root);
  /** @type {any} */
  let shown = null;
  /** @type {"all" | "near" | null} */
  let chosen = null;
  choices(views, "view", Object.entries(workWords.views), "all", (view) => {
    chosen = view;
    draw();
  });

  function draw() {
    if (shown === null || place.clientWidth === 0 || place.clientHeight === 0) return;
    const near = (chosen ?? (shown.lines.some(([kind]) => kind === "strike") ? "near" : "all")) === "near";
    mark(views, near ? "near" : "all");
    const room = near ? roomOf(lit(shown), 25) : roomOf(shown.footprint, 12);
    const unit = Math.max((room.right - room.left) / place.clientWidth, (room.bottom - room.top) / place.clientHeight);
    const full = filled(room, place.clientWidth * unit, place.clientHeight * unit);
    root.setAttribute("viewBox", `${full.left} ${full.top} ${full.right - full.left} ${full.bottom - full.top}`);
    root.replaceChildren(
      ground(full, shown.footprint, unit),
      ...shown.pieces.map((piece) => svg("path.leather", { d: lineOf(piece.points, true) })),
      ...shown.lines.map(([kind, closed, points]) => svg(`path.lit-${kind}`, { d: lineOf(points, closed) })),
      ...card(shown),
    );
  }

  new ResizeObserver(draw).observe(place);
  return {
    show(/** @type {any} */ next, /** @type {string} */ label) {
      shown = next;
      root.setAttribute("aria-label", label);
      draw();
    },
  };
}

/** Where the light falls on leather, or all of the picture where it falls on none. */
function lit(shown) {
  const points = shown.lines.flatMap(([, , flat]) => pairs(flat));
  return points.length > 0 ? points : shown.footprint;
}

const pairs = (/** @type {number[]} */ flat) =>
  Array.from({ length: flat.length / 2 }, (_, i) => [flat[2 * i], flat[2 * i + 1]]);

function card(shown) {
  if (shown.card === null) return [];
  const lines = shown.card.map(([, closed, points]) => lineOf(points, closed)).join("");
  return [svg("path.card-ground", { d: lineOf(shown.card_box, true) }), svg("path.lit-card", { d: lines })];
}

function filled(room, wide, high) {
  const [x, y] = [(room.left + room.right) / 2, (room.top + room.bottom) / 2];
  return { left: x - wide / 2, top: y - high / 2, right: x + wide / 2, bottom: y + high / 2 };
}

function lineOf(/** @type {number[]} */ points, /** @type {boolean} */ closed) {
  let d = "";
  for (let i = 0; i < points.length; i += 2) d += `${i === 0 ? "M" : "L"}${points[i]} ${points[i + 1]}`;
  return closed ? `${d}Z` : d;
}
