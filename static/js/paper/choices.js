import { choices } from "../choices.js";
import { byId, el, svg } from "../dom.js";
import { shortLength, typed } from "../lengths.js";
import { paperWords as W } from "../words/paper.js";

const LENGTHS = new Set(["margin", "overlap"]);

const ROLL = "roll";
let turn = "auto";

/** Fill the form with what can be chosen; what changes is told to the listener. */
export function offer(/** @type {any} */ offered, /** @type {() => void} */ changed) {
  const sizes = [...offered.sizes, { name: ROLL, title: W.roll }];
  byId("size").replaceChildren(...sizes.map((s) => el("option", { value: s.name, selected: s.name === "A4" }, s.title)));
  byId("roll").value = W.rollUsual;
  byId("margin").value = shortLength(offered.margin_mm);
  byId("overlap").value = shortLength(offered.overlap_mm);
  byId("margin-words").textContent = W.margin;
  byId("overlap-words").textContent = W.overlap;
  choices(byId("sheet-lies"), "turn", offered.turns.map((name) => [name, W.turns[name]]), turn, (value) => {
    turn = value;
    changed();
  });
  byId("pieces").replaceChildren(...offered.pieces.map(pieceRow));
  byId("size").addEventListener("change", showRoll);
  showRoll();
}

function showRoll() {
  const roll = byId("size").value === ROLL;
  byId("roll-field").hidden = !roll;
  byId("sheet-lies").hidden = roll;
}

function pieceRow(piece) {
  const id = `copies-${piece.name}`;
  return el(
    "li",
    {},
    el("label", { for: id }, piece.title),
    el("span.soft.small", {}, W.size(piece)),
    el("input", { id, type: "number", min: 0, max: 50, value: 1, "data-piece": piece.name, "aria-label": W.copies(piece) }),
  );
}

/** What is chosen, as the words of an address. @returns {URLSearchParams} */
export function chosen() {
  const asked = new URLSearchParams();
  for (const name of ["size", "margin", "overlap", "printer"]) asked.set(name, LENGTHS.has(name) ? typed(byId(name).value.trim()) : byId(name).value.trim());
  if (byId("size").value === ROLL) asked.set("roll", typed(byId("roll").value.trim()));
  else asked.set("turn", turn);
  const copies = Array.from(byId("pieces").querySelectorAll("input"), (input) => [input.dataset.piece, input.value.trim() || "0"]);
  if (copies.some(([, many]) => many !== "1")) asked.set("pieces", copies.map((pair) => pair.join(":")).join(","));
  return asked;
}

/** The little drawing of the two rules to be measured. */
export function drawRules() {
  const ticks = (n) => Array.from({ length: 11 }, (_, i) => n(i)).join("");
  byId("rules").setAttribute("aria-label", W.rules);
  byId("rules").append(
    svg("rect.sheet", { x: 1, y: 1, width: 198, height: 128, rx: 3 }),
    svg("path.rule", { d: `M34 30h140${ticks((i) => `M${34 + 14 * i} 30v${i % 5 ? -6 : -10}`)}` }),
    svg("path.rule", { d: `M24 40v80${ticks((i) => `M24 ${40 + 8 * i}h${i % 5 ? -6 : -10}`)}` }),
    svg("text", { x: 104, y: 48 }, "100 mm"),
    svg("text", { x: 52, y: 84 }, "100 mm"),
  );
}
