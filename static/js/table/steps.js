import { byId, el } from "../dom.js";
import { words } from "../words.js";

const W = words.table;

/** The step of the work: what to do, what the light shows for it, and how high it lies. @param {(name: string) => void} go */
export function stepsPanel(go) {
  let layout = null;
  const index = () => Math.max(0, layout.steps.findIndex((step) => step.name === layout.step));
  const by = (n) => {
    const next = layout?.steps[index() + n];
    if (next) go(next.name);
  };
  byId("step-next").addEventListener("click", () => by(1));
  byId("step-back").addEventListener("click", () => by(-1));

  return {
    next: () => by(1),
    back: () => by(-1),
    update(/** @type {any} */ now) {
      layout = now;
      const at = index();
      const step = layout.steps[at];
      byId("step-count").textContent = W.stepCount(at + 1, layout.steps.length);
      byId("step-title").textContent = step.title;
      byId("step-words").textContent = step.words;
      byId("step-light").textContent = W.stepLight(step);
      byId("step-tools").textContent = step.tools.length > 0 ? W.tools(step.tools) : "";
      byId("step-caution").textContent = step.caution;
      byId("step-back").disabled = at === 0;
      byId("step-next").disabled = at === layout.steps.length - 1;
      byId("steps").replaceChildren(...layout.steps.map((s, i) => stepRow(s, i, at, go)));
    },
  };
}

function stepRow(step, i, at, go) {
  const button = el("button.step", { type: "button", "aria-current": i === at ? "step" : null, onclick: () => go(step.name) }, el("span.nr", {}, i + 1), step.title);
  return el("li", {}, button);
}
