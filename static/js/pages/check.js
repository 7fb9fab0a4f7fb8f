import { post } from "../api.js";
import { checkFigure, NAMES } from "../check/figure.js";
import { verdictOf } from "../check/verdict.js";
import { choices } from "../choices.js";
import { byId, el, refill } from "../dom.js";
import { openProjectorWindow } from "../projector-window.js";
import { say, sayRefused } from "../say.js";
import { stateNow, watchState } from "../state.js";
import { decimals, figure as lengthFigure, fromTyped, shortLength, typed, unit } from "../lengths.js";
import { words } from "../words/words.js";

const W = words.check;
/** Sides of the square, mm: round figures in the maker's unit. */
const SIZES = unit === "in" ? [4, 6, 8, 12, 16, 20].map((side) => Number((side * 25.4).toFixed(1))) : [100, 150, 200, 300, 400, 500];
let size = SIZES[3];
const figure = checkFigure();
byId("figure").append(figure.element);

const number = (/** @type {string} */ text) => Number(text.trim().replace(",", "."));
const height = () => fromTyped(number(byId("height").value));

/** Is the height a number? If not, its field says so. */
function heightFine() {
  const fine = byId("height").value.trim() !== "" && Number.isFinite(height());
  byId("height-wrong").textContent = fine ? "" : W.noHeight;
  byId("height").toggleAttribute("aria-invalid", !fine);
  return fine;
}

function readingFields() {
  const input = (name) =>
    el("input", {
      id: `read-${name}`,
      name,
      inputmode: "decimal",
      autocomplete: "off",
      onfocus: () => figure.light(name),
      onblur: () => figure.light(null),
    });
  const field = (name) => el("div.field", {}, el("label", { for: `read-${name}` }, W.lines[name]), input(name));
  byId("readings").append(...NAMES.map(field));
}

/** What is filled in; a reading that is no number is pointed at and stops the judging. */
function readings() {
  const found = {};
  for (const input of byId("readings").querySelectorAll("input")) {
    if (input.value.trim() === "") continue;
    const value = unit === "in" ? typed(input.value) : number(input.value);
    if (typeof value === "number" && !Number.isFinite(value)) {
      input.setAttribute("aria-invalid", "true");
      input.focus();
      byId("readings-wrong").textContent = W.notANumber(W.lines[input.name]);
      return null;
    }
    input.removeAttribute("aria-invalid");
    found[input.name] = value;
  }
  byId("readings-wrong").textContent = "";
  return found;
}

async function judge() {
  const bench = stateNow()?.bench;
  const read = readings();
  byId("verdict").replaceChildren();
  if (read === null || !heightFine()) return undefined;
  if (!bench) return say(W.noBench, "wrong");
  try {
    showVerdict(await post("/api/check", { bench: bench.id, size, height: height(), readings: read }));
  } catch (error) {
    refused(error);
  }
  return undefined;
}

/** What was judged no longer stands once a reading or the height has changed. */
function unjudged() {
  byId("verdict").replaceChildren();
  byId("readings-wrong").textContent = "";
  byId("height-wrong").textContent = "";
  byId("height").removeAttribute("aria-invalid");
}

function refused(/** @type {any} */ error) {
  if (error.field === "height") byId("height-wrong").textContent = error.sentence;
  else if (error.field?.startsWith("readings")) byId("readings-wrong").textContent = error.sentence;
  else sayRefused(error);
}

function showVerdict(answer) {
  byId("verdict").replaceChildren(verdictOf(answer));
}

/** Put the figure in the light. The figure must be there for any reading to mean something. */
async function light(/** @type {boolean} */ on) {
  const bench = stateNow()?.bench;
  if (!bench) return say(W.noBench, "wrong");
  if (on && !heightFine()) return undefined;
  try {
    await post("/api/light", on ? { mode: "check", bench: bench.id, size, height: height() } : { mode: "dark" });
  } catch (error) {
    refused(error);
  }
  return undefined;
}

async function practiceRead() {
  await light(true);
  try {
    const answer = await post("/api/practice/read", { size });
    const read = answer.readings ?? answer;
    for (const input of byId("readings").querySelectorAll("input"))
      input.value = read[input.name] === undefined ? "" : decimals(read[input.name]);
    await judge();
  } catch (error) {
    sayRefused(error);
  }
}

const isLit = (state) => state?.light?.mode === "check";

function changeSize(/** @type {number} */ next) {
  size = next;
  unjudged();
  for (const input of byId("readings").querySelectorAll("input")) {
    input.value = "";
    input.placeholder = lengthFigure(input.name.startsWith("diagonal") ? size * Math.SQRT2 : size, 1);
  }
  if (isLit(stateNow())) light(true);
}

watchState((state) => {
  const { bench } = state;
  byId("bench-note").textContent = bench === null ? W.noBench : bench.calibrated ? "" : W.raw(bench.name);
  byId("practice-row").hidden = !bench?.practice;
  const lit = isLit(state);
  const ways = [
    el(
      lit ? "button.button" : "button.button.main",
      { type: "button", onclick: () => light(!lit) },
      lit ? W.dark : W.show,
    ),
    !state.window.open &&
      !bench?.practice &&
      el(
        "button.button",
        { type: "button", onclick: () => openProjectorWindow() || say(words.window.blocked, "wrong") },
        W.openWindow,
      ),
    bench?.practice && el("a.button", { href: "/practice" }, W.practice),
  ];
  refill(byId("light-ways"), ...ways.filter(Boolean));
});

readingFields();
choices(
  byId("sizes"),
  "size",
  SIZES.map((side) => [String(side), shortLength(side)]),
  String(size),
  (side) => changeSize(Number(side)),
);
changeSize(size);
byId("judge").addEventListener("click", judge);
byId("readings").addEventListener("submit", (event) => {
  event.preventDefault();
  judge();
});
byId("practice-read").addEventListener("click", practiceRead);
byId("readings").addEventListener("input", unjudged);
byId("height").addEventListener("input", unjudged);
byId("height").addEventListener("change", () => isLit(stateNow()) && light(true));
