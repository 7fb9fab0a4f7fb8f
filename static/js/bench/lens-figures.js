import { svg } from "../dom.js";
import { words } from "../words/words.js";

const W = words.setups;

/** The table from the side, 320 x 150, with lamp and table top; what a set-up adds comes in between. */
const side = (label, ...inside) =>
  svg(
    "svg.side",
    { viewBox: "0 0 320 150", role: "img", "aria-label": label },
    svg("path.table", { d: "M10 130H310" }),
    svg("path.lamp", { d: "M60 8h34v14H60z" }),
    svg("path.eye", { d: "M70 22h14l-3 5h-8z" }),
    ...inside,
  );

const text = (x, y, words, anchor = "start") => svg("text", { x, y, "text-anchor": anchor }, words);

/** A ray meets the top of a block short of the place on the table it was meant for. */
export const blockFigure = () =>
  side(
    W.block.figure,
    svg("path.block", { d: "M176 86h84v44h-84z" }),
    svg("path.ray", { d: "M77 27 206.300 86" }),
    svg("path.sight", { d: "M206.300 86 302.800 130" }),
    svg("circle.spot", { cx: 206.3, cy: 86, r: 4.5 }),
    svg("path.measure", { d: "M270 86v44M265 86h10M265 130h10" }),
    text(214, 77, W.block.labels.here),
    text(182, 116, W.block.labels.block),
    text(280, 104, W.block.labels.height),
  );

/** The tape goes straight from the lens to a cross. */
export const slantFigure = () =>
  side(
    W.slant.figure,
    svg("path.tape", { d: "M77 27 258 130" }),
    svg("path.measure", { d: "M73.500 33 80.500 21M254.500 136 261.500 124" }),
    svg("path.cross-mark", { d: "M258 123v14M251 130h14" }),
    text(182, 74, W.slant.labels.tape),
    text(270, 122, W.slant.labels.cross),
  );

/** A weight on a string shows the foot; its length is the height. */
export const plumbFigure = () =>
  side(
    W.plumb.figure,
    svg("path.string", { d: "M77 27V112" }),
    svg("path.weight", { d: "M70 112h14l-2 9-5 8-5-8z" }),
    svg("path.measure", { d: "M112 27v103M107 27h10M107 130h10" }),
    svg("circle.spot", { cx: 77, cy: 130, r: 4.5 }),
    text(122, 82, W.plumb.labels.height),
    text(64, 122, W.plumb.labels.foot, "end"),
  );
