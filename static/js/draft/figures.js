import { svg } from "../dom.js";

/**
 * Small drawings of where a measure is taken: a sketch, and on it the one line that is meant.
 * A sketch is 96 by 72; each of its paths has a class that says what it is.
 * @type {Record<string, [string, string][]>}
 */
const SKETCHES = {
  thing: [["thing", "M24 24h38v38H24zM24 24l15-12h38v38L62 62M62 24l15-12"]],
  pouch: [
    ["behind", "M33 22V8q0-3 3-3h24q3 0 3 3v14"],
    ["cut", "M10 22h76v20q0 4-4 4H71v11q0 8-8 8H33q-8 0-8-8V46H14q-4 0-4-4z"],
    ["stitch", "M29.500 24v32q0 5 5 5h27q5 0 5-5V24"],
    ["slot", "M15 27h5v14h-5zM76 27h5v14h-5z"],
  ],
  wing: [
    ["cut", "M4 10h72q10 0 10 10v32q0 10-10 10H34q-8 0-8 6v2"],
    ["stitch", "M26 12v56"],
    ["slot", "M46 20h16v32H46z"],
  ],
  strap: [
    ["behind", "M2 22h92v28H2z"],
    ["cut", "M24 6h48v60H24z"],
    ["slot", "M32 20h8v32h-8zM56 20h8v32h-8z"],
  ],
  corner: [
    ["cut", "M20 6v34q0 24 24 24h46"],
    ["stitch", "M34 6v32q0 12 12 12h44"],
  ],
  above: [
    ["cut", "M6 33h14q6 0 9-5 3-6 9-6h20q6 0 9 6 3 5 9 5h14M6 39h14q6 0 9 5 3 6 9 6h20q6 0 9-6 3-5 9-5h14"],
    ["thing", "M32 27h32v18H32z"],
    ["stitch", "M17 27v18M79 27v18"],
  ],
  below: [
    ["thing", "M30 4v36h36V4"],
    ["stitch", "M20 4v38q0 12 12 12h32q12 0 12-12V4"],
    ["cut", "M11 4v40q0 20 20 20h34q20 0 20-20V4"],
  ],
  ply: [
    ["cut", "M8 30q40-10 80 0v20q-40-10-80 0z"],
    ["grain", "M10 36q38-10 76 0"],
  ],
  row: [
    ["cut", "M4 60h88"],
    ["stitch", "M4 36h88"],
    ["holes", "M13 40l6-8M31 40l6-8M49 40l6-8M67 40l6-8M85 40l4-6"],
  ],
  trim: [
    ["behind", "M16 4v42q0 20 20 20h56"],
    ["cut", "M32 4v38q0 8 8 8h52"],
  ],
  sections: [
    [
      "thing",
      "M6 24h24v24H6zM41 24h14q5 0 5 5v14q0 5-5 5H41q-5 0-5-5V29q0-5 5-5zM66 36a12 12 0 1 0 24 0a12 12 0 1 0-24 0",
    ],
  ],
  round: [["thing", "M92 14H44q-24 0-24 24v30"]],
  bend: [
    ["cut", "M14 66V42a28 28 0 0 1 28-28h46M34 66V46a12 12 0 0 1 12-12h42"],
    ["stitch", "M24 66V44a20 20 0 0 1 20-20h44"],
  ],
  notch: [["cut", "M8 16h26a14 14 0 0 0 28 0h26v50H8z"]],
  stack: [
    ["behind", "M24 24V10q0-3 3-3h42q3 0 3 3v14"],
    ["cut", "M14 4h68v64H14zM14 24h68M14 37h68M14 50h68"],
  ],
  fob: [
    ["cut", "M22 31h16q4 0 6-4t6-4h24q13 0 13 13t-13 13H50q-4 0-6-4t-6-4H22"],
    ["thing", "M3 36a12 12 0 1 0 24 0a12 12 0 1 0-24 0M6 36a9 9 0 1 0 18 0a9 9 0 1 0-18 0"],
  ],
  loop: [
    ["cut", "M90 20H28a16 16 0 0 0 0 32H90M90 25H28a11 11 0 0 0 0 22H90"],
    ["thing", "M22 36a6 6 0 1 0 12 0a6 6 0 1 0-12 0"],
  ],
  any: [
    ["cut", "M14 10h68v44q0 8-8 8H22q-8 0-8-8z"],
    ["stitch", "M22 12v36q0 6 6 6h40q6 0 6-6V12"],
  ],
};

