/** @typedef {{points: number[], closed: boolean}} Line */

/**
 * The line nearest to a place, or -1 when none is within reach.
 * @param {Line[]} lines @param {number[]} numbers which of them count @param {[number, number]} place @param {number} reach
 */
export function nearestLine(lines, numbers, place, reach) {
  let best = reach;
  let found = -1;
  for (const i of numbers) {
    const away = distanceTo(lines[i], place, best);
    if (away < best) [best, found] = [away, i];
  }
  return found;
}

/**
 * The corner of a line nearest to a place, or the place itself when none is within reach.
 * @param {Line[]} lines @param {number[]} numbers @param {[number, number]} place @param {number} reach
 * @returns {[number, number]}
 */
export function nearestPoint(lines, numbers, place, reach) {
  let best = reach;
  let found = place;
  for (const i of numbers) {
    const points = lines[i].points;
    for (let j = 0; j < points.length; j += 2) {
      const away = Math.hypot(points[j] - place[0], points[j + 1] - place[1]);
      if (away < best) [best, found] = [away, [points[j], points[j + 1]]];
    }
  }
  return found;
}

/** How far a place is from a line; what is surely farther than `most` is not worked out. */
function distanceTo(/** @type {Line} */ { points, closed }, [x, y], most) {
  let best = Infinity;
  const last = points.length - 2;
  for (let j = closed ? 0 : 2; j <= last; j += 2) {
    const k = j === 0 ? last : j - 2;
    const [ax, ay, bx, by] = [points[k], points[k + 1], points[j], points[j + 1]];
    if (Math.min(ax, bx) - most > x || Math.max(ax, bx) + most < x) continue;
    if (Math.min(ay, by) - most > y || Math.max(ay, by) + most < y) continue;
    best = Math.min(best, toSegment(x, y, ax, ay, bx - ax, by - ay));
  }
  return best;
}

function toSegment(x, y, ax, ay, dx, dy) {
  const square = dx * dx + dy * dy;
  const share = square === 0 ? 0 : Math.max(0, Math.min(1, ((x - ax) * dx + (y - ay) * dy) / square));
  return Math.hypot(x - ax - share * dx, y - ay - share * dy);
}
