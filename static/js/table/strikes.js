import { get, post } from "../api.js";
import { byId } from "../dom.js";
import { sayRefused } from "../say.js";
import { stateNow } from "../state.js";
import { workWords } from "../words/work.js";

const W = workWords.table;

/**
 * The blows of the present step one by one in the light, while the switch is on.
 * @param {number} id the layout @param {() => boolean} isLit whether the light shows this layout
 */
export function strikesPanel(id, isLit) {
  let step = null;
  let strikes = [];
  const now = () => (isLit() && stateNow()?.light?.step === step ? (stateNow()?.light?.strike ?? null) : null);

  async function show(/** @type {number | null} */ strike) {
    try {
      await post("/api/light", { mode: "layout", layout: id, ...(strike === null ? {} : { strike, step }) });
    } catch (error) {
      sayRefused(error);
    }
  }
  const by = (/** @type {number} */ n) => show(Math.min(Math.max((now() ?? 0) + n, 0), strikes.length - 1));
  byId("strikes-words-on").textContent = W.switch;
  byId("strike-next").textContent = W.next;
  byId("strike-back").textContent = W.back;
  byId("strikes-on").addEventListener("change", (event) => show(event.target.checked ? 0 : null));
  byId("strike-next").addEventListener("click", () => by(1));
  byId("strike-back").addEventListener("click", () => by(-1));

  function draw() {
    const at = now();
    byId("strikes-part").hidden = strikes.length === 0;
    byId("strikes-on").checked = at !== null;
    byId("strikes-on").disabled = !isLit();
    byId("strike-presses").hidden = at === null;
    byId("strike-said").textContent = at === null ? "" : `${W.count(strikes[at], at + 1, strikes.length)} ${strikes[at].words}`;
    byId("strike-back").disabled = at === 0;
    byId("strike-next").disabled = at === strikes.length - 1;
  }

  return {
    draw,
    /** Another step has other blows. */
    async take(/** @type {string | null} */ next) {
      if (next === step) return draw();
      step = next;
      strikes = [];
      draw();
      const found = await get(`/api/layouts/${id}/strikes`);
      if (found.step !== step) return;
      strikes = found.strikes;
      draw();
    },
  };
}
