import { post, Refused } from "../api.js";
import { onePress, pressKeys } from "../work/press.js";

/**
 * Let a pedal, the space bar or the arrow keys in the projector window lead on and back through the job in the light, as it is
 * seen there. While a hand has something in the light the arrows are the hand's.
 * @param {() => import("./paint.js").Frame | null} seen the frame that is on the wall, or null
 */
export function leadThrough(seen) {
  const send = onePress(async (by, revision) => {
    try {
      await post(`/api/jobs/${seen()?.job?.id}/go`, { by, revision });
    } catch (error) {
      // The work page says why; the light itself shows what holds.
      if (!(error instanceof Refused)) throw error;
    }
  });
  const go = (/** @type {number} */ by) => {
    const job = seen()?.job;
    if (job) send(by, job.revision);
  };
  pressKeys(go, () => Boolean(seen()?.hand));
}
