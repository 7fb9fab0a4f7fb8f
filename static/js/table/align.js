import { get, post, Refused } from "../api.js";
import { eachFrame, el, refill } from "../dom.js";
import { nudge } from "../gestures/nudge.js";
import { saver } from "../saver.js";
import { say, sayRefused } from "../say.js";
import { stateNow, watchState } from "../state.js";
import { alignWords } from "../words/align.js";
import { aimOn } from "./align-aim.js";
import { aimPad } from "./align-pad.js";
import { resultRows } from "./align-result.js";

const W = alignWords;
/** While the cross-hair is in the light these keys are its own; those that would turn or mirror the piece rest. */
const HAND_KEYS = /^(Arrow.*|Enter|Escape|[mM[\]{}])$/;

/**
 * Bring the light to the leather, place by place; or the leather to the light.
 * @param {HTMLElement} place a card
 * @param {{id: number, root: SVGSVGElement, layout: () => any, chosen: () => string, taken: (layout: any) => void, reload: () => Promise<void>}} room
 */
export function alignPanel(place, room) {
  /** @type {any} what the server told last */
  let told = { live: false, hand: null };
  let heard = "";
  const hair = aimOn(room.root, (at) => move({ place: at }));
  const live = saver((body) => post("/api/alignment/aim", body), {
    saved: (answer) => {
      if (!told.live) return;
      told = { ...told, pixel: answer.pixel, place: answer.place };
      hair.place({ x: answer.place[0], y: answer.place[1] });
      where.textContent = W.aim.where(answer.place);
    },
    refused: sayRefused,
  });
  const send = eachFrame((body) => live.put(body));
  const move = (body) => told.live && send(body);

  const question = el("p.question", { "aria-live": "polite" });
  const how = el("p.soft.small");
  const where = el("p.soft.small.place");
  const take = el("button.button.main", { type: "button", onclick: () => act("point") }, W.aim.take);
  const body = el("div.stack.tight");
  const pad = aimPad(step);
  const tools = el("div.stack.tight.aim-tools", {}, question, how, pad, where, take);
  place.append(el("h2", { id: "align-title" }, W.title), body);

  /** Steps in pixels follow each other faster than answers come: they are added to where the last one went. */
  function step(/** @type {number} */ dx, /** @type {number} */ dy) {
    if (!told.live) return;
    told.pixel = [told.pixel[0] + dx, told.pixel[1] + dy].map((value) => Math.round(value * 10) / 10);
    move({ pixel: told.pixel });
  }
  nudge(tools, step);
  room.root.addEventListener(
    "keydown",
    (event) => {
      if (!told.live || !HAND_KEYS.test(event.key) || event.ctrlKey || event.metaKey) return;
      event.stopImmediatePropagation();
      event.preventDefault();
      if (event.key === "Enter") act("point");
      else if (event.key === "Escape") act("end");
      else if (event.key.startsWith("Arrow")) keyed(event);
    },
    { capture: true },
  );
  function keyed(event) {
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key] ?? [0, 0];
    const size = event.altKey ? 0.1 : event.shiftKey ? 10 : 1;
    step(way[0] * size, way[1] * size);
  }
  tools.addEventListener("keydown", (event) => {
    if (event.key === "Escape") act("end");
    if (event.key !== "Enter" || event.target instanceof HTMLButtonElement) return;
    event.preventDefault();
    act("point");
  });

  async function act(/** @type {string} */ verb, /** @type {object} */ content = {}) {
    try {
      await live.settled();
      const answer = await post(verb === "begin" ? "/api/alignment" : `/api/alignment/${verb}`, content);
      if (verb === "lay") {
        say(W.result.laid);
        room.taken(answer);
        told = { live: false, hand: null };
      } else told = answer;
      draw();
      if (verb === "begin") take.focus();
    } catch (error) {
      sayRefused(error);
    }
  }

  /** What was done in another window, or at the projector, is told by the state. */
  async function hear() {
    const { hand = null, layout = null } = stateNow()?.light ?? {};
    const now = JSON.stringify([hand, layout]);
    const carried = layout === room.id && (hand?.kind === "push" || heard.includes('"push"'));
    if (now === heard && !carried) return;
    heard = now;
    try {
      if (carried) await room.reload();
      told = await get("/api/alignment");
      if (told.live && told.layout !== room.id) told = { live: false, hand: null };
      draw();
    } catch (error) {
      if (!(error instanceof Refused)) throw error;
    }
  }

  function draw() {
    hair.show(told.live ? told : null);
    room.root.toggleAttribute("data-aiming", told.live);
    place.dataset.hand = told.hand?.kind ?? "none";
    if (told.live) refill(body, ...aiming());
    else if (told.hand?.kind === "push") refill(body, ...pushing());
    else refill(body, ...idle());
  }

  function idle() {
    const start = (verb) => () => act(verb, { layout: room.id, piece: room.chosen() });
    const off = room.layout()?.bench.calibrated !== true;
    const button = (text, verb, main) =>
      el(main ? "button.button.main" : "button.button", { type: "button", disabled: off, onclick: start(verb) }, text);
    return [
      el("p", {}, off ? W.uncalibrated : W.idle),
      el("div.row", {}, button(W.toLeather, "begin", false), button(W.toLight, "push", false)),
      practice(false),
    ].filter(Boolean);
  }

  function aiming() {
    const feature = told.features.find((one) => one.name === told.asked);
    question.textContent = feature ? W.aim.ask(feature.title) : W.aim.all;
    how.textContent = feature ? `${feature.edge ? W.aim.edge : W.aim.spot} ${W.aim.how}` : "";
    where.textContent = W.aim.where(told.place);
    take.disabled = !feature;
    return [tools, practice(true), others(), ...resultRows(told, act), el("div.row", {}, stop())].filter(Boolean);
  }

  function pushing() {
    return [
      el("p.question", {}, W.push.words),
      el("p.soft.small", {}, W.push.carry),
      el("div.row", {}, el("button.button.main", { type: "button", onclick: () => act("end") }, W.push.done)),
    ];
  }

  const stop = () => el("button.button.plain", { type: "button", onclick: () => act("end") }, W.stop);

  function others() {
    const rows = told.features.map((feature) =>
      el("button.button.small", { type: "button", onclick: () => act("ask", { feature: feature.name }) }, feature.title),
    );
    return el("details", {}, el("summary", {}, W.aim.others), el("div.row.places", {}, ...rows));
  }

  /** On the practice table leather slips at a press, and a practice hand finds it again. */
  function practice(/** @type {boolean} */ aimed) {
    if (room.layout()?.bench.practice !== true) return null;
    const press = (text, path, content) =>
      el("button.button", { type: "button", onclick: () => hand(path, content) }, text);
    return el(
      "div.practice-hand",
      {},
      el("p.soft.small", {}, W.practice.title),
      aimed ? press(W.practice.hand, "aim", {}) : press(W.practice.slip, "shift-leather", { piece: room.chosen() }),
    );
  }

  async function hand(path, content) {
    try {
      const answer = await post(`/api/practice/${path}`, content);
      if (answer.sentence) say(answer.sentence);
      if (path === "aim") live.put({ pixel: answer.pixel });
    } catch (error) {
      sayRefused(error);
    }
  }

  watchState(hear);
  new MutationObserver(() => hair.show(told.live ? told : null)).observe(room.root, { attributeFilter: ["viewBox"] });
  draw();
}
