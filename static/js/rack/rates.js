import { el } from "../dom.js";
import { rackWords as W } from "../words/rack.js";

const CARDS = /** @type {const} */ (["money", "minutes", "waiting"]);

/** Money, minutes and waiting times: a card each, every field with what is usual where it is left empty. */
export const rateCards = (/** @type {any} */ rack) => CARDS.map((card) => rateCard(card, rack));

function rateCard(card, rack) {
  const fields = Object.entries(W[card].fields).map(([key, label]) => field(key, label, rack));
  return el(
    "section.card",
    { "data-of": card, id: card },
    el("h2", {}, W[card].title),
    el("p.soft.small", {}, W[card].words),
    el("div.rate-grid", {}, ...fields),
  );
}

function field(key, label, rack) {
  const id = `rate-${key.replace(".", "-")}`;
  return el(
    "div.field",
    {},
    el("label", { for: id }, label),
    el("input", {
      id,
      name: key,
      value: valueOf(rack, key),
      placeholder: usual(rack, key),
      autocomplete: "off",
      spellcheck: "false",
      "aria-describedby": `${id}-wrong`,
    }),
    el("p.wrong-here", { id: `${id}-wrong`, "data-for": key, role: "alert" }),
  );
}

const valueOf = (rack, key) => {
  const [part, name] = key.split(".");
  return (name === undefined ? rack[part] : rack[part]?.[name]) ?? "";
};

/** A waiting time that is left empty shows what is usual. */
function usual(rack, key) {
  const [part, name] = key.split(".");
  return part === "waiting" ? (rack.understood?.waiting?.[name]?.words ?? "") : "";
}

/** What is typed, as the server has it. */
export function typedRates(/** @type {HTMLFormElement} */ form) {
  const found = { rates: {}, waiting: {} };
  for (const card of CARDS) {
    for (const key of Object.keys(W[card].fields)) {
      const [part, name] = key.split(".");
      const value = /** @type {HTMLInputElement} */ (form.elements.namedItem(key)).value.trim();
      if (name === undefined) found[part] = value;
      else found[part][name] = value;
    }
  }
  return found;
}
