import { get, post, put, Refused } from "../api.js";
import { choices } from "../choices.js";
import { afterQuiet, byId, el, svg } from "../dom.js";
import { costingForm } from "../draft/costing.js";
import { drawingOn } from "../draft/drawing.js";
import { measureForm } from "../draft/form.js";
import { forget, keep, kept } from "../draft/kept.js";
import { picks } from "../draft/picks.js";
import { showWorkings } from "../draft/workings.js";
import { layOut } from "../lay.js";
import { say, sayRefused } from "../say.js";
import { stateNow, whenFound } from "../state.js";
import { beforeTurn, turned, turnsOf } from "../undo.js";
import { showVersions } from "../undo-versions.js";
import { undoWords } from "../words/undo.js";
import { words } from "../words/words.js";

const W = words.draft;
let thing = byId("draft").dataset.thing;
let family = "";
/** @type {ReturnType<typeof measureForm>} */
let form;
let draft = null;
/** Which piece the paper shows; ALL for every one. */
const ALL = "";
let shown = "?";
let asked = 0;

const drawing = drawingOn(byId("paper"), (measure) => measure && form.focus(measure));
const shelf = picks(byId("picks"), {
  fill(values) {
    form.fill({ ...form.values(), ...values });
    changed();
  },
  chosen: () => changed(),
});
const costing = costingForm(byId("costing"), () => changed());
const nameInput = /** @type {HTMLInputElement} */ (byId("thing-name"));

function typed() {
  return { ...draftTyped(), name: nameInput.value.trim() };
}

/** All that a draft is made from. */
function draftTyped() {
  return { family, measures: form.values(), made_of: shelf.values(), costing: costing.values() };
}

/** Draft what is typed; answers that come late, after a newer question, are passed over. */
async function redraft() {
  const question = ++asked;
  try {
    const answer = await post("/api/draft", draftTyped());
    if (question === asked) showDraft(answer);
  } catch (error) {
    if (question === asked) showRefused(error);
  }
}

const redraftSoon = afterQuiet(120, redraft);
whenFound(redraftSoon);

function showDraft(answer) {
  draft = answer;
  byId("refused").textContent = "";
  byId("paper").dataset.stale = "no";
  form.refused(null);
  shelf.refused(null);
  costing.understood(answer.costing, answer.cost.work);
  form.understood(answer.measures_mm, answer.from_rack);
  if (!draft.pieces.some((piece) => piece.name === shown) && shown !== ALL) shown = draft.pieces[0].name;
  showPieceChoices();
  drawing.show(answer, shown);
  showWorkings(answer);
  const lacking = answer.lacking.map((text) => ({ kind: "warning", words: text, formula: null }));
  byId("sentences").replaceChildren(...[...lacking, ...answer.sentences].map(sentenceRow));
  byId("steps").replaceChildren(...answer.steps.map(stepRow));
}

function showRefused(error) {
  if (!(error instanceof Refused)) throw error;
  const found = [form, shelf, costing].map((part) => part.refused(error)).some(Boolean);
  if (error.field?.startsWith("costing.")) byId("cost").open = true;
  byId("paper").dataset.stale = draft === null ? "no" : "yes";
  byId("refused").textContent = found && draft !== null ? W.stale : error.sentence;
}

/** What the draft says, and how it was worked out; pressing one goes to the measure that changes it. */
function sentenceRow(sentence) {
  const sum = sentence.formula ? el("span.sum", {}, sentence.formula) : null;
  return el("li", { "data-kind": sentence.kind }, el("span", {}, sentence.words, sum));
}

function stepRow(step) {
  return el(
    "li",
    {},
    el("strong", {}, step.title),
    el("span", {}, step.words),
    el("span.soft.small", {}, `${W.plies(step.plies_under)}; ${step.tools.join(", ")}`),
  );
}

function showPieceChoices() {
  const place = byId("pieces");
  const key = draft.pieces.map((piece) => piece.name).join();
  if (place.dataset.pieces === key) return;
  place.dataset.pieces = key;
  const entries = [...draft.pieces.map((piece) => [piece.name, piece.title]), [ALL, W.both]];
  choices(place, "piece", entries, shown, show);
}

function show(name) {
  shown = name;
  drawing.show(draft, shown);
}

function legend() {
  const shape = { hole: svg("circle.role-hole", { "data-role": "hole", cx: 18, cy: 7, r: 3 }) };
  const line = (role) =>
    svg(
      "svg.drawing",
      { viewBox: "0 0 36 14", "aria-hidden": "true" },
      shape[role] ?? svg(`path.role-${role}`, { "data-role": role, d: "M1 7H35" }),
    );
  byId("legend").replaceChildren(
    ...["cut", "slot", "stitch", "hole", "fold", "mark"].map((role) => el("li", {}, line(role), W.line[role])),
  );
}

