import { choices } from "../choices.js";
import { el } from "../dom.js";
import { decimals, fromTyped } from "../lengths.js";
import { words } from "../words/words.js";
import { ellipseMarks, ellipseTable, enlarged, isGrid } from "./ellipses.js";
import { box, heat, heatLegend } from "./heat.js";
import { insightOf } from "./insight.js";

const W = words.sure;

/**
 * How sure the light is, and where: colours, ellipses, and the budget behind them, on the table or on leather.
 * @param {HTMLElement} place @param {any} room what the page lets a section do: id, bench(), leather()
 */
export function sureSection(place, room) {
  let view = "bare";
  const views = el("fieldset.choices", {}, el("legend.unseen", {}, words.index.sure));
  const height = el("input", { id: "sure-height", inputmode: "decimal", autocomplete: "off", onchange: update });
  const wrong = el("p.wrong-here", { role: "alert" });
  const field = el("div.field.narrow", {}, el("label", { for: "sure-height" }, W.height), height, wrong);
  const picture = el("div.picture");
  const under = el("div.stack.tight");
  const why = el("details", { id: "budget" }, el("summary", {}, W.budget));
  const all = el("details", {}, el("summary", {}, W.all));
  const behind = el("div.stack.tight.behind", {}, why, all);
  place.append(
    el("div.row.ask-height", {}, views, field),
    el("div.two-wide", {}, el("div.stack.tight", {}, picture, under), behind),
  );
  choices(views, "sure", Object.entries(W.views), view, (next) => {
    view = next;
    update();
  });
  const insight = insightOf(room.id, draw);

  /** mm above the table, or null when it is not a number. */
  function asked() {
    if (view === "bare") return 0;
    const value = Number(height.value.trim().replace(",", "."));
    return height.value.trim() !== "" && Number.isFinite(value) && value > 0 ? fromTyped(value) : null;
  }

  function update() {
    if (height.value === "") height.value = decimals(room.leather());
    field.hidden = view === "bare";
    const high = asked();
    wrong.textContent = high === null ? W.notNumber : "";
    if (high === null) return;
    if (room.bench().report === null && !room.bench().calibrated) return empty(W.none);
    insight.want(high, true);
  }

  function empty(sentence) {
    picture.replaceChildren(el("p.empty", {}, sentence));
    under.replaceChildren();
    behind.hidden = true;
  }

  function draw(told, map) {
    if (told.budget === null || map === null) return empty(told.refusal ?? W.none);
    const drawing = heat(map);
    const [left, , right] = box(map.footprint);
    const times = enlarged(told.ellipses);
    if (isGrid(told.ellipses)) drawing.append(ellipseMarks(told.ellipses, times, (right - left) * numberSize()));
    drawing.setAttribute("aria-label", W.label(Math.max(...told.ellipses.map((e) => e.long_mm)), told.ellipses.length));
    picture.replaceChildren(drawing);
    under.replaceChildren(
      el("p", {}, W.words(map, told.height ?? 0)),
      heatLegend(),
      el("p.soft", {}, W.ellipses(times)),
    );
    behind.hidden = false;
    why.replaceChildren(why.firstElementChild, el("p.soft", {}, W.budgetWords), budgetTable(told.budget));
    all.replaceChildren(all.firstElementChild, el("div.scroll-y", { tabindex: 0 }, ellipseTable(told.ellipses)));
  }

  /** Numbers as a share of the picture's width, so that they can be read on a narrow screen too. */
  const numberSize = () => Math.min(Math.max(13 / Math.max(picture.clientWidth, 1), 0.02), 0.042);

  return { update, stale: insight.stale };
}

/** The budget, row by row. @param {{rows: {source: string, mm: number, how: string, reference: string}[], worst_mm: number}} budget */
function budgetTable(budget) {
  const C = W.columns;
  const row = (r) =>
    el(
      "tr",
      {},
      el("th", { scope: "row" }, r.source),
      el("td.number", {}, r.mm.toFixed(2)),
      el("td", {}, r.how, el("span.soft.small.from", {}, r.reference)),
    );
  const head = el(
    "tr",
    {},
    el("th", { scope: "col" }, C.source),
    el("th.number", { scope: "col" }, C.mm),
    el("th", { scope: "col" }, `${C.how}, ${C.reference.toLowerCase()}`),
  );
  const total = el(
    "tr.total",
    {},
    el("th", { scope: "row" }, W.total),
    el("td.number", {}, budget.worst_mm.toFixed(2)),
    el("td"),
  );
  return el("table.budget", {}, el("thead", {}, head), el("tbody", {}, ...budget.rows.map(row), total));
}
