import { swapUnit, unit } from "./lengths.js";
import { words } from "./words/words.js";

/** Shows the unit that holds; a press takes the other, and the page is drawn anew in it. @param {HTMLButtonElement} button */
export function unitButton(button) {
  button.querySelector(".unit-now").textContent = unit;
  for (const place of document.querySelectorAll(".unit-word")) place.textContent = unit;
  button.setAttribute("aria-label", words.units[unit]);
  button.title = words.units[unit];
  button.addEventListener("click", () => {
    swapUnit();
    location.reload();
  });
}
