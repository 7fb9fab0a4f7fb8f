/** Every sentence the scripts say, here, in words-bench.js and in words-making.js, so that another language needs no other file. */

import { benchWords } from "./words-bench.js";
import { makingWords } from "./words-making.js";

const size = (w) => `${w.width} × ${w.height}`;
const mm = (value, places = 2) => `${Number(value).toFixed(places)} mm`;

export const words = {
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

  draft: {
    groups: {
      thing: "The thing and its sizes",
      carry: "How it is carried and held",
      leather: "The leather and its edges",
      stitches: "Allowances and stitches",
    },
    range: (low, high) => `${low} to ${high} mm`,
    percent: (low, high) => `${low} to ${high} %`,
    plainRange: (low, high) => `${low} to ${high}`,
    understood: (value) => `= ${value} mm`,
    bare: (number) => `A bare number is millimetres: for inches write ${number} in.`,
    howToWrite:
      'Write 89 mm, 8.9 cm, 3 1/2 in or 3.5" as you like; a bare number is millimetres, and grey ones are taken when you leave a field empty.',
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
    dimension: (label, value) => `${label}: ${value} mm`,
    stale: "The drawing still shows the last draft that worked.",
    saving: "Saving…",
    saved: (name) => `${name} is saved.`,
    changed: "Not saved yet.",
    restored: "What you typed last time, and did not save, is back.",
    noName: "Give the thing a name first, so that you find it again.",
    defaultName: "My pouch",
    noBench: "There is no bench to lay it on yet: set one up on the first page, or open the practice workshop.",
    plies: (n) => (n === 1 ? "on one ply" : n === 0 ? "on the bare table" : `on ${n} plies`),
  },

  bench: {
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
    residual: (value) => `${value < 0 ? "−" : ""}${Math.abs(value).toFixed(2)} mm`,
    sketch: "Sketch of the projector's picture with its lettered crosses",
    crossLabel: (name, state) =>
      `Cross ${name}${state === "placed" ? ", place known" : state === "chosen" ? ", chosen" : ""}`,
    nothingYet:
      "No sightings yet. Four crosses are the least; the more there are, the more the fit can tell, also how far to trust it.",
    heatLegend: "What the colours mean",
    heatStep: (from, below) =>
      below === Infinity ? `over ${from} mm` : from === 0 ? `under ${below} mm` : `${from}–${below} mm`,
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
    keys: "Millimetres and degrees, for the middle of the mouth edge. Keys in the drawing: arrows 1 mm, Shift 10, Alt 0.1; [ and ] turn a degree; M mirrors.",
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
    caption: "Each reading against what it should be, in millimetres",
    verdicts: { holds: "It holds.", out: "It does not hold.", unsure: "Not sure yet." },
    signed: (value) => `${value < 0 ? "−" : "+"}${Math.abs(value).toFixed(1)}`,
    noHeight: "Write the height in millimetres, such as 3.6; the bare table is 0.",
    notANumber: (line) => `The reading of the line “${line}” is not a number: write it like 299.8.`,
    noBench: "There is no bench yet: set one up on the first page, or open the practice workshop.",
    raw: (name) => `${name} is not calibrated yet: the figure shows, but its size means nothing. Calibrate first.`,
    show: "Show the figure in the light",
    dark: "Make it dark",
    openWindow: "Open projector window",
    practice: "See it on the practice table",
  },

  practice: {
    drawing: "The practice table from above, with leather, steel rule and light",
    leather: (t) => `Leather, ${mm(t, 1)} thick where the light lies`,
    footprint: "Where the projector's picture lands",
    rule: "Steel rule with millimetre ticks: drag it, or move it with the arrow keys",
    readings: "Lengths of the check figure as they really are on the table",
    readingsWords:
      "These are the true lengths, which only the practice table can know. At your own bench a steel rule tells them.",
    modes: {
      dark: "Dark",
      crosses: "Crosses",
      witness: "Witness crosses",
      check: "Check figure",
      pixels: "Single pixels",
      layout: "The pattern",
    },
    mark: (name) => `Pencil dot ${name}`,
    views: { all: "Whole table", light: "The light", left: "Zero of the rule", right: "Far end" },
    walk: {
      done: "done",
      start: {
        title: "Set it up.",
        words: "A bench and a small thing to be carried, both invented.",
        go: "Open the practice workshop",
      },
      crooked: {
        title: "See the crooked square.",
        words: "The light is told to draw 300 mm, and draws something else: nothing is calibrated yet.",
        go: "Show the check figure",
      },
      calibrate: {
        title: "Calibrate.",
        words: "Let the page take sightings for you: by marks or by tape, then four crosses on a block.",
        go: "Go to the bench",
      },
      check: {
        title: "Check it.",
        words: "The same square again. Now the rule reads 300 mm.",
        go: "Check with the rule",
      },
      draft: {
        title: "Draft.",
        words:
          "Look at the belt lamp's pouch, change a measure if you like, and lay it on the table. (Draft in the menu begins an empty one.)",
        go: "Open the belt lamp's draft",
      },
      work: {
        title: "Work.",
        words: "Step by step on the leather; come back here to see where the lines land.",
        go: "Go to the table",
      },
    },
  },

  ...benchWords,
  ...makingWords,
  mm,
  inch: (value) => `${(value / 25.4).toFixed(3)} in`,
};
