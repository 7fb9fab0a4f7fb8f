import { post } from "../api.js";
import { byId, el } from "../dom.js";
import { sayRefused } from "../say.js";
import { workWords } from "../words/work.js";

const W = workWords.pace;

/**
 * Let the blows follow by themselves, at a rate; the server's clock strikes.
 * @param {number} id the job @param {(job: any) => void} take what the server answers
 */
export function pacePanel(id, take) {
  const rate = /** @type {HTMLInputElement} */ (
    el("input", { id: "rate", name: "rate", inputmode: "numeric", autocomplete: "off" })
  );
  const press = /** @type {HTMLButtonElement} */ (el("button.button", { type: "button", id: "pace" }));
  const said = el("span.soft.small", { id: "pace-words", role: "status" });
  const label = el("label.small", { for: "rate" }, W.rate);
  byId("pace-part").append(press, label, rate, said);
  let running = false;

  async function swap() {
    const typed = Number(rate.value.trim());
    if (!running && !(typed >= 5 && typed <= 240)) {
      said.textContent = W.notANumber;
      return rate.focus();
    }
    try {
      take(await post(`/api/jobs/${id}/pace`, running ? { running: false } : { running: true, rate: typed }));
    } catch (error) {
      sayRefused(error);
    }
  }
  press.addEventListener("click", swap);

  return function update(/** @type {any} */ job) {
    running = job.running;
    byId("pace-part").hidden = job.strike === null || job.strike === undefined || job.done;
    press.textContent = running ? W.pause : W.start;
    press.setAttribute("aria-pressed", String(running));
    said.textContent = running ? W.running(job.rate) : "";
    rate.disabled = running;
    if (document.activeElement !== rate) rate.value = String(job.rate);
  };
}
