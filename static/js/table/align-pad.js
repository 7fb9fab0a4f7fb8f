import { el } from "../dom.js";
import { fourWays } from "../four-ways.js";
import { alignWords } from "../words/align.js";

const W = alignWords.aim;

/** Four arrow buttons and the size of a step, in pixels. @param {(dx: number, dy: number) => void} moved */
export function aimPad(moved) {
  const { buttons, steps } = fourWays("aim-step", { way: W.way, legend: W.step, step: W.steps }, moved);
  return el("div.aim-pad", {}, el("div.ways-four", {}, ...buttons), steps);
}
