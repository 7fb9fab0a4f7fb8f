import { svg } from "../dom.js";

/** A small drawing for each thing that the picture guard looks at; 160 x 100, the wrong beside or over the right. */
const figure = (...inside) => svg("svg.guard-figure", { viewBox: "0 0 160 100", "aria-hidden": "true" }, ...inside);

const path = (name, d) => svg(`path.${name}`, { d });
const rect = (name, x, y, width, height) => svg(`rect.${name}`, { x, y, width, height });
const cross = (name, x, y, r) => path(name, `M${x - r} ${y}h${2 * r}M${x} ${y - r}v${2 * r}`);

/** Squares of a chequerboard, true ones of `side` px or run together by a scale that is not whole. */
function chequer(x, y, side, widths) {
  const cells = [];
  let at = x;
  widths.forEach((wide, column) => {
    for (let row = 0; row < 6; row += 1)
      if ((row + column) % 2 === 0) cells.push(rect("white", at, y + row * side, wide, side));
    at += wide;
  });
  return cells;
}

const FIGURES = {
  "full-screen": () => [
    rect("frame", 10, 12, 140, 76),
    rect("frame.wrong-line", 30, 26, 92, 50),
    path("thin", "M30 36h92"),
    path("go", "M122 26l20-10M122 76l20 8M30 26 14 16M30 76 14 84"),
  ],
  "native-size": () => [
    rect("frame", 10, 12, 140, 76),
    rect("frame.wrong-line", 10, 12, 104, 58),
    path("go", "M62 41h70M120 34l12 7-12 7"),
  ],
  zoom: () => [
    rect("frame", 10, 12, 140, 76),
    path("good-line", "M28 70h48"),
    path("wrong-line", "M28 56h64"),
    path("thin", "M28 50v26M76 64v12M92 50v12"),
    svg("circle.thin", { cx: 118, cy: 40, r: 13 }),
    path("thin", "M127 50l12 13M112 40h12M118 34v12"),
  ],
  scaling: () => [
    ...chequer(20, 26, 8, [8, 8, 8, 8, 8, 8]),
    path("go", "M76 50h12M83 45l6 5-6 5"),
    ...chequer(96, 26, 8, [10, 6, 10, 6, 10, 6]),
  ],
  overscan: () => [
    rect("frame", 18, 16, 124, 68),
    rect("good-line", 22, 20, 116, 60),
    path("wrong-line", "M14 20v64h136"),
    path("go", "M22 50H8M138 50h14M80 20V8M80 80v14"),
  ],
  keystone: () => [
    ...chequer(16, 26, 8, [8, 8, 8, 8, 8, 8]),
    path("go", "M72 50h12M79 45l6 5-6 5"),
    rect("grey", 96, 26, 48, 48),
    path("wrong-line", "M102 26v48M116 26v48M132 26v48"),
  ],
  mirror: () => [
    path("thin.dash", "M80 10v80"),
    path("good-line", "M34 28v44M34 28h22a10 10 0 0 1 0 21H34M50 49l14 23"),
    path("wrong-line", "M126 28v44M126 28h-22a10 10 0 0 0 0 21h22M110 49 96 72"),
  ],
  "warm-up": () => [
    svg("circle.frame", { cx: 48, cy: 50, r: 30 }),
    path("good-line", "M48 50V28M48 50l16 10"),
    cross("good-line", 112, 58, 12),
    cross("wrong-line", 122, 46, 12),
    path("go", "M104 76c14 8 30 4 36-8M140 68l1 9M140 68l-9 3"),
  ],
};

/** @param {string} name */
export const guardFigure = (name) => figure(...(FIGURES[name]?.() ?? []));
