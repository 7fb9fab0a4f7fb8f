import { get, post, put } from "../api.js";
import { advicePanel } from "../bench/advice.js";
import { countOf, inUnit, nudged } from "../bench/document.js";
import { inFull, verdict } from "../bench/fit.js";
import { guardSection } from "../bench/guard.js";
import { historySection } from "../bench/history.js";
import { nothingKnown, takeOver } from "../bench/hold.js";
import { keepSection } from "../bench/keep.js";
import { lensPanel } from "../bench/lens.js";
import { lensCost } from "../bench/lens-cost.js";
import { marksPanel } from "../bench/marks.js";
import { picturePanel } from "../bench/picture.js";
import { sections } from "../bench/sections.js";
import { sessionSection } from "../bench/session.js";
import { sureSection } from "../bench/sure.js";
import { tapePanel } from "../bench/tape.js";
import { choices, mark } from "../choices.js";
import { ago } from "../dates.js";
import { byId, el, refill } from "../dom.js";
import { openProjectorWindow } from "../projector-window.js";
import { saver } from "../saver.js";
import { say, sayRefused } from "../say.js";
import { stateNow, watchState, whenFound } from "../state.js";
import { beforeTurn, turned } from "../undo.js";
import { words } from "../words/words.js";

const W = words.bench;
const id = Number(byId("bench").dataset.bench);
/** @type {[number, number][]} */
const GRIDS = [
  [5, 4],
  [3, 3],
  [2, 2],
];
const USUAL_LEATHER = 4;

/** mm: of the layout in use, once somebody has asked. @type {number | null} */
let leather = null;

/** Everything the page knows; panels read it, only the hands below change it. */
const bench = nothingKnown();

const saving = saver((sightings) => put(`/api/benches/${id}/sightings`, sightings), {
  waiting: () => (byId("saved").textContent = W.saving),
  saved: (answer) => {
    byId("saved").textContent = W.saved;
    unsent = false;
    take(answer);
    renew();
  },
  refused: (error) => {
    byId("saved").textContent = W.notSaved;
    unsent = true;
    sayRefused(error);
  },
});
/** Sightings that the server has not got, because it did not answer. */
let unsent = false;
whenFound(() => unsent && saving.put(bench.sightings));

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

/** What a section may do. */
const room = {
  id,
  bench: () => bench,
  changed: take,
  renew,
  leather: () => leather ?? USUAL_LEATHER,
  flag: (on) => index.flag("guard", on),
  clear: () => hands.change({ ...bench.sightings, positions: [], distances: [], lens: [] }),
};

const panels = { marks: marksPanel(byId("panel-marks"), hands), tape: tapePanel(byId("panel-tape"), hands) };
const lens = lensPanel(byId("panel-lens"), hands);
const picture = picturePanel(bench, hands);
const advice = advicePanel(byId("advice"), room);
const session = sessionSection(byId("part-session"), room);
const cost = lensCost(byId("lens-cost"), room);
const sure = sureSection(byId("part-sure"), room);
const history = historySection(byId("part-history"), id);
const guard = guardSection(byId("part-guard"), room);
const keep = keepSection(byId("part-keep"), room);

/** What each section does when it comes into sight, and when something has changed while it is. */
const refresh = {
  session: session.update,
  calibrate: advice.update,
  lens: () => withLeather(cost.update),
  sure: () => withLeather(sure.update),
  history: history.draw,
  guard: () => guard.update(stateNow()),
  keep: keep.update,
};

const index = sections(
  byId("index"),
  Object.fromEntries(Object.keys(refresh).map((name) => [name, byId(`part-${name}`)])),
  () => draw(),
);

/** Take over what the server says; what the maker has typed since stays. */
function take(/** @type {any} */ answer) {
  if (takeOver(bench, answer)) for (const part of [advice, cost, sure]) part.stale();
  draw();
}

/** Ask what else a new calibration has changed: the marks, the last check, the error. */
async function renew() {
  try {
    const known = await get(`/api/benches/${id}`);
    // Sightings on their way to the server are newer than what it knows.
    delete known.sightings;
    take(known);
  } catch (error) {
    sayRefused(error);
  }
}

