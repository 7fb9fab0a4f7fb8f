import { el } from "../dom.js";
import { words } from "../words/words.js";
import { insightOf } from "./insight.js";

const W = words.setups;

/**
 * What accuracy of the lens position is enough, and what the present knowledge of it costs on leather.
 * @param {HTMLElement} place @param {any} room what the page lets a section do: id, bench(), leather()
 */
export function lensCost(place, room) {
  const height = el("input", { id: "cost-height", inputmode: "decimal", autocomplete: "off", onchange: update });
  const body = el("div.stack.tight", { "aria-live": "polite" });
  place.append(
    el("h3", {}, W.enough),
    el("p", {}, W.enoughWords),
    el("h3", {}, W.costs),
    el("div.field.narrow", {}, el("label", { for: "cost-height" }, W.thickness), height),
    body,
  );
  /** @type {any} */
  let latest = null;
  const insight = insightOf(room.id, (told) => draw((latest = told)));

  function asked() {
    const value = Number(height.value.trim().replace(",", "."));
    return Number.isFinite(value) && value > 0 ? value : room.leather();
  }

  function draw(told) {
    if (told.lens_cost.length === 0) return body.replaceChildren(el("p.soft", {}, W.none));
    body.replaceChildren(
      enoughNote(asked(), costAt(asked(), told.lens_cost), told.tolerance_mm ?? room.bench().tolerance),
      costTable(told.lens_cost),
      el("p.soft.small", {}, W.costsWords),
    );
  }

  function update() {
    if (height.value === "" && document.activeElement !== height) height.value = String(room.leather());
    if (latest !== null) draw(latest);
    insight.want(0);
  }
  return { update, stale: insight.stale };
}

/** Errors add by their squares: half of the tolerance spent on the lens leaves 87 % of it for all the rest. */
function enoughNote(height, cost, tolerance) {
  const enough = cost <= tolerance / 2;
  const says = enough ? W.isEnough(tolerance) : W.notEnough(tolerance);
  return el(`p.note.${enough ? "good" : "mind"}.lens-enough`, {}, W.inUse(height, cost), " ", says);
}

/** The cost grows with the height, as long as that is small beside the lens's. @param {number} height @param {{height: number, mm: number}[]} costs */
function costAt(height, costs) {
  const near = costs.reduce((a, b) => (Math.abs(b.height - height) < Math.abs(a.height - height) ? b : a));
  return (near.mm * height) / near.height;
}

/** One row a thickness, with a bar. @param {{height: number, mm: number}[]} costs */
function costTable(costs) {
  const most = Math.max(0.1, ...costs.map((cost) => cost.mm));
  const row = (cost) => {
    const bar = el("span.filled");
    bar.style.width = `${(cost.mm / most) * 100}%`;
    return el(
      "tr",
      {},
      el("th", { scope: "row" }, W.atHeight(cost.height)),
      el("td.residual", {}, el("span.track", { "aria-hidden": "true" }, bar), el("span.amount", {}, words.mm(cost.mm))),
    );
  };
  return el("table", {}, el("caption.unseen", {}, W.costs), el("tbody", {}, ...costs.map(row)));
}
