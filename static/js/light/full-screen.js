/** Full screen comes and goes with F, a double click, or the button. */
export function fullScreenSwitch(/** @type {HTMLButtonElement} */ button, /** @type {() => void} */ changed) {
  const swap = () => {
    const done = document.fullscreenElement ? document.exitFullscreen() : document.documentElement.requestFullscreen();
    done.catch(() => {
      // The browser may refuse without a fresh gesture; F11 does the same by hand, and the page sees that too.
    });
  };
  button.addEventListener("click", swap);
  window.addEventListener("dblclick", swap);
  window.addEventListener("keydown", (event) => {
    if (event.key.toLowerCase() === "f" && !event.ctrlKey && !event.metaKey && !event.altKey) swap();
  });
  document.addEventListener("fullscreenchange", changed);
}

/** Is the window full screen, by our button or by the browser's own key? */
export function isFullScreen() {
  return document.fullscreenElement !== null || window.matchMedia("(display-mode: fullscreen)").matches;
}
