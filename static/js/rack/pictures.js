import { svg } from "../dom.js";

const number = (text, otherwise) => {
  const found = Number.parseFloat(String(text ?? "").replace(",", "."));
  return Number.isFinite(found) && found > 0 ? found : otherwise;
};
const within = (value, low, high) => Math.min(high, Math.max(low, value));

/** A small drawing of a thing on the rack, after what is typed: thicker leather is drawn thicker, a finer row closer. */
const DRAW = {
  leathers: (line) => {
    const high = within(number(line.high || line.low, 2) * (/oz/i.test(line.low ?? "") ? 0.4 : 1) * 4, 3, 24);
    return [svg("path.hide", { d: `M4 ${24 - high / 2}q16 -4 32 0t24 0v${high}q-12 4 -24 0t-32 0z` })];
  },
  threads: (line) => {
    const size = /tex/i.test(line.size ?? "") ? Math.sqrt(number(line.size, 200)) / 27 : number(line.size, 0.6);
    const thread = svg("path.thread", { d: "M4 30q10 -22 20 -6t20 -2t16 -8" });
    thread.setAttribute("stroke-width", String(within(size * 4, 1, 7)));
    return [thread];
  },
  chisels: (line) => {
    const apart = within(number(line.pitch, 4) * 2, 4, 14);
    const tines = within(Math.max(1, ...String(line.tines ?? "").split(/[^0-9]+/).map(Number)), 1, Math.floor(52 / apart) + 1);
    const left = 32 - ((tines - 1) * apart) / 2;
    const teeth = Array.from({ length: tines }, (_, i) => `M${left + i * apart} 22v14`).join("");
    return [svg("path.steel", { d: `M${left - 3} 12h${(tines - 1) * apart + 6}v10h-${(tines - 1) * apart + 6}z` }), svg("path.tine", { d: teeth })];
  },
  punches: (line) => {
    if (line.shape === "corner") return [svg("path.steel", { d: "M10 40V24q0 -16 16 -16h28" })];
    const width = within(number(line.width, 4) * 2, 4, 30);
    const long = line.shape === "oblong" ? within(number(line.length, 20) * 1.4, width, 56) : width;
    return [svg("rect.steel", { x: 32 - long / 2, y: 24 - width / 2, width: long, height: width, rx: width / 2 })];
  },
  hardware: (line) =>
    /buckle/i.test(line.name ?? "")
      ? [svg("path.steel", { d: "M14 8h36v32h-36z" }), svg("path.tine", { d: "M32 8v32M32 24h20" })]
      : /ring/i.test(line.name ?? "")
        ? [svg("circle.steel", { cx: 32, cy: 24, r: 15 }), svg("circle.steel", { cx: 32, cy: 24, r: 11 })]
        : [svg("path.steel", { d: "M18 22q0 -10 14 -10t14 10z" }), svg("path.tine", { d: "M32 22v14M26 36h12" })],
  needles: () => [svg("path.steel", { d: "M4 24q2 -3 8 -3l48 3l-48 3q-6 0 -8 -3z" }), svg("path.tine", { d: "M9 24h7" })],
};

/** @param {string} part @param {Record<string, string>} line what is typed */
export function picture(part, line) {
  return svg("svg.rack-picture", { viewBox: "0 0 64 48", "aria-hidden": "true" }, ...DRAW[part](line));
}
