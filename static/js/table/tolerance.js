import { el } from "../dom.js";
import { words } from "../words/words.js";

const W = words.table;

/**
 * Piece by piece: how sure its lines are where it lies, and whether that meets the bench's tolerance.
 * @param {{pieces: {title: string, error_mm?: number | null, met?: boolean | null}[], tolerance_mm?: number}} layout
 */
export function toleranceRows({ pieces, tolerance_mm: tolerance }) {
  const told = pieces.filter((piece) => typeof piece.met === "boolean" && typeof piece.error_mm === "number");
  return told.map((piece) =>
    el(
      "li",
      { "data-met": piece.met ? "yes" : "no" },
      el("strong", {}, piece.title),
      el("span.verdict", {}, piece.met ? W.met : W.notMet),
      el("span.soft.small", {}, W.within(piece.error_mm, tolerance)),
    ),
  );
}
