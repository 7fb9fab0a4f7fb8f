import { ago } from "../dates.js";
import { svg } from "../dom.js";
import { words } from "../words/words.js";

const W = words.history;
const WIDE = 640;
const LEFT = 52;
const TRACKS = { drift: { top: 26, bottom: 112 }, sigma: { top: 150, bottom: 222 } };

/**
 * Drift and sigma over the sessions of a bench, oldest first: two small tracks over the same places, one mark an entry.
 * @param {import("./history.js").Entry[]} entries oldest first
 */
export function historyPlot(entries) {
  const step = (WIDE - LEFT - 24) / Math.max(entries.length, 6);
  const x = (i) => LEFT + step * (i + 0.5);
  const drift = scale(
    entries.map((e) => e.drift_mm),
    TRACKS.drift,
    1,
  );
  const sigma = scale(
    entries.map((e) => e.sigma0),
    TRACKS.sigma,
    2,
  );
  return svg(
    "svg.history-plot",
    { viewBox: `0 0 ${WIDE} 240`, role: "img", "aria-label": W.plot(entries.length) },
    ...axis(W.drift, TRACKS.drift, drift),
    ...axis(W.sigma, TRACKS.sigma, sigma),
    svg("path.expected", { d: `M${LEFT} ${sigma.y(1)}H${WIDE - 12}` }, svg("title", {}, W.promise)),
    svg("path.sigma-line", { d: lineOf(entries, x, sigma) }),
    ...entries.flatMap((entry, i) => marks(entry, x(i), step, drift, sigma)),
  );
}

/** A scale from nothing to a round number above all values. */
function scale(values, { top, bottom }, least) {
  const most = values.reduce((found, value) => Math.max(found, value ?? 0), least);
  const whole = 10 ** Math.floor(Math.log10(most));
  const end = [1, 2, 5, 10].map((k) => k * whole).find((k) => k >= most) ?? most;
  return { end, y: (value) => bottom - ((bottom - top) * value) / end };
}

function axis(title, { top, bottom }, { end }) {
  const number = (value, y) => svg("text.number", { x: LEFT - 8, y: y + 4, "text-anchor": "end" }, value);
  return [
    svg("path.axis", { d: `M${LEFT} ${bottom}H${WIDE - 12}M${LEFT} ${top}H${WIDE - 12}` }),
    svg("text.title", { x: LEFT, y: top - 9 }, title),
    number(String(end), top),
    number("0", bottom),
  ];
}

function lineOf(entries, x, sigma) {
  const known = entries.map((entry, i) => [x(i), entry.sigma0]).filter(([, value]) => value !== null);
  return known.map(([at, value], i) => `${i === 0 ? "M" : "L"}${at} ${sigma.y(value)}`).join("") || "M0 0";
}

const beginning = (at) =>
  Object.values(TRACKS)
    .map(({ top, bottom }) => `M${at} ${top}V${bottom}`)
    .join("");

function marks(entry, at, step, drift, sigma) {
  const told = W.point(W.kinds[entry.kind][entry.decision], ago(entry.at), entry.drift_mm, entry.sigma0);
  const title = () => svg("title", {}, told);
  const wide = Math.min(step * 0.5, 22);
  const base = TRACKS.drift.bottom;
  const found = [];
  if (entry.kind === "calibration") found.push(svg("path.begin", { d: beginning(at) }, title()));
  if (entry.drift_mm !== null) {
    const top = Math.min(drift.y(entry.drift_mm), base - 2);
    const bar = { x: at - wide / 2, y: top, width: wide, height: base - top, rx: 2, "data-decision": entry.decision };
    found.push(svg("rect.drift", bar, title()));
  }
  if (entry.sigma0 !== null) found.push(svg("circle.sigma", { cx: at, cy: sigma.y(entry.sigma0), r: 4.5 }, title()));
  return found;
}
