import { svg } from "../dom.js";
import { words } from "../words/words.js";

/**
 * @typedef {object} Landing where the light of the frame really lands; everything in mm on the table
 * @property {{x: number, y: number, width: number, height: number}} table
 * @property {{x: number, y: number, width: number, height: number, thickness: number} | null} leather
 * @property {{x: number, y: number, turn: number, length: number, width: number}} rule
 * @property {{kind: string, colour: string, width_mm: number, dash_mm: number[], closed: boolean, points: number[]}[]} strokes points are x, y in turn
 * @property {{colour: string, rings: number[][]}[]} [areas] lit areas: closed rings, x, y in turn; dark inside two of them
 * @property {{text: string, x: number, y: number, size_mm: number, angle: number, colour: string}[]} texts
 * @property {[number, number][]} footprint
 * @property {Record<string, number> | null} readings
 * @property {string | null} sentence
 * @property {string} mode
 * @property {number[][]} [patches] closed outlines of the chequerboard patches, x, y in turn
 * @property {{name: string, x: number, y: number}[]} [marks] pencil dots on the table
 * @property {{name: string, thickness: number, rings: number[][]}[]} [pieces] cut pieces where they truly lie: outline, then slots
 */

/** The bare table: its top and a few planks. */
export function tableTop(/** @type {Landing["table"]} */ { x, y, width, height }) {
  const planks = [1, 2, 3, 4].map((i) => `M${x} ${y + (height * i) / 5}H${x + width}`).join("");
  return svg("g", {}, svg("rect.top", { x, y, width, height, rx: 12 }), svg("path.plank", { d: planks }));
}

/** The leather panel with a shadow as deep as it is thick. */
export function leather(/** @type {NonNullable<Landing["leather"]>} */ panel) {
  const { x, y, width, height, thickness } = panel;
  return svg(
    "g",
    {},
    svg("rect", { x: x + thickness, y: y + thickness, width, height, rx: 5, fill: "#000", opacity: 0.45 }),
    svg("rect.leather", { x, y, width, height, rx: 5 }, svg("title", {}, words.practice.leather(thickness))),
  );
}

/** The cut pieces that lie on the table, their slots punched through. @param {Landing} landing */
export function cutPieces(landing) {
  const piece = ({ rings, thickness }) => {
    const d = rings.map((ring) => `M${ring.join(" ")}z`).join("");
    return svg(
      "g",
      {},
      svg("path", { d, transform: `translate(${thickness} ${thickness})`, opacity: 0.5 }),
      svg("path.leather.cut-piece", { d, "fill-rule": "evenodd" }),
    );
  };
  return svg("g", {}, ...(landing.pieces ?? []).map(piece));
}

/** The light, stroke by stroke; from afar no line is thinner than can be seen. @param {Landing} landing @param {number} least mm */
export function light(landing, least) {
  return svg(
    "g",
    {},
    svg(
      "polygon.footprint",
      { points: landing.footprint.map((p) => p.join(",")).join(" ") },
      svg("title", {}, words.practice.footprint),
    ),
    ...(landing.areas ?? []).map(areaOf),
    ...landing.strokes.map((stroke) => strokeOf(stroke, least)),
    ...landing.texts.map(textOf),
  );
}

/** Single pixels are too fine to be drawn from afar: a patch of them looks grey, as it would to an eye. @param {Landing} landing */
export function patches(landing) {
  const outline = (points) => svg("path.patch", { d: `M${points.join(" ")}z` });
  return svg("g", {}, ...(landing.patches ?? []).map(outline));
}

/** The pencil dots, under the light. @param {Landing} landing @param {number} unit mm of one screen pixel */
export function pencilDots(landing, unit) {
  const dot = ({ name, x, y }) =>
    svg(
      "g.pencil",
      { transform: `translate(${x} ${y})` },
      svg("title", {}, words.practice.mark(name)),
      svg("circle", { r: 2.2 * unit }),
      svg("circle.round", { r: 9 * unit }),
      svg("text", { x: 12 * unit, y: -9 * unit, "font-size": 13 * unit }, name),
    );
  return svg("g", {}, ...(landing.marks ?? []).map(dot));
}

/** A lit piece lets the leather under it be seen. */
function areaOf({ colour, rings }) {
  const d = rings.map((ring) => `M${ring.join(" ")}z`).join("");
  return svg("path.lit-area", { d, fill: colour, "fill-rule": "evenodd", "fill-opacity": 0.75 });
}

function strokeOf(stroke, least) {
  // An SVG path takes the points that follow an M as lines.
  const d = `M${stroke.points.join(" ")}${stroke.closed ? "z" : ""}`;
  return svg("path.light", {
    d,
    stroke: stroke.colour,
    "stroke-width": Math.max(stroke.width_mm, least),
    "stroke-dasharray": stroke.dash_mm.join(" ") || null,
  });
}

function textOf(text) {
  return svg(
    "text.light-text",
    { transform: `translate(${text.x} ${text.y}) rotate(${text.angle})`, "font-size": text.size_mm, fill: text.colour },
    text.text,
  );
}
