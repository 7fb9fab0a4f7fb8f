import { el } from "../dom.js";
import { words } from "../words/words.js";

const W = words.check;

/** The verdict in one word and one sentence, and each reading against what was to be expected. */
export function verdictOf(/** @type {{verdict: string, sentence: string, rows: any[]}} */ answer) {
  const head = ["line", "should", "read", "off", "allowed"].map((name) =>
    el(name === "line" ? "th" : "th.number", { scope: "col" }, W.columns[name]),
  );
  const row = (r) =>
    el(
      "tr",
      {},
      el("td", {}, W.lines[r.name]),
      ...[r.nominal, r.read].map((v) => el("td.number", {}, W.amount(v))),
      el("td.number", {}, W.signed(r.difference)),
      el("td.number", {}, W.amount(r.allowed)),
    );
  return el(
    "div.verdict",
    { "data-verdict": answer.verdict },
    el("h3", {}, W.verdicts[answer.verdict]),
    el("p", {}, answer.sentence),
    answer.rows.length > 0 &&
      el(
        "div.scroll-x",
        {},
        el(
          "table",
          {},
          el("caption.unseen", {}, W.caption),
          el("thead", {}, el("tr", {}, ...head)),
          el("tbody", {}, ...answer.rows.map(row)),
        ),
      ),
  );
}
