import { svg } from "../dom.js";
import { words } from "../words/words.js";

/** The six lines of the check figure in a sketch, each with its name; which one is meant lights up. */
const LINES = {
  top: { d: "M60 40H260", at: [160, 26] },
  bottom: { d: "M60 240H260", at: [160, 262] },
  left: { d: "M60 40V240", at: [28, 145] },
  right: { d: "M260 40V240", at: [292, 145] },
  "diagonal-down": { d: "M60 40L260 240", at: [112, 76] },
  "diagonal-up": { d: "M60 240L260 40", at: [112, 212] },
};

export const NAMES = Object.keys(LINES);

export function checkFigure() {
  const line = ([name, { d, at }]) =>
    svg("g", { "data-line": name }, svg("path", { d }), svg("text", { x: at[0], y: at[1] }, words.check.lines[name]));
  const root = svg(
    "svg.check-figure",
    { viewBox: "0 0 320 280", role: "img", "aria-label": words.check.figure },
    ...Object.entries(LINES).map(line),
  );
  return {
    element: root,
    light(/** @type {string | null} */ name) {
      for (const group of root.children)
        group.setAttribute("data-lit", group.getAttribute("data-line") === name ? "yes" : "no");
    },
  };
}
