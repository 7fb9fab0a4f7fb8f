import { put } from "../api.js";
import { choices, mark } from "../choices.js";
import { byId, el, refill } from "../dom.js";
import { showFieldErrors } from "../fields.js";
import { sayRefused } from "../say.js";
import { workWords } from "../words/work.js";

const W = workWords;

/**
 * What is seldom changed: where the maker stands, copies, whether pricking goes strike by strike, and a jump to any step.
 * @param {number} id the job
 * @param {{take: (job: any) => void, jump: (step: string) => void, end: () => void}} hands
 */
export function morePanel(id, hands) {
  const change = async (/** @type {object} */ content) => {
    try {
      hands.take(await put(`/api/jobs/${id}`, content));
      showFieldErrors(byId("more"), null);
    } catch (error) {
      if (!showFieldErrors(byId("more"), error)) sayRefused(error);
    }
  };
  byId("more").querySelector("summary").textContent = W.more.summary;
  byId("sides").querySelector("legend").textContent = W.side.legend;
  byId("by-strike-words").textContent = W.pace.byStrike;
  byId("copies-label").textContent = W.more.copies;
  byId("move").textContent = W.more.move;
  byId("end").textContent = W.more.end;
  byId("to-list").textContent = W.page.toList;
  choices(byId("sides"), "side", Object.entries(W.side.sides), "", (side) => change({ side }));
  byId("by-strike").addEventListener("change", (event) => change({ by_strike: event.target.checked }));
  byId("copies").addEventListener("change", (event) => {
    const copies = Number(event.target.value.trim());
    const fine = Number.isInteger(copies) && copies >= 1 && copies <= 200;
    byId("more").querySelector('[data-for="copies"]').textContent = fine ? "" : W.start.notANumber;
    if (fine) change({ copies });
  });
  byId("end").addEventListener("click", () => window.confirm(W.more.endConfirm) && hands.end());

  return function update(/** @type {any} */ job) {
    mark(byId("sides"), job.side);
    byId("by-strike").checked = job.by_strike;
    const copies = byId("copies");
    if (document.activeElement !== copies) copies.value = String(job.copies);
    byId("move").href = `/table/${job.layout}`;
    byId("end").hidden = job.done;
    refill(byId("steps"), ...(job.steps ?? []).map((step, i) => stepRow(step, i + 1, job, hands.jump)));
  };
}

function stepRow(step, number, job, jump) {
  const current = step.name === job.step.name && !job.done;
  const attributes = {
    type: "button",
    "aria-current": current ? "step" : null,
    "aria-label": W.more.jump(step),
    onclick: () => jump(step.name),
  };
  return el("li", {}, el("button.step", attributes, el("span.nr", {}, number), step.title));
}
