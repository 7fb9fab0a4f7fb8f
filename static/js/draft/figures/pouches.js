/** @typedef {import("./common.js").Figure} Figure */

/**
 * Sleeve, card holder, pouch with flap, pouch with gusset, round case.
 * @type {Record<string, [string, string][]>}
 */
export const sketches = {
  sleeve: [
    ["thing", "M26 32V9q0-3 3-3h38q3 0 3 3v23"],
    ["behind", "M26 32v30h44V32"],
    ["cut", "M18 32h20a10 7 0 0 0 20 0h20v32q0 4-4 4H22q-4 0-4-4z"],
  ],
  cards: [["thing", "M16 26h54v5H16zM16 33h54v5H16zM16 40h54v5H16z"]],
  notch: [["cut", "M8 16h26a14 14 0 0 0 28 0h26v50H8z"]],
  stack: [
    ["behind", "M24 24V10q0-3 3-3h42q3 0 3 3v14"],
    ["cut", "M14 4h68v64H14zM14 24h68M14 37h68M14 50h68"],
  ],
  rear: [["cut", "M24 16h62v50H24zM24 30h62M24 41h62M24 52h62"]],

  "flap-front": [
    ["cut", "M20 8v52q0 8 8 8h40q8 0 8-8V8"],
    ["cut", "M20 8h56l-7 30q-2 8-10 8H37q-8 0-10-8z"],
    ["behind", "M20 15h56M76 15v31"],
    ["slot", "M45 36a3 3 0 1 0 6 0a3 3 0 1 0-6 0"],
  ],
  tongue: [
    ["cut", "M14 6h68v8q0 8-8 10l-8 3q-4 2-4 6v24q0 6-6 6H40q-6 0-6-6V33q0-4-4-6l-8-3q-8-2-8-10z"],
    ["cut", "M24 42h48v14H24z"],
    ["stitch", "M29 43v12M67 43v12"],
  ],
  "flap-out": [
    ["thing", "M32 26V12h32v14"],
    ["cut", "M22 26h52v34q0 8-8 8H30q-8 0-8-8z"],
    ["behind", "M22 26V10q0-5 5-5h42q5 0 5 5v16"],
  ],
  fronts: [
    ["cut", "M4 36q20-24 40 0M4 36q20 24 40 0"],
    ["cut", "M52 46h8V32q0-6 6-6h12q6 0 6 6v14h8M52 50h40"],
  ],
  closures: [
    ["slot", "M6 36a9 9 0 1 0 18 0a9 9 0 1 0-18 0M11 36a4 4 0 1 0 8 0a4 4 0 1 0-8 0"],
    ["slot", "M46 42a6 6 0 1 1 4 0v14h-4z"],
    ["cut", "M66 40h26v10H66zM72 40V18h14v22M72 50v8q0 4 4 4h6q4 0 4-4v-8"],
  ],
  blank: [
    ["behind", "M14 8h68v46q0 10-10 10H24q-10 0-10-10z"],
    ["cut", "M26 8v38q0 8 8 8h28q8 0 8-8V8"],
  ],

  "box-out": [
    ["thing", "M24 28V8h26v20M24 8l10-6h26v16"],
    ["cut", "M14 28h46v30q0 8-8 8H22q-8 0-8-8zM14 28l14-10h46L60 28M74 18v36L58 64"],
  ],
  "box-above": [
    ["cut", "M12 14h72v44H12zM17 19h62v34H17z"],
    ["thing", "M29 27h38v18H29z"],
  ],
  flange: [
    ["cut", "M6 12h84v8H6zM54 22h36v8H62v36h-8z"],
    ["stitch", "M78 6v30"],
  ],

  cylinder: [["thing", "M26 14a20 7 0 1 0 40 0a20 7 0 1 0-40 0M26 14v44a20 7 0 0 0 40 0V14"]],
  "tube-out": [
    ["thing", "M34 28V9M62 28V9M34 9a14 5 0 1 0 28 0a14 5 0 1 0-28 0"],
    ["cut", "M26 30a22 7 0 1 0 44 0a22 7 0 1 0-44 0M26 30v30a22 7 0 0 0 44 0V30"],
  ],
  "tube-above": [
    ["thing", "M28 36a20 20 0 1 0 40 0a20 20 0 1 0-40 0"],
    ["cut", "M18 36a30 30 0 1 0 60 0a30 30 0 1 0-60 0M14 36a34 34 0 1 0 68 0a34 34 0 1 0-68 0"],
  ],
  cap: [
    ["behind", "M27 24a21 6 0 0 1 42 0M27 24v22M69 24v22"],
    ["cut", "M22 12a26 8 0 1 0 52 0a26 8 0 1 0-52 0M22 12v28a26 8 0 0 0 52 0V12"],
    ["cut", "M27 46v14a21 7 0 0 0 42 0V46"],
  ],
  "cap-off": [
    ["cut", "M27 44a21 6 0 1 0 42 0a21 6 0 1 0-42 0M27 44v17a21 6 0 0 0 42 0V44"],
    ["behind", "M24 26v16M72 26v16"],
  ],
  "cap-above": [
    ["behind", "M26 36a22 22 0 1 0 44 0a22 22 0 1 0-44 0M30 36a18 18 0 1 0 36 0a18 18 0 1 0-36 0"],
    ["cut", "M18 36a30 30 0 1 0 60 0a30 30 0 1 0-60 0M14 36a34 34 0 1 0 68 0a34 34 0 1 0-68 0"],
  ],
  disc: [
    ["cut", "M16 36a32 32 0 1 0 64 0a32 32 0 1 0-64 0"],
    ["stitch", "M26 36a22 22 0 1 0 44 0a22 22 0 1 0-44 0"],
  ],
};

