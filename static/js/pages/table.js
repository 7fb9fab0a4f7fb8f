import { get, post, put, Refused } from "../api.js";
import { choices, mark } from "../choices.js";
import { byId, el, eachFrame, refill } from "../dom.js";
import { showFieldErrors } from "../fields.js";
import { pageTurner } from "../gestures/page-turner.js";
import { saver } from "../saver.js";
import { sayRefused } from "../say.js";
import { stateNow, watchState } from "../state.js";
import { alignPanel } from "../table/align.js";
import { kindsPanel } from "../table/kinds.js";
import { about, middleOf, tidy } from "../table/lie.js";
import { movePiece } from "../table/move-piece.js";
import { blackoutRow } from "../table/blackout-row.js";
import { numbersPanel } from "../table/numbers.js";
import { seeingPanel } from "../table/seeing.js";
import { spansPanel } from "../table/spans.js";
import { stageOn } from "../table/stage.js";
import { stepsPanel } from "../table/steps.js";
import { strikesPanel } from "../table/strikes.js";
import { toleranceRows } from "../table/tolerance.js";
import { turnPiece } from "../table/turn-piece.js";
import { beforeTurn, turned } from "../undo.js";
import { typed } from "../lengths.js";
import { words } from "../words/words.js";
import { workWords } from "../words/work.js";

const W = words.table;
const id = Number(byId("table").dataset.layout);
/** @type {any} the layout as the page shows it; the server's answer after each save */
let layout = null;
let chosen = "";
let drags = 0;

const stage = stageOn(byId("stage"));

/** What moves here moves in the light at once: one question on its way at a time, the latest place wins. */
const moving = saver((move) => post("/api/light/move", { layout: id, ...move }), { refused: sayRefused });
const moveInLight = eachFrame((piece, lie) => moving.put({ piece, ...lie }));

const saving = saver((content) => put(`/api/layouts/${id}`, content), {
  waiting: () => (byId("saved").textContent = W.saving),
  saved: (answer) => {
    byId("saved").textContent = W.saved;
    showFieldErrors(byId("table"), null);
    if (drags === 0) take(answer);
  },
  refused: (error) => {
    byId("saved").textContent = W.notSaved;
    if (!showFieldErrors(byId("table"), error)) sayRefused(error);
  },
});

function save() {
  const { leather, step, show, placements } = layout;
  saving.put({ leather, step, show, placements });
}

const hands = {
  chosen: () => chosen,
  piece: (name) => layout.pieces.find((p) => p.name === name),
  lie: (name) => layout?.placements[name] ?? { x: 0, y: 0, turn: 0, mirror: false },
  choose(name) {
    chosen = name;
    stage.choose(name);
    draw();
  },
  moved(name, lie) {
    drags = 1;
    layout.placements = { ...layout.placements, [name]: tidy(lie) };
    stage.moved();
    numbers();
    moveInLight(name, layout.placements[name]);
  },
  done() {
    drags = 0;
    save();
  },
  turn(by) {
    const lie = hands.lie(chosen);
    hands.moved(chosen, about(lie, middleOf(hands.piece(chosen)), { turn: lie.turn + by }));
    hands.done();
  },
};

/** The panels; they are built when there is a layout for them to show, so that no hand is faster than they are. */
let numbers = () => {};
let steps = null;
let kinds = (_) => {};

function panels() {
  numbers = numbersPanel(byId("numbers"), hands);
  steps = stepsPanel(goTo);
  kinds = kindsPanel(byId("kinds"), (show) => {
    layout.show = show;
    save();
    draw();
  });
  byId("leather").addEventListener("change", (event) => {
    layout.leather = typed(event.target.value.trim());
    save();
  });
  byId("leather").disabled = false;
  choices(byId("views"), "view", Object.entries(W.views), "all", stage.look);
  keys();
}

function goTo(/** @type {string | null} */ step) {
  layout.step = step;
  hands.choose(stepNow()?.piece ?? chosen);
  save();
}

function take(answer) {
  layout = { ...answer, placements: { ...answer.placements } };
  if (!layout.pieces.some((p) => p.name === chosen)) chosen = stepNow()?.piece ?? layout.pieces[0].name;
  draw();
  strikes.take(layout.step).catch(sayRefused);
}

const stepNow = () => layout.steps.find((s) => s.name === layout.step) ?? null;

