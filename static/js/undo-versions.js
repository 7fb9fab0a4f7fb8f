import { get, remove } from "./api.js";
import { ago } from "./dates.js";
import { el } from "./dom.js";
import { say, sayRefused } from "./say.js";
import { undoWords } from "./words/undo.js";

const W = undoWords.versions;

/** Show the saved patterns of a thing, each with what changed and the way to its comparison. @param {HTMLElement} place */
export async function showVersions(place, /** @type {number} */ thing) {
  try {
    const found = thing ? await get(`/api/things/${thing}/versions`) : [];
    const rows = found.map((version, i) => row(version, found[i + 1] ?? null, () => showVersions(place, thing)));
    place.replaceChildren(...(rows.length > 0 ? rows : [el("li.soft", {}, W.none)]));
  } catch (error) {
    sayRefused(error);
  }
}

function row(version, before, changed) {
  const compare =
    before &&
    el("a.button", { href: `/compare/${before.id}/${version.id}`, "aria-label": W.compareLabel(version) }, W.compare);
  const away = el("button.button.remove", { type: "button", "aria-label": W.remove(version), onclick: () => toBin(version, changed) }, "×");
  return el(
    "li.version",
    {},
    el("div", {}, el("strong", {}, W.title(version, ago(version.made_at))), el("p.soft.small", {}, told(version, before))),
    compare || null,
    away,
  );
}

function told(version, before) {
  if (before === null) return W.first;
  if (version.changed.length > 0) return W.changed(version.changed);
  return version.same ? W.same : W.redrawn;
}

async function toBin(version, changed) {
  try {
    const bag = await remove(`/api/patterns/${version.id}`);
    say(undoWords.shelf.binned(bag.name));
    changed();
  } catch (error) {
    sayRefused(error);
  }
}
