import { pageTurner } from "../gestures/page-turner.js";

const ARROWS = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 };

/**
 * On and back with a pedal, the space bar or the arrow keys, except where an arrow already means something: in a field, in a
 * row of choices, or where `busy` says so.
 * @param {(by: 1 | -1) => void} go @param {() => boolean} busy
 */
export function pressKeys(go, busy = () => false) {
  pageTurner({ next: () => go(1), back: () => go(-1) });
  window.addEventListener("keydown", (event) => {
    const by = ARROWS[event.key];
    if (by === undefined || event.ctrlKey || event.metaKey || event.altKey || event.shiftKey) return;
    if (event.defaultPrevented || busy() || hasOwnUse(event.target)) return;
    event.preventDefault();
    if (!event.repeat) go(by);
  });
}

function hasOwnUse(/** @type {EventTarget | null} */ target) {
  return target instanceof Element && target.closest("input, select, textarea, summary, [contenteditable]") !== null;
}

/**
 * Send a press for the job as it was seen. While one press is on its way another changes nothing: the server would say so too,
 * because the job is then no longer at that revision.
 * @param {(by: number, revision: number) => Promise<void>} send
 */
export function onePress(send) {
  let busy = false;
  return async (/** @type {number} */ by, /** @type {number} */ revision) => {
    if (busy) return;
    busy = true;
    try {
      await send(by, revision);
    } finally {
      busy = false;
    }
  };
}
