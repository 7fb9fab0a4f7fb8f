/** What the page about paper says. */

import { shortLength } from "../lengths.js";

const mm = (/** @type {number} */ value) => shortLength(value, 1);
const pages = (n) => (n === 1 ? "1 page" : `${n} pages`);

export const paperWords = {
  what: (o) => (o.name === o.title ? `${o.name}, at true size.` : `${o.name}, ${o.title.toLowerCase()}, at true size.`),
  roll: "Roll, as long as needed",
  rollUsual: "610 mm",
  turns: { auto: "Fewest pages", portrait: "Upright", landscape: "Lying" },
  margin: "What your printer cannot print along each edge. Lengths in mm, cm or in.",
  overlap: "What neighbouring pages share, to lay one on the other.",
  copies: (piece) => `Copies of ${piece.title.toLowerCase()}`,
  size: (piece) => piece.size_mm.map(mm).join(" × "),
  uncorrected: "No correction",
  printer: (p) => `Its rules measured ${mm(p.across_mm)} across and ${mm(p.down_mm)} down; the print is made ${p.words}.`,
  noPrinter: "The print is made as it is. Measure its rules before you cut.",
  measure:
    "Print any page at 100 %, without a correction. Lay a steel rule on the 100 mm rule along the top and on the one along the left side, read both to a fifth of a millimetre, and type them here. More than 5 % off means the page was fitted to the paper.",
  rules: "A page with a rule along its top and a rule along its left side",
  kept: (name) => `The readings of ${name} are kept.`,
  forgotten: (name) => `${name} is forgotten.`,
  nameWanted: "Give the printer a name.",
  working: "Laying out the pages…",
  found(answer) {
    const lie = answer.turn === "landscape" ? "lying" : "upright";
    const paper = answer.paper.split(",")[0];
    const joined = answer.joined === 0 ? "every piece on a single page" : answer.joined === 1 ? "one sheet is put together from several pages" : `${answer.joined} sheets are put together from several pages`;
    const first = paper === "roll" ? `${answer.page_count} lengths of ${answer.paper}` : `${pages(answer.page_count)} of ${paper}, ${lie}`;
    return `${first}; ${joined}; ${answer.correction}.`;
  },
  page: (page, of) => `Page ${page.number} of ${of}: ${page.about}`,
  caption: (page) => `${page.number} · ${page.about}`,
  help: 'Print at 100 % ("actual size"), not "fit to page". Every page carries rules of 100 mm and 4 in both ways: measure them before you cut.',
};
