/** What undo, the bin and the comparison of versions say. */
import { shortLength } from "../lengths.js";

const KINDS = { thing: "Draft", pattern: "Pattern", layout: "On the table", bench: "Bench", drawing: "File" };

const COUNTED = {
  patterns: ["saved pattern", "saved patterns"],
  layouts: ["layout", "layouts"],
  checks: ["reading of the rule", "readings of the rule"],
  sessions: ["entry of its log", "entries of its log"],
  jobs: ["job", "jobs"],
  drawings: ["file", "files"],
};

/** What hangs on something and is no object of its own: it is not counted before the maker. */
const UNSAID = new Set(["placements", "own_patterns"]);

const listed = (parts) => (parts.length < 2 ? parts.join("") : `${parts.slice(0, -1).join(", ")} and ${parts.at(-1)}`);

const counted = ([table, n]) => {
  const [one, many] = COUNTED[table] ?? [table.replaceAll("_", " "), table.replaceAll("_", " ")];
  return `${n} ${n === 1 ? one : many}`;
};

const mm = (/** @type {number} */ value) => shortLength(value);
const UNITS = { length: mm, leather: mm, percent: (value) => `${Number(value.toFixed(2))} %` };

export const undoWords = {
  undo: (entry) => (entry ? `Undo: ${entry.words}` : "Undo"),
  redo: (entry) => (entry ? `Redo: ${entry.words}` : "Redo"),
  nothing: { undo: "There is nothing to undo here.", redo: "There is nothing to redo here." },
  done: { undo: (words) => `Undone: ${words}.`, redo: (words) => `Done again: ${words}.` },
  made: "made",
  undone: "undone",
  forgotten: "Older changes are no longer kept.",
  unsaved: "What you typed is not saved yet: save it first, then undo.",
  elsewhere: "This was changed in another window. What you typed here is not saved yet: save it, or load the page again.",

  shelf: {
    more: (name) => `Rename or delete ${name}`,
    older: (n) => (n === 1 ? "1 older one" : `${n} older ones`),
    rename: "Rename",
    remove: "Delete",
    newName: "New name",
    keep: "Keep",
    leave: "Leave it",
    renamed: (name) => `It is called ${name} now.`,
    binned: (name) => `${name} is in the bin. Nothing is lost: it can be put back from there.`,
  },

  bin: {
    kind: (kind) => KINDS[kind] ?? kind,
    when: (date) => `Deleted ${date}.`,
    hangs(hangs) {
      const parts = Object.entries(hangs).filter(([table]) => !UNSAID.has(table));
      return parts.length > 0 ? `With it: ${listed(parts.map(counted))}.` : "Nothing else hangs on it.";
    },
    back: "Put back",
    backLabel: (name) => `Put ${name} back`,
    backDone: (name) => `${name} is back where it was.`,
    empty: "Delete for good",
    emptyLabel: (name) => `Delete ${name} for good`,
    sure: (name) => `Delete ${name} for good, with everything that hangs on it? This cannot be undone.`,
    emptyDone: (name) => `${name} is gone for good.`,
    nothing: "The bin is empty. What you delete on the first page comes here, and stays until you delete it for good.",
  },

  versions: {
    title: (v, date) => `Version ${v.number}, ${date}`,
    first: "The first one saved.",
    same: "The same drawing as the version before.",
    changed: (titles) => `Changed: ${listed(titles)}.`,
    redrawn: "Drawn anew with the same measures.",
    compare: "Compare with the one before",
    compareLabel: (v) => `Compare version ${v.number} with version ${v.number - 1}`,
    none: "No version is saved yet. One is saved when you lay the pattern on the table or take it away as a drawing.",
    remove: (v) => `Delete version ${v.number}`,
  },

  compare: {
    heading: (a, b) => (a.thing.id === b.thing.id ? `${b.thing.name}: two versions` : `${a.thing.name} and ${b.thing.name}`),
    old: (date) => `Old, saved ${date}: dashed, open holes`,
    new: (date) => `New, saved ${date}: solid, filled holes`,
    mark: "Largest distance between the outlines",
    same: "The outlines are the same.",
    sharedSame: "The pieces that both have are the same; others are in one of them only.",
    nothingShared: "They have no piece in common whose outlines could be held against each other.",
    worst: (piece, distance) => `The outlines lie up to ${mm(distance)} apart, most on the ${piece.toLowerCase()}.`,
    only: { old: "Only in the old one.", new: "Only in the new one." },
    unmeasured: "It has no closed outline to measure.",
    apart: (distance, same) => (distance <= same ? "the same" : mm(distance)),
    columns: ["Piece", "Outlines apart", "Stitch holes", "Area"],
    fromTo: (a, b) => (a === b ? a : `${a} → ${b}`),
    area: (mm2) => `${(mm2 / 100).toFixed(1)} cm²`,
    missing: "–",
    measureColumns: ["Measure", "Old", "New"],
    measuresSame: "Every measure is the same.",
    value: (measure, value) => {
      if (value === null || value === undefined) return "–";
      if (measure.unit === "choice") return measure.choices[value] ?? String(value);
      return (UNITS[measure.unit] ?? String)(value);
    },
    drawing: (title, text) => `${title}, old and new drawn over each other. ${text}`,
    way: "Exchange old and new",
  },
};
