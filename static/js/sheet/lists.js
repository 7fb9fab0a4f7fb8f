import { el } from "../dom.js";
import { sheetWords as W } from "../words/sheet.js";

/** What it is made of: leather, thread, needles, irons, how many. */
export function madeOf(/** @type {any} */ sheet) {
  const { thread } = sheet;
  const sewn = thread.routes.length > 0;
  const rows = [
    [W.material.leather, sheet.leather],
    sewn && [W.material.thread, thread.name === null ? W.noThread(thread) : W.thread(thread)],
    thread.needle !== null && sewn && [W.material.needle, W.needle(thread)],
    W.irons(sheet) !== "" && [W.material.irons, W.irons(sheet)],
    sheet.costing.copies > 1 && [W.material.copies, String(sheet.costing.copies)],
  ];
  return rows.filter(Boolean).map(([term, text]) => el("div", {}, el("dt", {}, term), el("dd", {}, text)));
}

/** What to cut before the work begins: pieces of leather, pieces of thread, and the hardware to lay out. */
export function cutLists(/** @type {any} */ sheet) {
  const name = sheet.thread.name ?? W.threadUnnamed;
  const threads = sheet.thread.routes.flatMap((route) =>
    route.pieces.map((piece) => W.threadRow(name, titles(sheet, route.seams), piece)),
  );
  const hardware = sheet.costing.hardware.map((one) => W.hardwareRow(one, sheet.costing.copies));
  return [
    table(W.cutHeads, sheet.cuts.map(W.cutRow)),
    threads.length > 0 && table(W.threadHeads, threads),
    hardware.length > 0 && table(W.hardwareHeads, hardware),
    sheet.costing.copies > 1 && el("p.soft.small", {}, W.forCopies(sheet.costing.copies)),
  ].filter(Boolean);
}

/** The seams as a person reads them. */
function titles(sheet, names) {
  const known = Object.fromEntries(sheet.seams.map((seam) => [seam.name, seam.title]));
  return names.map((name, i) => (i === 0 ? known[name] : known[name].toLowerCase())).join(", ");
}

/** A table whose rows can be ticked off with a pencil. */
function table(heads, rows) {
  const tick = () => el("td.tick", {}, el("span.box", { "aria-hidden": "true" }));
  const head = el("tr", {}, el("td.tick"), ...heads.map((text) => el("th", { scope: "col" }, text)));
  const body = el("tbody", {}, ...rows.map((row) => el("tr", {}, tick(), ...row.map((text) => el("td", {}, text)))));
  return el("div.scroll-x", { tabindex: 0 }, el("table.cut-list", {}, el("thead", {}, head), body));
}
