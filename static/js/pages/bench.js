import { get, post, put } from "../api.js";
import { countOf, inUnit, nudged } from "../bench/document.js";
import { inFull, verdict } from "../bench/fit.js";
import { lensPanel } from "../bench/lens.js";
import { marksPanel } from "../bench/marks.js";
import { picturePanel } from "../bench/picture.js";
import { tapePanel } from "../bench/tape.js";
import { choices, mark } from "../choices.js";
import { byId, el, refill } from "../dom.js";
import { openProjectorWindow } from "../projector-window.js";
import { saver } from "../saver.js";
import { say, sayRefused } from "../say.js";
import { watchState } from "../state.js";
import { words } from "../words.js";

const W = words.bench;
const id = Number(byId("bench").dataset.bench);
/** @type {[number, number][]} */
const GRIDS = [
  [5, 4],
  [3, 3],
  [2, 2],
];

/** Everything the page knows; panels read it, only the hands below change it. */
const bench = {
  name: "",
  practice: false,
  /** @type {[number, number]} */ picture: [1920, 1080],
  /** @type {import("../bench/document.js").Sightings} */ sightings: {
    unit: "mm",
    grid: [5, 4],
    crosses: {},
    positions: [],
    distances: [],
    lens: [],
    mirrored: null,
  },
  report: null,
  refusal: null,
  propose: null,
  /** @type {string | null} */ chosen: null,
  /** @type {[string, string] | null} */ wanted: null,
  way: "marks",
  view: "crosses",
};

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

const picture = picturePanel(id, bench, hands);

/** Take over what the server says; what the maker has typed since stays. */
function take(answer) {
  bench.report = answer.report;
  bench.refusal = answer.refusal;
  bench.propose = answer.propose;
  if (answer.sightings) bench.sightings = answer.sightings;
  picture.stale();
  draw();
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
  picture.draw();
}

function drawFit() {
  const notes = verdict(bench);
  byId("verdict").replaceChildren(...(notes.length > 0 ? notes : [el("p.note", {}, W.nothingYet)]));
  byId("fine").hidden = !bench.report;
  if (bench.report) byId("fine-words").replaceChildren(...inFull(bench.report));
}

function changeGrid(/** @type {string} */ name) {
  const grid = GRIDS.find((g) => W.gridName(g) === name);
  const kept = bench.sightings;
  if (countOf(kept) > 0 && !window.confirm(W.gridConfirm)) return mark(byId("grid"), W.gridName(kept.grid));
  bench.chosen = null;
  bench.wanted = null;
  saving.put({ unit: kept.unit, grid, positions: [], distances: [], lens: [], mirrored: kept.mirrored });
  showCrosses(null);
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

/** On the practice bench no window is needed: its table shows the crosses. */
watchState((state) => {
  const { window: w, light } = state;
  const lit = light.mode === "crosses" && light.bench === id;
  const open = () => openProjectorWindow() || say(words.window.blocked, "wrong");
  byId("window-words").textContent = w.open
    ? w.sentence || W.windowOpen(w)
    : bench.practice
      ? W.practiceWindow
      : W.windowShut;
  const ways = [
    (w.open || bench.practice) &&
      el(
        "button.button",
        { type: "button", "aria-pressed": String(lit), onclick: () => showCrosses(bench.chosen) },
        lit ? W.crossesLit : W.showCrosses,
      ),
    !w.open && !bench.practice && el("button.button", { type: "button", onclick: open }, W.openWindow),
    bench.practice && el("a.button", { href: "/practice" }, W.practiceTable),
  ];
  refill(byId("window-ways"), ...ways.filter(Boolean));
});

async function start() {
  const known = await get(`/api/benches/${id}`);
  Object.assign(bench, {
    name: known.name,
    practice: known.practice,
    picture: known.picture,
    sightings: known.sightings,
  });
  choices(
    byId("grid"),
    "grid",
    GRIDS.map((g) => [W.gridName(g), W.gridName(g)]),
    W.gridName(bench.sightings.grid),
    changeGrid,
  );
  choices(byId("ways"), "way", Object.entries(W.ways), bench.way, (way) => {
    bench.way = way;
    draw();
  });
  choices(byId("unit"), "unit", Object.entries(W.units), bench.sightings.unit, (unit) =>
    hands.change(inUnit(bench.sightings, unit)),
  );
  choices(byId("view"), "view", Object.entries(W.views), bench.view, (view) => {
    bench.view = view;
    picture.stale();
    picture.draw();
  });
  if (bench.sightings.positions.length === 0 && bench.sightings.distances.length > 0) bench.way = "tape";
  mark(byId("ways"), bench.way);
  take(known);
}

byId("clear").addEventListener("click", clear);
byId("practice-sight").addEventListener("click", practiceSight);
start().catch(sayRefused);
