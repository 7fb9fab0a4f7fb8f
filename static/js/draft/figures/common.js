/**
 * What most families ask for. A sketch is 96 by 72; each of its paths has a class that says what it is. A figure names its
 * sketch, the lines on it that are meant (x1 y1 x2 y2), and, where no line is, the path that is.
 * @typedef {[string, [number, number, number, number][], string?]} Figure
 */

/** @type {Record<string, [string, string][]>} */
export const sketches = {
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
  loops: [
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
  middle: [
    ["behind", "M48 6v60"],
    ["cut", "M10 6v44q0 14 14 14h48q14 0 14-14V6"],
    ["stitch", "M20 6v32q0 8 8 8h40q8 0 8-8V6"],
  ],
  trim: [
    ["behind", "M16 4v42q0 20 20 20h56"],
    ["cut", "M32 4v38q0 8 8 8h52"],
  ],
  sections: [
    ["thing", "M5 27h18v18H5zM33 27h9q4 0 4 4v10q0 4-4 4h-9q-4 0-4-4V31q0-4 4-4z"],
    ["thing", "M51 36a10 7 0 1 0 20 0a10 7 0 1 0-20 0M76 36a9 9 0 1 0 18 0a9 9 0 1 0-18 0"],
  ],
  round: [["thing", "M92 14H44q-24 0-24 24v30"]],
  bend: [
    ["cut", "M14 66V42a28 28 0 0 1 28-28h46M34 66V46a12 12 0 0 1 12-12h42"],
    ["stitch", "M24 66V44a20 20 0 0 1 20-20h44"],
  ],
  hollow: [["cut", "M14 66V46a32 32 0 0 1 32-32h42M22 66V46a24 24 0 0 1 24-24h42"]],
  strip: [
    ["cut", "M10 12h48v14H10zM10 46h66v14H10z"],
    ["behind", "M58 26v34"],
  ],
  punched: [
    ["cut", "M6 10q42-6 84 0v52q-42 6-84 0z"],
    ["slot", "M32 36a16 16 0 1 0 32 0a16 16 0 1 0-32 0"],
  ],
  tips: [
    ["cut", "M6 8v34a8 8 0 0 0 16 0V8M28 8v26q0 14 8 24q8-10 8-24V8"],
    ["cut", "M51 8v32l6 14q2 5 4 0l6-14V8M74 8v40q0 6 6 6h4q6 0 6-6V8"],
  ],
};

/** @type {Record<string, Figure>} */
export const figures = {
  width: ["thing", [[24, 68, 62, 68]]],
  height: ["thing", [[17, 24, 17, 62]]],
  thickness: ["thing", [[66, 65, 81, 53]]],
  section: ["sections", [], "M76 36a9 9 0 1 0 18 0a9 9 0 1 0-18 0"],
  "section-radius": ["round", [[44, 38, 27, 21]]],
  leather: ["ply", [[48, 25, 48, 45]]],
  neutral: ["bend", [[70, 34, 70, 24]]],
  stretch: ["strip", [[58, 36, 76, 36]]],
  "edge-margin": ["corner", [[68, 50, 68, 64]]],
  "side-allowance": [
    "above",
    [
      [17, 60, 32, 60],
      [64, 60, 79, 60],
    ],
  ],
  "bottom-allowance": ["below", [[48, 40, 48, 54]]],
  "corner-radius": ["corner", [[46, 38, 37.5, 46.5]]],
  "bend-radius": ["hollow", [[46, 46, 29, 29]]],
  pitch: ["row", [[34, 22, 52, 22]]],
  stepping: ["row", [[70, 22, 86, 22]], "M67 40l6-8M85 40l4-6"],
  start: ["middle", [], "M45 50l6-8M27 50l6-8M63 50l6-8"],
  "back-margin": ["trim", [[62, 50, 62, 66]]],
  tip: ["tips", [], "M6 8v34a8 8 0 0 0 16 0V8"],

  "belt-pouch/stands-out": ["pouch", [[70, 5, 70, 22]]],
  "belt-pouch/belt": ["loops", [[85, 22, 85, 50]]],
  "belt-pouch/slot-width": ["wing", [[46, 36, 62, 36]]],
  "belt-pouch/slot-gap": [
    "wing",
    [
      [26, 36, 46, 36],
      [62, 36, 86, 36],
    ],
  ],
};
