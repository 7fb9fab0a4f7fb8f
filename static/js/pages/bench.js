import { get, post, put } from "../api.js";
import { countOf, inUnit, nudged } from "../bench/document.js";
import { inFull, verdict } from "../bench/fit.js";
import { heat, heatLegend } from "../bench/heat.js";
import { lensPanel } from "../bench/lens.js";
import { marksPanel } from "../bench/marks.js";
import { sketch } from "../bench/sketch.js";
import { tapePanel } from "../bench/tape.js";
import { afterQuiet, byId, el } from "../dom.js";
import { nudge } from "../gestures/nudge.js";
import { openProjectorWindow } from "../projector-window.js";
import { saver } from "../saver.js";
import { say, sayRefused } from "../say.js";
import { watchState } from "../state.js";
import { words } from "../words.js";

const W = words.bench;
const id = Number(byId("bench").dataset.bench);
const GRIDS = [
  [5, 4],
  [3, 3],
  [2, 2],
];

/** Everything the page knows; panels read it, only the hands below change it. */
const bench = {
  name: "",
  practice: false,
  picture: [1920, 1080],
  sightings: { unit: "mm", grid: [5, 4], crosses: {}, positions: [], distances: [], lens: [], mirrored: null },
  report: null,
  refusal: null,
  propose: null,
  /** @type {string | null} */ chosen: null,
  /** @type {[string, string] | null} */ wanted: null,
  way: "marks",
  view: "crosses",
};
let map = null;
let mapFresh = false;
let crossesLit = false;

const saving = saver((sightings) => put(`/api/benches/${id}/sightings`, sightings), {
  waiting: () => (byId("saved").textContent = W.saving),
  saved: (answer) => {
    byId("saved").textContent = W.saved;
    take(answer);
  },
  refused: (error) => {
    byId("saved").textContent = W.notSaved;
    sayRefused(error);
  },
});

const hands = {
  now: () => bench,
  change(sightings) {
    bench.sightings = sightings;
    saving.put(sightings);
    draw();
  },
  choose(cross) {
    if (!(cross in bench.sightings.crosses)) return;
    bench.chosen = cross;
    showCrosses(cross);
    draw();
  },
  want(pair) {
    bench.wanted = pair;
    if (pair) showCrosses(null);
    draw();
  },
  nudge(dx, dy) {
    if (bench.chosen === null) return;
    hands.change(nudged(bench.sightings, bench.chosen, dx, dy, bench.picture));
  },
  addLens(entry) {
    hands.change({ ...bench.sightings, lens: [...bench.sightings.lens, entry] });
  },
};

const panels = {
  marks: marksPanel(byId("panel-marks"), hands),
  tape: tapePanel(byId("panel-tape"), hands),
  lens: lensPanel(byId("panel-lens"), hands),
};

/** Take over what the server says; what the maker has typed since stays. */
function take(answer) {
  bench.report = answer.report;
  bench.refusal = answer.refusal;
  bench.propose = answer.propose;
  if (answer.sightings) bench.sightings = answer.sightings;
  mapFresh = false;
  if (!bench.report) map = null;
  draw();
  wantMap();
}

/** The picture of the errors is worked out only while it is looked at, and not for every nudge. */
const wantMap = afterQuiet(200, () => {
  if (bench.view !== "crosses" && bench.report && !mapFresh) loadMap();
});

/** The error is shown on the bare table, or on leather so many millimetres thick. */
const heightOf = (/** @type {string} */ view) => (view === "leather" ? 4 : 0);

async function loadMap() {
  try {
    map = await get(`/api/benches/${id}/map?height=${heightOf(bench.view)}`);
    mapFresh = true;
    if (bench.view !== "crosses") drawPicture();
  } catch (error) {
    sayRefused(error);
  }
}

async function showCrosses(/** @type {string | null} */ selected) {
  try {
    await post("/api/light", selected ? { mode: "crosses", bench: id, selected } : { mode: "crosses", bench: id });
  } catch (error) {
    sayRefused(error);
  }
}

function draw() {
  byId("bench-name").textContent = W.title(bench.name);
  for (const [name, update] of Object.entries(panels)) {
    byId(`panel-${name}`).hidden = bench.way !== name;
    update(bench);
  }
  byId("clear").hidden = countOf(bench.sightings) === 0;
  byId("practice-row").hidden = !bench.practice;
  byId("practice-sight").textContent = W.practice[bench.way];
  drawFit();
  drawPicture();
}

function drawFit() {
  const notes = verdict(bench);
  byId("verdict").replaceChildren(...(notes.length > 0 ? notes : [el("p.note", {}, W.nothingYet)]));
  byId("fine").hidden = !bench.report;
  if (bench.report) byId("fine-words").replaceChildren(...inFull(bench.report));
}

