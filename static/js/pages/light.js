import { post, Refused } from "../api.js";
import { listen, windowName } from "../connection.js";
import { byId } from "../dom.js";
import { stayAwake } from "../light/awake.js";
import { followDevicePixels } from "../light/device-pixels.js";
import { fullScreenSwitch, isFullScreen } from "../light/full-screen.js";
import { followHand } from "../light/hand.js";
import { paint } from "../light/paint.js";
import { words } from "../words.js";

const me = windowName();
const canvas = /** @type {HTMLCanvasElement} */ (byId("picture"));
const context = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d", { alpha: false }));
let size = { width: 0, height: 0 };
let ratio = 1;
/** @type {import("../light/paint.js").Frame | null} */
let frame = null;

function show() {
  paint(context, frame);
  const sentence = frame?.sentence ?? "";
  byId("sentence").textContent = sentence;
  byId("message").hidden = sentence === "";
  byId("take").hidden = !frame?.waiting;
  document.body.dataset.version = String(frame?.version ?? "");
  document.body.dataset.mode = sentence ? "sentence" : (frame?.mode ?? "");
}

async function report() {
  byId("hint").textContent = words.light.hint(size, isFullScreen());
  try {
    await post("/api/window", { window: me, ...size, ratio, fullscreen: isFullScreen(), ...around() });
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    if (error.status !== 0) refuse(error.sentence);
  }
}

/** What else tells a browser zoom or a display scale from a true pixel. */
function around() {
  const { width, height } = window.screen;
  return { screen: { width, height }, scale: window.visualViewport?.scale ?? 1 };
}

function refuse(/** @type {string} */ sentence) {
  frame = { version: 0, picture: null, mode: "refused", sentence, strokes: [], texts: [], bench: null };
  show();
}

followDevicePixels(canvas, (nowSize, nowRatio) => {
  size = nowSize;
  ratio = nowRatio;
  show();
  report();
});
fullScreenSwitch(byId("fullscreen"), report);
followHand();
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

listen({
  role: "projector",
  window: me,
  on: {
    frame: (content) => {
      frame = content;
      show();
    },
  },
  lost: () => {
    document.body.dataset.connection = "lost";
    byId("lost").textContent = words.light.lost;
    byId("lost").hidden = false;
  },
  found: () => {
    document.body.dataset.connection = "there";
    byId("lost").hidden = true;
    report();
  },
});
