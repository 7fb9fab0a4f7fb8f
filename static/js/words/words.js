/** Every sentence the scripts say is in this folder, one file a topic, so that another language needs no other files. */

import { decimals, length as mm, unit } from "../lengths.js";
import { benchWords } from "./bench.js";
import { draft } from "./draft.js";
import { makingWords } from "./making.js";
import { practice } from "./practice.js";
import { bench } from "./sightings.js";

const size = (w) => `${w.width} × ${w.height}`;

export const words = {
  units: { mm: "Lengths in mm: change to inches", in: "Lengths in inches (in): change to millimetres" },

  look: { toDark: "Change to the dark look", toLight: "Change to the light look" },

  connection: {
    none: "Hidelight does not answer. Is it still running? What you typed is still here.",
    odd: (status) => `Hidelight answered in a way this page does not understand (${status}). Load the page again.`,
    lostPage: "The connection to Hidelight is lost. What you typed stays here; it reconnects by itself.",
  },

  window: {
    short: (w) => {
      if (!w.open) return "Open projector window";
      if (!w.fits) return "Projector window does not fit";
      return w.width === null ? "Light on" : `Light on, ${size(w)}`;
    },
    blocked: "The browser did not let a window open. Allow pop-up windows for this address, then try again.",
  },

  light: {
    take: "Use this window instead",
    lost: "Connection lost. This is the last picture: do not cut by it. Reconnecting…",
    hint: (s, full) =>
      full
        ? `${size(s)} pixels, full screen.`
        : `${size(s)} pixels. Move this window to the projector, then make it full screen.`,
  },

  home: {
    lamp: {
      title: "The light",
      shut: "No projector window is open.",
      open: (w) =>
        w.width === null
          ? "Projector window open."
          : `Projector window open, ${size(w)} pixels${w.fullscreen ? ", full screen" : ""}.`,
      small: "It is not full screen yet: press F in it once it stands on the projector.",
      guard: (n) => (n === 1 ? "One thing of the picture is not right." : `${n} things of the picture are not right.`),
      look: "Look at the picture guard",
      act: "Open projector window",
    },
    bench: {
      title: "The bench",
      none: "No bench yet.",
      raw: (b) => `${b.name} is not calibrated yet: sizes in the light mean nothing.`,
      good: (b) =>
        `${b.name}: lines lie within ${mm(b.error_mm.median)} of their place over half of the picture, ${mm(b.error_mm.worst)} at worst.`,
      when: (date) => `Calibrated ${date}.`,
      practice: "This is the practice bench, without a projector.",
      act: "Calibrate",
      again: "Look at the calibration",
      check: "Check the session",
      checked: (s) => `Checked ${s}.`,
      notChecked: "Not checked yet today.",
      anew: "The last check said: calibrate anew.",
      recheck: "The projector is warm now: check once more.",
      make: "Set up a bench",
    },
    work: {
      title: "The work",
      none: "Nothing drafted yet.",
      thing: (t) => `Last draft: ${t.name}.`,
      layout: (l) => `On the table: ${l.name}.`,
      act: "Draft a pattern",
      open: "Open the draft",
      table: "Go to the table",
    },
    scene: (lamp, bench, work) =>
      `A workshop from the side: projector under the ceiling, its light, the bench with leather. ${lamp} ${bench} ${work}`,
    go: "Go on",
    next: {
      "practice-start": "Open the practice workshop",
      "add-bench": "Set up a bench",
      "open-light": "Open the projector window",
      lay: "Lay it on the table",
    },
    goTo: {
      draft: "Draft a pattern",
      bench: "Calibrate",
      session: "Check the bench",
      check: "Check with a steel rule",
      table: "Go to the table",
      work: "Go on with the work",
      light: "Open the projector window",
    },
  },

  table: {
    stage: "The table from above, in millimetres. Choose a piece and move it with the arrow keys.",
    footprint: "The projector's picture on the table",
    handle: "Handle to turn the chosen piece",
    pieceLabel: (title) => `${title}: arrow keys move it`,
    views: { all: "Whole picture", piece: "This piece" },
    x: "Across",
    y: "Towards you",
    turn: "Turn",
    left90: "↺ Quarter turn",
    right90: "↻ Quarter turn",
    mirror: "Mirrored (grain side down)",
    notANumber: "Write a number such as 120 or 12.5.",
    keys: `${unit === "in" ? "Inches" : "Millimetres"} and degrees, for the middle of the mouth edge. Keys in the drawing: arrows ${mm(1, 0)}, Shift ten times that, Alt a tenth; [ and ] turn a degree; M mirrors.`,
    hint: "Drag a piece; turn it by its handle.",
    saving: "Saving…",
    saved: "Saved.",
    notSaved: "Not saved.",
    stepCount: (n, all) => `Step ${n} of ${all}`,
    stepLight: (plies, height) =>
      `The light shows it on ${plies === 0 ? "the bare table" : plies === 1 ? "one ply" : `${plies} plies`}, ${mm(height, 1)} above the table.`,
    allAtOnce: "All lines at once",
    allWords:
      "Every piece with all its lines, as it lies. Good for laying out on the hide; for the work itself take the steps one by one.",
    outside: (share) =>
      `${Math.max(1, Math.round(share * 100))} % of this piece lies outside the picture: that part stays dark.`,
    tools: (list) => `You need: ${list.join(", ")}.`,
    sure: (error) => `Here a line lies within ${mm(error)} of its place, in 95 of 100 cases.`,
    met: "Tolerance met",
    notMet: "Tolerance not met",
    within: (error, tolerance) => `${mm(error)} of ${mm(tolerance)} allowed`,
    light: (w, on, bench) => {
      if (!bench.calibrated) return `${bench.name} is not calibrated yet, so nothing can be drawn at true size.`;
      if (!w.open) return on ? "Lit, but no projector window is open to show it." : "No projector window is open.";
      if (!w.fits && w.sentence) return w.sentence;
      return on
        ? "The light draws this. What you move here moves there."
        : "The light shows something else or is dark.";
    },
    onBench: (name) => `Bench: ${name}`,
    lightIt: "Show it in the light",
    dark: "Make it dark",
    calibrate: "Calibrate",
    practice: "Practice table",
  },

  check: {
    figure: "Sketch of the check square with its six lines",
    lines: {
      top: "top",
      bottom: "bottom",
      left: "left",
      right: "right",
      "diagonal-down": "diagonal ↘",
      "diagonal-up": "diagonal ↗",
    },
    columns: { line: "Line", should: "Should be", read: "Reads", off: "Off by", allowed: "Within ±" },
    caption: "Each reading against what it should be, in the unit of your choice",
    verdicts: { holds: "It holds.", out: "It does not hold.", unsure: "Not sure yet." },
    amount: (value) => mm(value, 1).replace(/ (mm|in)$/, ""),
    signed: (value) => `${value < 0 ? "−" : "+"}${mm(Math.abs(value), 1).replace(/ (mm|in)$/, "")}`,
    noHeight: `Write the height as a number of ${unit}, such as ${decimals(3.6)}; the bare table is 0.`,
    notANumber: (line) => `The reading of the line “${line}” is not a number: write it like ${decimals(299.8)}.`,
    noBench: "There is no bench yet: set one up on the first page, or open the practice workshop.",
    raw: (name) => `${name} is not calibrated yet: the figure shows, but its size means nothing. Calibrate first.`,
    show: "Show the figure in the light",
    dark: "Make it dark",
    openWindow: "Open projector window",
    practice: "See it on the practice table",
  },

  draft,
  bench,
  practice,

  ...benchWords,
  ...makingWords,
  mm,
  inch: (value) => `${(value / 25.4).toFixed(3)} in`,
};
