import { post } from "../api.js";
import { el, refill } from "../dom.js";
import { isBlackoutKey } from "../light/blackout.js";
import { sayRefused } from "../say.js";
import { stateNow, watchState } from "../state.js";
import { seeingWords as W } from "../words/seeing.js";

/** The button that blacks out the light, and its key. @param {HTMLElement} place */
export function blackoutRow(place) {
  const isBlack = () => stateNow()?.light?.blackout === true;
  const turn = () => post("/api/light/blackout", { on: !isBlack() }).catch(sayRefused);
  watchState(() => {
    const on = isBlack();
    refill(
      place,
      el(
        on ? "button.button.main" : "button.button",
        { type: "button", "aria-pressed": String(on), onclick: turn },
        on ? W.blackOff : W.black,
      ),
      el("span.soft.small", {}, W.blackKeys),
    );
  });
  window.addEventListener("keydown", (event) => {
    if (!isBlackoutKey(event)) return;
    event.preventDefault();
    turn();
  });
}
