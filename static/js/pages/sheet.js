import { get } from "../api.js";
import { ago } from "../dates.js";
import { byId, drawn, el, svg } from "../dom.js";
import { costLine, threadParts } from "../draft/workings.js";
import { sayRefused } from "../say.js";
import { words } from "../words.js";

const W = words.sheet;
const AROUND = 4;

function show(sheet) {
  byId("sheet-title").textContent = W.title(sheet);
  byId("sheet-made").textContent = W.made(sheet, ago(sheet.made_at));
  byId("not-as-saved").textContent = sheet.as_saved ? "" : W.notAsSaved;
  byId("findings").hidden = sheet.findings.length === 0;
  byId("findings-title").textContent = words.making.findings(sheet.findings.length);
  byId("findings-list").replaceChildren(...sheet.findings.map((f) => el("li", {}, `${f.sentence} ${f.remedy}`)));
  byId("lacking").replaceChildren(...sheet.lacking.map((text) => el("li", { "data-kind": "warning" }, text)));
  byId("measures").replaceChildren(...sheet.measures.map((m) => el("div", {}, el("dt", {}, m.title), el("dd", {}, m.words))));
  byId("steps").replaceChildren(...sheet.steps.map((step, i) => stepPart(step, i, sheet.thread)));
  byId("cost-line").textContent = costLine(sheet.cost);
}

/** One step: what to do, what the light shows, blows where it pricks, the thread where it sews. */
function stepPart(step, i, thread) {
  const ways = { ...thread, routes: thread.routes.filter((r) => r.seams.some((name) => step.sews.includes(name))) };
  return el(
    "li.sheet-step",
    { "data-step": step.name },
    el("h2", {}, `${i + 1}. ${step.title}`),
    picture(step),
    el(
      "div.stack.tight",
      {},
      el("p", {}, step.words),
      el("p.soft", {}, W.light(step)),
      step.tools.length > 0 && el("p.soft", {}, W.you(step.tools)),
      step.caution !== "" && el("p.note.mind", {}, step.caution),
      ...step.strikes.map(blows),
      ...(ways.routes.length > 0 ? threadParts(ways) : []),
    ),
  );
}

const blows = (seam) =>
  el("div", {}, el("h3", {}, W.blows(seam)), el("ol.blows", {}, ...seam.words.map((text) => el("li", {}, text))));

/** The piece: its outline faint, and over it only what the light shows. */
function picture(step) {
  const [left, top, right, bottom] = step.box;
  const box = [left - AROUND, top - AROUND, right - left + 2 * AROUND, bottom - top + 2 * AROUND];
  return svg(
    "svg.drawing.sheet-picture",
    { viewBox: box.join(" "), role: "img", "aria-label": W.drawing(step) },
    svg("g.faint", {}, drawn(step.outline)),
    svg("g.lit", {}, drawn(step.svg)),
  );
}

byId("print").addEventListener("click", () => window.print());

get(`/api/patterns/${byId("sheet").dataset.pattern}/sheet`)
  .then(show)
  .then(() => (byId("print").disabled = false))
  .catch(sayRefused);
