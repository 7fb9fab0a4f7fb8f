import { el } from "../dom.js";
import { nudge } from "../gestures/nudge.js";
import { words } from "../words/words.js";

const W = words.bench.marks;
const WAYS = { up: [0, -1, "↑"], left: [-1, 0, "←"], right: [1, 0, "→"], down: [0, 1, "↓"] };

/** Buttons and keys that move the chosen cross in the light by pixels. @param {(dx: number, dy: number) => void} moved */
export function nudgePad(moved) {
  let step = 1;
  const letter = el("output.chosen-letter", { "aria-live": "polite" });
  const where = el("p.soft.small");
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
      el("input", {
        type: "radio",
        name: "nudge-step",
        value: size,
        checked: size === 1,
        onchange: () => (step = size),
      }),
      W.step(size),
    );
  const pad = el(
    "div.pad",
    { tabindex: 0, role: "group", "aria-label": W.padLabel },
    letter,
    ...Object.keys(WAYS).map(button),
  );
  nudge(pad, moved);
  const steps = el("fieldset.choices", {}, el("legend.unseen", {}, W.stepLegend), ...[10, 1, 0.1].map(choice));
  const keys = el("p.soft.small.keys", {}, W.keys);
  const element = el("div.nudging", {}, pad, el("div.stack.tight", {}, where, steps, keys));
  return {
    element,
    update(bench) {
      const at = bench.chosen && bench.sightings.crosses[bench.chosen];
      letter.textContent = bench.chosen ?? "–";
      where.textContent = at ? W.pixel(bench.chosen, at) : W.noneChosen;
      for (const b of pad.querySelectorAll("button")) b.disabled = !at;
    },
  };
}
