/**
 * How long the server may be silent before the picture may be old. It beats once a second.
 */
export const STALE_MS = 2500;

/** The browser's own dimming comes a little later than ours, so that it only ever acts when our scripts do not. */
const ASLEEP_MS = 3000;
export const DIMMED = 0.28;

/**
 * Knows whether the picture in the light may be trusted. It may while a frame has come by the present connection and the
 * server was heard not long ago, by the steady clock and by the clock on the wall: the first stands still while the
 * computer sleeps. This is looked at before every frame that the screen shows, so the first one after a sleep is dimmed.
 *
 * @param {() => void} turnedOld called when the picture turns old by silence: time to connect again
 */
export function freshness(turnedOld) {
  let current = false;
  let heard = clocks();

  const silent = () => {
    const now = clocks();
    return now.steady - heard.steady > STALE_MS || Math.abs(now.wall - heard.wall) > STALE_MS;
  };
  const look = () => {
    if (current && silent()) {
      current = false;
      turnedOld();
    }
  };
  const everyFrame = () => {
    look();
    requestAnimationFrame(everyFrame);
  };
  requestAnimationFrame(everyFrame);
  document.addEventListener("visibilitychange", look);
  document.addEventListener("freeze", () => {
    if (!current) return;
    current = false;
    turnedOld();
  });

  return {
    get fresh() {
      return current;
    },
    /** The server was heard; a silence that nobody has looked at yet still counts. */
    heard() {
      look();
      heard = clocks();
    },
    /** A frame for this window came by the present connection. */
    framed() {
      current = true;
    },
    lost() {
      current = false;
    },
  };
}

const clocks = () => ({ steady: performance.now(), wall: Date.now() });

/**
 * The dead man's handle: an animation that dims the picture and shows the notice by itself unless it is wound back. The
 * browser runs it outside our scripts, so it also acts when they hang.
 *
 * @param {HTMLElement} picture
 * @param {HTMLElement} notice
 * @returns {() => void} wind it back
 */
export function deadMansHandle(picture, notice) {
  const timing = /** @type {KeyframeAnimationOptions} */ ({ duration: ASLEEP_MS, fill: "forwards" });
  const held = (from, to) => [{ opacity: from }, { opacity: from, offset: 0.999 }, { opacity: to }];
  const running = [picture.animate(held(1, DIMMED), timing), notice.animate(held(0, 1), timing)];
  let wound = performance.now();
  return () => {
    if (performance.now() - wound < 250) return;
    wound = performance.now();
    for (const animation of running) {
      animation.currentTime = 0;
      animation.play();
    }
  };
}
