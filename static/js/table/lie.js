/**
 * How a piece lies: mirrored first (x to -x), then turned (degrees, clockwise as seen), then its origin moved to (x, y) mm.
 * Rigid moves only; where light has to go for that is the server's work.
 *
 * @typedef {{x: number, y: number, turn: number, mirror: boolean}} Lie
 */

const radians = (degrees) => (degrees * Math.PI) / 180;

/** The SVG transform that shows a piece as it lies. */
export function transformOf(/** @type {Lie} */ lie) {
  return `translate(${lie.x} ${lie.y}) rotate(${lie.turn})${lie.mirror ? " scale(-1 1)" : ""}`;
}

/** Where a point of the piece lies on the table. @param {Lie} lie @param {[number, number]} point */
export function onTable(lie, [px, py]) {
  const x = lie.mirror ? -px : px;
  const [cos, sin] = [Math.cos(radians(lie.turn)), Math.sin(radians(lie.turn))];
  return { x: lie.x + x * cos - py * sin, y: lie.y + x * sin + py * cos };
}

/** The same piece turned and mirrored anew about its own middle, so that it stays where it is. @param {Lie} lie @param {[number, number]} middle */
export function about(lie, middle, change) {
  const before = onTable(lie, middle);
  const turned = { ...lie, ...change };
  const after = onTable(turned, middle);
  return { ...turned, x: lie.x + before.x - after.x, y: lie.y + before.y - after.y };
}

/** -180 up to but not including 180, to a hundredth of a degree. */
export function tidyTurn(/** @type {number} */ degrees) {
  const turn = Math.round(degrees * 100) / 100;
  return ((((turn + 180) % 360) + 360) % 360) - 180;
}

/** Millimetres to a hundredth, so that what is shown is what is kept. */
export const tidy = (/** @type {Lie} */ lie) => ({
  x: Math.round(lie.x * 100) / 100,
  y: Math.round(lie.y * 100) / 100,
  turn: tidyTurn(lie.turn),
  mirror: lie.mirror,
});

export const middleOf = (/** @type {{box: number[]}} */ piece) =>
  /** @type {[number, number]} */ ([(piece.box[0] + piece.box[2]) / 2, (piece.box[1] + piece.box[3]) / 2]);