beforeTurn(() => saving.settled());
turned(async () => {
  await saving.settled();
  take(await get(`/api/benches/${id}`));
  mark(byId("grid"), W.gridName(bench.sightings.grid));
  mark(byId("unit"), bench.sightings.unit);
});

/** What is asked for leather is asked first for that of the layout in use. */
async function withLeather(/** @type {() => void} */ act) {
  const state = stateNow();
  if (state === null) return;
  const { layout } = state;
  if (leather === null && layout) {
    const found = await get(`/api/layouts/${layout.id}`).catch(() => null);
    leather = found === null ? USUAL_LEATHER : Math.round(found.leather_mm * 10) / 10;
  }
  act();
}

async function showCrosses(/** @type {string | null} */ selected) {
  try {
    await post("/api/light", selected ? { mode: "crosses", bench: id, selected } : { mode: "crosses", bench: id });
  } catch (error) {
    sayRefused(error);
  }
}

function draw() {
  byId("bench-name").textContent = bench.name || W.bench;
  byId("standing").replaceChildren(...standing());
  for (const [name, update] of Object.entries(panels)) {
    byId(`panel-${name}`).hidden = bench.way !== name;
    update(bench);
  }
  lens(bench);
  byId("clear").hidden = countOf(bench.sightings) === 0;
  byId("stale").textContent = bench.stale ?? "";
  for (const row of document.querySelectorAll(".practice-row")) row.toggleAttribute("hidden", !bench.practice);
  const [ways, block] = document.querySelectorAll(".practice-sight");
  ways.textContent = W.practice[bench.way];
  block.textContent = W.practice.lens;
  drawFit();
  picture.draw();
  refresh[index.now()]?.();
}

/** Where the bench stands, in two short sentences. */
function standing() {
  const S = words.standing;
  if (!bench.calibrated || !bench.error_mm) return [S.raw];
  const last = bench.session;
  const check = !last ? S.never : last.decision === "anew" ? S.anew : S.checked(ago(last.at));
  return [`${S.fit(bench.error_mm, ago(bench.calibrated_at ?? ""))} ${check}`];
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

async function practiceSight(/** @type {"marks" | "tape" | "block"} */ way) {
  try {
    take(await post("/api/practice/sight", { bench: id, way, replace: false }));
    say(W.practiceDone);
    renew();
  } catch (error) {
    sayRefused(error);
  }
}

function clear() {
  if (!window.confirm(W.clearConfirm)) return;
  bench.wanted = null;
  room.clear();
}

/** On the practice bench no window is needed: its table shows the crosses. */
function drawWindow(/** @type {any} */ state) {
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
}

watchState((state) => {
  drawWindow(state);
  if (state.bench?.id === id && state.bench.warm) bench.warm = state.bench.warm;
  if (state.bench?.id === id) index.flag("guard", (state.guard?.bad ?? 0) > 0);
  const waiting = leather === null ? ["lens", "sure"] : [];
  if (["session", "guard", ...waiting].includes(index.now())) refresh[index.now()]();
});

async function start() {
  const known = await get(`/api/benches/${id}`);
  takeOver(bench, known);
  const { sightings } = bench;
  const grids = GRIDS.map((g) => /** @type {[string, string]} */ ([W.gridName(g), W.gridName(g)]));
  choices(byId("grid"), "grid", grids, W.gridName(sightings.grid), changeGrid);
  if (sightings.positions.length === 0 && sightings.distances.length > 0) bench.way = "tape";
  choices(byId("ways"), "way", Object.entries(W.ways), bench.way, (way) => {
    bench.way = way;
    draw();
  });
  choices(byId("unit"), "unit", Object.entries(W.units), sightings.unit, (unit) =>
    hands.change(inUnit(bench.sightings, unit)),
  );
  index.begin(bench.calibrated ? "session" : "calibrate");
  const state = stateNow();
  if (state !== null) drawWindow(state);
}

byId("detect-words").textContent = words.advice.detect;
byId("detect").addEventListener("change", (event) => {
  bench.detect = event.target.checked;
  draw();
});
byId("clear").addEventListener("click", clear);
const [sightHere, sightBlock] = document.querySelectorAll(".practice-sight");
sightHere.addEventListener("click", () => practiceSight(bench.way === "tape" ? "tape" : "marks"));
sightBlock.addEventListener("click", () => practiceSight("block"));
start().catch(sayRefused);
