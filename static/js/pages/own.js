import { get, post, put, Refused } from "../api.js";
import { choices as radios } from "../choices.js";
import { afterQuiet, byId, el, svg } from "../dom.js";
import { drawingOn } from "../draft/drawing.js";
import { showWorkings } from "../draft/workings.js";
import { showFieldErrors } from "../fields.js";
import { layOut } from "../lay.js";
import { choose } from "../own/choose.js";
import { rackParts } from "../own/rack.js";
import { lookList } from "../own/looks.js";
import { sheetPicture } from "../own/picture.js";
import { singleLine } from "../own/single.js";
import { sizeParts } from "../own/size.js";
import { stitchingParts } from "../own/stitching.js";
import { saver } from "../saver.js";
import { say, sayRefused } from "../say.js";
import { stateNow } from "../state.js";
import { words } from "../words/words.js";
import { own as W } from "../words/own.js";

const path = `/api/drawings/${byId("own").dataset.drawing}`;
/** The file and what is chosen about it, as the server last said; choices made since are in it already. */
let now = /** @type {any} */ (null);
let thing = /** @type {{id: number, name: string} | null} */ (null);
let page = 1;
let piece = "?";
let view = "file";
let line = /** @type {number | null} */ (null);
/** What a press in the picture is for, while a known length is being pointed at. */
let picking = /** @type {"line" | "first" | "second" | null} */ (null);
let draft = /** @type {any} */ (null);
/** @type {{looks: any, single: any, size: any, rack: any}} */
let parts;

const MANY = 6;
/** Whether the rack has just been asked to fill in leather or pitch. */
let filling = false;

const form = byId("choices");
const title = /** @type {HTMLInputElement} */ (byId("title"));
const picture = sheetPicture(byId("file-paper"), { line: pressed, point: (at) => parts.size.point(at) });
const pattern = drawingOn(byId("pattern-paper"), () => undefined);

/** What a line is for: its own choice, else that of its look. */
const useOf = (/** @type {number} */ i) => now.choices.lines[i] ?? now.choices.looks[now.sheet.looks[now.sheet.lines[i].look].key];

const keeping = saver(
  async (choices) => {
    const answer = await put(path, { revision: now.revision, choices });
    now.revision = answer.revision;
    return answer;
  },
  {
    waiting: () => (byId("kept").textContent = W.keeping),
    saved: (answer) => {
      // The choices on the page may be newer than those that were answered; they stay.
      Object.assign(now, { ...answer, choices: now.choices });
      byId("kept").textContent = W.keptChoices;
      showNow();
    },
    refused: (error) => {
      byId("kept").textContent = W.notKept;
      if (![showFieldErrors(form, error), parts.rack.refused(error)].some(Boolean)) sayRefused(error);
    },
  },
);
const keepSoon = afterQuiet(250, () => keeping.put(now.choices));

/** Take over some choices; the picture follows at once, the pattern when the server has made it. */
function change(/** @type {object} */ part, soon = false) {
  now.choices = { ...now.choices, ...part };
  showUses();
  if (soon) keepSoon();
  else keeping.put(now.choices);
}

const changeSoon = (/** @type {object} */ part) => change(part, true);

function showUses() {
  picture.uses(useOf);
  parts.looks.show(now);
  parts.single.show(line, now);
}

function setLook(/** @type {string} */ key, /** @type {string} */ use) {
  change({ looks: { ...now.choices.looks, [key]: use } });
}

function setLine(/** @type {number} */ i, /** @type {string} */ use) {
  const lines = { ...now.choices.lines };
  if (use === "") delete lines[i];
  else lines[i] = use;
  change({ lines });
}

function pressed(/** @type {number} */ i) {
  if (picking === "line") return parts.size.line(i);
  return chooseLine(i);
}

function chooseLine(/** @type {number | null} */ i) {
  line = i;
  parts.single.show(line, now);
  if (line !== null && now.sheet.lines[line].page !== page) setPage(now.sheet.lines[line].page);
  lift(null);
  byId("picking").textContent = line === null ? "" : W.picked(line + 1, W.choice[useOf(line)]);
}

