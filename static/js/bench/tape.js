import { el } from "../dom.js";
import { words } from "../words/words.js";
import { replaced, typed, withDistance } from "./document.js";
import { residualCell, residualsOf } from "./residual.js";

const W = words.bench.tape;

/** Tape only: the distances between crosses, the next one proposed. @param {HTMLElement} place @param {any} hands */
export function tapePanel(place, hands) {
  const next = askNext(hands);
  const body = el("tbody");
  const mirrored = el("input", {
    type: "checkbox",
    onchange: (event) => hands.change({ ...hands.now().sightings, mirrored: event.target.checked }),
  });
  const table = el("table.sightings", {}, el("caption.unseen", {}, W.caption), el("thead", {}, headRow()), body);
  let count = -1;
  place.append(
    el("p", {}, W.intro),
    next.element,
    el("label.switch", {}, mirrored, el("span", {}, W.mirrored)),
    el("div.scroll-x", {}, table),
  );

  return function update(bench) {
    const { distances } = bench.sightings;
    next.update(bench);
    mirrored.checked = bench.sightings.mirrored === true;
    table.hidden = distances.length === 0;
    if (distances.length !== count) body.replaceChildren(...distances.map((_, i) => distanceRow(i, hands)));
    count = distances.length;
    const residuals = residualsOf(bench.report);
    distances.forEach((distance, i) =>
      fillRow(
        body.children[i],
        distance,
        residualCell(residuals.distance(i), residuals.scale, bench.detect),
        wrongIn(bench, i),
      ),
    );
  };
}

const headRow = () =>
  el(
    "tr",
    {},
    ...[W.pair, W.length, words.bench.off].map((text) => el("th", { scope: "col" }, text)),
    el("th", {}, el("span.unseen", {}, W.remove)),
  );

function distanceRow(index, hands) {
  const input = el("input", {
    inputmode: "decimal",
    autocomplete: "off",
    onchange: (event) => {
      const { distances } = hands.now().sightings;
      const entry = { ...distances[index], length: typed(event.target.value) };
      hands.change({ ...hands.now().sightings, distances: replaced(distances, index, entry) });
    },
    onfocus: () => hands.want([hands.now().sightings.distances[index].from, hands.now().sightings.distances[index].to]),
  });
  const remove = el(
    "button.button.remove",
    {
      type: "button",
      "aria-label": W.remove,
      onclick: () =>
        hands.change({ ...hands.now().sightings, distances: replaced(hands.now().sightings.distances, index, null) }),
    },
    "×",
  );
  const wrong = el("p.wrong-here", { role: "alert" });
  return el("tr", {}, el("td.pair"), el("td", {}, input, wrong), el("td.residual"), el("td", {}, remove));
}

/** What the server will not take in this row, or that its length is still to come. */
function wrongIn(bench, index) {
  const { refusal } = bench;
  if (refusal?.field?.split(".").slice(0, 2).join(".") === `distances.${index}`) return refusal.sentence;
  return String(bench.sightings.distances[index].length ?? "") === "" ? W.empty : "";
}

function fillRow(row, distance, cell, wrong) {
  const [pair, lengthCell, old] = row.children;
  const input = lengthCell.firstElementChild;
  pair.textContent = W.fromTo(distance.from, distance.to) + (distance.height ? W.onBlock(distance.height) : "");
  input.setAttribute("aria-label", W.lengthOf(distance.from, distance.to));
  row.querySelector(".remove").setAttribute("aria-label", W.removePair(distance.from, distance.to));
  if (document.activeElement !== input) input.value = String(distance.length ?? "");
  if (lengthCell.lastElementChild.textContent !== wrong) lengthCell.lastElementChild.textContent = wrong;
  if (wrong) input.setAttribute("aria-invalid", "true");
  else input.removeAttribute("aria-invalid");
  old.replaceWith(cell);
}

/** What to measure next; that it is enough is said only of a fit that stands. */
function proposal(bench) {
  if (bench.propose) return W.proposed(...bench.propose);
  if (bench.refusal) return bench.refusal.field?.startsWith("distances.") ? W.mendFirst : "";
  return bench.report ? W.enough : "";
}

/** The form for the next distance: the proposal, or any other pair. */
function askNext(hands) {
  const choose = (name, label) =>
    el("select", { name, "aria-label": label, onchange: () => hands.want([from.value, to.value]) });
  const from = /** @type {HTMLSelectElement} */ (choose("from", W.from));
  const to = /** @type {HTMLSelectElement} */ (choose("to", W.to));
  const length = /** @type {HTMLInputElement} */ (
    el("input", { name: "length", id: "tape-length", inputmode: "decimal", autocomplete: "off" })
  );
  const why = el("p.soft", { "aria-live": "polite" });
  const wrong = el("p.wrong-here", { role: "alert" });
  let letters = "";

  /** Why this cannot be added, or nothing. */
  const lacking = () => (from.value === to.value ? W.same(from.value) : length.value.trim() === "" ? W.noLength : "");

  function add(event) {
    event.preventDefault();
    wrong.textContent = lacking();
    if (wrong.textContent !== "") return (from.value === to.value ? to : length).focus();
    // Read before the page draws again: without a wish of the maker the selects go to the next proposal.
    const distance = { from: from.value, to: to.value, length: typed(length.value) };
    hands.want(null);
    hands.change(withDistance(hands.now().sightings, distance));
    length.value = "";
    length.focus();
  }

  const form = el(
    "form.ask",
    { onsubmit: add, oninput: () => (wrong.textContent = "") },
    el("div.ask-pair", {}, from, el("span", { "aria-hidden": "true" }, "→"), to),
    el("div.field", {}, el("label", { for: "tape-length" }, W.howLong), length),
    el("button.button.main", { type: "submit" }, W.add),
  );

  return {
    element: el("div.stack.tight", {}, why, form, wrong),
    update(bench) {
      const names = Object.keys(bench.sightings.crosses);
      if (names.join() !== letters)
        for (const select of [from, to]) select.replaceChildren(...names.map((n) => el("option", { value: n }, n)));
      letters = names.join();
      const pair = bench.wanted ?? bench.propose;
      why.textContent = bench.wanted && !bench.refusal ? "" : proposal(bench);
      if (pair && !form.contains(document.activeElement?.closest("select") ?? null)) [from.value, to.value] = pair;
    },
  };
}