function drawPicture() {
  const showsError = bench.view !== "crosses";
  if (showsError && map === null) {
    byId("picture").replaceChildren(el("p.soft.empty", {}, bench.report ? W.wait : W.noMap));
    return byId("under-picture").replaceChildren();
  }
  byId("picture").replaceChildren(showsError ? heat(map) : crossSketch());
  byId("under-picture").replaceChildren(...(showsError ? [el("p.soft", {}, W.mapWords(map, heightOf(bench.view))), heatLegend()] : [el("p.soft.small", {}, W.sketchWords)]));
}

function crossSketch() {
  const { sightings } = bench;
  const tape = bench.way === "tape";
  return sketch({
    picture: bench.picture,
    crosses: sightings.crosses,
    chosen: tape ? null : bench.chosen,
    known: tape ? sightings.distances.filter((d) => d.length !== "").map((d) => [d.from, d.to]) : [],
    wanted: tape ? (bench.wanted ?? bench.propose) : null,
    placed: new Set(sightings.positions.map((p) => p.cross)),
    choose: (cross) => {
      hands.choose(cross);
      byId("picture").focus({ preventScroll: true });
    },
  });
}

/** In the sketch the arrow keys move the chosen cross, and a letter chooses one. */
function picturesKeys() {
  nudge(byId("picture"), (dx, dy) => bench.way === "marks" && hands.nudge(dx, dy));
  byId("picture").addEventListener("keydown", (event) => {
    if (!event.ctrlKey && !event.metaKey && !event.altKey && /^[a-z]$/i.test(event.key)) hands.choose(event.key.toUpperCase());
  });
}

/** A row of choices; calls back with the value chosen. */
function choices(place, name, entries, chosen, act) {
  const choice = ([value, text]) =>
    el("label.choice", {}, el("input", { type: "radio", name, value, checked: value === chosen, onchange: () => act(value) }), text);
  place.append(...entries.map(choice));
}

function changeGrid(/** @type {string} */ name) {
  const grid = GRIDS.find((g) => W.gridName(g) === name);
  const kept = bench.sightings;
  if (countOf(kept) > 0 && !window.confirm(W.gridConfirm)) return markGrid();
  bench.chosen = null;
  bench.wanted = null;
  saving.put({ unit: kept.unit, grid, positions: [], distances: [], lens: [], mirrored: kept.mirrored });
  showCrosses(null);
}

function markGrid() {
  for (const input of byId("grid").querySelectorAll("input")) input.checked = input.value === W.gridName(bench.sightings.grid);
  for (const input of byId("unit")?.querySelectorAll("input") ?? []) input.checked = input.value === bench.sightings.unit;
}

async function practiceSight() {
  const way = { marks: "marks", tape: "tape", lens: "block" }[bench.way];
  try {
    const answer = await post("/api/practice/sight", { bench: id, way, replace: false });
    take(answer);
    say(W.practiceDone);
  } catch (error) {
    sayRefused(error);
  }
}

function clear() {
  if (!window.confirm(W.clearConfirm)) return;
  bench.wanted = null;
  hands.change({ ...bench.sightings, positions: [], distances: [], lens: [] });
}

watchState((state) => {
  byId("window-words").textContent = state.window.open ? state.window.sentence || W.windowOpen(state.window) : W.windowShut;
  crossesLit = state.light?.mode === "crosses" && state.light?.bench === id;
  const open = el("button.button", { type: "button", onclick: () => openProjectorWindow() || say(words.window.blocked, "wrong") }, W.openWindow);
  const cross = el("button.button", { type: "button", "aria-pressed": String(crossesLit), onclick: () => showCrosses(bench.chosen) }, crossesLit ? W.crossesLit : W.showCrosses);
  byId("window-ways").replaceChildren(...(state.window.open ? [cross] : [open]));
});

async function start() {
  const known = await get(`/api/benches/${id}`);
  Object.assign(bench, { name: known.name, practice: known.practice, picture: known.picture, sightings: known.sightings });
  choices(byId("grid"), "grid", GRIDS.map((g) => [W.gridName(g), W.gridName(g)]), W.gridName(bench.sightings.grid), changeGrid);
  choices(byId("ways"), "way", Object.entries(W.ways), bench.way, (way) => {
    bench.way = way;
    draw();
  });
  choices(byId("unit"), "unit", Object.entries(W.units), bench.sightings.unit, (unit) => hands.change(inUnit(bench.sightings, unit)));
  choices(byId("view"), "view", Object.entries(W.views), bench.view, (view) => {
    bench.view = view;
    map = null;
    mapFresh = false;
    drawPicture();
    wantMap();
  });
  if (bench.sightings.positions.length === 0 && bench.sightings.distances.length > 0) bench.way = "tape";
  for (const input of byId("ways").querySelectorAll("input")) input.checked = input.value === bench.way;
  take(known);
}

picturesKeys();
byId("clear").addEventListener("click", clear);
byId("practice-sight").addEventListener("click", practiceSight);
start().catch(sayRefused);
