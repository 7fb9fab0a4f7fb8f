import { post, Refused } from "../api.js";
import { eachFrame } from "../dom.js";
import { stride } from "../gestures/nudge.js";
import { saver } from "../saver.js";

const WAYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
const OWN_MS = 400;
const TURNS = { "[": -0.1, "]": 0.1, "{": -1, "}": 1 };

/**
 * The hand at the projector window: mouse and arrow keys move the light's own cross-hair, Enter takes it; the bright outline
 * to push against is dragged, and turned with [ and ].
 * @param {HTMLCanvasElement} canvas @param {() => any} frame what is in the light
 */
export function handInLight(canvas, frame) {
  /** @type {[number, number] | null} */
  let at = null;
  let asked = "";
  let moved = 0;
  /** @type {[number, number] | null} */
  let held = null;
  const quiet = { refused: (error) => forget(error) };
  const aiming = saver((pixel) => post("/api/alignment/aim", { pixel }), quiet);
  const carrying = saver((body) => post("/api/alignment/carry", body), quiet);
  const aim = eachFrame((pixel) => aiming.put(pixel));

  /** What does not fit any more is seen in the light itself; anything but a refusal is our bug. */
  function forget(/** @type {unknown} */ error) {
    at = null;
    if (!(error instanceof Refused)) throw error;
  }

  const kind = () => (frame()?.sentence ? "" : (frame()?.hand?.kind ?? ""));

  function pixelOf(/** @type {PointerEvent} */ event) {
    const box = canvas.getBoundingClientRect();
    const x = ((event.clientX - box.left) * canvas.width) / box.width;
    const y = ((event.clientY - box.top) * canvas.height) / box.height;
    return /** @type {[number, number]} */ ([tenth(x), tenth(y)]);
  }

  /** Where the cross-hair is: where this hand brought it just now, or where the light shows it. */
  function hair() {
    const { hand } = frame();
    if (at === null || hand.asked !== asked || performance.now() - moved > OWN_MS) at = pair(hand.pixel);
    asked = hand.asked;
    moved = performance.now();
    return at;
  }

  function aimTo(/** @type {[number, number]} */ pixel) {
    hair();
    const size = [canvas.width, canvas.height];
    at = pair(pixel.map((value, i) => tenth(Math.min(Math.max(value, 0), size[i]))));
    aim(at);
  }

  const carry = (from, to, turn, done) => carrying.put({ from, to, turn, done });

  canvas.addEventListener("pointerdown", (event) => {
    if (event.button !== 0) return;
    if (kind() === "aim") aimTo(pixelOf(event));
    else if (kind() === "push") held = pixelOf(event);
    else return;
    canvas.setPointerCapture(event.pointerId);
    event.preventDefault();
  });
  canvas.addEventListener("pointermove", (event) => {
    if (!canvas.hasPointerCapture(event.pointerId)) return;
    if (kind() === "aim") aimTo(pixelOf(event));
    if (kind() === "push" && held !== null) follow(pixelOf(event));
  });
  canvas.addEventListener("pointerup", async (event) => {
    if (held === null) return;
    await follow(pixelOf(event));
    held = null;
    carry(middle(), middle(), 0, true);
  });

  /** @type {[number, number]} where the hand is by now */
  let goal = [0, 0];
  /** @type {Promise<void> | null} */
  let walk = null;

  /** One step of a drag at a time, each from where the last one ended: steps that wait would replace each other. */
  function follow(/** @type {[number, number]} */ to) {
    goal = to;
    walk ??= steps().finally(() => (walk = null));
    return walk;
  }

  async function steps() {
    while (held !== null && (held[0] !== goal[0] || held[1] !== goal[1])) {
      const from = held;
      held = goal;
      carry(from, held, 0, false);
      await carrying.settled();
    }
  }

  window.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey) return;
    if (kind() === "aim") aimKey(event);
    else if (kind() === "push") pushKey(event);
  });

  function aimKey(/** @type {KeyboardEvent} */ event) {
    const way = WAYS[event.key];
    if (way !== undefined) {
      const [x, y] = hair();
      aimTo([x + way[0] * stride(event), y + way[1] * stride(event)]);
    } else if (event.key === "Enter" && !(event.target instanceof HTMLButtonElement)) take();
    else return;
    event.preventDefault();
  }

  async function take() {
    try {
      await aiming.settled();
      await post("/api/alignment/point");
    } catch (error) {
      forget(error);
    }
  }

  async function pushKey(/** @type {KeyboardEvent} */ event) {
    const [way, turn] = [WAYS[event.key], TURNS[event.key]];
    if (way === undefined && turn === undefined) return;
    event.preventDefault();
    const size = stride(event);
    const from = middle();
    await carrying.settled();
    carry(from, way === undefined ? from : [from[0] + way[0] * size, from[1] + way[1] * size], turn ?? 0, false);
  }

  window.addEventListener("keyup", async (event) => {
    if (kind() !== "push" || (WAYS[event.key] === undefined && TURNS[event.key] === undefined)) return;
    await carrying.settled();
    carry(middle(), middle(), 0, true);
  });
  const middle = () => /** @type {[number, number]} */ ([canvas.width / 2, canvas.height / 2]);
}

const tenth = (/** @type {number} */ value) => Math.round(value * 10) / 10;

/** @returns {[number, number]} */
const pair = (/** @type {number[]} */ [x, y]) => [x, y];
