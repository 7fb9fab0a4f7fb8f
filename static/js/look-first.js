// Runs before the first paint, so that the page never flashes in the wrong look.
(() => {
  let chosen = null;
  try {
    chosen = localStorage.getItem("hidelight-look");
  } catch {
    // A browser may forbid storage; then the system's choice holds.
  }
  const light = window.matchMedia("(prefers-color-scheme: light)").matches;
  document.documentElement.dataset.look = chosen ?? (light ? "light" : "dark");
})();
