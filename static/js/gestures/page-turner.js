const NEXT = new Set(["PageDown", " "]);
const BACK = new Set(["PageUp"]);

/**
 * Step on and back with a page-turner pedal (Page Down, Page Up) or the space bar, wherever the focus is, except where the
 * key already means something: a space in a field or on a button stays there. A foot that rests on the pedal is one press.
 */
export function pageTurner(/** @type {{next: () => void, back: () => void}} */ turn) {
  window.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.key === " " && hasOwnUse(event.target)) return;
    if (!NEXT.has(event.key) && !BACK.has(event.key)) return;
    event.preventDefault();
    if (event.repeat) return;
    if (NEXT.has(event.key)) turn.next();
    else turn.back();
  });
}

function hasOwnUse(/** @type {EventTarget | null} */ target) {
  return target instanceof Element && target.closest("input, select, textarea, button, a, summary") !== null;
}
