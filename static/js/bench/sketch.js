import { svg } from "../dom.js";
import { words } from "../words/words.js";

/**
 * A sketch of the projector's picture with its crosses, drawn in the picture's own pixels. It shows which cross is
 * chosen, which distances are known, and which one to measure next.
 *
 * @param {{picture: [number, number], crosses: Record<string, [number, number]>, chosen: string | null, known: [string, string][],
 *          wanted: [string, string] | null, placed: Set<string>, choose: (cross: string) => void, label: string}} what
 * @returns {SVGElement}
 */
export function sketch(what) {
  const [width, height] = what.picture;
  const unit = width / 100;
  const line = (name, [from, to]) => {
    const [a, b] = [what.crosses[from], what.crosses[to]];
    return a && b ? svg(`line.${name}`, { x1: a[0], y1: a[1], x2: b[0], y2: b[1] }) : null;
  };
  const drawing = svg(
    "svg.sketch",
    {
      viewBox: `${-unit} ${-unit} ${width + 2 * unit} ${height + 2 * unit}`,
      role: "group",
      "aria-label": what.label,
    },
    svg("rect.edge", { x: 0, y: 0, width, height }),
    ...what.known.map((pair) => line("known", pair)),
    what.wanted && line("wanted", what.wanted),
    ...Object.entries(what.crosses).map(([name, at]) => cross(name, at, unit, what)),
  );
  return drawing;
}

function cross(name, [x, y], unit, what) {
  const arm = unit * 1.7;
  const state =
    what.chosen === name ? "chosen" : what.wanted?.includes(name) ? "asked" : what.placed.has(name) ? "placed" : "";
  // Letters stand on the side of the cross that has room inside the picture.
  const beside = x > what.picture[0] * 0.93 ? -1 : 1;
  const below = y < what.picture[1] * 0.1 ? 1 : -1;
  return svg(
    "g.cross",
    {
      transform: `translate(${x} ${y})`,
      "data-state": state,
      "data-cross": name,
      role: "button",
      tabindex: -1,
      "aria-label": words.bench.crossLabel(name, state),
      onclick: () => what.choose(name),
    },
    svg("circle.reach", { r: unit * 4 }),
    svg("path", { d: `M${-arm} 0H${arm}M0 ${-arm}V${arm}` }),
    svg(
      "text",
      {
        x: beside * unit * 2.2,
        y: below * unit * 1.7,
        "text-anchor": beside > 0 ? "start" : "end",
        "font-size": unit * 3.4,
        "dominant-baseline": "middle",
      },
      name,
    ),
  );
}
