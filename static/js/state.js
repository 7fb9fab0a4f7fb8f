import { listen, windowName } from "./connection.js";
import { byId } from "./dom.js";
import { unsay } from "./say.js";
import { words } from "./words/words.js";

/** @typedef {{open: boolean, width: number, height: number, ratio: number, fullscreen: boolean, fits: boolean, sentence: string}} WindowState */
/** @typedef {{window: WindowState, bench: any, thing: any, layout: any, next: {words: string, href: string, action: string | null}, light: any, first_start: boolean, guard?: {bad: number, ask: number}, check?: any}} State */

/** @type {Set<(state: State) => void>} */
const watchers = new Set();
/** @type {Set<() => void>} */
const returns = new Set();
/** @type {State | null} */
let latest = null;
let wasLost = false;

/** Call the function now (when something is known) and each time the workshop's state changes. */
export function watchState(/** @type {(state: State) => void} */ watcher) {
  watchers.add(watcher);
  if (latest !== null) watcher(latest);
}

/** Call the function when the connection was lost and is there again. */
export const whenFound = (/** @type {() => void} */ act) => returns.add(act);

function foundAgain() {
  unsay(words.connection.none);
  if (wasLost) for (const act of returns) act();
  wasLost = false;
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
      wasLost = true;
      banner.textContent = words.connection.lostPage;
      banner.hidden = false;
    },
    found: () => {
      banner.hidden = true;
      foundAgain();
    },
  });
}
