import { post } from "../api.js";
import { el } from "../dom.js";
import { say, sayRefused } from "../say.js";
import { words } from "../words/words.js";

const W = words.knock;
const HOWS = { little: "a little", lot: "a lot", back: "back" };

/**
 * Knock the lamp of the practice bench, and look at the witness crosses with a hand's noise.
 * @param {{sight?: () => void}} room without "sight" there is nothing to look at here
 */
export function knockPanel(room = {}) {
  const knock = async (how) => {
    try {
      say((await post("/api/practice/knock", { how })).sentence);
    } catch (error) {
      sayRefused(error);
    }
  };
  const hows = Object.entries(HOWS).map(([name, how]) =>
    el("button.button", { type: "button", onclick: () => knock(how) }, W[name]),
  );
  const sight = el("button.button", { type: "button", onclick: () => room.sight?.() }, W.sight);
  const element = el(
    "div.card.knock",
    { hidden: true },
    el("h3", {}, W.title),
    el("p.soft", {}, W.words),
    el("div.row", {}, ...hows, sight),
  );
  return {
    element,
    update(/** @type {boolean} */ practice, /** @type {boolean} */ sightable = false) {
      element.hidden = !practice;
      sight.hidden = !sightable || room.sight === undefined;
    },
  };
}
