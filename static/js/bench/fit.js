import { el } from "../dom.js";
import { words } from "../words/words.js";

const W = words.bench.fit;

/** What the fit says in a few sentences: how good, what to measure again, what is still wanted. */
export function verdict(/** @type {any} */ bench) {
  const notes = [];
  if (bench.refusal) notes.push(el("p.note.mind", {}, el("strong", {}, W.wanted), " ", bench.refusal.sentence));
  if (bench.report) notes.push(...goodness(bench.report, bench.tolerance ?? bench.report.error.pixel_mm));
  return notes;
}

/** Good is what meets the maker's tolerance at the worst place too, and is checked. */
function quality({ trusted, error }, tolerance) {
  if (!trusted) return "unchecked";
  if (error.median_mm > tolerance) return "poor";
  return error.worst_mm > tolerance ? "middle" : "good";
}

function goodness(report, tolerance) {
  const level = quality(report, tolerance);
  const number = el("strong.big-number", {}, words.mm(report.error.median_mm));
  const notes = [
    el(`p.note.${level === "good" ? "good" : "mind"}`, {}, number, " ", W.median(report.error), " ", W.quality[level](tolerance)),
  ];
  if (report.worst) notes.push(el("p.note.mind", {}, el("strong", {}, W.again), " ", report.worst.sentence));
  for (const warning of report.warnings) notes.push(el("p.note.mind", {}, warning));
  return notes;
}

/** The adjustment in full, for those who want it: agreement, redundancy, what had to be held. */
export function inFull(/** @type {any} */ report) {
  const lines = [
    W.sigma0(report.sigma0),
    W.redundancy(report.redundancy),
    report.trusted ? W.trusted : W.notTrusted,
    report.frame === "tape" ? W.tapeFrame : W.positionFrame,
  ];
  const held = report.held.map((h) => el("li", {}, el("strong", {}, `${h.term}: `), h.words));
  return [
    ...lines.map((line) => el("p", {}, line)),
    held.length > 0 && el("h3", {}, W.held),
    held.length > 0 && el("ul.stack.tight", {}, ...held),
  ].filter(Boolean);
}