/** Lift a whole kind of line, or only the line that is chosen. */
function lift(/** @type {number | null} */ look) {
  const ofLook = () => now.sheet.lines.flatMap((one, i) => (one.look === look ? [i] : []));
  picture.choose(look !== null ? ofLook() : line === null ? [] : [line]);
}

function point(/** @type {typeof picking} */ what) {
  picking = what;
  if (what !== null) setView("file");
  const said = { line: W.size.pickLine, first: W.size.pickFirst, second: W.size.pickSecond };
  byId("picking").textContent = what === null ? "" : said[what];
  picture.takePoints(what === "first" || what === "second");
  picture.known(parts.size.points());
}

function setPage(/** @type {number} */ next) {
  page = next;
  const number = String(next);
  for (const input of byId("pages").querySelectorAll("input")) input.checked = input.value === number;
  picture.show(now.sheet, page, W.picture(now, page));
}

function setView(/** @type {string} */ next) {
  view = next;
  for (const input of byId("views").querySelectorAll("input")) input.checked = input.value === view;
  byId("file-paper").hidden = view !== "file";
  byId("pattern-paper").hidden = view === "file";
  byId("pages").hidden = view !== "file" || now.sheet.pages.length < 2;
  byId("pieces").hidden = view === "file" || (draft?.pieces.length ?? 0) < 2;
  byId("picking").hidden = view !== "file";
  showRefusal();
  if (view !== "file" && draft !== null) pattern.show(draft, piece);
}

/** Everything that follows from the choices as the server has them. */
function showNow() {
  showUses();
  parts.size.show(now);
  const refused = now.refusal && new Refused(now.refusal.sentence, now.refusal.field, 422);
  parts.rack.refused(refused);
  showFieldErrors(form, refused);
  if (now.draft !== null) showDraft(now.draft);
  showRefusal();
  for (const id of ["lay", "take", "work-sheet"]) byId(id).disabled = now.draft === null;
  byId("save").disabled = false;
}

function showRefusal() {
  const refused = now.draft === null;
  byId("pattern-paper").dataset.stale = refused && draft !== null ? "yes" : "no";
  const why = now.refusal?.sentence ?? "";
  byId("refused").textContent = !refused || view === "file" ? "" : draft === null ? `${W.noPattern} ${why}` : `${W.stale} ${why}`;
}

function showDraft(answer) {
  draft = answer;
  if (piece !== "" && !draft.pieces.some((one) => one.name === piece)) piece = draft.pieces[0].name;
  const entries = [...draft.pieces.map((one) => [one.name, one.title]), ["", words.draft.both]];
  const key = JSON.stringify(entries);
  if (byId("pieces").dataset.entries !== key) pieceChoices(/** @type {[string, string][]} */ (entries));
  byId("pieces").dataset.entries = key;
  byId("pieces").hidden = view === "file" || draft.pieces.length < 2;
  pattern.show(draft, piece);
  showWorkings(draft);
  parts.rack.show(draft);
  if (filling) stitchingNow();
  const lacking = draft.lacking.map((text) => ({ kind: "warning", words: text }));
  byId("sentences").replaceChildren(
    ...[...lacking, ...draft.sentences].map((one) => el("li", { "data-kind": one.kind }, el("span", {}, one.words))),
  );
  byId("steps").replaceChildren(...draft.steps.map(stepRow));
}

/** A few pieces stand side by side; many are a list. */
function pieceChoices(/** @type {[string, string][]} */ entries) {
  const place = byId("pieces");
  for (const old of place.querySelectorAll("select")) old.remove();
  radios(place, "piece", entries.length > MANY ? [] : entries, piece, setPiece);
  if (entries.length > MANY) place.append(choose({ "aria-label": W.piece }, entries, piece, setPiece));
}

function setPiece(/** @type {string} */ name) {
  piece = name;
  pattern.show(draft, piece);
}

function stepRow(step) {
  const how = `${words.draft.plies(step.plies_under)}; ${step.tools.join(", ")}`;
  return el("li", {}, el("strong", {}, step.title), el("span", {}, step.words), el("span.soft.small", {}, how));
}

