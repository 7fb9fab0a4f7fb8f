import { listen, windowName } from "./connection.js";
import { byId } from "./dom.js";
import { words } from "./words.js";

/** @typedef {{open: boolean, width: number, height: number, ratio: number, fullscreen: boolean, fits: boolean, sentence: string}} WindowState */
/** @typedef {{window: WindowState, bench: any, thing: any, layout: any, next: {words: string, href: string, action: string | null}, light: any, first_start: boolean, guard?: {bad: number, ask: number}, check?: any}} State */

/** @type {Set<(state: State) => void>} */
const watchers = new Set();
/** @type {State | null} */
let latest = null;

/** Call the function now (when something is known) and each time the workshop's state changes. */
export function watchState(/** @type {(state: State) => void} */ watcher) {
  watchers.add(watcher);
  if (latest !== null) watcher(latest);
}

/** What was last known, or null before the first word from the server. */
export const stateNow = () => latest;

/** Start listening; every page does it once, through shell.js. */
export function startState() {
  const banner = byId("lost");
  listen({
    role: "page",
    window: windowName(),
    rest: true,
    on: {
      state: (state) => {
        latest = state;
        for (const watcher of watchers) watcher(state);
      },
    },
    lost: () => {
      banner.textContent = words.connection.lostPage;
      banner.hidden = false;
    },
    found: () => (banner.hidden = true),
  });
}
