import { post, Refused } from "../api.js";
import { listen, windowName } from "../connection.js";
import { byId } from "../dom.js";
import { stayAwake } from "../light/awake.js";
import { blackout } from "../light/blackout.js";
import { followDevicePixels } from "../light/device-pixels.js";
import { deadMansHandle, freshness, STALE_MS } from "../light/freshness.js";
import { fullScreenSwitch, isFullScreen } from "../light/full-screen.js";
import { followHand } from "../light/hand.js";
import { leadThrough } from "../light/lead.js";
import { blinker, runner } from "../light/moving.js";
import { paint } from "../light/paint.js";
import { handInLight } from "../table/align-light.js";
import { words } from "../words/words.js";

const AGAIN_MS = 1000;

const me = windowName();
const canvas = /** @type {HTMLCanvasElement} */ (byId("picture"));
const context = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d", { alpha: false }));
let size = { width: 0, height: 0 };
let ratio = 1;
/** @type {import("../light/paint.js").Frame | null} the frame for this window at its present size; null until there is one */
let frame = null;

const picture = freshness(() => {
  show();
  stream.again();
});
const wind = deadMansHandle(canvas, byId("asleep"));
const black = blackout(() => frame?.black ?? false, () => show());
const dots = runner(/** @type {HTMLCanvasElement} */ (byId("dots")));
const blink = blinker((on) => paint(context, seen(), on ? null : (frame?.blink ?? null)));

/** What may be drawn now. */
const seen = () => (black.on ? null : frame);

function show() {
  const now = seen();
  const moving = picture.fresh && now !== null && !now.sentence;
  paint(context, now);
  blink(moving && Boolean(now?.blink));
  dots.run(moving && now?.runner ? now : null);
  say(now);
  document.body.dataset.version = String(frame?.version ?? "");
  document.body.dataset.picture = frame === null ? "none" : picture.fresh ? "fresh" : "old";
}

function say(/** @type {import("../light/paint.js").Frame | null} */ now) {
  const sentence = now?.sentence ?? "";
  byId("sentence").textContent = sentence;
  byId("message").hidden = sentence === "";
  byId("take").hidden = !now?.waiting;
  const old = document.body.dataset.connection === "lost" || (frame !== null && !picture.fresh);
  byId("lost").hidden = black.on || !old;
  document.body.dataset.mode = black.on ? "black" : sentence ? "sentence" : (now?.mode ?? "");
  document.body.dataset.aim = sentence ? "no" : (now?.hand?.kind ?? "no");
}

/** Was the frame made for this window as it is now? One that was not, on its way since before a change, is never drawn. */
function fits({ made_for: made }) {
  return made[0] === size.width && made[1] === size.height && made[2] === ratio;
}

function take(/** @type {import("../light/paint.js").Frame} */ next) {
  if (!next.made_for) return;
  const fitting = fits(next);
  frame = fitting ? next : null;
  document.body.dataset.run = next.run ?? "";
  if (fitting) picture.framed();
  black.settle();
  show();
}

let later = 0;
async function report() {
  window.clearTimeout(later);
  byId("hint").textContent = words.light.hint(size, isFullScreen());
  try {
    await post("/api/window", { window: me, ...size, ratio, fullscreen: isFullScreen(), ...around() });
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    if (error.status !== 0) refuse(error.sentence);
    else later = window.setTimeout(report, AGAIN_MS);
  }
}

/** What else tells a browser zoom or a display scale from a true pixel. */
function around() {
  const { width, height } = window.screen;
  return { screen: { width, height }, scale: window.visualViewport?.scale ?? 1, outer: window.outerWidth || null };
}

function refuse(/** @type {string} */ sentence) {
  frame = { version: 0, mode: "refused", sentence, strokes: [], texts: [] };
  show();
}

/** Another size: the canvas is empty from this very frame on, until a frame made for the new size has come. */
followDevicePixels(canvas, (nowSize, nowRatio) => {
  size = nowSize;
  ratio = nowRatio;
  frame = null;
  dots.fit(size);
  show();
  report();
});
fullScreenSwitch(byId("fullscreen"), report);
followHand();
leadThrough(seen);
handInLight(canvas, seen);
stayAwake();

byId("take").textContent = words.light.take;
byId("take").addEventListener("click", async () => {
  try {
    await post("/api/window/take", { window: me });
    await report();
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    refuse(error.sentence);
  }
});

for (const notice of ["lost", "asleep"]) byId(notice).textContent = words.light.lost;
const stream = listen({
  role: "projector",
  window: me,
  silence: STALE_MS,
  heard: () => {
    picture.heard();
    wind();
  },
  on: { frame: take },
  lost: () => {
    document.body.dataset.connection = "lost";
    picture.lost();
    show();
  },
  found: () => {
    document.body.dataset.connection = "there";
    show();
    report();
    black.again();
  },
});
document.addEventListener("resume", stream.again);
