/** What the pages of a maker's own pattern say. Lengths come in millimetres, as they stand in the drawing. */
import { shortLength } from "../lengths.js";

const number = (/** @type {number} */ value, digits = 1) => value.toFixed(digits).replace(/\.0+$/, "");
const mm = (/** @type {number} */ value) => shortLength(value, 1);
const lines = (/** @type {number} */ n) => (n === 1 ? "1 line" : `${n} lines`);

export const own = {
  reading: (name) => `${name} is being read…`,
  tooLarge: "The file is larger than 8 MiB: leave out its pictures, or simplify it.",
  onlyOne: "Bring one file at a time.",
  became: (title) => `became ${title}`,
  notYet: "not saved as a thing yet",
  forget: "Forget",
  forgetLabel: (name) => `Forget ${name}`,
  forgotten: (name) => `${name} is forgotten.`,

  about: (d) => {
    const pages = d.sheet.pages.length > 1 ? ` on ${d.sheet.pages.length} pages` : "";
    return `From ${d.name}: ${lines(d.sheet.lines.length)}${pages}. Choices are kept as you make them; what already lies on the table stays as it was.`;
  },
  leftOut: (n) => (n === 1 ? "One thing to know about this file" : `${n} things to know about this file`),

  /** @type {Record<string, string>} */
  choice: {
    cut: "cut",
    slot: "slot",
    stitch: "stitch line",
    hole: "stitch hole",
    fold: "fold",
    mark: "mark",
    ignore: "leave out",
  },
  /** @type {Record<string, string>} */
  legend: {
    cut: "cut",
    slot: "punch or cut out",
    stitch: "stitch line",
    hole: "stitch hole",
    fold: "fold",
    mark: "mark",
    ignore: "left out",
  },

  look: {
    noColour: "no colour",
    dashed: "dashed",
    layer: (name) => `Layer ${name}`,
    counted: (n, length) => `${lines(n)}, ${mm(length)} in all`,
    choose: (what) => `What ${what} is for`,
    apart: (n, choice) => `${lines(n)} of it chosen apart: ${choice}.`,
    proposed: "Lines are as proposed again.",
  },

  single: {
    how: "Click a line in the picture, or choose it here, and give it another use than the rest of its kind.",
    which: "Line",
    none: "none chosen",
    option: (n, line, factor, several) => {
      const page = several ? `, page ${line.page}` : "";
      return `${n}: ${mm(line.length * factor)}, ${line.closed ? "closed" : "open"}${page}`;
    },
    is: "It is for",
    asLook: (choice) => `the same as its kind: ${choice}`,
    size: (line, factor) => `${mm(line.width * factor)} wide, ${mm(line.height * factor)} high`,
    unchosen: "Choose a line first.",
  },

  size: {
    says: "As the file says.",
    other: "That is not its true size",
    saysNot: "The file does not say its unit: say it, or give one length that you know.",
    now: (width, height) =>
      `The drawing is ${number(width)} x ${number(height)} mm (${number(width / 25.4, 2)} x ${number(height / 25.4, 2)} in).`,
    unknown: (width, height, unit) => `Taken for ${unit} it would be ${mm(width)} x ${mm(height)}.`,
    way: "Its size is known by",
    ways: {
      file: "the file",
      unit: "its unit",
      line: "a line",
      points: "two points",
    },
    unit: "Its numbers are",
    chooseUnit: "choose",
    /** @type {Record<string, string>} */
    units: {
      mm: "millimetres",
      cm: "centimetres",
      in: "inches",
      m: "metres",
      pt: "points (72 to the inch)",
      px: "pixels (96 to the inch)",
      "px 90": "pixels (90 to the inch)",
      "px 72": "pixels (72 to the inch)",
    },
    line: "The line whose length you know",
    across: "What you know of it",
    /** @type {Record<string, string>} */
    acrosses: { along: "its length", width: "its width", height: "its height" },
    length: "Its true length",
    lengthHint: "Such as 100 mm or 3 1/2 in.",
    between: "The true length between them",
    pickLine: "Click the line whose length you know.",
    pickFirst: "Click the first of two points whose distance you know.",
    pickSecond: "Click the second point.",
    pickAgain: "Point at them again",
    points: "Two points in the picture",
  },

  stitching: {
    pitch: "Pitch",
    pitchMeans: "From one stitch hole to the next. Drawn holes stay.",
    stepping: "Stitches eased",
    steppingMeans: "A whole number of stitches must fit between two corners or ends: ease them all alike, or keep the pitch exactly and ease the last few.",
    steppings: /** @type {[string, string][]} */ ([
      ["whole", "All alike"],
      ["last", "Last few"],
    ]),
    leather: "Leather",
    leatherMeans: "Thickness of one ply, in mm, in or oz.",
    plies: "Plies",
    pliesMean: "How many plies the seams go through, for thread and needle.",
  },

  views: { file: "The file", pattern: "The pattern" },
  piece: "Which piece is shown",
  page: (n) => `Page ${n}`,
  picture: (d, page) => `The file ${d.name}${d.sheet.pages.length > 1 ? `, page ${page}` : ""}, its lines in the way they are used`,
  picked: (n, choice) => `Line ${n}: ${choice}`,
  noPattern: "No pattern yet.",
  stale: "The pattern still shows the last choices that worked.",
  keeping: "Keeping…",
  keptChoices: "Choices are kept.",
  saved: (name) => `${name} is saved.`,
  noName: "Give it a name first, so that you find it again.",
  notKept: "Not kept yet.",
};
