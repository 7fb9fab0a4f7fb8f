import { el } from "./dom.js";

const WAYS = { up: [0, -1, "↑"], left: [-1, 0, "←"], right: [1, 0, "→"], down: [0, 1, "↓"] };
const STEPS = [10, 1, 0.1];

/**
 * Four arrow buttons, and the choice of how many pixels a press is worth.
 * @param {string} name of the choice on its page
 * @param {{way: Record<string, string>, legend: string, step: (pixels: number) => string}} said
 * @param {(dx: number, dy: number) => void} moved
 */
export function fourWays(name, said, moved) {
  let step = 1;
  const button = (way) =>
    el(
      `button.button.round.${way}`,
      { type: "button", "aria-label": said.way[way], onclick: () => moved(WAYS[way][0] * step, WAYS[way][1] * step) },
      WAYS[way][2],
    );
  const choice = (size) =>
    el(
      "label.choice",
      {},
      el("input", { type: "radio", name, value: size, checked: size === 1, onchange: () => (step = size) }),
      said.step(size),
    );
  const steps = el("fieldset.choices", {}, el("legend.unseen", {}, said.legend), ...STEPS.map(choice));
  return { buttons: Object.keys(WAYS).map(button), steps };
}
