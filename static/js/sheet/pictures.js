import { drawn, svg } from "../dom.js";
import { sheetWords as W } from "../words/sheet.js";

const AROUND = 4;
/** Labels nearer to each other than this share of the picture's side would lie on each other. */
const APART = 0.055;
/** A seam that fills less than this share of its piece is shown close up. */
const CLOSE = 0.5;

/** The piece: its outline faint, and over it only what the light shows. */
export const litPicture = (/** @type {any} */ step) => framed(step, W.drawing(step), svg("g.lit", {}, drawn(step.svg)));

/** Where the blows of a seam fall: one bar for each, by turns in two tones, with its number. */
export function blowsPicture(/** @type {any} */ step, /** @type {any} */ seam) {
  const near = closeUp(step, seam.blows.flatMap((blow) => blow.holes));
  const size = side(near);
  const bars = seam.blows.map((blow, i) => bar(blow, i, size));
  return framed(near, W.blowsDrawing(seam), svg("g.blow-bars", {}, ...bars, ...numbers(seam.blows, near, size)));
}

/** The step with the box drawn close round these places, where they fill only a small part of the piece. */
function closeUp(step, places) {
  const [xs, ys] = [places.map(([x]) => x), places.map(([, y]) => y)];
  const [left, top, right, bottom] = [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
  const large = Math.max(right - left, bottom - top);
  if (large > CLOSE * side(step)) return step;
  const room = Math.max(0.3 * large, 10);
  return { ...step, box: [left - room, top - room, right + room, bottom + room] };
}

/** The way of one thread: its stitches, where it starts and which way, what is sewn twice, joins, and where the ends are hidden. */
export function wayPicture(/** @type {any} */ step, /** @type {any} */ route) {
  const size = side(step);
  const twice = route.twice.map(([x1, y1, x2, y2]) => svg("path.twice", { d: `M${x1} ${y1}L${x2} ${y2}` }));
  const joins = route.joins.map(([x, y]) => svg("path.join", { d: diamond(x, y, size * 0.018) }));
  const [kx, ky] = route.knot;
  return framed(
    step,
    W.wayDrawing(route),
    svg("g.lit", {}, drawn(step.svg)),
    svg("g.way-marks", {}, ...twice, ...joins, svg("circle.knot", { cx: kx, cy: ky, r: size * 0.02 }), arrow(route, size)),
  );
}

function framed(step, label, ...marks) {
  const [left, top, right, bottom] = step.box;
  const box = [left - AROUND, top - AROUND, right - left + 2 * AROUND, bottom - top + 2 * AROUND];
  return svg(
    "svg.drawing.sheet-picture",
    { viewBox: box.join(" "), role: "img", "aria-label": label },
    svg("g.faint", {}, drawn(step.outline)),
    ...marks,
  );
}

const side = ({ box: [left, top, right, bottom] }) => Math.max(right - left, bottom - top);

function bar(blow, i, size) {
  const points = blow.holes.map(([x, y]) => `${x} ${y}`).join("L");
  const tone = i % 2 === 0 ? "bar-even" : "bar-odd";
  if (blow.holes.length > 1) return svg(`path.blow-bar.${tone}`, { d: `M${points}` });
  return svg(`circle.dot.${tone}`, { cx: blow.holes[0][0], cy: blow.holes[0][1], r: size * 0.008 });
}

/** A number beside each blow, towards the middle of the piece, as far as there is room for it. */
function numbers(blows, step, size) {
  const [left, top, right, bottom] = step.box;
  const [cx, cy] = [(left + right) / 2, (top + bottom) / 2];
  const taken = [];
  const found = [];
  for (const blow of [...blows].sort((a, b) => b.holes.length - a.holes.length)) {
    const [x, y] = blow.holes[Math.floor((blow.holes.length - 1) / 2)];
    const far = Math.hypot(cx - x, cy - y) || 1;
    const at = [x + ((cx - x) / far) * size * 0.05, y + ((cy - y) / far) * size * 0.05];
    if (taken.some(([tx, ty]) => Math.hypot(tx - at[0], ty - at[1]) < size * APART)) continue;
    taken.push(at);
    found.push(svg("text.blow-number", { x: at[0], y: at[1], "font-size": size * 0.042 }, blow.number));
  }
  return found;
}

const diamond = (x, y, r) => `M${x - r} ${y}L${x} ${y - r}L${x + r} ${y}L${x} ${y + r}z`;

/** A dot where the thread starts, and an arrow the way it goes. */
function arrow(route, size) {
  const [x, y] = route.start;
  const [tx, ty] = route.toward;
  const long = Math.hypot(tx - x, ty - y) || 1;
  const [ux, uy] = [(tx - x) / long, (ty - y) / long];
  const [px, py] = [x + ux * size * 0.09, y + uy * size * 0.09];
  const head = size * 0.025;
  const wing = (way) => `${px - ux * head - uy * head * way} ${py - uy * head + ux * head * way}`;
  return svg(
    "g.begin",
    {},
    svg("circle", { cx: x, cy: y, r: size * 0.014 }),
    svg("path", { d: `M${x} ${y}L${px} ${py}M${wing(0.6)}L${px} ${py}L${wing(-0.6)}` }),
  );
}
