import { get, post } from "../api.js";
import { el, refill } from "../dom.js";
import { sayRefused } from "../say.js";
import { stateNow, watchState } from "../state.js";
import { alignWords } from "../words/align.js";
import { crossesOn, spansPicture } from "./spans-picture.js";

const W = alignWords.spans;

/**
 * A piece longer than the light: its spans, what is to be done in the present one, and how far the lines will go astray.
 * @param {HTMLElement} place a card, hidden while every piece fits
 * @param {{id: number, root: SVGSVGElement, lie: (piece: string) => import("./lie.js").Lie, reload: () => Promise<void>}} room
 */
export function spansPanel(place, room) {
  let told = { pieces: [], work: null };
  let ground = "waste";
  const crosses = crossesOn(room.root);
  const body = el("div.stack.tight");
  place.append(el("h2", { id: "spans-title" }, W.title), body);

  async function act(/** @type {string} */ verb, /** @type {object} */ content = {}) {
    try {
      const answer = await post(`/api/spans/${room.id}${verb}`, content);
      if (answer.work !== undefined) told = answer;
      if (verb !== "/meet") await room.reload();
      draw();
    } catch (error) {
      sayRefused(error);
    }
  }

  async function load() {
    try {
      told = await get(`/api/spans/${room.id}`);
      draw();
    } catch (error) {
      sayRefused(error);
    }
  }

  function draw() {
    const long = told.pieces.filter((piece) => piece.longer);
    crosses(told.work, room.lie);
    place.hidden = long.length === 0 && told.work === null;
    if (place.hidden) return;
    refill(body, ...(told.work === null ? long.flatMap(offer) : walking(told.work)));
  }

  function offer(piece) {
    const choice = ([name, text]) =>
      el(
        "label.choice",
        {},
        el("input", { type: "radio", name: "ground", value: name, checked: name === ground, onchange: () => (ground = name) }),
        text,
      );
    return [
      el("p", {}, W.longer(piece)),
      el("fieldset.choices", {}, el("legend.legend", {}, W.ground), ...Object.entries(W.grounds).map(choice)),
      button(W.plan(piece.title), () => act("", { piece: piece.name, ground }), true),
    ];
  }

  function walking(work) {
    const span = work.spans[work.at];
    const lit = stateNow()?.light?.hand?.kind === "span" && stateNow()?.light?.layout === room.id;
    return [
      spansPicture(work, (n) => act("/go", { span: n })),
      el("p.question", { "aria-live": "polite" }, W.now(work.at + 1, work.spans.length)),
      el("p.soft", {}, `${W.stretch(span)}, ${W.within(span.error95_mm)}`),
      ...(work.at > 0 ? meeting(work, span) : []),
      el("p", {}, span.draw.length > 0 ? W.draw(span.draw) : W.last),
      lit ? null : el("div.row", {}, button(W.show, () => act("/show"))),
      turner(work),
      el("p", {}, W.far(work.far)),
      why(work),
      el(
        "div.row",
        {},
        button(W.again, () => act("", { piece: work.piece, ground: work.ground })),
        button(W.end, () => act("/end")),
      ),
    ].filter(Boolean);
  }

  function meeting(work, span) {
    return [
      el("p", {}, W.meet(span.meet, work.about)),
      el(
        "div.row",
        {},
        button(W.aimAt, () => act("/meet", { way: "aim" }), true),
        button(W.push, () => act("/meet", { way: "push" })),
      ),
    ];
  }

  function turner(work) {
    const go = (n) => () => act("/go", { span: n });
    return el(
      "div.turner",
      {},
      el("button.button", { type: "button", disabled: work.at === 0, onclick: go(work.at) }, W.back),
      el(
        "button.button.next",
        { type: "button", disabled: work.at === work.spans.length - 1, onclick: go(work.at + 2) },
        W.next,
      ),
    );
  }

  function why(work) {
    const rows = work.spans.map((span, i) => {
      const about = work.about && i % 2 === 1 ? `, ${W.turned}` : "";
      return el("li", {}, W.row(i + 1, span) + about);
    });
    return el(
      "details",
      {},
      el("summary", {}, W.why),
      el("ol.span-rows", {}, ...rows),
      work.about ? el("p.soft.small", {}, W.about) : null,
      el("p.soft.small", {}, W.hands(work.hands_mm)),
      el("p.soft.small", {}, work.criterion),
    );
  }

  let hand = "";
  watchState((state) => {
    const now = `${state.light?.hand?.kind} ${state.light?.layout} ${state.bench?.calibrated_at}`;
    if (now === hand) return;
    hand = now;
    load();
  });
  return { load };
}

const button = (text, act, main = false) =>
  el(main ? "button.button.main" : "button.button", { type: "button", onclick: act }, text);
