/** What the practice table says. */
import { length as mm } from "../lengths.js";

export const practice = {
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
      words: `The light is told to draw ${mm(300, 0)}, and draws something else: nothing is calibrated yet.`,
      go: "Show the check figure",
    },
    calibrate: {
      title: "Calibrate.",
      words: "Let the page take sightings for you: by marks or by tape, then four crosses on a block.",
      go: "Go to the bench",
    },
    check: {
      title: "Check it.",
      words: `The same square again. Now the rule reads ${mm(300, 0)}.`,
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
};
