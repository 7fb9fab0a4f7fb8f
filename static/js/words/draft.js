/** What the draft page says. */
import { unit } from "../lengths.js";

const UNIT = { mm: "millimetres", in: "inches" }[unit];

export const draft = {
  groups: {
    thing: "The thing and its sizes",
    carry: "How it is carried and held",
    leather: "The leather and its edges",
    stitches: "Allowances and stitches",
  },
  range: (low, high) => `${low} to ${high} ${unit}`,
  percent: (low, high) => `${low} to ${high} %`,
  plainRange: (low, high) => `${low} to ${high}`,
  understood: (value) => `= ${value} ${unit}`,
  bare: (number) => `A bare number is millimetres: for inches write ${number} in.`,
  howToWrite:
    `Write 89 mm, 8.9 cm, 3 1/2 in or 3.5" as you like; a bare number is ${UNIT}, and grey ones are taken when you leave a field empty.`,
  both: "All pieces",
  line: {
    cut: "cut",
    slot: "punch or cut out",
    stitch: "stitch line",
    hole: "stitch hole",
    fold: "fold",
    mark: "mark",
  },
  drawingLabel: (names) => `Drawing of ${names.join(" and ")} with dimension lines`,
  dimension: (label, value) => `${label}: ${value} ${unit}`,
  stale: "The drawing still shows the last draft that worked.",
  saving: "Saving…",
  saved: (name) => `${name} is saved.`,
  changed: "Not saved yet.",
  restored: "What you typed last time, and did not save, is back.",
  noName: "Give the thing a name first, so that you find it again.",
  defaultName: "My pouch",
  noBench: "There is no bench to lay it on yet: set one up on the first page, or open the practice workshop.",
  plies: (n) => (n === 1 ? "on one ply" : n === 0 ? "on the bare table" : `on ${n} plies`),
};
