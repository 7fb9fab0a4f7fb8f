import { drawn, svg } from "../dom.js";
import { words } from "../words/words.js";
import { measureLine } from "./measure-lines.js";

/** @typedef {{name: string, title: string, svg: string, box: [number, number, number, number], turned?: boolean}} PieceDrawing */

/** @typedef {{piece: string, place: [number, number], sentence: string}} Finding */

const GAP = 14;
const AROUND = 6;
/** A piece so many times as tall as it is wide lies along a wide paper. */
const LONG = 3;

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
  let peek = "";

  function draw() {
    if (draft === null || paper.clientWidth === 0) return;
    const laid = paper.clientWidth > paper.clientHeight ? alongPaper(draft) : draft;
    const pieces = laid.pieces.filter((piece) => shown === "" || piece.name === (peek || shown));
    const places = sideBySide(pieces, laid.dimensions);
    const unit = Math.max(places.width / paper.clientWidth, places.height / paper.clientHeight);
    const root = svg("svg.drawing", {
      viewBox: `0 0 ${places.width} ${places.height}`,
      role: "img",
      "aria-label": words.draft.drawingLabel(pieces.map((piece) => piece.title)),
    });
    pieces.forEach((piece, i) => {
      const drawing = onePiece(piece, places.at[i], laid.dimensions, unit, chosen);
      drawing.append(...(laid.findings ?? []).map((f, n) => f.piece === piece.name && finding(f, n + 1, unit)).filter(Boolean));
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

  /** Where the measure's line is not on the piece that is shown, the piece that has it, else none. */
  function elsewhere() {
    const lines = draft === null || lit === "" ? [] : draft.dimensions.filter((d) => d.measure_name === lit);
    return lines.length === 0 || lines.some((d) => d.piece === shown) ? "" : lines[0].piece;
  }

  new ResizeObserver(draw).observe(paper);
  return {
    show(next, piece) {
      draft = next;
      shown = piece;
      peek = elsewhere();
      draw();
    },
    light(measure) {
      lit = measure ?? "";
      const other = elsewhere();
      if (other === peek) return light();
      peek = other;
      draw();
    },
  };
}

function onePiece(piece, at, dimensions, unit, chosen) {
  const lines = dimensions.filter((d) => d.piece === piece.name).map((d) => measureLine(d, unit, chosen));
  const title = svg(
    "text.piece-title",
    { x: at.middle, y: at.bottom + 20 * unit, "font-size": 15 * unit, "text-anchor": "middle" },
    piece.title,
  );
  return svg(
    "g",
    { transform: `translate(${at.x} ${at.y})`, "data-piece": piece.name },
    svg("g", piece.turned ? { transform: "rotate(-90)" } : {}, drawn(piece.svg)),
    ...lines,
    title,
  );
}

/** Long pieces turned a quarter to the left, with all that is drawn on them. */
function alongPaper(draft) {
  const tall = (box) => box[3] - box[1] > LONG * (box[2] - box[0]);
  const long = new Set(draft.pieces.filter((piece) => tall(piece.box)).map((piece) => piece.name));
  const turn = ([x, y]) => [y, -x];
  const turned = (piece) => ({ ...piece, turned: true, box: [piece.box[1], -piece.box[2], piece.box[3], -piece.box[0]] });
  return {
    pieces: draft.pieces.map((piece) => (long.has(piece.name) ? turned(piece) : piece)),
    dimensions: draft.dimensions.map((d) => (long.has(d.piece) ? { ...d, start: turn(d.start), end: turn(d.end) } : d)),
    findings: (draft.findings ?? []).map((f) => (long.has(f.piece) ? { ...f, place: turn(f.place) } : f)),
  };
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
  const width = x - GAP + AROUND;
  return { at, width, height: bottom - top + 2 * AROUND + Math.max((bottom - top) * 0.08, width * 0.06) };
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
