import { byId } from "../dom.js";
import { costingForm } from "../draft/costing.js";
import { picks } from "../draft/picks.js";

const FILLS = /** @type {const} */ ([["leather", "leather"], ["irons", "pitch"]]);

/**
 * What a brought pattern is made of and what it costs, as a drafted one has it. A leather or irons that are chosen fill in the
 * thickness or the pitch; when the choice is taken back, what they filled in stays as if it had been typed.
 * @param {any} rack
 * @param {() => any} now the drawing, with its choices and its draft
 * @param {{change: (part: object) => void, changeSoon: (part: object) => void, filled: () => void}} tell
 */
export function rackParts(rack, now, tell) {
  const shelf = picks(byId("picks"), { fill: () => undefined, chosen });
  const costing = costingForm(byId("costing"), () => tell.changeSoon({ costing: costing.values() }));

  function chosen() {
    const made = shelf.values();
    const before = now().choices.made_of;
    const typed = FILLS.filter(([part]) => made[part] !== (before[part] ?? "")).map(([part, name]) => [name, made[part] === "" ? kept(name) : ""]);
    tell.change({ made_of: made, ...Object.fromEntries(typed) });
    tell.filled();
  }

  const kept = (name) => `${now().draft?.measures_mm[name] ?? { leather: 2, pitch: 4 }[name]} mm`;

  shelf.offer({ presets: [] }, rack);
  shelf.set(now().choices.made_of);
  costing.set(now().choices.costing);
  return {
    show: (draft) => costing.understood(draft.costing, draft.cost.work),
    /** Whether a refusal found its field here. */
    refused: (error) => [shelf, costing].map((part) => part.refused(error)).some(Boolean),
  };
}
