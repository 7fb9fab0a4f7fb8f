import { el } from "../dom.js";
import { words } from "../words/words.js";
import { positionOf, typed, withPosition } from "./document.js";
import { nudgePad } from "./nudge-pad.js";
import { residualCell, residualsOf } from "./residual.js";

const W = words.bench.marks;

/**
 * Known marks: move each cross onto a mark, or say where it lies.
 * @param {HTMLElement} place
 * @param {any} hands what the page lets a panel do: change(sightings), choose(cross), nudge(dx, dy), and now()
 */
export function marksPanel(place, hands) {
  const body = el("tbody");
  const pad = nudgePad(hands.nudge);
  let drawnFor = "";

  place.append(
    el("p", {}, W.intro),
    pad.element,
    ruledGrid(hands),
    el(
      "div.scroll-x",
      {},
      el("table.sightings", {}, el("caption.unseen", {}, W.caption), el("thead", {}, headRow()), body),
    ),
  );

  function rows(bench) {
    body.replaceChildren(...Object.keys(bench.sightings.crosses).map((cross) => markRow(cross, hands)));
  }

  return function update(bench) {
    const key = Object.keys(bench.sightings.crosses).join();
    if (key !== drawnFor) rows(bench);
    drawnFor = key;
    pad.update(bench);
    const residuals = residualsOf(bench.report);
    for (const row of body.children) fillRow(row, bench, residuals);
  };
}

const headRow = () =>
  el(
    "tr",
    {},
    el("th", { scope: "col" }, W.cross),
    el("th", { scope: "col" }, W.x),
    el("th", { scope: "col" }, W.y),
    el("th", { scope: "col" }, words.bench.off),
  );

function markRow(cross, hands) {
  const input = (axis, label) =>
    el("input", {
      name: `${cross}-${axis}`,
      inputmode: "decimal",
      autocomplete: "off",
      placeholder: axis,
      "aria-label": label(cross),
      onfocus: () => hands.choose(cross),
      onchange: (event) => takePlace(event.target.closest("tr"), cross, hands),
    });
  const letter = el(
    "button.letter",
    { type: "button", onclick: () => hands.choose(cross), "aria-label": W.choose(cross) },
    cross,
  );
  return el(
    "tr",
    { "data-cross": cross },
    el("td", {}, letter),
    el("td", {}, input("x", W.xOf)),
    el("td", {}, input("y", W.yOf)),
    el("td.residual"),
  );
}

/** What is typed is kept even when only one of the two places is there; both empty take the position away. */
function takePlace(row, cross, hands) {
  const places = Array.from(row.querySelectorAll("input"), (input) => typed(input.value));
  const at = places.every((value) => value === "") ? null : places;
  hands.change(withPosition(hands.now().sightings, cross, at));
}

function fillRow(row, bench, residuals) {
  const cross = row.dataset.cross;
  const position = positionOf(bench.sightings, cross);
  const index = bench.sightings.positions.indexOf(position);
  row.dataset.chosen = bench.chosen === cross ? "yes" : "no";
  row.querySelectorAll("input").forEach((input, axis) => {
    if (document.activeElement !== input && position !== null) input.value = String(position.at[axis] ?? "");
    else if (document.activeElement !== input && row.dataset.had === "yes") input.value = "";
  });
  row.dataset.had = position === null ? "no" : "yes";
  row.lastElementChild.replaceWith(
    residualCell(position === null ? null : residuals.position(index), residuals.scale, bench.detect),
  );
}

/** Fill in all places at once when the marks are a ruled grid with as many columns and rows as the crosses. */
function ruledGrid(hands) {
  const field = (name, label, value) =>
    el(
      "div.field",
      {},
      el("label", { for: `ruled-${name}` }, label),
      el("input", { id: `ruled-${name}`, name, value, inputmode: "decimal", autocomplete: "off" }),
    );
  const form = el(
    "form.ruled",
    { onsubmit: (event) => fillRuled(event, hands) },
    field("left", W.left, "0"),
    field("top", W.top, "0"),
    field("across", W.across, "250"),
    field("down", W.down, "200"),
    el("button.button", { type: "submit" }, W.fill),
  );
  return el("details", {}, el("summary", {}, W.ruled), el("p.soft", {}, W.ruledWords), form);
}

function fillRuled(event, hands) {
  event.preventDefault();
  const value = Object.fromEntries(
    Array.from(new FormData(event.target), ([name, text]) => [name, Number(String(text).replace(",", "."))]),
  );
  if (Object.values(value).some((number) => !Number.isFinite(number))) return;
  const now = hands.now().sightings;
  const columns = now.grid[0];
  const place = (i) => [value.left + (i % columns) * value.across, value.top + Math.floor(i / columns) * value.down];
  const filled = Object.keys(now.crosses).reduce((next, cross, i) => withPosition(next, cross, place(i)), now);
  hands.change(filled);
}
