/** @typedef {import("./common.js").Figure} Figure */

/**
 * Key fob, strap or belt, sheath.
 * @type {Record<string, [string, string][]>}
 */
export const sketches = {
  fob: [
    ["cut", "M22 31h16q4 0 6-4t6-4h24q13 0 13 13t-13 13H50q-4 0-6-4t-6-4H22"],
    ["thing", "M3 36a12 12 0 1 0 24 0a12 12 0 1 0-24 0M6 36a9 9 0 1 0 18 0a9 9 0 1 0-18 0"],
  ],
  loop: [
    ["cut", "M90 14H32a22 22 0 0 0 0 44H90M90 20H32a16 16 0 0 0 0 32H90"],
    ["thing", "M22 36a10 10 0 1 0 20 0a10 10 0 1 0-20 0"],
  ],

  belt: [
    ["thing", "M4 22h16v28H4zM20 36H10"],
    ["cut", "M16 26h58q16 0 16 10T74 46H16"],
    ["slot", "M44.500 36a1.500 1.500 0 1 0 3 0a1.500 1.500 0 1 0-3 0M54.500 36a1.500 1.500 0 1 0 3 0a1.500 1.500 0 1 0-3 0"],
    ["slot", "M64.500 36a1.500 1.500 0 1 0 3 0a1.500 1.500 0 1 0-3 0"],
  ],
  turned: [
    ["cut", "M92 16H30a18 18 0 0 0 0 36H66v-6M92 22H30a12 12 0 0 0 0 24H66"],
    ["thing", "M22 34a8 8 0 1 0 16 0a8 8 0 1 0-16 0"],
  ],
  "pin-slot": [
    ["cut", "M4 14h88v44H4"],
    ["behind", "M48 14v44"],
    ["slot", "M28 29h40a7 7 0 0 1 0 14H28a7 7 0 0 1 0-14z"],
  ],
  held: [
    ["cut", "M8 10h80v20H8zM8 42h80v20H8z"],
    ["stitch", "M34 44v16M62 44v16"],
  ],
  keeper: [
    ["cut", "M4 24h88M4 48h88"],
    ["cut", "M38 16h20v40H38z"],
  ],
  "keeper-cut": [
    ["thing", "M32 28h32v16H32zM32 33h32M32 39h32"],
    ["cut", "M28 24h40v24H28zM18 14h60v44H18z"],
  ],

  knife: [
    ["thing", "M8 28h26v16H12q-4 0-4-4zM34 23h4v26h-4zM38 28h26q16 2 27 10q-12 8-28 8H38"],
    ["behind", "M64 28h28"],
  ],
  wedge: [["thing", "M38 16h20l-10 50z"]],
  "handle-cut": [["thing", "M32 36a16 24 0 1 0 32 0a16 24 0 1 0-32 0"]],
  "sheath-out": [
    ["thing", "M38 24V6q0-3 3-3h14q3 0 3 3v18"],
    ["behind", "M38 24v16h4v18q2 4 6 6 4-2 6-6V40h4V24"],
    ["cut", "M28 24h40v16q0 4-4 7v10q-2 12-16 13-14-1-16-13V47q-4-3-4-7z"],
  ],
  "sheath-edge": [
    ["thing", "M6 4h28v64H6"],
    ["behind", "M50 4v64"],
    ["stitch", "M74 4v64"],
    ["cut", "M86 4v64"],
  ],
  plies: [["cut", "M8 14h80v12H8zM8 46h80v12H8zM50 26h38v20H50z"]],
  toe: [
    ["cut", "M14 4v30q4 30 34 34 30-4 34-34V4"],
    ["behind", "M28 4v28q2 14 13 22v12M68 4v28q-2 14-13 22v12"],
  ],
  hanger: [
    ["behind", "M2 18h92v26H2z"],
    ["cut", "M32 8h32v60H32z"],
    ["stitch", "M36 54h24M36 62h24"],
  ],
  "handle-strap": [
    ["thing", "M34 4h28v64H34"],
    ["thing", "M34 68V4"],
    ["cut", "M22 26h52v18H22z"],
    ["slot", "M45 35a3 3 0 1 0 6 0a3 3 0 1 0-6 0"],
  ],
};

