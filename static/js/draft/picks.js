import { el } from "../dom.js";
import { words } from "../words.js";

const W = words.making;

/**
 * What can be taken from the shelf instead of typed: a known size, a leather (thickness, K, stretch), irons (pitch), a thread.
 * What is taken goes into the fields of the form, so that it is seen, can be changed, and is saved with the thing.
 * @param {HTMLElement} place
 * @param {{fill: (values: Record<string, string>) => void, again: () => void}} tell
 */
export function picks(place, tell) {
  let thread = "";

  function offer(family, rack) {
    const has = new Set(family.measures.map((measure) => measure.name));
    const { leathers, chisels, threads } = rack.understood;
    const fields = [
      pick("size", W.pickSize, W.keepTyped, family.presets, (p) => p.title, (p) => tell.fill(preset(p))),
      pick("leather", W.pickLeather, W.keepTyped, leathers, W.leather, (l) => tell.fill(only(has, leatherFills(l)))),
      pick("irons", W.pickIrons, W.keepTyped, chisels, W.irons, (row) => tell.fill(only(has, { pitch: `${row.pitch_mm}` }))),
      pick("thread", W.pickThread, W.byItself, threads, W.thread, chooseThread, thread),
    ];
    place.replaceChildren(...fields.filter(Boolean));
    place.hidden = place.childElementCount === 0;
  }

  function chooseThread(found) {
    thread = found?.name ?? "";
    tell.again();
  }

  return { offer, /** The thread the maker wants, or null. */ thread: () => thread || null };
}

/** One select; nothing to choose from gives none. */
function pick(name, label, none, entries, text, chosen, now = "") {
  if (entries.length === 0) return null;
  const options = entries.map((entry, i) => el("option", { value: i, selected: entry.name === now && now !== "" }, text(entry)));
  const act = (event) => {
    const entry = entries[Number(event.target.value)];
    if (event.target.value !== "" || name === "thread") chosen(event.target.value === "" ? null : entry);
  };
  const id = `pick-${name}`;
  const select = el("select", { id, onchange: act }, el("option", { value: "" }, none), ...options);
  return el("div.field", {}, el("label", { for: id }, label), select);
}

const preset = (found) => Object.fromEntries(Object.entries(found.measures).map(([name, value]) => [name, String(value)]));

const only = (has, values) => Object.fromEntries(Object.entries(values).filter(([name]) => has.has(name)));

/** What was not measured on this leather is left to the draft. */
function leatherFills(leather) {
  return {
    leather: `${Number(leather.thickness_mm.toFixed(3))} mm`,
    neutral: leather.neutral === null ? "" : String(leather.neutral),
    stretch: leather.stretch === null ? "" : `${Number((100 * leather.stretch).toFixed(3))} %`,
  };
}
