import { get, post, Refused } from "./api.js";
import { ago } from "./dates.js";
import { el } from "./dom.js";
import { say, sayRefused } from "./say.js";
import { watchState } from "./state.js";
import { undoWords as W } from "./words/undo.js";

/**
 * Undo and redo of the object that the page is about. The page says how its content is read again (turned), and what has to
 * be done before anything is undone (beforeTurn). Several windows follow each other through the workshop's state.
 *
 * @typedef {{id: number, at: string, words: string, undone: boolean}} Entry
 * @typedef {{undo: Entry | null, redo: Entry | null, entries: Entry[], made_at: string | null, turned_at: string | null}} Known
 */

const place = document.getElementById("turns");
const ways = /** @type {const} */ (["undo", "redo"]);
const button = (/** @type {string} */ way) => /** @type {any} */ (document.getElementById(way));

let id = Number(place?.dataset.id ?? 0);
/** @type {Known | null} */
let known = null;
/** When something was last undone or redone, as far as this page has followed. @type {string | null | undefined} */
let followed;
let lastHeard = "";
/** One turn after the other, also when the key is held down. */
let queue = Promise.resolve();

/** @type {(() => Promise<unknown>)[]} */
const readers = [];
const readAgain = () => Promise.all(readers.map((act) => act()));
/** @type {() => Promise<string | null | void>} */
let ready = async () => null;

/** Say how the page's content is read again after an undo or redo, here or in another window. */
export function turned(/** @type {() => Promise<unknown>} */ act) {
  readers.push(act);
}

/** Say what must be finished before a turn; a sentence that comes back is said, and nothing is turned. */
export function beforeTurn(/** @type {() => Promise<string | null | void>} */ act) {
  ready = act;
}

/** Tell the number of the object, once it has one. */
export function turnsOf(/** @type {number} */ number) {
  if (id === number) return;
  id = number;
  followed = undefined;
  look();
}

/** Ask what can be undone, and follow a turn that was made elsewhere. */
async function look() {
  if (place === null || !id) return;
  try {
    const fresh = await get(`/api/history?of=${place.dataset.of}&id=${id}`);
    const moved = followed !== undefined && fresh.turned_at !== null && fresh.turned_at !== followed;
    known = fresh;
    followed = fresh.turned_at;
    draw();
    if (moved) await readAgain();
  } catch (error) {
    sayRefused(error);
  }
}

function turn(/** @type {"undo" | "redo"} */ way, /** @type {Entry | null} */ expected = null) {
  queue = queue.then(() => turnNow(way, expected)).catch(sayRefused);
}

async function turnNow(way, expected) {
  if (place === null || !id) return;
  const refusal = await ready();
  if (refusal) return say(refusal, "wrong");
  const body = { of: place.dataset.of, id, ...(expected ? { change: expected.id } : {}) };
  try {
    const answer = await post(`/api/${way}`, body);
    known = answer;
    followed = answer.turned_at;
    draw();
    say(W.done[way](answer.done.words));
    await readAgain();
  } catch (error) {
    if (error instanceof Refused && error.status === 409) await look();
    throw error;
  }
}

function draw() {
  for (const way of ways) {
    const entry = known?.[way] ?? null;
    button(way).querySelector("span").textContent = W[way](entry);
    button(way).title = W[way](entry);
    button(way).setAttribute("aria-disabled", String(entry === null));
  }
  const rows = (known?.entries ?? []).map(row);
  const made = known?.made_at ? [el("li", {}, el("span", {}, W.made), el("span.soft.small", {}, ago(known.made_at)))] : [];
  place?.querySelector("ol")?.replaceChildren(...rows, ...made);
}

const row = (/** @type {Entry} */ entry) =>
  el(
    "li",
    { "data-undone": entry.undone ? "yes" : "no" },
    el("span", {}, entry.words, entry.undone ? el("em.soft.small", {}, ` (${W.undone})`) : null),
    el("span.soft.small", {}, ago(entry.at)),
  );

/** Where typing has its own undo, it keeps it. */
const isText = (/** @type {any} */ target) =>
  target instanceof Element &&
  target.closest('input:not([type="checkbox"], [type="radio"], [type="range"], [type="file"]), textarea, select, [contenteditable]') !== null;

function keyed(/** @type {KeyboardEvent} */ event) {
  if (!(event.ctrlKey || event.metaKey) || event.altKey || isText(event.target)) return;
  const key = event.key.toLowerCase();
  const way = key === "y" || (key === "z" && event.shiftKey) ? "redo" : key === "z" ? "undo" : null;
  if (way === null) return;
  event.preventDefault();
  turn(way);
}

function pressed(/** @type {"undo" | "redo"} */ way) {
  const entry = known?.[way] ?? null;
  if (entry === null) say(W.nothing[way]);
  else turn(way, entry);
}

if (place !== null) {
  for (const way of ways) button(way).addEventListener("click", () => pressed(way));
  window.addEventListener("keydown", keyed);
  const list = /** @type {HTMLDetailsElement} */ (place.querySelector("details"));
  document.addEventListener("click", (event) => list.contains(/** @type {Node} */ (event.target)) || (list.open = false));
  list.addEventListener("keydown", (event) => {
    if (event.key !== "Escape") return;
    list.open = false;
    list.querySelector("summary")?.focus();
  });
  draw();
  watchState((/** @type {any} */ state) => {
    const heard = JSON.stringify(state.history ?? null);
    if (heard === lastHeard) return;
    lastHeard = heard;
    look();
  });
}