function legend() {
  const line = (use) => {
    const shape = use === "hole" ? svg("circle", { cx: 18, cy: 7, r: 3 }) : svg("path", { d: "M1 7H35" });
    shape.setAttribute("class", `role-${use}`);
    shape.setAttribute("data-role", use);
    return svg("svg.drawing", { viewBox: "0 0 36 14", "aria-hidden": "true" }, shape);
  };
  byId("legend").replaceChildren(...Object.keys(W.legend).map((use) => el("li", {}, line(use), W.legend[use])));
}

function leftOut() {
  const told = [...now.sheet.dropped, ...now.sheet.notes];
  byId("left-out").hidden = told.length === 0;
  byId("left-out-title").textContent = W.leftOut(told.length);
  byId("left-out-list").replaceChildren(...told.map((text) => el("li", {}, text)));
}

function asProposed() {
  change({ looks: { ...now.proposal.looks }, lines: { ...now.proposal.lines } });
  say(W.look.proposed);
}

async function save() {
  const name = title.value.trim();
  if (name === "") {
    showFieldErrors(form, new Refused(W.noName, "title", 422));
    title.focus();
    return null;
  }
  now.choices = { ...now.choices, title: name };
  keeping.put(now.choices);
  await keeping.settled();
  try {
    thing = await post(`${path}/keep`, { name });
    byId("kept").textContent = W.saved(name);
    return thing;
  } catch (error) {
    sayRefused(error);
  }
  return null;
}

async function lay() {
  const bench = stateNow()?.bench;
  if (!bench) return say(words.draft.noBench, "wrong");
  return withThing((saved) => layOut(saved.id, bench.id, saved.name));
}

/** Save, then go where the saved thing leads. @param {(saved: {id: number, name: string}) => Promise<string>} way */
async function withThing(way) {
  const saved = await save();
  if (!saved || now.draft === null) return;
  try {
    location.href = await way(saved);
  } catch (error) {
    sayRefused(error);
  }
}

const withPattern = (/** @type {(number: number) => string} */ address) =>
  withThing(async (saved) => address((await post("/api/patterns", { thing: saved.id })).id));

/** The fields of the stitching; what the rack fills in stands in grey where nothing is typed. */
function stitchingNow() {
  filling = false;
  stitchingParts(byId("stitching-parts"), now.choices, changeSoon, now.draft?.measures_mm);
}

async function start() {
  const rack = await get("/api/rack");
  now = await get(path);
  thing = now.thing;
  byId("about").textContent = W.about(now);
  title.value = thing?.name ?? now.choices.title;
  leftOut();
  legend();
  parts = {
    looks: lookList(byId("look-list"), { ...now }, { chosen: setLook, lift }),
    single: singleLine(byId("single-parts"), now, { which: chooseLine, chosen: setLine }),
    size: sizeParts(byId("size-parts"), now, { changed: changeSoon, point }),
    rack: rackParts(rack, () => now, { change, changeSoon, filled: () => (filling = true) }),
  };
  stitchingNow();
  page = now.sheet.pages[0].number;
  const pages = now.sheet.pages.map((one) => [String(one.number), W.page(one.number)]);
  radios(byId("pages"), "page", pages, String(page), (value) => setPage(Number(value)));
  radios(byId("views"), "view", Object.entries(W.views), view, setView);
  picture.uses(useOf);
  setPage(page);
  setView("file");
  picture.known(parts.size.points());
  showNow();
  if (thing !== null) byId("kept").textContent = W.saved(thing.name);
}

form.addEventListener("submit", (event) => {
  event.preventDefault();
  save();
});
title.addEventListener("input", () => showFieldErrors(form, null));
byId("as-proposed").addEventListener("click", asProposed);
byId("lay").addEventListener("click", lay);
byId("take").addEventListener("click", () => withPattern((number) => `/api/patterns/${number}/file.svg`));
byId("work-sheet").addEventListener("click", () => withPattern((number) => `/sheet/${number}`));
start().catch(sayRefused);
