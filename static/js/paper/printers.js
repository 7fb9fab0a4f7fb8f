import { post, Refused } from "../api.js";
import { byId, el } from "../dom.js";
import { showFieldErrors } from "../fields.js";
import { say, sayRefused } from "../say.js";
import { typed } from "../lengths.js";
import { paperWords as W } from "../words/paper.js";

/** @type {any[]} */
let known = [];

/** Put the measured printers into the list; the one of this name is chosen. */
export function showPrinters(/** @type {any[]} */ printers, chosen = "") {
  known = printers;
  const options = known.map((p) => el("option", { value: p.name, selected: p.name === chosen }, p.name));
  byId("printer").replaceChildren(el("option", { value: "" }, W.uncorrected), ...options);
  tell();
}

function tell() {
  const printer = known.find((p) => p.name === byId("printer").value);
  byId("printer-words").textContent = printer ? W.printer(printer) : W.noPrinter;
  byId("forget-printer").hidden = !printer;
  byId("corrected-switch").hidden = !printer;
  byId("corrected").checked = false;
  byId("printer-name").value = printer?.name ?? "";
}

/** Make the panel work; a change of the correction is told to the listener. */
export function printerPanel(/** @type {() => void} */ changed) {
  byId("measure-words").textContent = W.measure;
  byId("printer").addEventListener("change", tell);
  byId("keep-printer").addEventListener("click", () => keep(changed));
  byId("forget-printer").addEventListener("click", () => forget(changed));
  byId("measure").addEventListener("keydown", (event) => {
    if (event.key === "Enter" && event.target instanceof HTMLInputElement && event.target.type !== "checkbox") keep(changed);
  });
}

async function keep(changed) {
  const name = byId("printer-name").value.trim();
  const corrected = byId("corrected").checked && name === byId("printer").value;
  try {
    if (name === "") throw new Refused(W.nameWanted, "name", 422);
    const readings = { name, across: typed(byId("across").value), down: typed(byId("down").value), corrected };
    showPrinters(await post("/api/printers", readings), name);
    showFieldErrors(byId("measure"), null);
    byId("across").value = byId("down").value = "";
    say(W.kept(name));
    changed();
  } catch (error) {
    if (!(error instanceof Refused) || !showFieldErrors(byId("measure"), error)) sayRefused(error);
    byId("measure").querySelector('[aria-invalid="true"]')?.focus();
  }
}

async function forget(changed) {
  const name = byId("printer").value;
  try {
    showPrinters(await post("/api/printers/forget", { name }));
    say(W.forgotten(name));
    changed();
    byId("printer").focus();
  } catch (error) {
    sayRefused(error);
  }
}
