import { get, post, put, Refused } from "../api.js";
import { el, refill } from "../dom.js";
import { showFieldErrors } from "../fields.js";
import { say, sayRefused } from "../say.js";
import { seeingWords as W } from "../words/seeing.js";
import { kindRow, picker, swatches, toggle } from "./seeing-rows.js";

/**
 * How the light shows on the maker's leather: what is chosen, and the contrast that comes of it.
 * @param {HTMLElement} place
 * @param {number} layout
 */
export async function seeingPanel(place, layout) {
  const path = `/api/layouts/${layout}/seeing`;
  const body = el("div.stack.tight");
  place.append(el("h2", { id: "seeing-title" }, W.title), body);
  /** @type {any} */
  let seeing = null;

  const change = (values) => settle(put(path, values));
  async function settle(/** @type {Promise<any>} */ answer) {
    try {
      seeing = await answer;
      draw();
      return true;
    } catch (error) {
      if (!showFieldErrors(body, error)) sayRefused(error);
      return false;
    }
  }
  async function keep() {
    if (await settle(post(`${path}/keep`))) say(W.kept(W.leathers[seeing.leather]));
  }

  function draw() {
    const open = body.querySelector("details")?.open === true;
    refill(body, leatherPart(seeing, change), roomPart(seeing, change), linesPart(seeing, change), waysPart(seeing, change));
    body.append(
      el("button.button", { type: "button", onclick: keep }, W.keep(W.leathers[seeing.leather])),
      howPart(seeing, open),
    );
  }
  await settle(get(path));
}

function leatherPart(seeing, change) {
  const pick = (leather) => change({ leather });
  const rack = seeing.rack.filter((l) => l.leather !== null);
  const entries = [["", W.fromRackNone], ...rack.map((l, i) => [String(i), W.rackEntry(l)])];
  return el(
    "div.stack.tight",
    {},
    el("fieldset.choices.swatches", {}, el("legend.legend", {}, W.leather), ...swatches(seeing, pick)),
    rack.length > 0 && picker("rack-leather", W.fromRack, entries, "", (i) => i !== "" && pick(rack[Number(i)].leather)),
  );
}

function roomPart(seeing, change) {
  const choose = (room) => change({ room, lumens: seeing.lumens });
  const rooms = seeing.rooms.map(({ name }) => {
    const input = el("input", { type: "radio", name: "room", value: name, checked: name === seeing.room, onchange: () => choose(name) });
    return el("label.choice", {}, input, W.rooms[name]);
  });
  const lumens = el("input", {
    id: "lumens",
    name: "lumens",
    inputmode: "decimal",
    autocomplete: "off",
    value: seeing.lumens ?? "",
    placeholder: seeing.usual_lumens,
    onchange: () => takeLumens(lumens, seeing, change),
  });
  return el(
    "div.room",
    {},
    el("fieldset.choices", {}, el("legend.legend", {}, W.room), ...rooms),
    field(lumens, W.lumens, W.lumensRange(seeing.usual_lumens)),
  );
}

function takeLumens(input, seeing, change) {
  const text = input.value.trim().replace(",", ".");
  const value = text === "" ? null : Number(text);
  if (value !== null && !Number.isFinite(value))
    showFieldErrors(input.closest(".room"), new Refused(W.notLumens, "lumens", 422));
  else change({ room: seeing.room, lumens: value });
}

function linesPart(seeing, change) {
  const chosen = Object.fromEntries(seeing.kinds.map((kind) => [kind.kind, kind.name]));
  const rows = seeing.kinds.map((kind) =>
    kindRow(kind, seeing, (colour) => change({ colours: { ...chosen, [kind.kind]: colour } })),
  );
  const heads = Object.values(W.columns).map((words) => el("th", { scope: "col" }, words));
  const isBest = Object.entries(seeing.proposal).every(([kind, name]) => chosen[kind] === name);
  return el(
    "div.stack.tight",
    {},
    el("table.kinds-seen", {}, el("caption.unseen", {}, W.kinds), el("thead", {}, el("tr", {}, ...heads)), el("tbody", {}, ...rows)),
    isBest
      ? el("p.soft.small", {}, W.bestHeld)
      : el("button.button", { type: "button", onclick: () => change({ colours: seeing.proposal }) }, W.best),
    el("p.note.mind", {}, W.advice[seeing.best_verdict]),
  );
}

function waysPart(seeing, change) {
  const cut = seeing.kinds.find((kind) => kind.kind === "cut");
  const weight = el("input", {
    id: "weight",
    name: "weight",
    autocomplete: "off",
    spellcheck: "false",
    value: seeing.weight,
    onchange: () => change({ weight: weight.value.trim() }),
  });
  const kinds = [["", W.blinkNone], ...seeing.kinds.map(({ kind }) => [kind, W.kind[kind]])];
  return el(
    "div.stack.tight",
    {},
    field(weight, W.weight, W.weightRange(cut.width)),
    toggle("fill", W.fill, W.fillWords, seeing.fill, (fill) => change({ fill })),
    toggle("runner", W.runner, W.runnerWords, seeing.runner, (runner) => change({ runner })),
    picker("blink", W.blink, kinds, seeing.blink ?? "", (kind) => change({ blink: kind || null })),
  );
}

function howPart(seeing, open) {
  const weber = seeing.kinds.map((kind) => W.weberOf(W.kind[kind.kind], kind.weber)).join(", ");
  const words = [W.formula, W.weber(weber), W.light(seeing), W.assumed(seeing), W.apart];
  return el("details", { open }, el("summary", {}, W.how), ...words.map((sentence) => el("p.soft.small", {}, sentence)));
}

function field(input, label, range) {
  return el(
    "div.field",
    {},
    el("label", { for: input.id }, label),
    input,
    el("p.wrong-here", { "data-for": input.name, role: "alert" }),
    el("p.range", {}, range),
  );
}
