import { post } from "../api.js";
import { eachFrame, el } from "../dom.js";
import { nudge } from "../gestures/nudge.js";
import { saver } from "../saver.js";
import { sayRefused } from "../say.js";
import { words } from "../words/words.js";
import { sketch } from "./sketch.js";

const W = words.session.check;
const WAYS = { up: [0, -1, "↑"], left: [-1, 0, "←"], right: [1, 0, "→"], down: [0, 1, "↓"] };
const tenth = (/** @type {number} */ value) => Math.round(value * 10) / 10;

/**
 * @typedef {object} Look what a maker has said of one cross
 * @property {[number, number]} start px where it is predicted
 * @property {[number, number]} by px it was moved
 * @property {"open" | "kept" | "moved" | "skipped"} state
 */

/**
 * One cross after the other: it lies on its dot, or it is moved there. Then the program decides.
 * @param {any} room what the session section knows: id, bench(), decide(seen), sound()
 */
export function checkPanel(room) {
  /** @type {Record<string, Look>} */
  let looks = {};
  let now = "";
  const question = el("h3.question", { "aria-live": "polite" });
  const yes = el("button.button.main.yes", { type: "button", onclick: () => confirm() });
  const moved = el("p.soft", { "aria-live": "polite" });
  const back = el("button.button.plain", { type: "button", onclick: () => move(null) }, W.back);
  const skip = el("button.button.plain", { type: "button", onclick: () => settle("skipped") }, W.skip);
  const decide = el("button.button.main.decide", { type: "button", onclick: () => room.decide(seen()) }, W.decide);
  const count = el("p.soft", { "aria-live": "polite" });
  const lost = el("p.note.wrong", {}, `${W.lost} `, el("a", { href: "#calibrate" }, words.session.toCalibrate));
  const tabs = el("div.letters.looked", { role: "group" });
  const picture = el("div.picture");
  const pad = padOf((dx, dy) => move([dx, dy]));
  const ask = el(
    "div.card.asking",
    {},
    question,
    yes,
    el("p.soft", {}, W.nudge),
    el("div.nudging", {}, pad, el("div.stack.tight", {}, moved, el("div.row", {}, back, skip))),
  );
  const element = el(
    "div.check",
    {},
    ask,
    el("div.stack.tight", {}, picture, el("div.row.so-far", {}, tabs, count), lost, el("div.row", {}, decide)),
  );
  nudge(element, (dx, dy) => move([dx, dy]));
  element.addEventListener("keydown", chooseByLetter);

  const live = saver((body) => post("/api/light/witness", body), { refused: sayRefused });
  const moveLight = eachFrame((name, pixel) => live.put({ name, pixel }));
  const names = () => Object.keys(looks);
  /** Where a cross is lit; at the picture's edge rounding must not carry it out. */
  const at = (look) => /** @type {[number, number]} */ (look.start.map((value, i) => inside(value + look.by[i], i)));
  const inside = (value, axis) => Math.min(Math.max(value, 0), room.bench().picture[axis]);
  const isMoved = (look) => look.by[0] !== 0 || look.by[1] !== 0;

  /** What was looked at: a cross left where it was predicted is sent exactly as predicted. */
  function seen() {
    const known = names().filter((name) => looks[name].state === "kept" || looks[name].state === "moved");
    return Object.fromEntries(known.map((name) => [name, at(looks[name])]));
  }

  function inPicture(/** @type {number[]} */ [x, y]) {
    const [width, height] = room.bench().picture;
    return x >= 0 && y >= 0 && x <= width && y <= height;
  }

  function move(/** @type {[number, number] | null} */ step) {
    const look = looks[now];
    if (look === undefined) return;
    /** @type {[number, number]} */
    const by = step === null ? [0, 0] : [tenth(look.by[0] + step[0]), tenth(look.by[1] + step[1])];
    if (!inPicture(look.start.map((value, i) => value + by[i]))) return;
    looks[now] = { ...look, by, state: look.state === "skipped" ? "open" : look.state };
    if (looks[now].state !== "open") looks[now].state = isMoved(looks[now]) ? "moved" : "kept";
    moveLight(now, at(looks[now]));
    draw();
  }

  function confirm() {
    settle(isMoved(looks[now]) ? "moved" : "kept");
  }

  function settle(state) {
    looks[now] = { ...looks[now], state };
    const open = names().find((name) => looks[name].state === "open");
    choose(open ?? now);
    (open ? yes : decide).focus();
  }

  function choose(name) {
    now = name;
    moveLight(name, at(looks[name]));
    draw();
  }

  function chooseByLetter(event) {
    const letter = event.key.toUpperCase();
    if (event.ctrlKey || event.metaKey || event.altKey || !(letter in looks)) return;
    choose(letter);
  }

  function draw() {
    const look = looks[now];
    question.textContent = W.question(now);
    pad.querySelector(".chosen-letter").textContent = now;
    yes.textContent = isMoved(look) ? W.moved : W.yes;
    moved.textContent = isMoved(look) ? W.by(...look.by) : W.none;
    back.disabled = !isMoved(look);
    const done = Object.keys(seen()).length;
    const open = names().some((name) => looks[name].state === "open");
    count.replaceChildren(W.seen(done, names().length), done < 2 && open ? ` ${W.fewest}` : "");
    lost.hidden = done >= 2 || open;
    decide.disabled = done < 2;
    tabs.replaceChildren(...names().map(tab));
    picture.replaceChildren(drawing());
  }

  function tab(name) {
    const { state } = looks[name];
    return el(
      "button.letter",
      {
        type: "button",
        "data-look": state,
        "aria-pressed": String(name === now),
        "aria-label": `${W.go(name)}: ${W.state[state]}`,
        title: W.state[state],
        onclick: () => choose(name),
      },
      name,
    );
  }

  function drawing() {
    const crosses = Object.fromEntries(names().map((name) => [name, at(looks[name])]));
    const settled = names().filter((name) => looks[name].state === "kept" || looks[name].state === "moved");
    return sketch({
      picture: room.bench().picture,
      crosses,
      chosen: now,
      known: [],
      wanted: null,
      placed: new Set(settled),
      choose,
      label: W.picture,
    });
  }

  /** A dot that the picture does not reach any more cannot be shown. @returns {Look} */
  function lookOf(/** @type {[number, number]} */ start, /** @type {[number, number]} */ pixel) {
    const by = /** @type {[number, number]} */ (pixel.map((value, i) => value - start[i]));
    if (!inPicture(pixel)) return { start, by: [0, 0], state: "skipped" };
    return { start, by, state: Math.hypot(...by) < 0.05 ? "kept" : "moved" };
  }

  return {
    element,
    /** Begin with the crosses where they are predicted. @param {{name: string, predicted: [number, number]}[]} marks */
    begin(marks) {
      looks = Object.fromEntries(marks.map((m) => [m.name, { start: m.predicted, by: [0, 0], state: "open" }]));
      now = names()[0];
      draw();
      yes.focus();
    },
    /** Take over what another hand saw. @param {Record<string, [number, number]>} found */
    take(found) {
      for (const [name, pixel] of Object.entries(found)) looks[name] = lookOf(looks[name].start, pixel);
      draw();
      decide.focus();
    },
  };
}

function padOf(moved) {
  const button = (way) =>
    el(
      `button.button.round.${way}`,
      {
        type: "button",
        "aria-label": words.bench.marks.way[way],
        onclick: () => moved(WAYS[way][0], WAYS[way][1]),
      },
      WAYS[way][2],
    );
  return el(
    "div.pad",
    { tabindex: 0, role: "group", "aria-label": W.pad },
    el("output.chosen-letter"),
    ...Object.keys(WAYS).map(button),
  );
}
