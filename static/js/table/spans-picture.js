import { svg } from "../dom.js";
import { alignWords } from "../words/align.js";
import { onTable } from "./lie.js";

const W = alignWords.spans;
const WIDE = 360;
const BAR = 22;
const GAP = 8;

/**
 * The piece lengthwise with its spans below each other, where they overlap, and the crosses of each joint.
 * @param {any} work @param {(number: number) => void} go
 */
export function spansPicture(work, go) {
  const scale = WIDE / work.length_mm;
  const rows = work.spans.map((span, i) => row(span, i, work, scale, go));
  const high = 34 + work.spans.length * (BAR + GAP);
  return svg(
    "svg.spans-picture",
    { viewBox: `-4 -4 ${WIDE + 8} ${high}`, role: "group", "aria-label": W.drawing(work.title, work.spans.length) },
    svg("rect.whole", { x: 0, y: 0, width: WIDE, height: 14, rx: 4 }),
    ...work.spans.flatMap((span, i) => joint(span, work.spans[i + 1], scale)),
    svg("g", { transform: "translate(0 24)" }, ...rows),
  );
}

function row(span, i, work, scale, go) {
  const x = span.from_mm * scale;
  const width = (span.to_mm - span.from_mm) * scale;
  const y = i * (BAR + GAP);
  const text = `${i + 1}${work.about && i % 2 === 1 ? " ⇄" : ""} · ${W.within(span.error95_mm)}`;
  return svg(
    "g.span-row",
    {
      "data-now": i === work.at ? "yes" : "no",
      tabindex: 0,
      role: "button",
      "aria-current": i === work.at ? "step" : null,
      "aria-label": W.row(i + 1, span),
      onclick: () => go(i + 1),
      onkeydown: (event) => {
        if (event.key !== "Enter" && event.key !== " ") return;
        event.preventDefault();
        event.stopPropagation();
        go(i + 1);
      },
    },
    svg("rect", { x, y, width, height: BAR, rx: 5 }),
    svg("text", { x: x + width / 2, y: y + BAR / 2 + 4, "text-anchor": "middle" }, text),
  );
}

/** What two neighbours both light, and a cross at each of its ends. */
function joint(span, next, scale) {
  if (next === undefined) return [];
  const [from, to] = [next.from_mm * scale, span.to_mm * scale];
  const cross = (x) => svg("path.cross", { d: `M${x - 4} 7h8M${x} 3v8` });
  return [svg("rect.both", { x: from, y: 0, width: to - from, height: 14 }), cross(from + 5), cross(to - 5)];
}

/** The crosses of the present span on the table drawing: those to be marked, and those to be met. @param {SVGSVGElement} root */
export function crossesOn(root) {
  const element = svg("g.span-crosses", { "aria-hidden": "true" });
  root.append(element);
  return function show(/** @type {any} */ work, /** @type {(piece: string) => import("./lie.js").Lie} */ lie) {
    if (work === null) return element.replaceChildren();
    const lies = lie(work.piece);
    const marks = (joint, what) => (work.joints[joint] ?? []).map((mark) => crossAt(onTable(lies, mark.at), mark.name, what));
    return element.replaceChildren(...marks(work.at, "draw"), ...marks(work.at - 1, "meet"));
  };
}

function crossAt({ x, y }, name, what) {
  return svg(
    "g",
    { "data-what": what },
    svg("path", { d: `M${x - 9} ${y}h18M${x} ${y - 9}v18` }),
    svg("text", { x: x + 11, y: y - 9, "font-size": 22 }, name),
  );
}
