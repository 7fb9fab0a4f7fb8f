/**
 * What moves in the light because the maker asked for it: a kind of line that blinks, and a dot that runs along the lines
 * that are cut. Both are light to work by, no ornament of a page, so a wish for less motion does not stop them.
 */

/** Well under three flashes a second, which WCAG 2.2 (2.3.1) sets as the bound. */
const ON_MS = 700;
const OFF_MS = 400;

const KINDS = new Set(["cut", "slot"]);
const MOST_DOTS = 12;
const SHORTEST_PX = 60;
const ROUND_S = 8;
const SLOWEST_PX_S = 150;
const DOT_PX = 6;

/** @param {(on: boolean) => void} turned called at each turn @returns {(on: boolean) => void} switch it on or off */
export function blinker(turned) {
  let timer = 0;
  const turn = (on) => {
    timer = window.setTimeout(() => turn(!on), on ? ON_MS : OFF_MS);
    turned(on);
  };
  return (wanted) => {
    if (wanted === timer > 0) return;
    window.clearTimeout(timer);
    timer = 0;
    if (wanted) timer = window.setTimeout(() => turn(false), ON_MS);
  };
}

/** The dots have a canvas of their own over the picture, which is not drawn again for them. @param {HTMLCanvasElement} canvas */
export function runner(canvas) {
  const context = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d"));
  /** @type {ReturnType<typeof track>[]} */
  let tracks = [];
  let last = [];

  function step(now) {
    if (tracks.length === 0) return;
    clear();
    last = tracks.map((line) => dotOn(line, now / 1000));
    for (const dot of last) drawDot(context, dot);
    requestAnimationFrame(step);
  }
  function clear() {
    for (const { x, y } of last) context.clearRect(x - 3 * DOT_PX, y - 3 * DOT_PX, 6 * DOT_PX, 6 * DOT_PX);
    last = [];
  }
  return {
    /** @param {{width: number, height: number}} size */
    fit({ width, height }) {
      canvas.width = width;
      canvas.height = height;
      last = [];
    },
    /** @param {import("./paint.js").Frame | null} frame null stops it */
    run(frame) {
      const idle = tracks.length === 0;
      tracks = frame === null ? [] : linesOf(frame).map(track).filter((line) => line.long >= SHORTEST_PX);
      tracks.sort((a, b) => b.long - a.long).splice(MOST_DOTS);
      canvas.hidden = tracks.length === 0;
      if (tracks.length === 0) clear();
      else if (idle) requestAnimationFrame(step);
    },
  };
}

function linesOf(/** @type {import("./paint.js").Frame} */ frame) {
  const strokes = frame.strokes.filter((stroke) => KINDS.has(stroke.kind));
  const rings = (frame.areas ?? []).flatMap((area) => area.rings);
  return [...strokes, ...rings.map((points) => ({ points, closed: true, colour: "#ffffff" }))];
}

/** A line with how far along it each of its points lies, px. */
function track({ points, closed, colour }) {
  const at = closed ? [...points, points[0], points[1]] : points;
  const reached = [0];
  for (let i = 2; i < at.length; i += 2)
    reached.push(reached[reached.length - 1] + Math.hypot(at[i] - at[i - 2], at[i + 1] - at[i - 1]));
  const long = reached[reached.length - 1];
  return { at, reached, long, colour, speed: Math.max(SLOWEST_PX_S, long / ROUND_S) };
}

function dotOn({ at, reached, long, colour, speed }, seconds) {
  const along = (seconds * speed) % long;
  let leg = reached.findIndex((reach) => reach > along) - 1;
  if (leg < 0) leg = 0;
  const share = (along - reached[leg]) / (reached[leg + 1] - reached[leg] || 1);
  const [x, y] = [at[2 * leg], at[2 * leg + 1]];
  return { x: x + share * (at[2 * leg + 2] - x), y: y + share * (at[2 * leg + 3] - y), colour };
}

/** A bright dot in a dark ring shows on a line as on a lit piece. */
function drawDot(context, { x, y, colour }) {
  for (const [radius, fill] of [
    [1.5 * DOT_PX, "#000"],
    [DOT_PX, colour],
  ]) {
    context.fillStyle = fill;
    context.beginPath();
    context.arc(x, y, Number(radius), 0, 2 * Math.PI);
    context.fill();
  }
}
