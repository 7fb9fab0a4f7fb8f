import { el } from "../dom.js";
import { showFieldErrors } from "../fields.js";
import { words } from "../words/words.js";

const W = words.making;
const SHELVES = /** @type {const} */ ({
  leather: { from: "leathers", label: W.pickLeather, none: W.keepTyped, text: W.leather },
  irons: { from: "chisels", label: W.pickIrons, none: W.nearest, text: W.irons },
  thread: { from: "threads", label: W.pickThread, none: W.byItself, text: W.thread },
});

/**
 * What can be taken from the shelf: a known size goes into the fields; the leather, irons and thread that a thing is made of
 * are chosen by name, kept with the thing, and fill in what the maker leaves empty.
 * @param {HTMLElement} place
 * @param {{fill: (values: Record<string, string>) => void, chosen: () => void}} tell
 */
export function picks(place, tell) {
  /** @type {Record<string, string>} */
  let made = {};
  let shown = { family: null, rack: null };

  function offer(family, rack) {
    shown = { family, rack };
    const shelves = Object.keys(SHELVES).map((part) => shelf(part, rack.understood[SHELVES[part].from]));
    const fields = [sizes(family.presets), ...shelves].filter((one) => one !== null);
    place.replaceChildren(...fields);
    place.hidden = fields.length === 0;
  }

  function sizes(presets) {
    if (presets.length === 0) return null;
    const options = presets.map((one, i) => el("option", { value: i }, one.title));
    const act = (event) => event.target.value !== "" && tell.fill(preset(presets[Number(event.target.value)]));
    return field("size", W.pickSize, [el("option", { value: "" }, W.keepTyped), ...options], act);
  }

  /** One shelf of the rack; what was chosen and hangs there no more is still named. */
  function shelf(part, entries) {
    const now = made[part] ?? "";
    const gone = now !== "" && !entries.some((one) => one.name === now);
    if (entries.length === 0 && !gone) return null;
    const option = (value, text) => el("option", { value, selected: value === now }, text);
    const options = [
      option("", SHELVES[part].none),
      ...entries.map((one) => option(one.name, SHELVES[part].text(one))),
      ...(gone ? [option(now, W.gone(now))] : []),
    ];
    return field(part, SHELVES[part].label, options, (event) => choose(part, event.target.value));
  }

  function choose(part, name) {
    made = { ...made, [part]: name };
    tell.chosen();
  }

  return {
    offer,
    /** What was chosen, by part. */
    values: () => ({ leather: "", thread: "", irons: "", ...made }),
    /** Show what a thing was made of. */
    set(/** @type {Record<string, string>} */ names) {
      made = { ...names };
      if (shown.family !== null) offer(shown.family, shown.rack);
    },
    refused: (error) => showFieldErrors(place, error),
  };
}

function field(name, label, options, act) {
  const id = `pick-${name}`;
  const about = `made_of.${name}`;
  const select = el("select", { id, name: about, onchange: act, "aria-describedby": `${id}-wrong` }, ...options);
  const wrong = el("p.wrong-here", { id: `${id}-wrong`, "data-for": about, role: "alert" });
  return el("div.field", {}, el("label", { for: id }, label), select, wrong);
}

const preset = (found) => Object.fromEntries(Object.entries(found.measures).map(([name, value]) => [name, String(value)]));
