import { el } from "../dom.js";
import { words } from "../words/words.js";

const W = words.session;
const KIND = { still: "good", shifted: "good", anew: "wrong" };

/**
 * What a session check found: the decision, its sentence, the numbers behind it, and where to go now.
 * @param {any} found the server's answer @param {{again: () => void, anew: () => void, layout: number | null}} ways
 */
export function verdictCard(found, ways) {
  const far = Object.values(found.off_mm).reduce((most, value) => Math.max(most, value), 0);
  return el(
    "div.card.decided",
    { "data-decision": found.decision, tabindex: -1 },
    el("h3", {}, W.decision[found.decision]),
    el(`p.note.${KIND[found.decision]}`, {}, found.sentence),
    found.decision === "anew" && el("p", {}, W.anewWords),
    el("div.row", {}, ...(found.decision === "anew" ? anewWays(ways) : goodWays(ways))),
    el(
      "details",
      { open: found.decision !== "still" },
      el("summary", {}, W.full),
      el(
        "div.stack.tight",
        {},
        el("p", {}, found.decision === "anew" ? W.numbers.off(far) : W.numbers.drift(found.drift_mm)),
        el("p", {}, W.numbers.sigma(found.sigma0)),
        el("p", {}, W.numbers.still(found.still_chance)),
        found.decision !== "still" && el("p", {}, W.numbers.shift(found.shift_chance)),
        offTable(found.off_mm, far),
      ),
    ),
  );
}

const button = (text, act, name = "button.button") => el(name, { type: "button", onclick: act }, text);

const goodWays = (ways) => [
  ways.layout === null
    ? el("a.button.main", { href: "/check" }, W.toRule)
    : el("a.button.main", { href: `/table/${ways.layout}` }, W.toTable),
  button(W.check.again, ways.again),
];

const anewWays = (ways) => [
  button(W.clearFirst, ways.anew, "button.button.main"),
  button(W.check.again, ways.again),
  el("a.button", { href: "#guard" }, W.toGuard),
];

function offTable(off, far) {
  const row = ([name, value]) => {
    const bar = el("span.filled");
    bar.style.width = `${far > 0 ? (value / far) * 100 : 0}%`;
    return el(
      "tr",
      {},
      el("th", { scope: "row" }, name),
      el("td.residual", {}, el("span.track", { "aria-hidden": "true" }, bar), el("span.amount", {}, words.mm(value))),
    );
  };
  return el("table.off", {}, el("caption.unseen", {}, W.offCaption), el("tbody", {}, ...Object.entries(off).map(row)));
}
