import { words as W } from "./words-phone.js";

/** A phone at the bench: the step in words, on and back, a nudge, and black. It asks once a second what is so. */

const STEPS = [0.1, 0.5, 2];
const DEGREES_A_MM = 0.5;
const EVERY_MS = 1000;
const OLD_MS = 3500;
let step = 0.5;
let card = null;
let heard = performance.now();
let busy = false;

const byId = (id) => document.getElementById(id);

async function ask(path, body) {
  const asked = body === undefined ? {} : { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) };
  const answer = await fetch(path, { ...asked, cache: "no-store", signal: AbortSignal.timeout(3000) });
  if (answer.status === 404) throw new Error("dropped");
  const content = await answer.json();
  if (answer.ok) return content;
  byId("said").textContent = content.error.sentence;
  return null;
}

async function press(path, body) {
  if (busy) return;
  busy = true;
  byId("said").textContent = "";
  try {
    const answer = await ask(path, body);
    if (answer !== null) show(answer);
    navigator.vibrate?.(answer === null ? [60, 60, 60] : 25);
  } catch (error) {
    lose(error);
  } finally {
    busy = false;
  }
}

async function look() {
  try {
    const answer = await ask("/card");
    if (answer !== null && !busy) show(answer);
  } catch (error) {
    lose(error);
  }
  setTimeout(look, EVERY_MS);
}

function lose(error) {
  const dropped = error instanceof Error && error.message === "dropped";
  if (!dropped && performance.now() - heard < OLD_MS) return;
  byId("lost").textContent = dropped ? W.dropped : W.lost;
  byId("lost").hidden = false;
  document.body.classList.add("old");
  enable(false);
}

function show(answer) {
  heard = performance.now();
  card = answer;
  byId("lost").hidden = true;
  document.body.classList.remove("old");
  const job = answer.job;
  tell("where", job && [job.name, job.where].filter(Boolean).join(" · "));
  tell("title", job ? (job.done ? W.done : job.title) : "");
  tell("words", job ? (job.gone ?? job.words) : answer.words);
  tell("strike", job?.strike);
  tell("caution", job?.caution);
  tell("next", job?.next);
  const share = Math.round((job?.progress ?? 0) * 100);
  byId("bar").setAttribute("aria-valuenow", String(share));
  byId("bar").firstElementChild.style.width = `${share}%`;
  byId("black").setAttribute("aria-pressed", String(answer.black));
  byId("black").textContent = answer.black ? W.light : W.black;
  enable(true);
}

function tell(id, text) {
  const element = byId(id);
  if (element.textContent !== (text ?? "")) element.textContent = text ?? "";
  element.hidden = !text;
}

function enable(fine) {
  const work = fine && Boolean(card?.job) && !card.job.gone;
  byId("on").disabled = !work || card.job.done;
  byId("back").disabled = !work;
  byId("black").disabled = !fine;
  for (const button of byId("pad").querySelectorAll("button")) button.disabled = !work;
}

const go = (by) => card?.job && press("/go", { by, revision: card.job.revision });
const NUDGES = {
  up: () => ({ dy: -step }),
  down: () => ({ dy: step }),
  left: () => ({ dx: -step }),
  right: () => ({ dx: step }),
  "turn-left": () => ({ turn: -step * DEGREES_A_MM }),
  "turn-right": () => ({ turn: step * DEGREES_A_MM }),
};
const NAMES = { up: W.up, down: W.down, left: W.left, right: W.right, "turn-left": W.turnLeft, "turn-right": W.turnRight };

function chooseStep(mm) {
  const button = document.createElement("button");
  button.type = "button";
  button.textContent = W.step(mm);
  button.setAttribute("role", "radio");
  button.setAttribute("aria-checked", String(mm === step));
  button.addEventListener("click", () => {
    step = mm;
    for (const other of byId("steps").children) other.setAttribute("aria-checked", String(other === button));
  });
  return button;
}

byId("back").textContent = W.back;
byId("on").textContent = W.on;
byId("bar").setAttribute("aria-label", W.progress);
byId("more").firstElementChild.textContent = W.more;
byId("pad").setAttribute("aria-label", W.pad);
byId("steps").setAttribute("aria-label", W.steps);
byId("steps").append(...STEPS.map(chooseStep));
byId("on").addEventListener("click", () => go(1));
byId("back").addEventListener("click", () => go(-1));
byId("black").addEventListener("click", () => press("/black", { on: !card?.black }));
for (const [id, nudge] of Object.entries(NUDGES)) {
  byId(id).setAttribute("aria-label", NAMES[id]);
  byId(id).addEventListener("click", () => press("/nudge", nudge()));
}
enable(false);
look();