function draw() {
  layout.lit = stepNow()?.piece ?? null;
  byId("layout-name").textContent = layout.name;
  byId("on-paper").setAttribute("href", `/paper/${layout.pattern}`);
  byId("on-paper").hidden = false;
  byId("to-sheet").setAttribute("href", `/sheet/${layout.pattern}`);
  byId("to-sheet").hidden = false;
  const { bench } = layout;
  byId("layout-bench").replaceChildren(el("a", { href: `/bench/${bench.id}` }, W.onBench(bench.name)));
  stage.show(layout);
  stage.choose(chosen);
  numbers();
  steps.update(layout);
  kinds(layout.show);
  const leather = byId("leather");
  if (document.activeElement !== leather) leather.value = layout.leather;
  mark(byId("pieces"), chosen);
  byId("sure").textContent = layout.errors[chosen] === null ? "" : W.sure(layout.errors[chosen]);
  byId("tolerance").replaceChildren(...toleranceRows(layout));
  byId("outside").textContent = layout.outside[chosen] > 0 ? W.outside(layout.outside[chosen]) : "";
  byId("warning").textContent = layout.warning ?? "";
  drawLight();
}

function pieceChoices() {
  const entries = layout.pieces.map((piece) => [piece.name, piece.title]);
  choices(byId("pieces"), "piece", entries, chosen, hands.choose);
}

async function showInLight(/** @type {boolean} */ on) {
  try {
    await post("/api/light", on ? { mode: "layout", layout: id } : { mode: "dark" });
    refusal = "";
  } catch (error) {
    sayRefused(error);
    refusal = error instanceof Refused ? error.sentence : "";
  }
  drawLight();
}
/** Why the light would not show the layout, until it is asked again. */
let refusal = "";

const isLit = () => stateNow()?.light?.mode === "layout" && stateNow()?.light?.layout === id && !stateNow()?.light?.job;
const strikes = strikesPanel(id, isLit);

function drawLight() {
  const state = stateNow();
  if (state === null || layout === null) return;
  const { bench } = layout;
  const on = isLit();
  const led = state.light.layout === id && state.light.job ? state.job : null;
  const lit = on && state.light.sentence ? state.light.sentence : W.light(state.window, on, bench);
  const sentence = led ? workWords.table.led(led) : lit;
  byId("light-words").textContent = refusal || sentence;
  const ways = [
    el(
      on ? "button.button" : "button.button.main",
      { type: "button", onclick: () => showInLight(!on) },
      on ? W.dark : W.lightIt,
    ),
    led && el("a.button", { href: `/work/${led.id}` }, workWords.table.toJob),
    !bench.calibrated && el("a.button", { href: `/bench/${bench.id}` }, W.calibrate),
    bench.practice && el("a.button", { href: "/practice" }, W.practice),
  ];
  refill(byId("light-ways"), ...ways.filter(Boolean));
}

function keys() {
  stage.root.addEventListener("focusin", (event) => {
    const piece = /** @type {Element} */ (event.target).closest(".piece")?.getAttribute("data-piece");
    if (piece && piece !== chosen) hands.choose(piece);
  });
  stage.root.addEventListener("keydown", (event) => {
    if (event.key.toLowerCase() !== "m" || event.ctrlKey || event.metaKey) return;
    const lie = hands.lie(chosen);
    hands.moved(chosen, about(lie, middleOf(hands.piece(chosen)), { mirror: !lie.mirror }));
    hands.done();
  });
  pageTurner(steps);
}

beforeTurn(() => saving.settled());
turned(async () => {
  await saving.settled();
  if (drags === 0) take(await get(`/api/layouts/${id}`));
});

async function start() {
  const found = await get(`/api/layouts/${id}`);
  panels();
  take(found);
  pieceChoices();
  const reload = async () => {
    const found = await get(`/api/layouts/${id}`);
    if (drags === 0) take(found);
  };
  alignPanel(byId("align"), { id, root: stage.root, layout: () => layout, chosen: () => chosen, taken: take, reload });
  spansPanel(byId("spans"), { id, root: stage.root, lie: hands.lie, reload });
  blackoutRow(byId("blackout"));
  seeingPanel(byId("seeing"), id);
  movePiece(stage.root, hands);
  turnPiece(stage.root, stage.handle, hands);
  const once = () => {
    if (stateNow()?.light?.mode === "dark" && layout.bench.calibrated) showInLight(true);
  };
  if (stateNow() !== null) once();
  else firstState = once;
}

/** @type {(() => void) | null} a dark light is lit when the maker comes to the table */
let firstState = null;
watchState(() => {
  firstState?.();
  firstState = null;
  drawLight();
  strikes.draw();
});

byId("guided").textContent = workWords.table.guided;
byId("hint").textContent = W.hint;
document.querySelector(".keys-help").textContent = W.keys;
start().catch((error) => (error instanceof Refused ? sayRefused(error) : Promise.reject(error)));
