import { get, put, remove } from "./api.js";
import { ago } from "./dates.js";
import { el } from "./dom.js";
import { say, sayRefused } from "./say.js";
import { undoWords } from "./words/undo.js";

const W = undoWords.shelf;

/** Where the objects of a shelf are asked for, by the page that shows them. */
const API = { draft: "things", table: "layouts", bench: "benches" };

const SEEN = 6;

/**
 * The lines of a shelf, the older ones folded away.
 * @param {any[]} objects @param {"draft" | "table" | "bench"} page @param {() => void} changed
 */
export function shelfRows(objects, page, changed) {
  const lines = objects.map((object) => shelfRow(object, page, changed));
  const older = lines.slice(SEEN);
  if (older.length === 0) return lines;
  const folded = el("li", {}, el("details", {}, el("summary", {}, W.older(older.length)), el("ul", {}, ...older)));
  return [...lines.slice(0, SEEN), folded];
}

/**
 * One line of a shelf: the way to the object, and behind three dots what else can be done with it.
 * @param {{id: number, name: string, made_at: string}} object @param {"draft" | "table" | "bench"} page
 * @param {() => void} changed
 */
function shelfRow(object, page, changed) {
  const address = `/api/${API[page]}/${object.id}`;
  const link = el("a", { href: `/${page}/${object.id}` }, el("span.name", {}, object.name), el("span.when", {}, ago(object.made_at)));
  const menu = el(
    "details.more",
    {},
    el("summary", { "aria-label": W.more(object.name) }, "⋯"),
    el(
      "div.row",
      {},
      el("button.button", { type: "button", onclick: () => line.replaceWith(nameForm(line, object, address, changed)) }, W.rename),
      el("button.button", { type: "button", onclick: () => toBin(address, object.name, changed) }, W.remove),
    ),
  );
  const line = el("li.shelf-line", {}, link, menu);
  return line;
}

function nameForm(line, object, address, changed) {
  const input = el("input", { value: object.name, "aria-label": W.newName, autocomplete: "off" });
  const keep = async (/** @type {Event} */ event) => {
    event.preventDefault();
    try {
      await rename(address, input.value.trim());
      say(W.renamed(input.value.trim()));
      changed();
    } catch (error) {
      sayRefused(error);
    }
  };
  const form = el(
    "form.row.naming",
    { onsubmit: keep },
    input,
    el("button.button", { type: "submit" }, W.keep),
    el("button.button.plain", { type: "button", onclick: () => item.replaceWith(line) }, W.leave),
  );
  const item = el("li.shelf-line", {}, form);
  queueMicrotask(() => input.select());
  return item;
}

/** A thing is saved whole, so what it is stays as it is; of the others the name alone is sent. */
async function rename(/** @type {string} */ address, /** @type {string} */ name) {
  if (!address.startsWith("/api/things/")) return put(address, { name });
  const { family, measures } = await get(address);
  return put(address, { name, family, measures });
}

async function toBin(address, name, changed) {
  try {
    await remove(address);
    say(W.binned(name));
    changed();
  } catch (error) {
    sayRefused(error);
  }
}
