/**
 * The sightings of a bench, as the server keeps them. Values here are never changed in place: each verb gives a new document.
 *
 * @typedef {{cross: string, at: [number | string, number | string], height?: number | string, sigma?: number}} Position
 * @typedef {{from: string, to: string, length: number | string, height?: number | string, sigma?: number}} Distance
 * @typedef {{cross?: string, slant?: number | string, height?: number | string, foot?: [number | string, number | string], sigma?: number}} LensSighting
 * @typedef {{unit: "mm" | "in", grid: [number, number], crosses: Record<string, [number, number]>, positions: Position[], distances: Distance[], lens: LensSighting[], mirrored?: boolean | null}} Sightings
 */

/** A typed length as the server takes it: a bare number as a number, anything else ("3 1/2 in") as it was typed. */
export function typed(/** @type {string} */ text) {
  const tidy = text.trim().replace(",", ".");
  return /^-?\d*\.?\d+$/.test(tidy) ? Number(tidy) : text.trim();
}

/** @returns {[any, any]} */
const pair = (/** @type {any[]} */ [x, y]) => [x, y];

const isHeight = (a, b) => (a ?? 0) === (b ?? 0);

/** @param {Sightings} sightings @param {string} cross @param {any[] | null} at x and y; null takes it away @param {any} height */
export function withPosition(sightings, cross, at, height = 0) {
  const index = sightings.positions.findIndex((p) => p.cross === cross && isHeight(p.height, height));
  const positions = sightings.positions.slice();
  if (at === null && index >= 0) positions.splice(index, 1);
  else if (at !== null && index >= 0) positions[index] = { ...positions[index], at: pair(at) };
  else if (at !== null) positions.push(height ? { cross, at: pair(at), height } : { cross, at: pair(at) });
  return { ...sightings, positions };
}

export const positionOf = (sightings, cross, height = 0) =>
  sightings.positions.find((p) => p.cross === cross && isHeight(p.height, height)) ?? null;

/** @param {Sightings} sightings @param {Distance} distance */
export function withDistance(sightings, distance) {
  return { ...sightings, distances: [...sightings.distances, distance] };
}

/** @template T @param {T[]} list @param {number} index @param {T | null} entry null takes it away */
export function replaced(list, index, entry) {
  const next = list.slice();
  if (entry === null) next.splice(index, 1);
  else next[index] = entry;
  return next;
}

/** @param {Sightings} sightings @param {string} cross @param {number} dx px @param {number} dy px @param {[number, number]} picture */
export function nudged(sightings, cross, dx, dy, picture) {
  const [x, y] = sightings.crosses[cross];
  const inside = (value, most) => Math.min(Math.max(Math.round(value * 10) / 10, 0), most);
  const moved = /** @type {[number, number]} */ ([inside(x + dx, picture[0]), inside(y + dy, picture[1])]);
  return { ...sightings, crosses: { ...sightings.crosses, [cross]: moved } };
}

export const countOf = (sightings) => sightings.positions.length + sightings.distances.length + sightings.lens.length;

/** mm are kept to 0.01, inches to 0.0001 (0.0025 mm), so that a figure typed in mm comes back as it was. */
const turned = (value, unit) =>
  unit === "in" ? Math.round((value / 25.4) * 1e4) / 1e4 : Math.round(value * 25.4 * 100) / 100;

/** The same sightings written in the other unit; words with a unit of their own stay as they are. @param {Sightings} sightings @param {"mm" | "in"} unit */
export function inUnit(sightings, unit) {
  if (unit === sightings.unit) return sightings;
  const turn = (value) => {
    if (Array.isArray(value)) return value.map(turn);
    return typeof value === "number" ? turned(value, unit) : value;
  };
  const rows = (list) =>
    list.map((row) => Object.fromEntries(Object.entries(row).map(([key, value]) => [key, turn(value)])));
  return {
    ...sightings,
    unit,
    positions: rows(sightings.positions),
    distances: rows(sightings.distances),
    lens: rows(sightings.lens),
  };
}
