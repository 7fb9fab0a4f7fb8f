import { get, post } from "../api.js";
import { ago } from "../dates.js";
import { afterQuiet, el } from "../dom.js";
import { sayRefused } from "../say.js";
import { words } from "../words/words.js";
import { guardFigure } from "./guard-figures.js";
import { warmClock } from "./warm.js";

const W = words.guard;

/**
 * The picture guard: what is between the window's pixels and the projector's. Its words are the server's.
 * @param {HTMLElement} place @param {any} room what the page lets a section do: id, bench(), flag(on)
 */
export function guardSection(place, room) {
  const list = el("ul.guards");
  place.append(el("p.soft", {}, W.intro), list);
  let shown = "";
  let lit = "";
  const clock = warmClock();

  /** Asked anew when the projector window changes; several changes at once are one. */
  const ask = afterQuiet(120, async () => {
    try {
      draw(await get(`/api/guard?bench=${room.id}`));
    } catch (error) {
      sayRefused(error);
    }
  });

  async function answer(name, said) {
    try {
      draw(await post("/api/guard", { name, answer: said, bench: room.id }));
      room.renew();
    } catch (error) {
      sayRefused(error);
    }
  }

  async function light(mode) {
    try {
      await post("/api/light", { mode, bench: room.id });
    } catch (error) {
      sayRefused(error);
    }
  }

  function draw(found) {
    room.flag(found.some((one) => one.state === "bad"));
    const key = JSON.stringify([found, lit]);
    if (key === shown) return;
    shown = key;
    const focused = /** @type {HTMLElement | null} */ (document.activeElement)?.dataset.key;
    list.replaceChildren(...found.map(card));
    if (focused) /** @type {HTMLElement | null} */ (list.querySelector(`[data-key="${focused}"]`))?.focus();
  }

  function card(one) {
    return el(
      "li.card",
      { "data-guard": one.name, "data-state": one.state },
      el(
        "div.head",
        {},
        guardFigure(one.figure),
        el("div", {}, el("h3", {}, one.title), el("p.state", {}, W.state[one.state])),
      ),
      el("p", {}, one.words),
      one.remedy && el("p.note.mind", {}, one.remedy),
      one.name === "warm-up" && clock.element,
      one.question && el("p.asked", {}, one.question),
      one.question && el("div.row", {}, ...ways(one)),
      one.answer && el("p.soft.small", {}, W.answered(W[one.answer].toLowerCase(), ago(one.answered_at))),
    );
  }

  function ways(one) {
    const button = (key, text, act, pressed = null) =>
      el(
        "button.button",
        { type: "button", "data-key": `${one.name} ${key}`, "aria-pressed": pressed, onclick: act },
        text,
      );
    return [
      one.light &&
        button("light", one.light === lit ? W.lit : W.light, () => light(one.light), String(one.light === lit)),
      button("yes", W.yes, () => answer(one.name, "yes"), String(one.answer === "yes")),
      button("no", W.no, () => answer(one.name, "no"), String(one.answer === "no")),
    ].filter(Boolean);
  }

  return {
    update(state) {
      lit = state?.light?.bench === room.id ? state.light.mode : "";
      clock.update(room.bench().warm);
      ask();
    },
  };
}
