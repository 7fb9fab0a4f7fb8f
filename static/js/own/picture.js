import { svg } from "../dom.js";
import { nearestLine, nearestPoint } from "./nearest.js";

/** @typedef {{look: number, page: number, closed: boolean, length: number, width: number, height: number, points: number[]}} SheetLine */

const ORDER = ["ignore", "cut", "slot", "fold", "mark", "stitch", "hole"];
const AROUND = 0.04;
/** How near a press must be to a line, in CSS pixels: a finger's width on a phone. */
const REACH = 16;

/**
 * The sheet as the file has it, each line drawn in the way it is used; pressing one tells which.
 * @param {HTMLElement} place
 * @param {{line: (number: number) => void, point: (place: [number, number]) => void}} tell
 */
export function sheetPicture(place, tell) {
  let sheet = /** @type {any} */ (null);
  let page = 1;
  let label = "";
  let points = false;
  /** @type {(line: number) => string} */
  let useOf = () => "mark";
  const marked = { chosen: /** @type {number[]} */ ([]), known: /** @type {[number, number][]} */ ([]) };
  const drawing = svg("svg.drawing.sheet-drawing", { role: "img" });
  const lines = svg("g");
  const over = svg("g");
  drawing.append(lines, over);
  place.replaceChildren(drawing);

  const onPage = () => sheet.lines.flatMap((line, i) => (line.page === page ? [i] : []));

  function draw() {
    const [left, top, right, bottom] = sheet.pages.find((found) => found.number === page).box;
    const wide = Math.max(right - left, bottom - top) * AROUND;
    const box = [left - wide, top - wide, right - left + 2 * wide, bottom - top + 2 * wide];
    drawing.setAttribute("viewBox", box.join(" "));
    drawing.setAttribute("aria-label", label);
    const numbers = onPage();
    lines.replaceChildren(...ORDER.flatMap((use) => [true, false].map((closed) => kind(numbers, use, closed))).filter(Boolean));
    mark();
  }

  /** All lines of one use in one path: thousands of them cost the browser no more than one. */
  function kind(numbers, use, closed) {
    const here = numbers.filter((i) => useOf(i) === use && sheet.lines[i].closed === closed);
    if (here.length === 0) return null;
    const d = here.map((i) => pathOf(sheet.lines[i])).join("");
    return svg(`path.role-${use}`, { "data-role": use, "data-open": closed ? "no" : "yes", d });
  }

  function mark() {
    const chosen = marked.chosen.filter((i) => sheet.lines[i]?.page === page);
    const path = chosen.length > 0 && svg("path.chosen", { d: chosen.map((i) => pathOf(sheet.lines[i])).join("") });
    const d = marked.known.map(([x, y]) => `M${x} ${y}h0`).join("");
    const join = marked.known.length === 2 && svg("path.between", { d: `M${marked.known.map((p) => p.join(" ")).join("L")}` });
    over.replaceChildren(...[path, join, d && svg("path.points", { d })].filter(Boolean));
  }

  drawing.addEventListener("click", (event) => {
    const matrix = drawing.getScreenCTM();
    if (sheet === null || matrix === null) return;
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix.inverse());
    const reach = REACH / matrix.a;
    if (points) return tell.point(nearestPoint(sheet.lines, onPage(), [at.x, at.y], reach));
    const found = nearestLine(sheet.lines, onPage(), [at.x, at.y], reach);
    if (found >= 0) tell.line(found);
  });

  return {
    /** @param {any} next @param {number} onWhich @param {string} words */
    show(next, onWhich, words) {
      [sheet, page, label] = [next, onWhich, words];
      draw();
    },
    /** @param {(line: number) => string} uses what each line is for */
    uses(uses) {
      useOf = uses;
      if (sheet !== null) draw();
    },
    /** Lift these lines out of the others. @param {number[]} numbers */
    choose(numbers) {
      marked.chosen = numbers;
      if (sheet !== null) mark();
    },
    /** Mark the points between which a length is known. @param {[number, number][]} places */
    known(places) {
      marked.known = places;
      if (sheet !== null) mark();
    },
    /** Whether a press gives a point instead of a line. @param {boolean} now */
    takePoints(now) {
      points = now;
      place.dataset.points = now ? "yes" : "no";
    },
  };
}

function pathOf(/** @type {SheetLine} */ line) {
  const parts = [];
  for (let i = 0; i < line.points.length; i += 2) parts.push(`${line.points[i]} ${line.points[i + 1]}`);
  return `M${parts.join("L")}${line.closed ? "z" : ""}`;
}
