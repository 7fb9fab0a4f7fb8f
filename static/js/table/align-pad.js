import { el } from "../dom.js";
import { alignWords } from "../words/align.js";

const W = alignWords.aim;
const WAYS = { up: [0, -1, "↑"], left: [-1, 0, "←"], right: [1, 0, "→"], down: [0, 1, "↓"] };

/** Four arrow buttons and the size of a step, in pixels. @param {(dx: number, dy: number) => void} moved */
export function aimPad(moved) {
  let step = 1;
  const button = (way) =>
    el(
      `button.button.round.${way}`,
      { type: "button", "aria-label": W.way[way], onclick: () => moved(WAYS[way][0] * step, WAYS[way][1] * step) },
      WAYS[way][2],
    );
  const choice = (size) =>
    el(
      "label.choice",
      {},
      el("input", { type: "radio", name: "aim-step", value: size, checked: size === 1, onchange: () => (step = size) }),
      W.steps(size),
    );
  const steps = el("fieldset.choices", {}, el("legend.unseen", {}, W.step), ...[10, 1, 0.1].map(choice));
  return el("div.aim-pad", {}, el("div.ways-four", {}, ...Object.keys(WAYS).map(button)), steps);
}
