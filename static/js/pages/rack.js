import { get, put, Refused } from "../api.js";
import { byId } from "../dom.js";
import { showFieldErrors } from "../fields.js";
import { rateCards, typedRates } from "../rack/rates.js";
import { shelf, typedOn } from "../rack/shelf.js";
import { refreshStrips } from "../rack/strip.js";
import { say, sayRefused } from "../say.js";
import { beforeTurn, turned } from "../undo.js";
import { undoWords } from "../words/undo.js";
import { rackWords as W } from "../words/rack.js";

const PARTS = Object.keys(W.parts);
const form = byId("rack");
/** @type {any} */
let starter = null;

function show(rack) {
  const known = rack.understood ?? {};
  byId("parts").replaceChildren(...PARTS.map((part) => shelf(part, rack[part], known[part] ?? [], changed)));
  byId("rates").replaceChildren(...rateCards(rack));
}

const typed = () => ({ ...Object.fromEntries(PARTS.map((part) => [part, typedOn(form, part)])), ...typedRates(form) });

function changed() {
  byId("kept").textContent = W.changed;
}

function standing(rack) {
  starter = rack.starter;
  byId("restart").hidden = starter === null;
  byId("rack-words").textContent = rack.own ? W.own : W.starter;
}

async function save() {
  byId("kept").textContent = W.saving;
  try {
    const saved = await put("/api/rack", typed());
    showFieldErrors(form, null);
    standing(saved);
    refreshStrips(form, saved.understood.leathers);
    byId("kept").textContent = W.saved;
  } catch (error) {
    changed();
    if (!(error instanceof Refused) || !showFieldErrors(form, error)) return sayRefused(error);
    focusWrong();
  }
  return undefined;
}

/** The field that was refused, even if it is folded away. */
function focusWrong() {
  const wrong = form.querySelector('[aria-invalid="true"]');
  wrong?.closest("details")?.setAttribute("open", "");
  wrong?.focus();
}

form.addEventListener("input", changed);
form.addEventListener("submit", (event) => {
  event.preventDefault();
  save();
});
/** What is typed and not saved is older than any saved change. */
const unsaved = () => byId("kept").textContent === W.changed;
beforeTurn(async () => (unsaved() ? undoWords.unsaved : null));
turned(async () => (unsaved() ? say(undoWords.elsewhere, "wrong") : start()));

byId("restart").addEventListener("click", () => {
  show(starter);
  changed();
  say(W.restarted);
});

async function start() {
  const rack = await get("/api/rack");
  show(rack);
  standing(rack);
  byId("save").disabled = false;
}

start().catch(sayRefused);
