/** Sentences of the bench page beyond the sightings themselves; words.js takes them over. */

import { length as mm, shortLength } from "../lengths.js";
const per = (chance) => (chance < 0.001 ? "under 0.1 %" : `${(chance * 100).toFixed(chance < 0.1 ? 1 : 0)} %`);
const list = (names) => (names.length < 2 ? names.join("") : `${names.slice(0, -1).join(", ")} and ${names.at(-1)}`);

export const benchWords = {
  index: {
    session: "Session check",
    calibrate: "Calibrate",
    lens: "Lens and thickness",
    sure: "How sure, where",
    history: "History",
    guard: "Picture guard",
    keep: "Bench and file",
  },

  standing: {
    raw: "Not calibrated yet: sizes in the light mean nothing.",
    fit: (e, when) => `Calibrated ${when}: within ${mm(e.median)} over half of the picture, ${mm(e.worst)} at worst.`,
    never: "Not checked since.",
    checked: (when) => `Last check ${when}.`,
    anew: "The last check said: calibrate anew.",
  },

  session: {
    raw: "A check tells whether the light still lands where it did. There is nothing to check yet: this bench is not calibrated.",
    toCalibrate: "Calibrate",
    make: {
      title: "Make witness marks, once",
      intro:
        "Witness marks are pencil dots on the table. Tomorrow the crosses of light show whether they still fall on them: the check takes less than a minute.",
      choose: "Choose two to four crosses, far apart. The corners are best.",
      chosen: (names) => (names.length === 0 ? "No cross chosen." : `Chosen: ${list(names)}.`),
      toggle: (name) => `Cross ${name} as a witness mark`,
      light: "Light the crosses",
      lit: "The crosses are lit",
      dot: "Pencil a dot under each cross, exactly where its arms meet.",
      done: "The dots are drawn",
      made: (names) => `Witness marks ${list(names)} are kept. Every session starts with them now.`,
      known: "My marks have known places (tape corners, mat points)",
      knownWords:
        "Their places in the same axes as the known marks you calibrated by. They hold through a new calibration too.",
      name: "Mark",
      x: "Across (x)",
      y: "Towards you (y)",
      keep: "Keep these marks",
      again: "Draw new witness marks",
      leave: "Keep the marks there are",
    },
    check: {
      begin: "Start the check",
      beginWords: (n) => `The ${n} witness crosses are lit where they fell when you drew the dots: one look at each.`,
      question: (name) => `Does cross ${name} lie on its dot?`,
      yes: "Yes, on the dot",
      moved: "Now it does",
      nudge: "If not, move it there: arrow keys 1 pixel, Shift 10, Alt a tenth.",
      pad: "Move the cross in the light. Arrow keys: one pixel; with Shift ten; with Alt a tenth.",
      by: (dx, dy) => `Moved ${signed(dx)} across, ${signed(dy)} down, in pixels.`,
      none: "Not moved.",
      back: "Put it back",
      skip: "I cannot see this one",
      seen: (n, all) => `${n} of ${all} looked at.`,
      state: { open: "not looked at yet", kept: "on its dot", moved: "moved", skipped: "left out" },
      go: (name) => `Look at cross ${name}`,
      decide: "Decide",
      fewest: "Look at two crosses at least.",
      lost: "Fewer than two dots can be reached by their crosses: that is more than a shift.",
      again: "Check once more",
      picture: "Sketch of the projector's picture with the witness crosses",
    },
    decision: {
      still: "It holds.",
      shifted: "It shifted a little, and is right again.",
      anew: "Calibrate anew.",
    },
    numbers: {
      drift: (value) => `Drift over the picture: ${mm(value)}.`,
      off: (value) => `Farthest cross from its mark: ${mm(value)}.`,
      sigma: (value) =>
        `The crosses were ${value.toFixed(2)} times as far off as a hand and the calibration lead one to expect (1 is as expected).`,
      still: (chance) =>
        `If nothing moved, crosses this far off would come up in ${per(chance)} of cases; below 5 % the light counts as moved.`,
      shift: (chance) =>
        `After a small shift, in ${per(chance)} of cases; below 1 % it counts as more than a small shift.`,
    },
    offCaption: "How far each cross was from its mark",
    full: "The numbers behind it",
    toTable: "Go to the work",
    toRule: "Check with a steel rule",
    toGuard: "Look at the picture guard",
    clearFirst: "Clear the old sightings and calibrate anew",
    clearConfirm: "Clear all sightings of this bench, to take new ones?",
    anewWords: "A new calibration needs new sightings, and afterwards new witness marks.",
  },

  knock: {
    title: "Knock the practice projector",
    words: "Only the practice bench can be knocked on purpose. Then check whether the crosses tell.",
    little: "Knock it a little",
    lot: "Knock it a lot",
    back: "Hang it back",
    sight: "Look at the crosses for me",
  },

  history: {
    intro: "Every calibration, session check and rule check of this bench.",
    none: "Nothing yet: the first calibration begins the history.",
    drift: "Drift, mm",
    sigma: "Sigma",
    plot: (n) => `Drift in millimetres and sigma over the last ${n} entries`,
    promise: "1 is as expected",
    when: "When",
    what: "What",
    kinds: {
      witness: { still: "Check: holds", shifted: "Check: shifted, corrected", anew: "Check: calibrate anew" },
      calibration: { calibrated: "Calibrated", imported: "Brought in from a file" },
      check: { holds: "Rule: holds", out: "Rule: does not hold", unsure: "Rule: not sure" },
    },
    point: (what, when, drift, sigma) =>
      `${what}, ${when}${drift === null ? "" : `, drift ${mm(drift)}`}${sigma === null ? "" : `, sigma ${sigma.toFixed(2)}`}`,
  },

  advice: {
    tolerance: "Tolerance",
    toleranceMeaning:
      "Millimetres within which a line must lie, 95 times in 100. It also decides when enough is sighted.",
    met: (t) => `Met everywhere in the picture: ${mm(t, 2)}.`,
    notMet: (t, worst) => `Not met yet: ${mm(t, 2)} is wanted, ${mm(worst)} is the worst place.`,
    next: "Sight next:",
    gain: (now, then) => `Worst place ${mm(now)} now, about ${mm(then)} then.`,
    enough: "Enough is sighted for this tolerance.",
    mistake: "A mistake?",
    detect: "Show how large a slip must be to be found",
    detectable: (value) => (value === null ? "a slip here is never found" : `found from ${mm(value, 1)}`),
    notNumber: "Write the tolerance as a number of millimetres such as 0.5.",
  },

  setups: {
    enough: "What is enough",
    enoughWords:
      "20 mm of error in the lens position costs 0.05 mm on 5 mm leather, with the lens 2 m above the table. A folding rule and a string are good enough; a guess is not.",
    costs: "What the present knowledge costs",
    costsWords: "Worst place of the picture, 95 times in 100, from the lens position alone.",
    thickness: "Height of the leather under the light",
    inUse: (height, cost) => `At ${mm(height, 1)}, as asked here: ${mm(cost)}.`,
    isEnough: (t) => `Enough: that is less than half of the tolerance of ${mm(t)}.`,
    notEnough: (t) =>
      `Not enough yet: that is more than half of the tolerance of ${mm(t)}. Read crosses on a block near the corners, or measure once more to the lens.`,
    atHeight: (h) => `On ${shortLength(h)}`,
    none: "When the fit holds, this says what the doubt about the lens costs on leather.",
    block: {
      title: "A block under a cross",
      best: "Surest",
      enough: "Enough: block height within 0.5 mm, place on its top within 0.5 mm.",
      figure: "From the side: a block on the table; the ray meets its top before it reaches the table",
      labels: { block: "block", height: "height", here: "read here" },
    },
    slant: {
      title: "Tape from the lens",
      enough: "Enough: each length within 5 mm, three crosses or more, far apart.",
      figure: "From the side: a tape runs straight from the front of the lens to a cross on the table",
      labels: { tape: "tape", cross: "cross" },
    },
    plumb: {
      title: "Plumb line",
      enough: "Enough: height within 10 mm, foot within 10 mm.",
      figure: "From the side: a weight on a string hangs from the lens and shows its foot and height",
      labels: { height: "height", foot: "foot" },
    },
  },

  sure: {
    views: { bare: "Bare table", leather: "On leather" },
    height: "Height of its top",
    notNumber: "Write a height such as 4 or 3.6, in millimetres.",
    words: (m, height) =>
      `${height ? `The top of leather ${mm(height, 1)} above the table` : "The bare table"}, from above. Colours: 95 times in 100 a line lies within this many millimetres. One pixel is about ${mm(m.pixel_mm)} here.`,
    ellipses: (scale) =>
      `Ellipses: the same by direction, drawn ${scale} times as large as they are; the numbers are their long half axes in millimetres.`,
    label: (worst, count) => `Expected error over the table: ${count} ellipses, the longest half axis ${mm(worst)}`,
    one: (e) => `${mm(e.long_mm)} long, ${mm(e.short_mm)} short, turned ${Math.round(e.turn)}°`,
    all: "All ellipses as numbers",
    budget: "Where the error comes from",
    total: "All together",
    columns: { source: "Source", mm: "mm", how: "How it was got", reference: "Reference" },
    budgetWords:
      "Each row is what its source alone would cost at the worst place, 95 times in 100; rows add by their squares.",
    at: "Place",
    long: "Long",
    short: "Short",
    turn: "Turned",
    none: "When the fit holds, this shows how sure each place of the table is, and why.",
  },

  guard: {
    intro:
      "Light lands true only when every pixel of the window is one pixel of the projector. The first four are seen by the window itself; the others only you can see.",
    state: { good: "Good", bad: "Not right", ask: "Please look" },
    yes: "Yes",
    no: "No",
    light: "Show it in the light",
    lit: "It is lit",
    answered: (answer, when) => `You said ${answer}, ${when}.`,
    notPractice: "The practice bench has no real projector; answer for your own.",
    warm: {
      left: (time) => `Warming up: ${time} to go. Check once more then.`,
      due: "It is warm now: check once more.",
      check: "Check now",
      done: "Warm.",
    },
  },

  keep: {
    bench: "This bench",
    name: "Name",
    width: "Table width",
    depth: "Table depth",
    unknown: "not given",
    save: "Save",
    saved: "Saved.",
    picture: (p) => `Picture: ${p[0]} × ${p[1]} pixels.`,
    exportTitle: "Take the calibration along",
    exportWords:
      "The bench file holds the calibration with its certainty, for another computer or the command line. It does not hold the sightings.",
    exportRaw: "There is a file once the bench is calibrated.",
    exportGo: "Save the bench file",
    importTitle: "Bring in a bench file",
    importWords: "Makes a new bench, calibrated as the file says. The projector must hang where it hung.",
    file: "Bench file",
    importName: "Name of the new bench",
    importGo: "Bring it in",
    noFile: "Choose a bench file first.",
    notJson: "This file is not a bench file: it holds no JSON.",
  },
};

function signed(value) {
  const text = Math.abs(value).toFixed(Number.isInteger(Math.round(value * 10) / 10) ? 0 : 1);
  return value < -0.04 ? `−${text}` : value > 0.04 ? `+${text}` : "0";
}
