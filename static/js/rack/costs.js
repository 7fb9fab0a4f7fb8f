import { get } from "../api.js";
import { el } from "../dom.js";

/** What each draft on a shelf costs, in one line below its name. */
export async function showCosts(/** @type {HTMLElement} */ list) {
  const costs = await get("/api/things/costs");
  for (const [id, words] of Object.entries(costs)) {
    const line = list.querySelector(`a[href="/draft/${id}"]`)?.closest("li");
    line?.append(el("span.cost.soft.small", {}, words));
  }
}
