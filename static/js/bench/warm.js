import { el } from "../dom.js";
import { words } from "../words/words.js";

const W = words.guard.warm;
const MINUTE = 60_000;

/** The time left until a projector stands still, told once a second; then the way to the check. */
export function warmClock() {
  /** @type {{minutes_left: number | null, recheck_due: boolean, since: string | null} | null} */
  let warm = null;
  let ends = 0;
  const said = el("span");
  const go = el("a.button", { href: "#session" }, W.check);
  const element = el("p.row.warm", { role: "timer", hidden: true }, said, go);

  function draw() {
    element.hidden = warm === null || warm.since === null;
    if (element.hidden) return;
    const left = Math.max(0, ends - Date.now());
    const due = warm?.recheck_due || (left === 0 && warm?.minutes_left !== 0);
    said.textContent = left > 0 ? W.left(clockTime(left)) : due ? W.due : W.done;
    go.hidden = left > 0 || !due;
  }
  window.setInterval(draw, 1000);

  return {
    element,
    update(/** @type {typeof warm} */ now) {
      warm = now ?? null;
      ends = Date.now() + (warm?.minutes_left ?? 0) * MINUTE;
      draw();
    },
  };
}

const clockTime = (left) => {
  const seconds = Math.ceil(left / 1000);
  return `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")} min`;
};
