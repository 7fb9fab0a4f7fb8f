import { el } from "../dom.js";
import { fourWays } from "../four-ways.js";
import { nudge } from "../gestures/nudge.js";
import { words } from "../words/words.js";

const W = words.bench.marks;

/** Buttons and keys that move the chosen cross in the light by pixels. @param {(dx: number, dy: number) => void} moved */
export function nudgePad(moved) {
  const { buttons, steps } = fourWays("nudge-step", { way: W.way, legend: W.stepLegend, step: W.step }, moved);
  const letter = el("output.chosen-letter", { "aria-live": "polite" });
  const where = el("p.soft.small");
  const pad = el(
    "div.pad",
    { tabindex: 0, role: "group", "aria-label": W.padLabel },
    letter,
    ...buttons,
  );
  nudge(pad, moved);
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
