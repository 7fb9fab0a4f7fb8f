import { get } from "../api.js";
import { ago } from "../dates.js";
import { byId, el, svg } from "../dom.js";
import { costLine } from "../draft/workings.js";
import { sayRefused } from "../say.js";
import { cutLists, madeOf } from "../sheet/lists.js";
import { blowsPicture, litPicture, wayPicture } from "../sheet/pictures.js";
import { sheetWords as W } from "../words/sheet.js";

function show(sheet) {
  byId("sheet-title").textContent = W.title(sheet);
  byId("sheet-made").textContent = W.made(sheet, ago(sheet.made_at));
  byId("not-as-saved").textContent = sheet.as_saved ? "" : W.notAsSaved;
  byId("findings").hidden = sheet.findings.length === 0;
  byId("findings-title").textContent = W.findings(sheet.findings.length);
  byId("findings-list").replaceChildren(...sheet.findings.map((f) => el("li", {}, `${f.sentence} ${f.remedy}`)));
  byId("lacking").replaceChildren(...sheet.lacking.map((text) => el("li", { "data-kind": "warning" }, text)));
  byId("made-of").replaceChildren(...madeOf(sheet));
  byId("measures").replaceChildren(...sheet.measures.map((m) => el("div", {}, el("dt", {}, m.title), el("dd", {}, m.words))));
  byId("cut-lists").replaceChildren(...cutLists(sheet));
  byId("steps").replaceChildren(...sheet.steps.map((step, i) => stepPart(step, i, sheet.thread)));
  byId("cost-line").textContent = costLine(sheet.cost);
}

/** One step: what to do, what the light shows, what to wait for, blows where it pricks, the thread where it sews. */
function stepPart(step, i, thread) {
  const routes = thread.routes.filter((route) => route.step === step.name);
  return el(
    "li.sheet-step",
    { "data-step": step.name },
    el("h3", {}, el("span.box", { "aria-hidden": "true" }), `${i + 1}. ${step.title}`),
    litPicture(step),
    el(
      "div.stack.tight",
      {},
      el("p", {}, step.words),
      el("p.soft", {}, W.light(step)),
      step.tools.length > 0 && el("p.soft", {}, W.you(step.tools)),
      ...step.waits.map((wait) => el("p.wait", { "data-own": wait.own ? "yes" : "no" }, el("strong", {}, `${W.wait}: `), wait.words)),
      step.caution !== "" && el("p.note.mind", {}, step.caution),
    ),
    ...step.strikes.map((seam) => blowsPart(step, seam)),
    ...routes.map((route, n) => wayPart(step, route, n, routes.length)),
  );
}

function blowsPart(step, seam) {
  const rows = seam.told.map((one) => el("li", {}, el("span.count", {}, W.number(one)), el("span", {}, one.words)));
  const hint = seam.hint !== null && el("p.soft.small", {}, seam.hint);
  return el("section.sheet-part", {}, el("h4", {}, W.blows(seam)), blowsPicture(step, seam), el("div", {}, hint, el("ol.blows", {}, ...rows)));
}

function wayPart(step, route, n, all) {
  const rows = route.words.map((text) => el("li", {}, text));
  return el(
    "section.sheet-part",
    {},
    el("h4", {}, W.way(n + 1, all)),
    el("div", {}, wayPicture(step, route), wayKey(route)),
    el("ol.way", {}, ...rows),
  );
}

/** What the marks in the picture of a thread mean. */
function wayKey(route) {
  const mark = (kind, shape, text) =>
    el("li", {}, svg("svg.drawing.key", { viewBox: "0 0 24 12", "aria-hidden": "true" }, svg("g.way-marks", {}, shape)), text);
  return el(
    "ul.way-key",
    {},
    mark("begin", svg("g.begin", {}, svg("circle", { cx: 4, cy: 6, r: 3 }), svg("path", { d: "M4 6H20M16 3L20 6L16 9" })), W.key.start),
    route.twice.length > 0 && mark("twice", svg("path.twice", { d: "M3 6H21" }), W.key.twice),
    route.joins.length > 0 && mark("join", svg("path.join", { d: "M8 6L12 2L16 6L12 10z" }), W.key.join),
    mark("knot", svg("circle.knot", { cx: 12, cy: 6, r: 4 }), W.key.knot),
  );
}

for (const [id, text] of [
  ["made-of-title", W.madeOf],
  ["measures-title", W.measures],
  ["cut-title", W.cutList],
  ["steps-title", W.steps],
]) {
  byId(id).textContent = text;
}
byId("print").addEventListener("click", () => window.print());

get(`/api/patterns/${byId("sheet").dataset.pattern}/sheet`)
  .then(show)
  .then(() => (byId("print").disabled = false))
  .catch(sayRefused);
