import { el, svg } from "../dom.js";
import { own as W } from "../words/own.js";
import { choose, wrongHere } from "./choose.js";

/**
 * The kinds of line of a file, each with what it is for.
 * @param {HTMLElement} place
 * @param {any} drawing as the server answers it
 * @param {{chosen: (key: string, use: string) => void, lift: (look: number | null) => void}} tell
 */
export function lookList(place, drawing, tell) {
  const { looks } = drawing.sheet;
  const reasons = drawing.proposal.reasons;
  const selects = new Map();
  const aparts = new Map();

  function row(look, i) {
    const select = choose(
      { id: `look-${i}`, name: look.key, "aria-label": W.look.choose(titleOf(look)), "aria-describedby": `look-${i}-why` },
      Object.entries(W.choice),
      drawing.choices.looks[look.key],
      (use) => tell.chosen(look.key, use),
    );
    const apart = el("p.apart");
    selects.set(look.key, select);
    aparts.set(i, apart);
    const why = reasons.filter((r) => r.key === look.key).map((r) => r.words);
    const lift = (on) => () => tell.lift(on ? i : null);
    return el(
      "li.look-row",
      { onpointerenter: lift(true), onpointerleave: lift(false), onfocusin: lift(true), onfocusout: lift(false) },
      swatch(look, drawing.sheet),
      el("p.look-name", {}, el("strong", {}, titleOf(look)), el("span.soft.small", {}, counted(look))),
      select,
      el("p.why", { id: `look-${i}-why` }, why.join(" ")),
      apart,
      wrongHere(look.key),
    );
  }

  const counted = (look) => W.look.counted(look.lines, look.length * drawing.factor);

  place.replaceChildren(...looks.map(row));
  return {
    /** Show the choices as they are now, and how many lines differ from their kind. @param {any} now */
    show(now) {
      Object.assign(drawing, { factor: now.factor });
      const counts = place.querySelectorAll(".look-name .small");
      looks.forEach((look, i) => {
        selects.get(look.key).value = now.choices.looks[look.key];
        counts[i].textContent = counted(look);
        aparts.get(i).textContent = apartWords(i, now.choices, drawing.sheet.lines);
      });
    },
  };
}

/** How many lines of a look are for something else than it is. */
function apartWords(look, choices, lines) {
  const counts = {};
  for (const [number, use] of Object.entries(choices.lines)) {
    if (lines[number]?.look === look) counts[use] = (counts[use] ?? 0) + 1;
  }
  return Object.entries(counts)
    .map(([use, n]) => W.look.apart(n, W.choice[use]))
    .join(" ");
}

/** A look as a maker calls it: its layer, its colour, its dashes. */
function titleOf(look) {
  const parts = [look.layer && W.look.layer(look.layer), look.colour || W.look.noColour, look.dash.length > 0 && W.look.dashed];
  return parts.filter(Boolean).join(", ");
}

/** A stroke of the file's own colour and dashes on a white leaf, as the other program shows it. */
function swatch(look, sheet) {
  const span = Math.max(...sheet.pages.map((page) => Math.max(page.box[2] - page.box[0], page.box[3] - page.box[1])));
  const total = look.dash.reduce((sum, part) => sum + part, 0);
  const scale = total > 0 ? Math.min(18 / total, Math.max(8 / total, 600 / span)) : 1;
  return svg(
    "svg.swatch",
    { viewBox: "0 0 44 28", "aria-hidden": "true" },
    svg("rect", { x: 1, y: 1, width: 42, height: 26, rx: 5 }),
    svg("path", { d: "M6 14H38", stroke: look.colour || "#555555", "stroke-dasharray": look.dash.map((part) => part * scale).join(" ") || "none" }),
  );
}
