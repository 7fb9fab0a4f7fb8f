/** What the pages of guided work say. */

import { length } from "../lengths.js";

const mm = (/** @type {number} */ value) => length(value, 1);
const plies = (n) => (n === 0 ? "The bare table" : n === 1 ? "One ply" : `${n} plies`);

export const workWords = {
  list: {
    underWay: "Under way",
    finished: "Finished",
    none: "No job is under way.",
    how: [
      "A job leads you through a pattern with your hands full: the light goes from step to step, and a card with what to do is thrown on the table beside the leather.",
      "On and back: a page-turner pedal (Page Down, Page Up), the space bar, the arrow keys, or the large buttons; on this computer's pages and in the projector window alike.",
      "Leave it when you like. It goes on at the same step, blow and copy, today or next week.",
    ],
    goOn: (job) => `Go on with ${job.name}`,
    done: (when) => `done ${when}`,
    worked: (when) => `worked on ${when}`,
    copies: (n) => (n === 1 ? "one made" : `${n} made`),
    share: (job) => `${Math.round(job.progress * 100)} %`,
    shareOf: (job) => `${job.name}: ${Math.round(job.progress * 100)} % behind you`,
  },

  start: {
    nothing: "There is nothing to make yet: draft a pattern and lay it on the table, then start the work here.",
    draft: "Draft a pattern",
    laid: "On the table",
    saved: "Saved patterns",
    pattern: (p, when) => `${p.title}, saved ${when}`,
    orders: { copy: "One copy to its end, then the next", step: "Each step for all copies" },
    asDrafted: "as the pattern has it",
    notANumber: "Give a whole number from 1 to 200.",
    noBench: "Set up a bench on the first page first.",
  },

  page: {
    title: (job) => job.name,
    on: (job) => `${job.layout_name === job.name ? "" : `${job.layout_name}, `}on ${job.bench.name}`,
    count: (step) => `Step ${step.number} of ${step.of}`,
    copy: (job) => (job.copies === 1 ? "" : `Copy ${job.copy} of ${job.copies}`),
    strike: (s) => `Strike ${s.number} of ${s.of}`,
    seam: (s) => `${s.seam}: strike ${s.seam_number} of ${s.seam_of}, ${s.tool}.`,
    lies: (step) => `${plies(step.plies_under)} under the light, ${mm(step.height_mm)} above the table.`,
    tools: (list) => `You need: ${list.join(", ")}.`,
    progress: (job) => `${Math.round(job.progress * 100)} % of the work is behind you`,
    next: "Next",
    back: "Back",
    done: "Done",
    doneWords: (job) => (job.copies === 1 ? "It is made." : `All ${job.copies} copies are made.`),
    doneNext: "Back takes the job up again where it ended.",
    toList: "All jobs",
    drawing: (job) =>
      `The table from above: what the light draws for ${job.title ? `“${job.title}”` : "this job"}, and where the step card lies.`,
    card: (card) =>
      `The step card lies beside the leather, its capitals ${mm(card.letter_mm)} high${card.short ? "; there is room for its short form only" : ""}.`,
  },

  views: { all: "Whole picture", near: "Close up" },

  check: {
    title: "Check the bench first",
    words: "A projector may have been knocked since you worked here last. It takes half a minute by the witness marks.",
    go: "Check the bench",
    without: "Go on without a check",
  },

  light: {
    show: "Light it",
    dark: "Light off",
    other: "The light shows something else.",
    off: "The light is dark.",
    shut: "Lit, but no projector window is open to show it.",
    on: "In the light now.",
    black: "The light is blacked out.",
    practice: "Practice table",
  },

  pace: {
    start: "By itself",
    pause: "Pause",
    rate: "Strikes a minute",
    running: (rate) => `By itself, ${rate} strikes a minute. Any press stops it.`,
    byStrike: "Strike by strike",
    notANumber: "Give 5 to 240 strikes a minute.",
  },

  side: {
    legend: "You stand at",
    sides: { bottom: "front edge", left: "left edge", top: "far edge", right: "right edge" },
  },

  more: {
    summary: "More",
    jump: (step) => `Go to ${step.title}`,
    copies: "Copies",
    name: "Name",
    end: "End the job here",
    endConfirm: "End this job here? It stays on the list of finished ones, and Back takes it up again.",
    move: "Move the pieces",
  },

  table: {
    switch: "Strike by strike",
    none: "This step pricks no holes.",
    count: (s, n, all) => `Strike ${n} of ${all}. ${s.title}, ${s.tool}.`,
    next: "Next strike",
    back: "Strike back",
    guided: "Start guided work",
    led: (job) => `Guided work leads the light here: ${job.name}.`,
    toJob: "Go to the work",
  },

  home: { title: "Work under way" },
};
