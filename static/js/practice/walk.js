import { el } from "../dom.js";
import { words } from "../words/words.js";

const W = words.practice.walk;

/**
 * The five-minute walk: what is done, what comes now, and the way to it.
 * @param {any} state the workshop's state @param {any} landing what is seen on the table
 * @param {number | null} lamp the practice thing @param {Record<string, () => void>} acts
 */
export function walk(state, landing, lamp, acts) {
  const bench = state.bench?.practice ? state.bench : null;
  const sighted = bench?.calibrated === true;
  const checked = sighted && state.check?.valid === true && state.check.verdict === "holds";
  const steps = [
    { name: "start", done: bench !== null, do: acts.start },
    { name: "crooked", done: sighted || (landing?.mode === "check" && landing.readings !== null), do: acts.check },
    { name: "calibrate", done: sighted, href: bench && `/bench/${bench.id}` },
    { name: "check", done: checked, href: "/check" },
    { name: "draft", done: state.layout !== null, href: lamp && `/draft/${lamp}`, open: true },
    { name: "work", done: false, href: state.layout && `/table/${state.layout.id}` },
  ];
  const now = steps.findIndex((step) => !step.done);
  return steps.map((step, i) => row(step, i, i === now));
}

function row(step, i, isNow) {
  const way = step.do
    ? el("button.button", { type: "button", onclick: step.do }, W[step.name].go)
    : step.href && el("a.button", { href: step.href }, W[step.name].go);
  return el(
    "li",
    { "data-done": step.done ? "yes" : "no", "data-now": isNow ? "yes" : "no", "aria-current": isNow ? "step" : null },
    el("span.tick", {}, step.done ? "✓" : i + 1, step.done && el("span.unseen", {}, W.done)),
    el("span.about", {}, el("strong", {}, W[step.name].title), " ", W[step.name].words),
    (isNow || step.done || step.open) && way ? el("span.do", {}, way) : null,
  );
}
