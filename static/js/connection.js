/**
 * One stream of events from the server, kept alive.
 *
 * The server beats once a second, so silence is noticed even when no error comes; after a loss the stream is
 * opened again by itself, a little later each time up to five seconds.
 */

import { toldIn } from "./lengths.js";

const SILENCE_MS = 4000;
const FIRST_RETRY_MS = 500;
const LAST_RETRY_MS = 5000;

/**
 * @typedef {object} Listening
 * @property {"page" | "projector" | "practice"} role
 * @property {string} window a random id of this browser window
 * @property {Record<string, (content: any) => void>} on event name -> what to do with its JSON
 * @property {() => void} lost called once when the connection is gone
 * @property {() => void} found called once when it is there (again)
 * @property {number} [silence] milliseconds of silence that count as a loss
 * @property {() => void} [heard] called at every sign of life
 * @property {boolean} [rest] close the stream while the page is hidden (a browser allows six a server)
 */

/** @param {Listening} listening @returns {{close: () => void, again: () => void}} again: leave the stream and open a new one */
export function listen(listening) {
  const path = `/api/events?role=${listening.role}&window=${encodeURIComponent(listening.window)}`;
  let source = null;
  let watchdog = 0;
  let retry = 0;
  let wait = FIRST_RETRY_MS;
  let connected = null;

  function tell(now) {
    if (now === connected) return;
    connected = now;
    if (now) listening.found();
    else listening.lost();
  }

  function heard() {
    wait = FIRST_RETRY_MS;
    tell(true);
    window.clearTimeout(watchdog);
    watchdog = window.setTimeout(fail, listening.silence ?? SILENCE_MS);
  }

  function fail() {
    stop();
    tell(false);
    retry = window.setTimeout(open, wait);
    wait = Math.min(wait * 1.6, LAST_RETRY_MS);
  }

  function again() {
    tell(false);
    open();
  }

  function stop() {
    window.clearTimeout(watchdog);
    window.clearTimeout(retry);
    source?.close();
    source = null;
  }

  function open() {
    stop();
    const mine = new EventSource(path);
    source = mine;
    /** A sign of life, unless hearing of it has made the listener leave this stream. */
    const alive = () => {
      listening.heard?.();
      if (source !== mine) return false;
      heard();
      return true;
    };
    mine.addEventListener("open", alive);
    mine.addEventListener("beat", alive);
    mine.addEventListener("error", fail);
    for (const [name, act] of Object.entries(listening.on)) {
      mine.addEventListener(name, (event) => alive() && act(JSON.parse(event.data, toldIn)));
    }
    watchdog = window.setTimeout(fail, SILENCE_MS);
  }

  if (listening.rest) {
    document.addEventListener("visibilitychange", () => (document.hidden ? stop() : open()));
  }
  window.addEventListener("pagehide", stop);
  window.addEventListener("pageshow", (event) => event.persisted && open());
  open();
  return { close: stop, again };
}

/** A name for this browser window, fresh at every load: a duplicated tab must not pass for the first one. */
export function windowName() {
  const bytes = crypto.getRandomValues(new Uint8Array(12));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
}
