import { get, Refused } from "../api.js";
import { afterQuiet, byId } from "../dom.js";
import { showFieldErrors } from "../fields.js";
import { chosen, drawRules, offer } from "../paper/choices.js";
import { showPages, showRefused } from "../paper/preview.js";
import { printerPanel, showPrinters } from "../paper/printers.js";
import { sayRefused } from "../say.js";
import { paperWords as W } from "../words/paper.js";

const base = `/api/patterns/${byId("on-paper").dataset.pattern}`;
const form = byId("choices");
let asked = 0;

/** Ask what the print would be; an answer that comes after a newer question is passed over. */
async function lookAgain() {
  const question = ++asked;
  const words = chosen();
  byId("preview-words").textContent = W.working;
  try {
    const answer = await get(`${base}/paper/pages?${words}`);
    if (question !== asked) return;
    showFieldErrors(form, null);
    showPages(base, words, answer);
    take(words);
  } catch (error) {
    if (question !== asked) return;
    refused(error);
  }
}

function refused(/** @type {unknown} */ error) {
  if (!(error instanceof Refused)) throw error;
  showFieldErrors(form, error);
  showRefused(error.sentence);
  take(null);
}

/** The ways to take it away; without choices that hold there is no print to take. */
function take(/** @type {URLSearchParams | null} */ words) {
  const link = byId("take-pdf");
  if (words) link.setAttribute("href", `${base}/paper/print.pdf?${words}`);
  else link.removeAttribute("href");
  link.setAttribute("aria-disabled", String(words === null));
  const size = words?.get("size") ?? "A4";
  byId("take-sheet").setAttribute("href", `${base}/work-sheet.pdf?size=${size === "roll" ? "A4" : size}`);
}

const soon = afterQuiet(250, lookAgain);

async function start() {
  drawRules();
  byId("take-svg").setAttribute("href", `${base}/file.svg`);
  byId("take-dxf").setAttribute("href", `${base}/file.dxf`);
  byId("print-help").textContent = W.help;
  const offered = await get(`${base}/paper`);
  byId("paper-what").textContent = W.what(offered);
  offer(offered, lookAgain);
  showPrinters(offered.printers);
  printerPanel(lookAgain);
  form.addEventListener("input", (event) => {
    if (!byId("measure").contains(event.target)) soon();
  });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    lookAgain();
  });
  await lookAgain();
}

start().catch(sayRefused);
