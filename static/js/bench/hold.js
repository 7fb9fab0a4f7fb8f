/**
 * What the bench page knows of its bench, from the server's answers; fields that an answer does not speak of stay.
 *
 * @typedef {object} Bench
 * @property {string} name
 * @property {boolean} practice
 * @property {[number, number]} picture
 * @property {boolean} calibrated
 * @property {import("./document.js").Sightings} sightings
 * @property {any} report
 * @property {any} refusal
 * @property {any} propose
 * @property {string | null} chosen the cross in hand
 * @property {[string, string] | null} wanted the two crosses asked for in the tape panel
 * @property {string} way marks or tape
 * @property {boolean} detect show how large a slip must be
 * @property {any} [witness]
 * @property {any} [session]
 * @property {any} [warm]
 * @property {any} [error_mm]
 * @property {string} [calibrated_at]
 * @property {number} [tolerance]
 * @property {any} [table]
 * @property {string | null} [stale]
 */

const KNOWN = [
  "name",
  "practice",
  "picture",
  "calibrated",
  "calibrated_at",
  "error_mm",
  "sightings",
  "report",
  "refusal",
  "propose",
  "witness",
  "session",
  "warm",
  "tolerance",
  "table",
  "stale",
];

/** @returns {Bench} */
export const nothingKnown = () => ({
  name: "",
  practice: false,
  picture: [1920, 1080],
  calibrated: false,
  sightings: { unit: "mm", grid: [5, 4], crosses: {}, positions: [], distances: [], lens: [], mirrored: null },
  report: null,
  refusal: null,
  propose: null,
  chosen: null,
  wanted: null,
  way: "marks",
  detect: false,
});

/** @param {Bench} bench @param {any} answer @returns {boolean} whether the calibration may have changed */
export function takeOver(bench, answer) {
  const before = JSON.stringify([bench.report, bench.calibrated_at, bench.tolerance, bench.session?.at]);
  for (const key of KNOWN) if (key in answer) bench[key] = answer[key];
  return before !== JSON.stringify([bench.report, bench.calibrated_at, bench.tolerance, bench.session?.at]);
}
