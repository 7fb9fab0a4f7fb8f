import { get, post } from "../api.js";
import { importCard } from "../bench/keep.js";
import { ago } from "../dates.js";
import { byId, el, refill } from "../dom.js";
import { showFieldErrors } from "../fields.js";
import { layOut } from "../lay.js";
import { openProjectorWindow } from "../projector-window.js";
import { showCosts } from "../rack/costs.js";
import { say, sayRefused } from "../say.js";
import { stateNow, watchState } from "../state.js";
import { shelfRows } from "../undo-shelf.js";
import { underWay } from "../work/under-way.js";
import { words } from "../words/words.js";

const W = words.home;

/** @param {string} id @param {string} title @param {string[]} sentences @param {HTMLElement[]} ways */
function card(id, title, sentences, ways) {
  const place = byId(id);
  place.querySelector("h2").textContent = title;
  place.querySelector(".words").replaceChildren(...sentences.filter(Boolean).flatMap((s) => [s, " "]));
  refill(place.querySelector(".row"), ...ways);
}

const link = (href, text) => el("a.button", { href }, text);
const lampButton = () =>
  el(
    "button.button",
    { type: "button", onclick: () => openProjectorWindow() || say(words.window.blocked, "wrong") },
    W.lamp.act,
  );

function lampSentences(/** @type {any} */ w) {
  if (!w.open) return [W.lamp.shut];
  return [W.lamp.open(w), w.fits ? "" : w.sentence, w.fullscreen ? "" : W.lamp.small];
}

/** The way to the picture guard, when something is not right; without a window, the way to open one. */
function lampWays(/** @type {any} */ state) {
  if (!state.window.open) return [lampButton()];
  return state.bench && state.guard?.bad > 0 ? [link(`/bench/${state.bench.id}#guard`, W.lamp.look)] : [];
}

function benchSentences(/** @type {any} */ b) {
  if (b === null) return [W.bench.none];
  if (!b.calibrated) return [W.bench.raw(b), b.practice ? W.bench.practice : ""];
  return [W.bench.good(b), W.bench.when(ago(b.calibrated_at)), checkSentence(b), b.practice ? W.bench.practice : ""];
}

function checkSentence(/** @type {any} */ { session, warm }) {
  if (warm?.recheck_due) return W.bench.recheck;
  if (session?.decision === "anew") return W.bench.anew;
  return session?.today ? W.bench.checked(ago(session.at)) : W.bench.notChecked;
}

function workSentences(/** @type {any} */ state) {
  return [state.thing ? W.work.thing(state.thing) : W.work.none, state.layout ? W.work.layout(state.layout) : ""];
}

function workWays(/** @type {any} */ state) {
  if (state.layout) return [link(`/table/${state.layout.id}`, W.work.table)];
  return [state.thing ? link(`/draft/${state.thing.id}`, W.work.open) : link("/draft", W.work.act)];
}

function benchWays(/** @type {any} */ b) {
  if (b?.calibrated)
    return [link(`/bench/${b.id}#session`, W.bench.check), link(`/bench/${b.id}#calibrate`, W.bench.again)];
  if (b !== null) return [link(`/bench/${b.id}`, W.bench.act)];
  return [el("button.button", { type: "button", onclick: showNewBench }, W.bench.make)];
}

let benchAsked = false;

function showNewBench() {
  benchAsked = true;
  byId("shelf").hidden = false;
  byId("new-bench").open = true;
  byId("bench-name").focus();
}

/** What a press on the big button does when it is more than going to a page. */
const ACTIONS = {
  "practice-start": startPractice,
  "add-bench": showNewBench,
  "open-light": () => openProjectorWindow() || say(words.window.blocked, "wrong"),
  lay: layLatest,
};

function showNext(/** @type {any} */ next) {
  byId("next-words").textContent = next.words;
  const button = byId("next");
  const room = next.href?.split("#")[1] ?? next.href?.split("/")[1] ?? "";
  button.textContent = W.next[next.action] ?? W.goTo[room] ?? W.go;
  button.href = next.href ?? "/";
  button.onclick = (event) => {
    const act = ACTIONS[next.action];
    if (act === undefined) return;
    event.preventDefault();
    act();
  };
}

async function layLatest() {
  const { thing, bench } = stateNow() ?? {};
  try {
    location.href = await layOut(thing.id, bench.id, thing.name);
  } catch (error) {
    sayRefused(error);
  }
}

function light(/** @type {string} */ part, /** @type {boolean} */ lit) {
  byId("workshop").querySelector(`[data-part="${part}"]`).dataset.lit = lit ? "yes" : "no";
}

watchState((state) => {
  byId("first").hidden = !state.first_start;
  byId("next-part").hidden = state.first_start;
  byId("shelf").hidden = state.first_start && !benchAsked;
  showNext(state.next);
  const said = [lampSentences(state.window), benchSentences(state.bench), workSentences(state)];
  if (state.window.open && state.guard?.bad > 0) said[0].push(W.lamp.guard(state.guard.bad));
  card("card-lamp", W.lamp.title, said[0], lampWays(state));
  card("card-bench", W.bench.title, said[1], benchWays(state.bench));
  card("card-work", W.work.title, said[2], workWays(state));
  light("lamp", state.window.open);
  light("bench", state.bench !== null && state.bench.calibrated);
  light("work", state.thing !== null);
  light("lines", state.light.mode === "layout" && !state.light.sentence);
  byId("workshop").setAttribute("aria-label", W.scene(...said.map((s) => s.join(" "))));
  suggestPicture(state.window);
});

/** The open window knows the picture size best; what the maker typed stands. */
function suggestPicture(/** @type {any} */ w) {
  if (!w.open) return;
  for (const name of ["width", "height"]) {
    const input = byId(`bench-${name}`);
    if (input.value === "" || input.dataset.suggested === input.value) {
      input.value = w[name];
      input.dataset.suggested = String(w[name]);
    }
  }
}

function shelf(/** @type {string} */ id, /** @type {any[]} */ rows, /** @type {"draft" | "table" | "bench"} */ path) {
  byId(id).replaceChildren(...shelfRows(rows, path, () => fillShelf().catch(sayRefused)));
}

async function fillShelf() {
  const asked = ["things", "layouts", "benches", "bin"].map((name) => get(`/api/${name}`));
  const [things, layouts, benches, bin] = await Promise.all(asked);
  byId("bin-way").hidden = bin.length === 0;
  shelf("things", things, "draft");
  showCosts(byId("things")).catch(sayRefused);
  shelf("layouts", layouts, "table");
  shelf("benches", benches, "bench");
}

async function startPractice() {
  try {
    await post("/api/practice/start");
    location.href = "/practice";
  } catch (error) {
    sayRefused(error);
  }
}

async function makeBench(/** @type {Event} */ event) {
  event.preventDefault();
  const form = byId("bench-form");
  const typed = Object.fromEntries(new FormData(form));
  try {
    const bench = await post("/api/benches", {
      name: typed.name,
      width: Number(typed.width),
      height: Number(typed.height),
    });
    location.href = `/bench/${bench.id}`;
  } catch (error) {
    if (!showFieldErrors(form, error)) sayRefused(error);
  }
}

byId("start-practice").addEventListener("click", startPractice);
byId("start-practice-again").addEventListener("click", startPractice);
byId("import").append(importCard());
byId("bench-form").addEventListener("submit", makeBench);
fillShelf().catch(sayRefused);
underWay();
