import { get, post, Refused } from "../api.js";
import { byId } from "../dom.js";
import { sayRefused } from "../say.js";
import { stateNow, watchState } from "../state.js";
import { blackoutRow } from "../table/blackout-row.js";
import { drawingOn } from "../work/drawing.js";
import { morePanel } from "../work/more.js";
import { pacePanel } from "../work/pace.js";
import { onePress, pressKeys } from "../work/press.js";
import { workWords } from "../words/work.js";

const W = workWords;
const id = Number(byId("work").dataset.job);
/** @type {any} the job as the server told it last */
let job = null;
const view = drawingOn(byId("view"), byId("views"));
const pace = pacePanel(id, take);
const more = morePanel(id, {
  take,
  jump: (step) => ask("go", { step, revision: job.revision }),
  end: () => ask("end", { revision: job.revision }),
});

async function ask(/** @type {string} */ what, /** @type {object} */ content = {}) {
  try {
    take(await post(`/api/jobs/${id}/${what}`, content));
  } catch (error) {
    sayRefused(error);
  }
}

const press = onePress((by, revision) => ask("go", { by, revision }));
const go = (/** @type {number} */ by) => ready() && press(by, job.revision);
const ready = () => job !== null && job.gone === null && (job.check?.passed ?? false);

/** Take over what the server says, unless something newer is on the page already. */
function take(/** @type {any} */ next) {
  if (job !== null && next.revision < job.revision) return;
  job = next;
  draw();
  look();
}

let looking = false;
/** Fetch what the light draws now; what comes meanwhile is fetched once more, and no more than that. */
async function look() {
  if (looking) return;
  looking = true;
  const { revision } = job;
  try {
    if (job.gone === null) view.show(await get(`/api/jobs/${id}/drawing`), W.page.drawing(job));
  } catch (error) {
    sayRefused(error);
  }
  looking = false;
  if (job.revision !== revision) look();
}

function draw() {
  document.title = `${job.name} · Hidelight`;
  byId("job-name").textContent = job.name;
  byId("progress").value = job.progress;
  byId("progress").setAttribute("aria-label", W.page.progress(job));
  byId("work").dataset.revision = String(job.revision);
  if (job.gone !== null) return drawGone();
  byId("job-on").textContent = W.page.on(job);
  drawStep();
  drawCheck();
  byId("card-words").textContent = job.card.shown ? W.page.card(job.card) : job.card.sentence;
  byId("back").disabled = !ready() || (!job.done && job.progress === 0);
  byId("next").disabled = !ready() || job.done;
  pace(job);
  more(job);
  drawLight();
}

function drawGone() {
  byId("step-title").textContent = job.name;
  byId("step-words").textContent = job.gone;
  for (const part of ["pace-part", "light-part"]) byId(part).hidden = true;
}

function drawStep() {
  const { step, strike, done } = job;
  byId("where").textContent = done
    ? ""
    : [W.page.copy(job), W.page.count(step), strike && W.page.strike(strike)].filter(Boolean).join(" · ");
  byId("step-title").textContent = done ? W.page.done : step.title;
  byId("strike-words").textContent = strike && !done ? `${W.page.seam(strike)} ${strike.words}` : "";
  byId("step-words").textContent = done ? W.page.doneWords(job) : strike && strike.number > 1 ? "" : step.words;
  byId("step-lies").textContent = done ? "" : W.page.lies(step);
  byId("step-tools").textContent = done || step.tools.length === 0 ? "" : W.page.tools(step.tools);
  byId("step-caution").textContent = done ? "" : step.caution;
  byId("step-waiting").textContent = done ? "" : step.waits.join(" ");
  byId("step-next").textContent = done ? W.page.doneNext : job.next;
}

function drawCheck() {
  const asks = !job.check.passed && !job.done;
  byId("check-part").hidden = !asks;
  byId("step-part").hidden = asks;
  byId("check-sentence").textContent = job.check.sentence;
  byId("check-go").href = job.check.href;
  byId("unchecked").textContent = job.check.waived && !job.check.good ? job.check.sentence : "";
}

function drawLight() {
  const state = stateNow();
  if (state === null || job === null || job.gone !== null) return;
  const { light } = state;
  const lit = light.mode === "layout" && light.job === id;
  const button = byId("light-switch");
  button.textContent = lit ? W.light.dark : W.light.show;
  button.disabled = !job.check.passed;
  byId("light-words").textContent = lightWords(state, lit);
}

function lightWords(/** @type {any} */ state, /** @type {boolean} */ lit) {
  const { light, window: seen } = state;
  if (!lit) return light.mode === "dark" ? W.light.off : W.light.other;
  if (light.blackout) return W.light.black;
  if (light.sentence) return light.sentence;
  if (job.bench.practice) return W.light.on;
  return seen.open ? (seen.fits ? W.light.on : seen.sentence) : W.light.shut;
}

async function swapLight() {
  const lit = stateNow()?.light?.job === id;
  try {
    if (lit) await post("/api/light", { mode: "dark" });
    else take(await post(`/api/jobs/${id}/light`));
  } catch (error) {
    sayRefused(error);
  }
}

/** A dark light is lit when the maker comes to the work, if the bench was checked. */
function lightOnce() {
  if (stateNow()?.light?.mode === "dark" && ready() && !job.done) ask("light");
}

function fixed() {
  byId("next").textContent = W.page.next;
  byId("back").textContent = W.page.back;
  byId("check-title").textContent = W.check.title;
  byId("check-words").textContent = W.check.words;
  byId("check-go").textContent = W.check.go;
  byId("check-without").textContent = W.check.without;
  byId("next").addEventListener("click", () => go(1));
  byId("back").addEventListener("click", () => go(-1));
  byId("light-switch").addEventListener("click", swapLight);
  byId("check-without").addEventListener("click", async () => {
    await ask("unchecked");
    lightOnce();
    byId("next").focus();
  });
  pressKeys(go);
  blackoutRow(byId("blackout-part"));
}

async function refetch() {
  take(await get(`/api/jobs/${id}`));
}

/** What else than the job itself changes what the page shows: the light, its bench, what was saved. */
let around = "";

/** Does the state tell of something that the page does not show yet? */
function news(/** @type {any} */ state) {
  const now = JSON.stringify([state.light, state.bench, state.history, state.layout]);
  const mine = state.job?.id === id ? state.job : null;
  const fresh = mine !== null && mine.revision === job.revision && mine.running === job.running;
  const same = now === around;
  around = now;
  return !(same && fresh);
}

async function start() {
  fixed();
  await refetch();
  let first = true;
  watchState((state) => {
    if (first) lightOnce();
    first = false;
    drawLight();
    if (news(state)) refetch().catch(sayRefused);
  });
}

start().catch((error) => (error instanceof Refused ? sayRefused(error) : Promise.reject(error)));
