import { el } from "../dom.js";
import { words } from "../words/words.js";
import { alignWords } from "../words/align.js";

const W = alignWords.result;

/**
 * What was aimed at so far, what each place leaves, and how sure the light will be.
 * @param {any} told @param {(verb: string, content?: object) => void} act
 */
export function resultRows(told, act) {
  const count = el("p.soft", {}, alignWords.aim.done(told.points.length));
  if (told.points.length === 0) return [count];
  const result = told.result;
  const rows = told.points.map((point) => row(point, told, act));
  const table = el("table.aimed", {}, el("caption.unseen", {}, W.title), el("tbody", {}, ...rows));
  if (result === null) return [count, table, el("p.soft", {}, told.points.length > 1 ? told.sentence : "")];
  return [count, table, ...said(result), ...ways(result, act)];
}

function row(point, told, act) {
  const title = told.features.find((one) => one.name === point.name)?.title ?? point.name;
  const off = told.result?.points.find((one) => one.feature === point.name);
  const bad = told.result?.finding?.feature === point.name;
  return el(
    "tr",
    { "data-bad": bad ? "yes" : "no" },
    el("th", { scope: "row" }, title),
    el("td.number", {}, off ? words.mm(off.residual_mm) : ""),
    el(
      "td",
      {},
      el(
        "button.button.remove",
        { type: "button", "aria-label": W.drop(title), onclick: () => act("drop", { feature: point.name }) },
        "×",
      ),
    ),
  );
}

function said(result) {
  const { finding } = result;
  return [
    finding && el("p.note.mind", { role: "status" }, finding.sentence),
    el("p", {}, W.error(result.error95_mm)),
    el(
      "details",
      {},
      el("summary", {}, W.rms(result.rms_mm)),
      el("p.soft.small", {}, W.doubt(result.standard_error)),
      el("p.soft.small", {}, W.scale(result.scale)),
    ),
  ].filter(Boolean);
}

function ways(result, act) {
  const over = result.turned_over;
  const lay = (text, content, main) =>
    el(main ? "button.button.main" : "button.button", { type: "button", onclick: () => act("lay", content) }, text);
  const both = [over && lay(W.over, { turned_over: true }, true), lay(W.lay, {}, !over)];
  return [el("div.row", {}, ...both.filter(Boolean))];
}
