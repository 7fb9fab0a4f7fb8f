/** What the bench page says of sightings and their fit. */
import { length as mm, shortLength } from "../lengths.js";

const size = (w) => `${w.width} × ${w.height}`;

export const bench = {
  bench: "Bench",
  windowShut: "No projector window is open. Open it, move it to the projector, and press F for full screen.",
  windowOpen: (w) => `Projector window open, ${size(w)} pixels.`,
  practiceWindow: "The practice bench needs no projector window: its table shows where the light lands.",
  practiceTable: "Practice table",
  openWindow: "Open projector window",
  showCrosses: "Show the crosses",
  crossesLit: "The crosses are lit",
  gridName: (g) => `${g[0]} × ${g[1]}`,
  gridConfirm: "Other crosses need other sightings: those taken so far will be cleared. Go on?",
  clearConfirm: "Clear all sightings of this bench? It will no longer be calibrated.",
  ways: { marks: "Known marks", tape: "Tape only" },
  units: { mm: "millimetres", in: "inches" },
  practice: {
    marks: "Read all marks for me",
    tape: "Measure all distances for me",
    lens: "Read four crosses on a block for me",
  },
  practiceDone: "Done, with the small errors of a hand.",
  saving: "Saving…",
  saved: "All sightings are saved.",
  notSaved: "Not saved.",
  again: "measure again",
  off: "Off by",
  residual: (value) => `${value < 0 ? "−" : ""}${mm(Math.abs(value))}`,
  sketch: "Sketch of the projector's picture with its lettered crosses",
  crossLabel: (name, state) =>
    `Cross ${name}${state === "placed" ? ", place known" : state === "chosen" ? ", chosen" : ""}`,
  nothingYet:
    "No sightings yet. Four crosses are the least; the more there are, the more the fit can tell, also how far to trust it.",
  heatLegend: "What the colours mean",
  heatStep: (from, below) =>
    below === Infinity ? `over ${shortLength(from)}` : from === 0 ? `under ${shortLength(below)}` : `${shortLength(from)}–${shortLength(below)}`,
  marks: {
    intro:
      "Choose a cross, move it with the arrow keys until it sits on a mark whose place you know, and type where that mark lies. Or leave it and type where it lies.",
    caption: "Where each cross lies on the table",
    cross: "Cross",
    x: "Across (x)",
    y: "Towards you (y)",
    xOf: (c) => `Cross ${c}: how far across`,
    yOf: (c) => `Cross ${c}: how far towards you`,
    choose: (c) => `Choose cross ${c}`,
    padLabel: "Move the chosen cross. Arrow keys: one pixel; with Shift ten; with Alt a tenth.",
    keys: "Arrow keys move 1 pixel, with Shift 10, with Alt 0.1.",
    way: { up: "Move up", down: "Move down", left: "Move left", right: "Move right" },
    step: (n) => `${n} px`,
    stepLegend: "How far one press moves",
    pixel: (c, at) => `Cross ${c} is lit at pixel ${at[0].toFixed(1)}, ${at[1].toFixed(1)}.`,
    noneChosen: "Choose a cross in the picture or in the list.",
    ruled: "My marks are a ruled grid",
    ruledWords: "Fills in all places at once: as many columns and rows as there are crosses, evenly spaced.",
    left: "First mark, x",
    top: "First mark, y",
    across: "Spacing across",
    down: "Spacing down",
    fill: "Fill in",
  },
  tape: {
    intro:
      "Measure from the middle of one cross to the middle of another, flat on the table, tape pulled tight. Read to the half millimetre.",
    caption: "Distances between crosses",
    pair: "Crosses",
    length: "Length",
    remove: "Remove",
    removePair: (a, b) => `Remove the distance ${a} to ${b}`,
    from: "From cross",
    to: "To cross",
    howLong: "How long is it?",
    add: "Add",
    fromTo: (a, b) => `${a} – ${b}`,
    onBlock: (h) => ` (on blocks of ${h})`,
    lengthOf: (a, b) => `Length from ${a} to ${b}`,
    proposed: (a, b) => `Worth measuring next: ${a} to ${b}. The sketch shows it.`,
    enough: "Enough for a good fit. More distances make it surer.",
    empty: "No length yet: this row does not count until you type one.",
    same: (c) => `Both ends are cross ${c}: choose two different crosses.`,
    noLength: "Type the length that the tape reads first.",
    mendFirst: "One length below is not understood: mend or remove it first.",
    mirrored: "The letters read backwards on the table (the projector's picture is mirrored)",
  },
  lens: {
    intro:
      "Leather has thickness: on 4 mm a line can land 2 mm beside its place unless Hidelight knows where the lens hangs. Use one of these, or more (tape between two blocks tells its height alone); whether it is enough stands below.",
    caption: "What is known of the lens",
    onBlock: "Crosses on a block (best)",
    onBlockWords:
      "Lay a block of known height under a cross, say where the light lands on its top, measured as on the table below it. Four crosses near the corners are enough; 100 mm is a good height.",
    cross: "Cross",
    height: "Block height",
    x: "Lands at x",
    y: "Lands at y",
    add: "Add",
    remove: "Remove",
    tapedBlocks: "Tape between two crosses on blocks",
    tapedBlocksWords:
      "If you measure by tape only: lay a block of the same height under each of two crosses, and measure between them on top. One such length tells only how high the lens hangs, not where: measure several, between crosses in different parts of the picture.",
    from: "From cross",
    to: "To cross",
    length: "Length",
    tapedRow: (d) => `${d.from} to ${d.to} on blocks of ${d.height}: ${d.length}`,
    byTape: "Tape from the lens to a cross",
    byTapeWords:
      "Measure from the front of the lens straight to a cross on the table. Three crosses or more. Keep your eyes out of the beam.",
    slant: "Distance from the lens",
    hanging: "Height and foot of the lens",
    hangingWords:
      "How high the lens is above the table, and the point straight below it (a weight on a string finds it).",
    hangs: "Height of the lens",
    footX: "Foot at x",
    footY: "Foot at y",
    blockRow: (p) => `Cross ${p.cross} on a block of ${p.height}: ${p.at[0]}, ${p.at[1]}`,
    lensRow: (l) =>
      l.cross
        ? `Lens to cross ${l.cross}: ${l.slant}`
        : l.foot
          ? `Foot of the lens: ${l.foot[0]}, ${l.foot[1]}`
          : `Lens height: ${l.height}`,
  },
  fit: {
    wanted: "Still wanted:",
    again: "Look at this one:",
    median: (e) =>
      `over the better half of the picture, ${mm(e.worst_mm)} at the worst place: so far off, at most, do lines lie 95 times in 100. One pixel is ${mm(e.pixel_mm)}.`,
    quality: {
      good: (t) => `Good: the worst place too is within your tolerance of ${mm(t)}.`,
      middle: (t) =>
        `Only the better half is good: the worst place is outside your tolerance of ${mm(t)}. What to sight next stands below.`,
      poor: (t) =>
        `Not good yet: your tolerance is ${mm(t)}. More sightings, spread to the edges, make it better.`,
      unchecked: () => "Whether that is true, nothing checks yet: take a few more sightings.",
    },
    sigma0: (s) =>
      s === null
        ? "There are no more sightings than needed, so nothing checks them."
        : `What the sightings leave over is ${s.toFixed(2)} times what their stated errors lead one to expect (1 is as expected, 2 would be twice as much).`,
    redundancy: (n) => `${n} sighting figures more than needed.`,
    trusted: "The figures can be trusted: the sightings check each other.",
    notTrusted: "The figures are not checked well enough to be trusted yet.",
    tapeFrame: "Measured by tape: the origin is cross A, and x runs from A to B.",
    positionFrame: "The origin is that of your marks.",
    held: "What the sightings could not tell",
  },
};
