import { post } from "../api.js";
import { el } from "../dom.js";
import { knockPanel } from "../practice/knock.js";
import { sayRefused } from "../say.js";
import { stateNow } from "../state.js";
import { words } from "../words/words.js";
import { verdictCard } from "./session-verdict.js";
import { checkPanel } from "./witness-check.js";
import { makePanel } from "./witness-make.js";

const W = words.session;

/**
 * The session check: make witness marks once, then look at each of them at the start of every session.
 * @param {HTMLElement} place
 * @param {any} room what the page lets a section do: id, bench(), changed(answer), clear()
 */
export function sessionSection(place, room) {
  /** @type {"rest" | "checking" | "making" | "decided"} */
  let stage = "rest";
  /** @type {any} */
  let found = null;
  /** @type {any} */
  let seen = null;
  const make = makePanel({ ...room, made: (answer) => enter("rest", answer), leave: () => enter("rest") });
  const check = checkPanel({ ...room, decide });
  const knock = knockPanel({ ...room, sight: sightForMe });
  const body = el("div.stack");
  place.append(body, knock.element);

  function enter(/** @type {typeof stage} */ next, /** @type {any} */ answer = null) {
    stage = next;
    if (answer !== null) room.changed(answer);
    draw();
  }

  async function begin() {
    try {
      await post("/api/light", { mode: "witness", bench: room.id, pixels: {} });
      stage = "checking";
      draw();
      check.begin(room.bench().witness.marks);
    } catch (error) {
      sayRefused(error);
    }
  }

  async function sightForMe() {
    if (stage !== "checking") await begin();
    try {
      const { seen } = await post("/api/practice/witness", { bench: room.id });
      check.take(seen);
    } catch (error) {
      sayRefused(error);
    }
  }

  async function decide(/** @type {Record<string, [number, number]>} */ looked) {
    try {
      found = await post(`/api/benches/${room.id}/session`, { seen: looked });
      enter("decided", found.bench);
      body.querySelector(".decided")?.focus({ preventScroll: true });
      window.scrollTo({ top: 0 });
    } catch (error) {
      sayRefused(error);
    }
  }

  function anew() {
    if (!window.confirm(W.clearConfirm)) return;
    stage = "rest";
    room.clear();
    location.hash = "calibrate";
  }

  /** What is to be seen now: a name for it, and how it is made; the same name is not made anew. */
  function view() {
    const { calibrated, witness } = room.bench();
    if (!calibrated) return ["raw", () => [el("p", {}, W.raw), el("p", {}, linkTo("#calibrate", W.toCalibrate))]];
    if (stage === "making" || !witness?.marks.length) return ["make", () => [make.element]];
    if (!witness.usable) return ["renew", () => [el("p.note.mind", {}, witness.sentence), make.element]];
    if (stage === "decided") return [found, () => [verdictCard(found, { again: begin, anew, layout: layoutInUse() })]];
    if (stage === "checking") return ["check", () => [check.element]];
    return [`rest ${witness.marks.length}`, () => [startCard(witness.marks.length)]];
  }

  const linkTo = (href, text) => el("a.button.main", { href }, text);
  const layoutInUse = () => stateNow()?.layout?.id ?? null;

  const startCard = (count) =>
    el(
      "div.card.start",
      {},
      el("p.large", {}, W.check.beginWords(count)),
      el(
        "div.row",
        {},
        el("button.button.main", { type: "button", onclick: begin }, W.check.begin),
        el("button.button.plain", { type: "button", onclick: () => enter("making") }, W.make.again),
      ),
    );

  function draw() {
    const { light } = stateNow() ?? {};
    const [name, build] = view();
    if (name !== seen) body.replaceChildren(...build());
    seen = name;
    make.update(light?.mode === "crosses" && light.bench === room.id);
    knock.update(room.bench().practice && room.bench().calibrated, room.bench().witness?.usable === true);
  }

  return {
    update() {
      // What was decided stays to be read, until the bench is no longer calibrated.
      if (stage === "decided" && !room.bench().calibrated) stage = "rest";
      draw();
    },
  };
}