/**
 * For each measure its sketch and the lines on it, as x1 y1 x2 y2; a family's own comes before what all have in common.
 * @type {Record<string, {sketch: string, lines: [number, number, number, number][]}>}
 */
const FIGURES = {
  width: { sketch: "thing", lines: [[24, 68, 62, 68]] },
  height: { sketch: "thing", lines: [[17, 24, 17, 62]] },
  thickness: { sketch: "thing", lines: [[66, 65, 81, 53]] },
  section: { sketch: "sections", lines: [] },
  "section-radius": { sketch: "round", lines: [[44, 38, 27, 21]] },
  "stands-out": { sketch: "pouch", lines: [[70, 5, 70, 22]] },
  belt: { sketch: "strap", lines: [[85, 22, 85, 50]] },
  leather: { sketch: "ply", lines: [[48, 25, 48, 45]] },
  neutral: { sketch: "bend", lines: [[70, 34, 70, 24]] },
  "edge-margin": { sketch: "corner", lines: [[68, 50, 68, 64]] },
  "slot-width": { sketch: "wing", lines: [[46, 36, 62, 36]] },
  "slot-gap": {
    sketch: "wing",
    lines: [
      [26, 36, 46, 36],
      [62, 36, 86, 36],
    ],
  },
  "side-allowance": { sketch: "above", lines: [[17, 60, 32, 60]] },
  "bottom-allowance": { sketch: "below", lines: [[48, 40, 48, 54]] },
  "corner-radius": { sketch: "corner", lines: [[44, 40, 27, 57]] },
  pitch: { sketch: "row", lines: [[34, 22, 52, 22]] },
  "back-margin": { sketch: "trim", lines: [[62, 50, 62, 66]] },
  "notch-width": { sketch: "notch", lines: [[34, 8, 62, 8]] },
  "notch-depth": { sketch: "notch", lines: [[72, 16, 72, 30]] },
  "flat-sleeve/stands-out": { sketch: "stack", lines: [[77, 7, 77, 24]] },
  pockets: { sketch: "stack", lines: [] },
  "rear-pocket": { sketch: "stack", lines: [] },
  step: { sketch: "stack", lines: [[48, 37, 48, 50]] },
  "card-holder/stands-out": { sketch: "stack", lines: [[77, 7, 77, 24]] },
  length: { sketch: "fob", lines: [[22, 62, 87, 62]] },
  "key-fob/width": { sketch: "fob", lines: [[66, 23, 66, 49]] },
  "neck-width": { sketch: "fob", lines: [[34, 31, 34, 41]] },
  "neck-length": { sketch: "fob", lines: [[22, 18, 44, 18]] },
  ring: { sketch: "fob", lines: [[6, 36, 24, 36]] },
  tip: { sketch: "fob", lines: [] },
  wire: { sketch: "loop", lines: [[22, 36, 34, 36]] },
  play: { sketch: "loop", lines: [[28, 25, 28, 30]] },
};

/** The small drawing of a measure, by its figure ("family/measure"); one that is not known is a plain piece without a line. */
export function figure(/** @type {string} */ id) {
  const found = FIGURES[id] ?? FIGURES[id.split("/").pop() ?? ""] ?? { sketch: "any", lines: [] };
  const paths = SKETCHES[found.sketch].map(([kind, d]) => svg(`path.sketch-${kind}`, { d }));
  return svg("svg.figure", { viewBox: "0 0 96 72", "aria-hidden": "true" }, ...paths, ...found.lines.map(arrow));
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
