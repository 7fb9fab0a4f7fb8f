import { el } from "../dom.js";
import { words } from "../words/words.js";
import { positionOf, replaced, typed, withDistance, withPosition } from "./document.js";
import { blockFigure, plumbFigure, slantFigure } from "./lens-figures.js";
import { residualCell, residualsOf } from "./residual.js";

const W = words.bench.lens;

/** Where the lens hangs, so that thick leather gets its lines right. @param {HTMLElement} place @param {any} hands */
export function lensPanel(place, hands) {
  const block = blockForm(hands);
  const body = el("tbody");
  const table = el("table.sightings", {}, el("caption.unseen", {}, W.caption), body);
  const taped = tapedBlocksForm(hands);
  place.append(
    el("p", {}, W.intro),
    el(
      "div.setups",
      {},
      setup("block", blockFigure(), block.element, taped.element),
      setup("slant", slantFigure(), slantForm(hands)),
      setup("plumb", plumbFigure(), hangForm(hands)),
    ),
    el("div.scroll-x", {}, table),
  );

  return function update(bench) {
    block.update(bench);
    taped.update(bench);
    const rows = entries(bench, hands);
    table.hidden = rows.length === 0;
    body.replaceChildren(...rows);
  };
}

/** A set-up with its drawing, what accuracy is enough, and the forms that take it down. */
function setup(name, figure, ...forms) {
  const told = words.setups[name];
  return el(
    "section.card.setup",
    { "data-setup": name },
    el("h3", {}, told.title, told.best && el("span.best", {}, told.best)),
    figure,
    el("p.soft", {}, told.enough),
    ...forms,
  );
}

const field = (id, label, input) => el("div.field", {}, el("label", { for: id }, label), input);
const number = (id, extra = {}) => el("input", { id, name: id, inputmode: "decimal", autocomplete: "off", ...extra });

/** A cross on top of a block: its place as measured on the block, or its distance from another on a block of the same height. */
function blockForm(hands) {
  const cross = el("select", { id: "block-cross", name: "cross" });
  const height = number("block-height", { value: "100" });
  const [x, y] = [number("block-x"), number("block-y")];
  let letters = "";
  const add = (event) => {
    event.preventDefault();
    if ([height, x, y].some((input) => input.value.trim() === "")) return;
    hands.change(
      withPosition(hands.now().sightings, cross.value, [typed(x.value), typed(y.value)], typed(height.value)),
    );
    x.value = "";
    y.value = "";
  };
  const form = el(
    "form.ruled",
    { onsubmit: add },
    field("block-cross", W.cross, cross),
    field("block-height", W.height, height),
    field("block-x", W.x, x),
    field("block-y", W.y, y),
    el("button.button", { type: "submit" }, W.add),
  );
  return {
    element: el("details", { open: true }, el("summary", {}, W.onBlock), el("p.soft", {}, W.onBlockWords), form),
    update(bench) {
      const names = Object.keys(bench.sightings.crosses);
      if (names.join() !== letters) cross.replaceChildren(...names.map((n) => el("option", { value: n }, n)));
      letters = names.join();
    },
  };
}

/** Two crosses, each on a block of the same height, and the tape between them: the way of those who have no marks. */
function tapedBlocksForm(hands) {
  const [from, to] = ["from", "to"].map((name) => el("select", { id: `taped-${name}`, name }));
  const [height, length] = [number("taped-height", { value: "100" }), number("taped-length")];
  let letters = "";
  const add = (event) => {
    event.preventDefault();
    if ([height, length].some((input) => input.value.trim() === "") || from.value === to.value) return;
    const distance = { from: from.value, to: to.value, length: typed(length.value), height: typed(height.value) };
    hands.change(withDistance(hands.now().sightings, distance));
    length.value = "";
  };
  const form = el(
    "form.ruled",
    { onsubmit: add },
    field("taped-from", W.from, from),
    field("taped-to", W.to, to),
    field("taped-height", W.height, height),
    field("taped-length", W.length, length),
    el("button.button", { type: "submit" }, W.add),
  );
  return {
    element: el("details", {}, el("summary", {}, W.tapedBlocks), el("p.soft", {}, W.tapedBlocksWords), form),
    update(bench) {
      const names = Object.keys(bench.sightings.crosses);
      if (names.join() === letters) return;
      letters = names.join();
      for (const select of [from, to]) select.replaceChildren(...names.map((n) => el("option", { value: n }, n)));
      to.selectedIndex = names.length - 1;
    },
  };
}

function slantForm(hands) {
  const cross = number("slant-cross", { maxlength: 2, autocapitalize: "characters" });
  const slant = number("slant-length");
  const add = (event) => {
    event.preventDefault();
    const name = cross.value.trim().toUpperCase();
    if (!(name in hands.now().sightings.crosses) || slant.value.trim() === "") return;
    hands.addLens({ cross: name, slant: typed(slant.value) });
    slant.value = "";
  };
  const form = el(
    "form.ruled",
    { onsubmit: add },
    field("slant-cross", W.cross, cross),
    field("slant-length", W.slant, slant),
    el("button.button", { type: "submit" }, W.add),
  );
  return el("details", {}, el("summary", {}, W.byTape), el("p.soft", {}, W.byTapeWords), form);
}

function hangForm(hands) {
  const [height, x, y] = [number("lens-height"), number("lens-x"), number("lens-y")];
  const add = (event) => {
    event.preventDefault();
    if (height.value.trim() !== "") hands.addLens({ height: typed(height.value) });
    if (x.value.trim() !== "" && y.value.trim() !== "") hands.addLens({ foot: [typed(x.value), typed(y.value)] });
    for (const input of [height, x, y]) input.value = "";
  };
  const form = el(
    "form.ruled",
    { onsubmit: add },
    field("lens-height", W.hangs, height),
    field("lens-x", W.footX, x),
    field("lens-y", W.footY, y),
    el("button.button", { type: "submit" }, W.add),
  );
  return el("details", {}, el("summary", {}, W.hanging), el("p.soft", {}, W.hangingWords), form);
}

/** A row for each sighting that speaks of the lens or of a block, with the way to take it back. */
function entries(bench, hands) {
  const { sightings } = bench;
  const residuals = residualsOf(bench.report);
  const raised = sightings.positions.map((p, i) => ({ p, i })).filter(({ p }) => p.height);
  const blocks = raised.map(({ p, i }) =>
    row(W.blockRow(p), residuals.position(i), residuals.scale, () => {
      const kept = positionOf(sightings, p.cross, p.height);
      if (kept !== null) hands.change(withPosition(sightings, p.cross, null, p.height));
    }),
  );
  const taped = sightings.distances.map((d, i) => ({ d, i })).filter(({ d }) => d.height);
  const tapes = taped.map(({ d, i }) =>
    row(W.tapedRow(d), residuals.distance(i), residuals.scale, () =>
      hands.change({ ...sightings, distances: replaced(sightings.distances, i, null) }),
    ),
  );
  const lens = sightings.lens.map((entry, i) =>
    row(W.lensRow(entry), residuals.lens(i), 30, () =>
      hands.change({ ...sightings, lens: replaced(sightings.lens, i, null) }),
    ),
  );
  return [...blocks, ...tapes, ...lens];
}

function row(text, residual, scale, remove) {
  return el(
    "tr",
    {},
    el("td", {}, text),
    residualCell(residual, scale),
    el(
      "td",
      {},
      el("button.button.remove", { type: "button", "aria-label": `${W.remove}: ${text}`, onclick: remove }, "×"),
    ),
  );
}
