/**
 * Lengths as the maker wants them, in millimetres or inches: the one place where a page writes or reads a unit. The server
 * speaks millimetres; typed lengths go to it as words with their unit.
 */

const KEY = "hidelight-unit";
const MM_PER_INCH = 25.4;
/** A length nearer than this to a 64th of an inch is written as one, mm. */
const AS_GOOD_AS = 0.005;

/** @returns {"mm" | "in"} */
function kept() {
  try {
    return localStorage.getItem(KEY) === "in" ? "in" : "mm";
  } catch {
    return "mm";
  }
}

/** The maker's choice; another choice loads the page anew. @type {"mm" | "in"} */
export const unit = kept();

/** Keep the other unit for this browser. */
export function swapUnit() {
  try {
    localStorage.setItem(KEY, unit === "in" ? "mm" : "in");
  } catch {
    // Without storage everything stays in millimetres.
  }
}

/** Halves go up, also where the binary number lies a hair below: 66.675 is 66.68. */
const tidy = (/** @type {number} */ value, places) => String(Math.round(value * 10 ** places) / 10 ** places);

/** Inches without their sign: 3 1/2, or 2.953 where no 64th is meant. @param {number} mm @param {number} places */
function inches(mm, places = 3) {
  const all = Math.round((Math.abs(mm) / MM_PER_INCH) * 64);
  if (Math.abs(Math.abs(mm) - (all / 64) * MM_PER_INCH) > AS_GOOD_AS) return tidy(mm / MM_PER_INCH, places);
  const [whole, rest] = [Math.floor(all / 64), all % 64];
  const low = rest & -rest;
  const part = rest === 0 ? "" : `${rest / low}/${64 / low}`;
  return `${mm < 0 && all > 0 ? "-" : ""}${[whole || "", part].filter(Boolean).join(" ") || "0"}`;
}

/** A length in words: 12.70 mm, or 1/2 in. @param {number} mm @param {number} places of millimetres */
export const length = (mm, places = 2) =>
  unit === "in" ? `${inches(Number(mm), places === 0 ? 2 : 3)} in` : `${Number(mm).toFixed(places)} mm`;

/** A length in words without noughts at its end. @param {number} mm @param {number} places of millimetres */
export const shortLength = (mm, places = 2) => (unit === "in" ? length(mm, places) : `${tidy(Number(mm), places)} mm`);

/** The figure alone, as on a drawing or in a field. @param {number} mm @param {number} places of millimetres */
export const figure = (mm, places = 2) => (unit === "in" ? inches(mm) : tidy(mm, places));

/** The figure as a decimal number, for a field that takes nothing else. */
export const decimals = (/** @type {number} */ mm) => (unit === "in" ? tidy(mm / MM_PER_INCH, 4) : tidy(mm, 2));

/** mm of a number typed in the maker's unit. */
export const fromTyped = (/** @type {number} */ value) => (unit === "in" ? value * MM_PER_INCH : value);

const BARE = /^[\d.,/⁄¼½¾⅛⅜⅝⅞\s−-]*[\d¼½¾⅛⅜⅝⅞][\d.,/⁄¼½¾⅛⅜⅝⅞\s−-]*$/;

/** What the maker typed, for the server: a number without a unit is in the maker's own. @param {string} text */
export const typed = (text) => (unit === "in" && BARE.test(text) ? `${text.trim()} in` : text);

/** What was typed once and kept: a number without a unit was millimetres. @param {string} text */
export const kindly = (text) => (unit === "in" && BARE.test(text) ? `${text.trim()} mm` : text);

/** Tools are named by the millimetres they are sold by, a formula is one piece, and what the maker typed is quoted. */
const LENGTHS = /(?<!(?:irons?|punch|pitch)(?: of| are| is)? )(?<![\w.'"])(\d+(?:\.\d+)?(?:(?: to | x | × | and |–)\d+(?:\.\d+)?)*) mm\b(?!')/g;

/** A sentence of the server with its lengths in the maker's unit. @param {string} sentence */
export function told(sentence) {
  if (unit === "mm" || sentence.includes(" = ")) return sentence;
  const inInches = (/** @type {string} */ numbers) => numbers.replace(/\d+(?:\.\d+)?/g, (n) => inches(Number(n)));
  return sentence.replace(LENGTHS, (_all, numbers) => `${inInches(numbers)} in`).replace(/(?<=\(eased from )[\d.]+(?=\))/, inInches);
}

const SENTENCES = new Set(["sentence", "words", "why", "hint", "caution", "meaning", "how", "summary", "warnings"]);

/** Takes an answer apart for JSON.parse: what is said in it is told in the maker's unit. */
export function toldIn(/** @type {string} */ key, /** @type {any} */ value) {
  if (!SENTENCES.has(key)) return value;
  if (Array.isArray(value)) return value.map((each) => (typeof each === "string" ? told(each) : each));
  return typeof value === "string" ? told(value) : value;
}
