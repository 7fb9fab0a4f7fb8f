/** @typedef {import("./common.js").Figure} Figure */

/**
 * Book cover, tray, tool roll.
 * @type {Record<string, [string, string][]>}
 */
export const sketches = {
  book: [["thing", "M26 6h50v50H26zM26 6L12 14v50l14-8M32 6v50"]],
  boards: [
    ["thing", "M20 25h60v22H20zM20 31h60M20 36h60M20 41h60"],
    ["cut", "M16 14h68v10H16zM16 48h68v10H16z"],
    ["behind", "M16 14q-8 22 0 44"],
  ],
  slip: [
    ["cut", "M4 8h86v56H4zM56 8v56"],
    ["stitch", "M59 13h28M59 59h28"],
  ],
  "slip-fold": [
    ["thing", "M4 14h62v44H4"],
    ["cut", "M4 6h76v60H4"],
    ["stitch", "M50 10h27M50 62h27"],
  ],
  case: [
    ["thing", "M4 14h10v44H4zM30 14h46v44H30z"],
    ["cut", "M4 4h86v64H4"],
    ["behind", "M20 25h52v22H20z"],
  ],
  styles: [
    ["cut", "M4 12h38v48H4zM28 12v48"],
    ["stitch", "M30 16h10M30 56h10"],
    ["thing", "M58 16h32v40H58z"],
    ["cut", "M52 10h42v52H52M52 10v52"],
  ],
  pen: [
    ["cut", "M4 4h36v64H4"],
    ["thing", "M44 4h16v46l-8 16-8-16z"],
    ["cut", "M40 22h24v20H40z"],
  ],

  "tray-in": [
    ["cut", "M8 8h80v56H8zM20 18h56v36H20zM8 8l12 10M88 8L76 18M8 64l12-10M88 64L76 54"],
    ["thing", "M32 27h32v18H32z"],
  ],
  "tray-cut": [
    ["cut", "M10 16v42h76V16h-6v36H16V16z"],
    ["thing", "M26 43h44v9H26z"],
  ],
  "tray-corner": [
    ["cut", "M6 6h68q16 0 16 16v46"],
    ["behind", "M6 48h42v20M48 48l36-36"],
    ["slot", "M72 38a4 4 0 1 0 8 0a4 4 0 1 0-8 0M54 20a4 4 0 1 0 8 0a4 4 0 1 0-8 0"],
  ],
  fixings: [
    ["slot", "M6 36a9 9 0 1 0 18 0a9 9 0 1 0-18 0M11 36a4 4 0 1 0 8 0a4 4 0 1 0-8 0"],
    ["thing", "M38 26h20q-2-8-10-8t-10 8zM44 26v16h8V26M40 42h16v5H40z"],
    ["cut", "M70 14v44M90 14v44"],
    ["stitch", "M75 16v42M85 16v42"],
  ],

  roll: [
    ["cut", "M6 3h84v66H6zM6 36h84"],
    ["behind", "M6 18h84"],
    ["stitch", "M30 37v30M52 37v30M72 37v30"],
    ["thing", "M14 27h8v37h-8zM38 29h6v35h-6zM60 31h5v33h-5zM79 33h4v31h-4z"],
  ],
  "roll-above": [
    ["cut", "M4 54h88M4 54q8 0 12-16 4-20 18-20t18 20q4 16 10 16 5 0 6-10 1-8 6-8t6 8q1 10 8 10h4"],
    ["thing", "M19 36a15 15 0 1 0 30 0a15 15 0 1 0-30 0M67 45a7 7 0 1 0 14 0a7 7 0 1 0-14 0"],
  ],
  "roll-pocket": [
    ["stitch", "M18 14v54M78 14v54"],
    ["cut", "M6 22h84"],
    ["behind", "M62 22v46"],
    ["thing", "M30 6h20v56H30z"],
  ],
  tie: [
    ["cut", "M6 22h74q10 0 10 8t-10 8H6z"],
    ["stitch", "M12 24v12M22 24v12"],
  ],
};

/** @type {Record<string, Figure>} */
export const figures = {
  "book-cover/style": ["styles", [], "M4 12h38v48H4z"],
  "book-cover/width": ["book", [[26, 64, 76, 64]]],
  "book-cover/height": ["book", [[84, 6, 84, 56]]],
  "book-cover/thickness": ["book", [[12, 70, 26, 62]]],
  "book-cover/board": ["boards", [[90, 14, 90, 24]], "M16 14h68v10H16z"],
  "book-cover/clearance": ["slip-fold", [[66, 36, 80, 36]]],
  "book-cover/gap": ["case", [[14, 36, 30, 36]]],
  "book-cover/set-back": ["case", [[20, 52, 30, 52]], "M20 25v22"],
  "book-cover/square": ["case", [[54, 14, 54, 25]]],
  "book-cover/turn-in": ["slip", [[56, 36, 90, 36]]],
  "book-cover/pen": ["pen", [], "M40 22h24v20H40z"],
  "book-cover/pen-diameter": ["pen", [[44, 13, 60, 13]]],
  "book-cover/loop-height": ["pen", [[74, 22, 74, 42]]],

  "tray/width": ["tray-in", [[32, 36, 64, 36]]],
  "tray/length": ["tray-in", [[48, 27, 48, 45]]],
  "tray/clearance": [
    "tray-in",
    [
      [20, 36, 32, 36],
      [48, 45, 48, 54],
    ],
  ],
  "tray/wall": ["tray-cut", [[24, 16, 24, 52]]],
  "tray/fixing": ["fixings", [], "M6 36a9 9 0 1 0 18 0a9 9 0 1 0-18 0"],
  "tray/hole": ["punched", [[32, 36, 64, 36]]],
  "tray/ear": [
    "tray-corner",
    [
      [76, 38, 90, 38],
      [76, 48, 76, 38],
    ],
  ],
  "tray/corner-radius": ["tray-corner", [[74, 22, 85.3, 10.7]]],

  "tool-roll/tools": [
    "roll",
    [],
    "M14 27h8v37h-8zM38 29h6v35h-6zM60 31h5v33h-5zM79 33h4v31h-4z",
  ],
  "tool-roll/largest": ["roll-above", [[19, 36, 49, 36]]],
  "tool-roll/smallest": ["roll-above", [[67, 45, 81, 45]]],
  "tool-roll/length": ["roll", [[26, 27, 26, 64]]],
  "tool-roll/pocket-depth": ["roll", [[48, 36, 48, 69]]],
  "tool-roll/clearance": ["roll", [[18, 18, 18, 27]]],
  "tool-roll/flap": ["roll", [[56, 3, 56, 18]]],
  "tool-roll/ease": ["roll-pocket", [[62, 44, 78, 44]]],
  "tool-roll/tie-width": ["tie", [[50, 22, 50, 38]]],
  "tool-roll/tie-length": ["tie", [[6, 54, 90, 54]]],
};
