import { el } from "../dom.js";
import { own as W } from "../words/own.js";
import { choose, field } from "./choose.js";

/** The options of all lines; they are written once, and again only when the scale changes. */
export function lineOptions(drawing, factor) {
  const several = drawing.sheet.pages.length > 1;
  return drawing.sheet.lines.map((line, i) => [String(i), W.single.option(i + 1, line, factor, several)]);
}

/**
 * One line by its own: which, how large, what it is for. The list of lines does what a press in the picture does.
 * @param {HTMLElement} place
 * @param {any} drawing
 * @param {{which: (line: number | null) => void, chosen: (line: number, use: string) => void}} tell
 */
export function singleLine(place, drawing, tell) {
  let line = /** @type {number | null} */ (null);
  let factor = 0;
  const which = choose({ id: "line-which" }, [], "", (value) => tell.which(value === "" ? null : Number(value)));
  const use = choose({ id: "line-use" }, [], "", (value) => line !== null && tell.chosen(line, value));
  const size = el("p.soft.small");
  place.replaceChildren(
    el("p.soft.small", {}, W.single.how),
    el("div.pair", {}, field(W.single.which, which), field(W.single.is, use)),
    size,
  );

  function fill(select, entries, chosen) {
    select.replaceChildren(...entries.map(([value, text]) => el("option", { value }, text)));
    select.value = chosen;
  }

  return {
    /** @param {number | null} chosen @param {any} now */
    show(chosen, now) {
      line = chosen;
      const at = line === null ? "" : String(line);
      if (factor !== now.factor) fill(which, [["", W.single.none], ...lineOptions(drawing, now.factor)], at);
      factor = now.factor;
      which.value = at;
      use.disabled = line === null;
      if (line === null) {
        fill(use, [["", W.single.unchosen]], "");
        size.textContent = "";
        return;
      }
      const found = drawing.sheet.lines[line];
      const look = now.choices.looks[drawing.sheet.looks[found.look].key];
      fill(use, [["", W.single.asLook(W.choice[look])], ...Object.entries(W.choice)], now.choices.lines[at] ?? "");
      size.textContent = W.single.size(found, now.factor);
    },
  };
}
