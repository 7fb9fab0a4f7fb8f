import { byId } from "./dom.js";
import { Refused } from "./api.js";

let timer = 0;

/** Say a sentence where the eye and the screen reader find it; it goes after a while. */
export function say(/** @type {string} */ sentence, kind = "good") {
  const place = byId("said");
  place.textContent = sentence;
  place.dataset.kind = kind;
  window.clearTimeout(timer);
  timer = window.setTimeout(() => (place.textContent = ""), kind === "wrong" ? 12000 : 3500);
}

/** Take a sentence back that no longer holds; any other stays. */
export function unsay(/** @type {string} */ sentence) {
  const place = byId("said");
  if (place.textContent === sentence) place.textContent = "";
}

/** Say what went wrong; anything that is not a refusal is our bug and goes on to the console. */
export function sayRefused(/** @type {unknown} */ error) {
  if (!(error instanceof Refused)) throw error;
  say(error.sentence, "wrong");
}
