import { byId, el } from "../dom.js";
import { words } from "../words/words.js";

const W = words.making;

/** Show what is said beside the drawing: findings, seams, thread and cost. @param {any} answer */
export function showWorkings(answer) {
  byId("findings").hidden = answer.findings.length === 0;
  byId("findings-title").textContent = W.findings(answer.findings.length);
  byId("findings-list").replaceChildren(...answer.findings.map(findingRow));
  byId("cost-line").textContent = costLine(answer.cost);
  byId("cost-details").replaceChildren(...costParts(answer.cost));
  byId("sewing-details").replaceChildren(...sewingParts(answer));
}

const findingRow = (found) => el("li", {}, found.sentence, " ", el("strong", {}, found.remedy));

/** The one line; without any price set it does not speak of money. */
export const costLine = (cost) => (cost.price > 0 ? cost.words : W.unpriced(cost));

/** Materials, time by step, and how the price comes about. */
export function costParts(cost) {
  const materials = cost.lines.map((line) => [
    el("span", {}, line.title, el("small.sum", {}, line.formula)),
    W.amount(line),
    W.money(line.each),
    line.money,
  ]);
  const work = cost.work.map((step) => [step.title, W.minutes(step.minutes), step.formula]);
  return [
    el("p", {}, W.area(cost)),
    table(W.materials, materials),
    table(W.work, work),
    ...(cost.price > 0 ? [el("p", {}, W.sum(cost)), el("p.soft.small", {}, W.priceHow(cost))] : [el("p", {}, W.unpriced(cost))]),
    el("p.soft.small", {}, el("a", { href: "/rack#rates" }, W.rates)),
  ];
}

/** Seams with count, pitch and difference; blows; the thread and its way; the tools the rack has for each. */
export function sewingParts(answer) {
  if (answer.seams.length === 0) return [el("p", {}, W.noSeams), ...toolParts(answer)];
  const rows = answer.seams.map((s) => [
    s.title,
    s.holes,
    s.stitches,
    `${s.pitch_mm.toFixed(3)} mm`,
    `${s.length_mm.toFixed(1)} mm`,
  ]);
  return [
    table(W.seam, rows),
    el("ul.small", {}, ...answer.seams.map((s) => el("li", {}, W.seamNote(s)))),
    el("p", {}, W.blows(answer.strikes)),
    ...threadParts(answer.thread),
    ...toolParts(answer),
  ];
}

/** The thread and, for each piece of the work sewn in one go, its way. */
export function threadParts(thread) {
  const ways = thread.routes.map((route, i) =>
    el("div", {}, el("h4", {}, W.way(i + 1, thread.routes.length)), el("ol.way", {}, ...route.words.map((w) => el("li", {}, w)))),
  );
  return [el("p", {}, W.stitchThread(thread)), el("p.soft.small", {}, W.stack(thread)), ...ways];
}

function toolParts(answer) {
  const tools = [...new Set(answer.tools.flatMap((one) => one.tools))];
  const parts = tools.length === 0 ? [] : [el("p", {}, `${W.tools}: ${tools.join("; ")}.`)];
  return answer.rack_is_own ? parts : [...parts, el("p.soft.small", {}, el("a", { href: "/rack" }, W.starter))];
}

function table(heads, rows) {
  return el(
    "div.scroll-x",
    { tabindex: 0 },
    el(
      "table.small",
      {},
      el("thead", {}, el("tr", {}, ...heads.map((text) => el("th", { scope: "col" }, text)))),
      el("tbody", {}, ...rows.map((row) => el("tr", {}, ...row.map((cell) => el("td", {}, cell))))),
    ),
  );
}
