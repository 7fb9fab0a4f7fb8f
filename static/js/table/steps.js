import { byId, el, refill } from "../dom.js";
import { words } from "../words/words.js";

const W = words.table;

/**
 * The step of the work: what to do, what the light shows for it, and how high it lies. A layout whose step is null shows
 * all lines at once, which stands before the first step.
 * @param {(name: string | null) => void} go
 */
export function stepsPanel(go) {
  let layout = null;
  const at = () => layout.steps.findIndex((step) => step.name === layout.step);
  const by = (n) => {
    const next = layout?.steps[at() + n];
    if (next) go(next.name);
  };
  byId("step-next").addEventListener("click", () => by(1));
  byId("step-back").addEventListener("click", () => by(-1));

  return {
    next: () => by(1),
    back: () => by(-1),
    update(/** @type {any} */ now) {
      layout = now;
      const index = at();
      show(layout.steps[index] ?? allAtOnce(layout));
      byId("step-count").textContent = index < 0 ? "" : W.stepCount(index + 1, layout.steps.length);
      byId("step-back").disabled = index <= 0;
      byId("step-next").disabled = index === layout.steps.length - 1;
      const all = stepRow({ name: null, title: W.allAtOnce }, "∗", index < 0, go);
      refill(byId("steps"), ...layout.steps.map((step, i) => stepRow(step, i + 1, i === index, go)), all);
    },
  };
}

const allAtOnce = (layout) => ({
  title: W.allAtOnce,
  words: W.allWords,
  plies_under: 1,
  height: layout.height,
  tools: [],
  caution: "",
});

function show(step) {
  byId("step-title").textContent = step.title;
  byId("step-words").textContent = step.words;
  byId("step-light").textContent = W.stepLight(step.plies_under, step.height);
  byId("step-tools").textContent = step.tools.length > 0 ? W.tools(step.tools) : "";
  byId("step-caution").textContent = step.caution;
}

function stepRow(step, number, current, go) {
  const attributes = { type: "button", "aria-current": current ? "step" : null, onclick: () => go(step.name) };
  return el("li", {}, el("button.step", attributes, el("span.nr", {}, number), step.title));
}