async function save() {
  byId("kept").textContent = W.saving;
  const content = typed();
  try {
    const answer = thing ? await put(`/api/things/${thing}`, content) : await post("/api/things", content);
    forget(thing);
    if (!thing) history.replaceState(null, "", `/draft/${answer.id}`);
    thing = String(answer.id);
    turnsOf(answer.id);
    byId("families").hidden = true;
    byId("restored").hidden = true;
    byId("kept").textContent = W.saved(answer.name);
    return answer;
  } catch (error) {
    byId("kept").textContent = W.changed;
    if (error instanceof Refused && error.field?.endsWith("name")) return nameRefused(error.sentence);
    if (error instanceof Refused && [form, shelf, costing].map((part) => part.refused(error)).some(Boolean)) return say(error.sentence, "wrong");
    sayRefused(error);
  }
  return null;
}

function nameRefused(sentence) {
  nameInput.setAttribute("aria-invalid", "true");
  byId("measures").querySelector('.wrong-here[data-for="name"]').textContent = sentence;
  nameInput.focus();
  return null;
}

async function lay() {
  if (nameInput.value.trim() === "") nameInput.value = W.defaultName;
  const bench = stateNow()?.bench;
  if (!bench) return say(W.noBench, "wrong");
  const saved = await save();
  if (!saved) return undefined;
  try {
    location.href = await layOut(saved.id, bench.id, saved.name);
  } catch (error) {
    sayRefused(error);
  }
  return undefined;
}

/** The pattern file at true size; what is on the page is saved first, so that the file is what the page shows. */
const takeAway = () => withPattern((number) => `/api/patterns/${number}/file.svg`);

/** Save what is on the page and its pattern, then go to the address that the pattern's number gives. */
async function withPattern(/** @type {(number: number) => string} */ address) {
  if (nameInput.value.trim() === "") nameInput.value = W.defaultName;
  const saved = await save();
  if (!saved) return;
  try {
    const pattern = await post("/api/patterns", { thing: saved.id });
    location.href = address(pattern.id);
  } catch (error) {
    sayRefused(error);
  }
}

function changed() {
  keep(thing, typed());
  byId("kept").textContent = W.changed;
  redraftSoon();
}

async function openThing() {
  const saved = thing ? await get(`/api/things/${thing}`) : null;
  const unsaved = kept(thing);
  await openFamily(unsaved?.family ?? saved?.family ?? family);
  const start = unsaved ?? saved ?? { name: "", measures: {} };
  form.fill(start.measures);
  shelf.set(start.made_of ?? {});
  costing.set(start.costing ?? {});
  nameInput.value = start.name ?? "";
  byId("restored").hidden = unsaved === null;
  byId("restored-words").textContent = W.restored;
  byId("kept").textContent = saved && !unsaved ? W.saved(saved.name) : "";
}

async function openFamily(name) {
  const found = await get(`/api/families/${name}`);
  family = found.name;
  byId("family-title").textContent = found.title;
  byId("summary").textContent = `${found.summary} ${W.howToWrite}`;
  shelf.offer(found, await get("/api/rack"));
  form = measureForm(byId("groups"), found.measures, { typed: changed, focused: (measure) => drawing.light(measure) });
}

/** What kind of thing is drafted can be chosen as long as it is not saved; what was typed for each kind is kept. */
function familyChoices(families) {
  const place = byId("families");
  place.hidden = families.length < 2 || thing !== "";
  const entries = families.map((found) => [found.name, found.title]);
  choices(place, "family", entries, family, changeFamily);
}

const typedFor = {};

async function changeFamily(/** @type {string} */ name) {
  typedFor[family] = form.values();
  // Until the new form stands, nothing can be typed or picked into the old one and be lost with it.
  const halves = [byId("measures"), byId("picks")];
  for (const half of halves) half.inert = true;
  try {
    await openFamily(name);
    form.fill(typedFor[name] ?? {});
    costing.set({ copies: costing.values().copies });
    shown = "?";
    changed();
  } catch (error) {
    sayRefused(error);
  } finally {
    for (const half of halves) half.inert = false;
  }
}

/** What is typed and not saved is older than any saved change, so it must be saved before one of those is taken back. */
beforeTurn(async () => (kept(thing) === null ? null : undoWords.unsaved));
turned(async () => {
  if (kept(thing) !== null) return say(undoWords.elsewhere, "wrong");
  await openThing();
  return redraft();
});
byId("versions").addEventListener("toggle", (event) => event.target.open && showVersions(byId("version-list"), Number(thing)));

async function start() {
  const families = await get("/api/families");
  family = families[0].name;
  legend();
  await openThing();
  familyChoices(families);
  for (const button of ["save", "lay"]) byId(button).disabled = false;
  await redraft();
}

byId("measures").addEventListener("submit", (event) => {
  event.preventDefault();
  if (nameInput.value.trim() === "") return nameRefused(W.noName);
  return save();
});
nameInput.addEventListener("input", () => {
  nameInput.removeAttribute("aria-invalid");
  byId("measures").querySelector('.wrong-here[data-for="name"]').textContent = "";
  keep(thing, typed());
});
byId("lay").addEventListener("click", lay);
byId("file").addEventListener("click", takeAway);
byId("work-sheet").addEventListener("click", () => withPattern((number) => `/sheet/${number}`));
byId("on-paper").addEventListener("click", () => withPattern((number) => `/paper/${number}`));
byId("afresh").addEventListener("click", () => {
  forget(thing);
  openThing().then(redraft).catch(sayRefused);
});
start().catch(sayRefused);
