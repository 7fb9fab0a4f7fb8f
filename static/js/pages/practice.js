import { get, post } from "../api.js";
import { listen, windowName } from "../connection.js";
import { choices } from "../choices.js";
import { byId, el, refill, svg } from "../dom.js";
import { steelRule } from "../practice/rule.js";
import { knockPanel } from "../practice/knock.js";
import { cutPieces, leather, light, patches, pencilDots, tableTop } from "../practice/scene.js";
import { walk } from "../practice/walk.js";
import { sayRefused } from "../say.js";
import { stateNow, watchState } from "../state.js";
import { words } from "../words/words.js";

const W = words.practice;
const root = /** @type {SVGSVGElement} */ (svg("svg.practice-drawing", { role: "group", "aria-label": W.drawing }));
const under = svg("g");
const over = svg("g.over");
let inHand = false;
let view = "all";
/** @type {import("../practice/scene.js").Landing | null} */
let landing = null;
/** The id of the practice thing: the walk leads to its draft, whatever else was drafted since. @type {number | null} */
let lamp = null;
const rule = steelRule(root, () => {
  inHand = true;
  requestAnimationFrame(clearCaptions);
});
const clearCaptions = () => rule.clearOf([...over.querySelectorAll(".light-text")]);
root.append(under, rule.element, over);
byId("table-top").append(root);

function draw() {
  if (landing === null) return;
  under.replaceChildren(tableTop(landing.table), landing.leather ? leather(landing.leather) : "", cutPieces(landing));
  look();
  over.replaceChildren(pencilDots(landing, unit()), patches(landing), light(landing, 1.6 * unit()));
  if (!inHand) rule.lay(landing.rule);
  clearCaptions();
  byId("sentence").textContent = landing.sentence ?? "";
  showReadings();
  drawWalk();
  drawModes();
}

/** Millimetres of one CSS pixel, as it is looked at now. */
const unit = () => root.viewBox.baseVal.width / Math.max(root.clientWidth, 1);

/** The whole table, where the light lies, or 90 mm round one end of what the rule measures. */
function look() {
  if (landing === null) return;
  root.setAttribute(
    "viewBox",
    (view === "all" ? wholeTable() : view === "light" ? aroundLight() : aroundEnd()).join(" "),
  );
  root.dataset.view = view === "all" || view === "light" ? "all" : "near";
}

function wholeTable() {
  const { x, y, width, height } = landing.table;
  return [x - 10, y - 10, width + 20, height + 20];
}

function aroundLight() {
  const xs = landing.strokes.flatMap((stroke) => stroke.points.filter((_, i) => i % 2 === 0));
  const ys = landing.strokes.flatMap((stroke) => stroke.points.filter((_, i) => i % 2 === 1));
  if (xs.length === 0) return wholeTable();
  const [left, top] = [smallest(xs) - 30, smallest(ys) - 30];
  return [left, top, -smallest(xs.map((x) => -x)) + 30 - left, -smallest(ys.map((y) => -y)) + 30 - top];
}

const smallest = (/** @type {number[]} */ values) => values.reduce((least, value) => Math.min(least, value), Infinity);

function aroundEnd() {
  const at = endOfRule(view === "right");
  return [at.x - 45, at.y - 26, 90, 54];
}

function endOfRule(/** @type {boolean} */ far) {
  const at = rule.where();
  const reach = far ? (landing.readings?.top ?? 300) : 0;
  const turn = (at.turn * Math.PI) / 180;
  return { x: at.x + reach * Math.cos(turn), y: at.y + reach * Math.sin(turn) };
}

function showReadings() {
  const { readings } = landing;
  byId("readings-card").hidden = readings === null;
  if (readings === null) return;
  const row = ([name, value]) =>
    el("tr", {}, el("th", { scope: "row" }, words.check.lines[name]), el("td.number", {}, words.mm(value, 1)));
  byId("readings").replaceChildren(
    el("table", {}, el("caption.unseen", {}, W.readings), el("tbody", {}, ...Object.entries(readings).map(row))),
    el("p.soft.small", {}, W.readingsWords),
  );
}

async function show(/** @type {object} */ what) {
  try {
    inHand = false;
    await post("/api/light", what);
  } catch (error) {
    sayRefused(error);
    drawModes();
  }
}

/** Witness marks can be shown once they lie on the table. */
const marked = () => (landing?.marks ?? []).length > 0;

/** What the light can show on this bench; the layout only once there is one. */
function drawModes() {
  const state = stateNow();
  if (state === null) return;
  const bench = state.bench?.practice ? state.bench.id : null;
  if (bench === null) return;
  const modes = {
    dark: { mode: "dark" },
    crosses: { mode: "crosses", bench },
    ...(marked() ? { witness: { mode: "witness", bench } } : {}),
    check: { mode: "check", bench, size: 300 },
    pixels: { mode: "pixels", bench },
    ...(state.layout ? { layout: { mode: "layout", layout: state.layout.id } } : {}),
  };
  const place = byId("modes");
  const focused = place.contains(document.activeElement);
  const entries = Object.keys(modes).map((name) => /** @type {[string, string]} */ ([name, W.modes[name]]));
  choices(place, "mode", entries, state.light.mode, (name) => show(modes[name]));
  if (focused) place.querySelector("input:checked")?.focus();
}

async function findLamp() {
  try {
    lamp = (await get("/api/things")).find((thing) => thing.practice)?.id ?? null;
    drawWalk();
  } catch (error) {
    sayRefused(error);
  }
}

async function start() {
  try {
    lamp = (await post("/api/practice/start")).thing;
    drawWalk();
  } catch (error) {
    sayRefused(error);
  }
}

function drawWalk() {
  const state = stateNow();
  if (state === null) return;
  const check = () => show({ mode: "check", bench: state.bench.id, size: 300 });
  refill(byId("walk"), ...walk(state, landing, lamp, { start, check }));
}

choices(byId("views"), "view", Object.entries(W.views), view, (name) => {
  view = name;
  draw();
});
const knock = knockPanel();
byId("knock").append(knock.element);
watchState((state) => {
  drawModes();
  drawWalk();
  knock.update(state.bench?.practice === true && state.bench.calibrated);
});
listen({
  role: "practice",
  window: windowName(),
  rest: true,
  on: {
    landing: (content) => {
      landing = content;
      draw();
    },
  },
  lost: () => {},
  found: () => {},
});
findLamp();
