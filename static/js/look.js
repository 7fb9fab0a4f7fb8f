import { words } from "./words/words.js";

const KEY = "hidelight-look";

/** Make the button swap the dark and the light look; until it is pressed the system's choice holds. */
export function lookButton(/** @type {HTMLButtonElement} */ button) {
  const system = window.matchMedia("(prefers-color-scheme: light)");
  const root = document.documentElement;
  const say = () => button.setAttribute("aria-label", words.look[root.dataset.look === "light" ? "toDark" : "toLight"]);
  button.addEventListener("click", () => {
    root.dataset.look = root.dataset.look === "light" ? "dark" : "light";
    keep(root.dataset.look);
    say();
  });
  system.addEventListener("change", () => {
    if (kept() === null) root.dataset.look = system.matches ? "light" : "dark";
    say();
  });
  say();
}

function kept() {
  try {
    return localStorage.getItem(KEY);
  } catch {
    return null;
  }
}

function keep(/** @type {string} */ look) {
  try {
    localStorage.setItem(KEY, look);
  } catch {
    // Without storage the choice lasts as long as the page.
  }
}
