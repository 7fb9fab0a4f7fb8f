import { get } from "../api.js";
import { afterQuiet } from "../dom.js";
import { sayRefused } from "../say.js";

/**
 * What can be told of a fit beyond the fit: asked for only while somebody looks, and not for every keystroke.
 * @param {number} id of the bench
 * @param {(told: any, map: any) => void} arrived
 */
export function insightOf(id, arrived) {
  let asked = "";
  let fresh = false;
  let round = 0;

  const ask = afterQuiet(150, async (/** @type {number} */ height, /** @type {boolean} */ withMap) => {
    const mine = (round += 1);
    try {
      const told = await get(`/api/benches/${id}/insight?height=${height}`);
      const map = withMap && told.budget !== null ? await get(`/api/benches/${id}/map?height=${height}`) : null;
      if (mine === round) arrived(told, map);
    } catch (error) {
      fresh = false;
      sayRefused(error);
    }
  });

  return {
    /** Ask, unless what is there still holds. */
    want(/** @type {number} */ height, withMap = false) {
      const now = `${height} ${withMap}`;
      if (fresh && now === asked) return;
      asked = now;
      fresh = true;
      ask(height, withMap);
    },
    /** The sightings, the marks or the tolerance have changed. */
    stale: () => (fresh = false),
  };
}
