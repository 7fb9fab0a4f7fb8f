import { put } from "../api.js";
import { el } from "../dom.js";
import { sayRefused } from "../say.js";
import { words } from "../words/words.js";
import { insightOf } from "./insight.js";

const W = words.advice;

/**
 * Beside the sightings: the tolerance, whether it is met, what to sight next, and a mistake that can be named.
 * @param {HTMLElement} place
 * @param {any} room what the page lets a panel do: id, bench(), changed(answer), point(names)
 */
export function advicePanel(place, room) {
  const input = el("input", { id: "tolerance", name: "tolerance", inputmode: "decimal", onchange: keep });
  const wrong = el("p.wrong-here", { role: "alert" });
  const said = el("div.stack.tight", { "aria-live": "polite" });
  const field = el(
    "div.field",
    {},
    el("label", { for: "tolerance" }, W.tolerance),
    input,
    wrong,
    el("p.meaning", {}, W.toleranceMeaning),
  );
  place.append(said, field);
  const insight = insightOf(room.id, (told) => said.replaceChildren(...notes(told).filter(Boolean)));

  async function keep() {
    const value = Number(input.value.trim().replace(",", "."));
    const fine = input.value.trim() !== "" && Number.isFinite(value);
    wrong.textContent = fine ? "" : W.notNumber;
    if (!fine) return;
    try {
      room.changed(await put(`/api/benches/${room.id}`, { tolerance: value }));
      wrong.textContent = "";
    } catch (error) {
      if (/** @type {any} */ (error).field === "tolerance") wrong.textContent = /** @type {any} */ (error).sentence;
      else sayRefused(error);
    }
  }

  function notes(told) {
    const { budget, next, mistake } = told;
    return [
      mistake && el("p.note.wrong.mistake", {}, el("strong", {}, W.mistake), " ", mistake.sentence),
      budget &&
        el(
          `p.note.${told.met ? "good" : "mind"}.met`,
          {},
          told.met ? W.met(told.tolerance_mm) : W.notMet(told.tolerance_mm, budget.worst_mm),
        ),
      next ? nextNote(next) : told.met && el("p.soft", {}, W.enough),
    ];
  }

  function nextNote(next) {
    return el(
      "p.note.next-sighting",
      {},
      el("strong", {}, W.next),
      ` ${next.sentence} `,
      el("span.soft", {}, W.gain(next.worst_now, next.worst_then)),
    );
  }

  return {
    update() {
      const { tolerance } = room.bench();
      if (document.activeElement !== input && tolerance !== undefined) input.value = String(tolerance);
      insight.want(0);
    },
    stale: insight.stale,
  };
}