/** @type {Record<string, Figure>} */
export const figures = {
  "flat-sleeve/width": ["sleeve", [[26, 18, 70, 18]]],
  "flat-sleeve/height": ["sleeve", [[48, 6, 48, 62]]],
  "flat-sleeve/thickness": ["cards", [[80, 26, 80, 45]]],
  "flat-sleeve/stands-out": ["sleeve", [[80, 6, 80, 32]]],
  "flat-sleeve/notch-width": ["notch", [[34, 8, 62, 8]]],
  "flat-sleeve/notch-depth": ["notch", [[72, 16, 72, 30]]],

  "card-holder/width": ["sleeve", [[26, 18, 70, 18]]],
  "card-holder/height": ["sleeve", [[48, 6, 48, 62]]],
  "card-holder/thickness": ["cards", [[80, 26, 80, 45]]],
  "card-holder/pockets": ["stack", [], "M14 24h68M14 37h68M14 50h68"],
  "card-holder/rear-pocket": ["rear", [], "M24 60H12V8h62v8"],
  "card-holder/step": ["stack", [[48, 37, 48, 50]]],
  "card-holder/stands-out": ["stack", [[77, 7, 77, 24]]],

  "flap-pouch/stands-out": ["flap-out", [[84, 12, 84, 26]]],
  "belt-pouch/front": ["fronts", [], "M52 46h8V32q0-6 6-6h12q6 0 6 6v14h8"],
  "flap-pouch/front": ["fronts", [], "M52 46h8V32q0-6 6-6h12q6 0 6 6v14h8"],
  "flap-pouch/closure": ["closures", [], "M6 36a9 9 0 1 0 18 0a9 9 0 1 0-18 0"],
  "flap-pouch/flap": ["flap-front", [[86, 15, 86, 46]]],
  "flap-pouch/flap-taper": ["flap-front", [[66, 54, 76, 54]], "M76 8l-7 30"],
  "flap-pouch/flap-corner": ["flap-front", [[59, 37, 66, 44]], "M69 38q-2 8-10 8"],
  "flap-pouch/closure-inset": ["flap-front", [[38, 36, 38, 46]], "M45 36a3 3 0 1 0 6 0a3 3 0 1 0-6 0"],
  "flap-pouch/closure-hole": ["punched", [[32, 36, 64, 36]]],
  "flap-pouch/tongue": ["tongue", [[34, 34, 62, 34]]],
  "flap-pouch/bridge": ["tongue", [[82, 42, 82, 56]]],
  "flap-pouch/trim": ["blank", [[70, 32, 82, 32]]],

  "gusset-pouch/stands-out": ["box-out", [[68, 2, 68, 18]]],
  "gusset-pouch/clearance": [
    "box-above",
    [
      [17, 36, 29, 36],
      [48, 45, 48, 53],
    ],
  ],
  "gusset-pouch/flange": ["flange", [[62, 44, 90, 44]]],
  "gusset-pouch/corner-radius": ["corner", [[44, 40, 27, 57]]],

  "round-case/diameter": ["cylinder", [[26, 14, 66, 14]]],
  "round-case/height": ["cylinder", [[78, 14, 78, 65]]],
  "round-case/stands-out": ["tube-out", [[80, 9, 80, 30]]],
  "round-case/ease": [
    "tube-above",
    [
      [18, 36, 28, 36],
      [68, 36, 78, 36],
    ],
  ],
  "round-case/lid": ["cap-off", [], "M24 12a24 7 0 1 0 48 0a24 7 0 1 0-48 0M24 12v14a24 7 0 0 0 48 0V12"],
  "round-case/cap-depth": ["cap", [[84, 24, 84, 47]]],
  "round-case/cap-play": [
    "cap-above",
    [
      [18, 36, 26, 36],
      [70, 36, 78, 36],
    ],
  ],
  "round-case/edge-margin": ["disc", [[70, 36, 80, 36]]],
};
