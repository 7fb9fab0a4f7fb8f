import { get, Refused } from "../api.js";
import { ago } from "../dates.js";
import { byId, el } from "../dom.js";
import { bring, forgetDrawing } from "../own/send.js";
import { say, sayRefused } from "../say.js";
import { own as W } from "../words/own.js";

const LARGEST = 8 * 1024 * 1024;
const input = /** @type {HTMLInputElement} */ (byId("file"));
const drop = byId("drop");
let busy = false;

async function take(/** @type {FileList | undefined} */ files) {
  if (busy || !files || files.length === 0) return;
  byId("file-wrong").textContent = files.length > 1 ? W.onlyOne : files[0].size > LARGEST ? W.tooLarge : "";
  if (byId("file-wrong").textContent === "") await send(files[0]);
  input.value = "";
}

async function send(/** @type {File} */ file) {
  busy = true;
  drop.dataset.busy = "yes";
  byId("file-busy").textContent = W.reading(file.name);
  try {
    location.href = `/own/${(await bring(file)).id}`;
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    byId("file-wrong").textContent = error.sentence;
  } finally {
    busy = false;
    drop.dataset.busy = "no";
    byId("file-busy").textContent = "";
  }
}

function row(drawing) {
  const forget = el("button.button.plain", { type: "button", "aria-label": W.forgetLabel(drawing.name), onclick: () => forgetOne(drawing) }, W.forget);
  return el(
    "li",
    {},
    el("a", { href: `/own/${drawing.id}` }, el("span.name", {}, drawing.title || drawing.name), el("span.soft.small", {}, `${drawing.name}, ${ago(drawing.made_at)}`)),
    drawing.thing === null ? forget : null,
  );
}

async function forgetOne(drawing) {
  try {
    await forgetDrawing(drawing.id);
    say(W.forgotten(drawing.name));
    await before();
  } catch (error) {
    sayRefused(error);
  }
}

async function before() {
  const drawings = await get("/api/drawings");
  byId("before-part").hidden = drawings.length === 0;
  byId("before").replaceChildren(...drawings.map(row));
}

const dropped = (/** @type {DragEvent} */ event) => take(event.dataTransfer?.files);

input.addEventListener("change", () => take(input.files ?? undefined));
for (const name of ["dragenter", "dragover"]) {
  window.addEventListener(name, (event) => {
    event.preventDefault();
    drop.dataset.over = "yes";
  });
}
window.addEventListener("dragleave", (event) => {
  if (event.relatedTarget === null) drop.dataset.over = "no";
});
window.addEventListener("drop", (event) => {
  event.preventDefault();
  drop.dataset.over = "no";
  dropped(/** @type {DragEvent} */ (event));
});
before().catch(sayRefused);
// A quick hand may have chosen a file before this script was there.
take(input.files ?? undefined);
