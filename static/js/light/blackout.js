import { post, Refused } from "../api.js";

/** The keys that presenters' remotes send for a black picture, too. */
const KEYS = new Set(["b", "."]);

/** Is this the blackout key, and not a letter that is being typed? */
export function isBlackoutKey(/** @type {KeyboardEvent} */ event) {
  if (!KEYS.has(event.key.toLowerCase()) || event.ctrlKey || event.metaKey || event.altKey || event.repeat) return false;
  const at = event.target instanceof Element ? event.target : null;
  return !at?.closest("input:not([type=checkbox], [type=radio], [type=range]), textarea, select, [contenteditable]");
}

/**
 * Black at once, by the key, before the server has said so; kept until it has, also over a lost connection.
 * @param {() => boolean} told what the server said last
 * @param {() => void} changed
 */
export function blackout(told, changed) {
  /** @type {boolean | null} what the key asked for and the server has not confirmed */
  let wanted = null;

  async function ask() {
    if (wanted === null) return;
    try {
      await post("/api/light/blackout", { on: wanted });
    } catch (error) {
      if (!(error instanceof Refused)) throw error;
      if (error.status !== 0) wanted = null;
    }
    changed();
  }
  window.addEventListener("keydown", (event) => {
    if (!isBlackoutKey(event)) return;
    event.preventDefault();
    wanted = !(wanted ?? told());
    changed();
    ask();
  });
  return {
    get on() {
      return wanted ?? told();
    },
    /** The server has spoken. */
    settle() {
      if (wanted === told()) wanted = null;
    },
    /** The connection is there again: what was asked for meanwhile is asked for now. */
    again: ask,
  };
}
