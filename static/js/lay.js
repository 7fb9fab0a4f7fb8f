import { post } from "./api.js";

/**
 * Keep the pattern of a thing as it is now, lay it on a bench, let the light draw it, and say where the table is.
 * @param {number} thing @param {number} bench @param {string} name
 */
export async function layOut(thing, bench, name) {
  const pattern = await post("/api/patterns", { thing });
  const layout = await post("/api/layouts", { pattern: pattern.id, bench, name });
  if (layout.bench.calibrated) await post("/api/light", { mode: "layout", layout: layout.id });
  return `/table/${layout.id}`;
}