/** @type {Record<string, Figure>} */
export const figures = {
  "key-fob/length": ["fob", [[22, 62, 87, 62]]],
  "key-fob/width": ["fob", [[66, 23, 66, 49]]],
  "key-fob/neck-width": ["fob", [[34, 31, 34, 41]]],
  "key-fob/neck-length": ["fob", [[22, 18, 40, 18]]],
  "key-fob/ring": ["fob", [[6, 36, 24, 36]]],
  "key-fob/wire": ["loop", [[22, 36, 42, 36]]],
  "key-fob/play": ["loop", [[32, 20, 32, 26]], "M32 20a16 16 0 0 0 0 32"],

  "strap/size": ["belt", [[20, 58, 56, 58]]],
  "strap/width": ["belt", [[34, 26, 34, 46]]],
  "strap/turn": ["turned", [[30, 62, 66, 62]]],
  "strap/bar": ["turned", [[22, 34, 38, 34]]],
  "strap/pin": ["pin-slot", [[48, 29, 48, 43]]],
  "strap/pin-slot": ["pin-slot", [[21, 51, 75, 51]]],
  "strap/fixing": ["held", [], "M30 20a4 4 0 1 0 8 0a4 4 0 1 0-8 0M58 20a4 4 0 1 0 8 0a4 4 0 1 0-8 0"],
  "strap/hardware-hole": ["punched", [[32, 36, 64, 36]]],
  "strap/holes": [
    "belt",
    [],
    "M44 36a2 2 0 1 0 4 0a2 2 0 1 0-4 0M54 36a2 2 0 1 0 4 0a2 2 0 1 0-4 0M64 36a2 2 0 1 0 4 0a2 2 0 1 0-4 0",
  ],
  "strap/hole-spacing": ["belt", [[56, 18, 66, 18]]],
  "strap/hole": ["punched", [[32, 36, 64, 36]]],
  "strap/tip-length": ["belt", [[66, 58, 90, 58]]],
  "strap/keeper-width": ["keeper", [[38, 64, 58, 64]]],
  "strap/keeper-leather": ["keeper-cut", [[68, 36, 78, 36]]],

  "sheath/blade-length": ["knife", [[38, 60, 91, 60]]],
  "sheath/blade-width": ["knife", [[50, 28, 50, 46]]],
  "sheath/spine": ["wedge", [[38, 9, 58, 9]]],
  "sheath/belly": ["knife", [[63, 60, 91, 60]], "M91 38q-12 8-28 8"],
  "sheath/tip-drop": ["knife", [[91, 28, 91, 38]]],
  "sheath/handle-in": ["sheath-out", [[78, 24, 78, 40]]],
  "sheath/handle-width": ["knife", [[20, 28, 20, 44]]],
  "sheath/handle-thickness": ["handle-cut", [[32, 36, 64, 36]]],
  "sheath/clearance": ["sheath-edge", [[34, 36, 50, 36]]],
  "sheath/welt-width": ["sheath-edge", [[50, 36, 86, 36]]],
  "sheath/edge-margin": ["sheath-edge", [[74, 36, 86, 36]]],
  "sheath/welt": ["plies", [[66, 26, 66, 46]]],
  "sheath/drain": ["toe", [[41, 60, 55, 60]]],
  "sheath/belt": ["hanger", [[80, 18, 80, 44]]],
  "sheath/hanger-width": ["hanger", [[32, 48, 64, 48]]],
  "sheath/strap-width": ["handle-strap", [[84, 26, 84, 44]]],
  "sheath/snap-hole": ["punched", [[32, 36, 64, 36]]],
};
