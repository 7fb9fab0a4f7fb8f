import { drawn, svg } from "../dom.js";
import { words } from "../words.js";
import { measureLine } from "./measure-lines.js";

/** @typedef {{name: string, title: string, svg: string, box: [number, number, number, number]}} PieceDrawing */

/** @typedef {{piece: string, place: [number, number], sentence: string}} Finding */

const GAP = 14;
const AROUND = 6;

/**
 * The pieces side by side with their dimension lines, redrawn when the paper changes its size.
 * @param {HTMLElement} paper
 * @param {(measure: string | null) => void} chosen a dimension line was pressed
 */
export function drawingOn(paper, chosen) {
  /** @type {{pieces: PieceDrawing[], dimensions: any[], findings?: Finding[]} | null} */
  let draft = null;
  let shown = "";
  let lit = "";

  function draw() {
    if (draft === null || paper.clientWidth === 0) return;
    const pieces = draft.pieces.filter((piece) => shown === "" || piece.name === shown);
    const places = sideBySide(pieces, draft.dimensions);
    const unit = Math.max(places.width / paper.clientWidth, places.height / paper.clientHeight);
    const root = svg("svg.drawing", {
      viewBox: `0 0 ${places.width} ${places.height}`,
      role: "img",
      "aria-label": words.draft.drawingLabel(pieces.map((piece) => piece.title)),
    });
    pieces.forEach((piece, i) => {
      const drawing = onePiece(piece, places.at[i], draft.dimensions, unit, chosen);
      drawing.append(...(draft.findings ?? []).map((f, n) => f.piece === piece.name && finding(f, n + 1, unit)).filter(Boolean));
      root.append(drawing);
    });
    paper.replaceChildren(root);
    light();
  }

  function light() {
    for (const line of paper.querySelectorAll(".measure-line")) {
      const here = lit !== "" && line.getAttribute("data-measure") === lit;
      line.setAttribute("data-lit", here ? "yes" : "no");
      if (here) line.parentNode?.append(line);
    }
  }

  new ResizeObserver(draw).observe(paper);
  return {
    show(next, piece) {
      draft = next;
      shown = piece;
      draw();
    },
    light(measure) {
      lit = measure ?? "";
      light();
    },
  };
}

function onePiece(piece, at, dimensions, unit, chosen) {
  const lines = dimensions.filter((d) => d.piece === piece.name).map((d) => measureLine(d, unit, chosen));
  const title = svg(
    "text.piece-title",
    { x: at.middle, y: at.bottom + 12 * unit, "font-size": 15 * unit, "text-anchor": "middle" },
    piece.title,
  );
  return svg(
    "g",
    { transform: `translate(${at.x} ${at.y})`, "data-piece": piece.name },
    drawn(piece.svg),
    ...lines,
    title,
  );
}

/** A numbered ring round the place of a finding; the list beside the drawing has the same number. */
function finding(/** @type {Finding} */ found, number, unit) {
  const [x, y] = found.place;
  return svg(
    "g.finding",
    { transform: `translate(${x} ${y})`, "data-finding": number },
    svg("title", {}, found.sentence),
    svg("circle.ring", { r: 9 * unit }),
    svg("circle.tag", { cx: 14 * unit, cy: -14 * unit, r: 9 * unit }),
    svg("text", { x: 14 * unit, y: -14 * unit, "font-size": 12 * unit, "text-anchor": "middle", "dominant-baseline": "central" }, number),
  );
}

/** Room for each piece: its box, its dimension lines, and its title below. */
function sideBySide(pieces, dimensions) {
  const boxes = pieces.map((piece) => roomOf(piece, dimensions));
  const top = Math.min(...boxes.map((box) => box[1]));
  const bottom = Math.max(...boxes.map((box) => box[3]));
  let x = AROUND;
  const at = boxes.map((box, i) => {
    const place = { x: x - box[0], y: AROUND - top, middle: (pieces[i].box[0] + pieces[i].box[2]) / 2, bottom: bottom };
    x += box[2] - box[0] + GAP;
    return place;
  });
  return { at, width: x - GAP + AROUND, height: bottom - top + 2 * AROUND + (bottom - top) * 0.07 };
}

function roomOf(piece, dimensions) {
  const box = [...piece.box];
  for (const d of dimensions.filter((found) => found.piece === piece.name)) {
    const length = Math.hypot(d.end[0] - d.start[0], d.end[1] - d.start[1]) || 1;
    const by = d.offset + Math.sign(d.offset) * 5;
    const [nx, ny] = [(-(d.end[1] - d.start[1]) / length) * by, ((d.end[0] - d.start[0]) / length) * by];
    for (const [x, y] of [d.start, d.end]) {
      box[0] = Math.min(box[0], x + nx);
      box[1] = Math.min(box[1], y + ny);
      box[2] = Math.max(box[2], x + nx);
      box[3] = Math.max(box[3], y + ny);
    }
  }
  return box;
}
