import { put, post } from "../api.js";
import { el } from "../dom.js";
import { say, sayRefused } from "../say.js";
import { words } from "../words/words.js";
import { typed } from "./document.js";

const W = words.session.make;

/** The crosses nearest to the corners of the picture. @param {Record<string, [number, number]>} crosses */
export function corners(crosses) {
  const names = Object.keys(crosses);
  const least = (of) => names.reduce((best, name) => (of(crosses[name]) < of(crosses[best]) ? name : best), names[0]);
  const found = [([x, y]) => x + y, ([x, y]) => y - x, ([x, y]) => x - y, ([x, y]) => -x - y].map(least);
  return names.filter((name) => found.includes(name));
}

/**
 * Choose crosses, light them, pencil a dot under each: the witness marks of every later session.
 * @param {any} room what the session section knows: id, bench(), made(answer), leave()
 */
export function makePanel(room) {
  /** @type {Set<string> | null} */
  let chosen = null;
  const letters = el("div.letters", { role: "group", "aria-label": W.choose });
  const said = el("p", { "aria-live": "polite" });
  const light = el("button.button", { type: "button", onclick: showCrosses }, W.light);
  const done = el("button.button.main", { type: "button", onclick: keep }, W.done);
  const leave = el("button.button.plain", { type: "button", onclick: () => room.leave() }, W.leave);
  const known = knownForm(room);
  const element = el(
    "div.card",
    {},
    el("h3", {}, W.title),
    el("p", {}, W.intro),
    el("p.soft", {}, W.choose),
    letters,
    said,
    el("p.note", {}, W.dot),
    el("div.row", {}, light, done, leave),
    known,
  );

  const names = () => [...(chosen ?? [])];

  async function showCrosses() {
    try {
      await post("/api/light", { mode: "crosses", bench: room.id });
    } catch (error) {
      sayRefused(error);
    }
  }

  async function keep() {
    try {
      const answer = await put(`/api/benches/${room.id}/witness`, { names: names(), own: true });
      say(W.made(names()));
      room.made(answer);
    } catch (error) {
      sayRefused(error);
    }
  }

  function toggle(name) {
    if (chosen?.has(name)) chosen.delete(name);
    else chosen?.add(name);
    mark();
  }

  function mark() {
    for (const button of letters.children)
      button.setAttribute("aria-pressed", String(chosen?.has(button.textContent ?? "")));
    said.textContent = W.chosen(names());
    done.disabled = names().length < 2;
  }

  return {
    element,
    update(lit) {
      const { crosses, grid } = room.bench().sightings;
      if (chosen === null || [...chosen].some((name) => !(name in crosses))) chosen = new Set(corners(crosses));
      if (letters.childElementCount !== Object.keys(crosses).length) {
        letters.style.gridTemplateColumns = `repeat(${grid[0]}, 2.9rem)`;
        letters.replaceChildren(
          ...Object.keys(crosses).map((name) =>
            el("button.letter", { type: "button", "aria-label": W.toggle(name), onclick: () => toggle(name) }, name),
          ),
        );
      }
      light.setAttribute("aria-pressed", String(lit));
      light.textContent = lit ? W.lit : W.light;
      leave.hidden = !room.bench().witness?.usable;
      mark();
    },
  };
}

/** Marks whose places are known: three rows to begin with, one more than is filled. */
function knownForm(room) {
  const rows = el("div.stack.tight");
  const add = (letter) => {
    const input = (name, label, value = "") =>
      el("input", { name, "aria-label": label, placeholder: label, value, autocomplete: "off" });
    rows.append(el("div.known-row", {}, input("name", W.name, letter), input("x", W.x), input("y", W.y)));
  };
  for (const letter of "ABC") add(letter);

  async function keep(event) {
    event.preventDefault();
    const all = Array.from(rows.children, (row) => Array.from(row.querySelectorAll("input"), (i) => i.value.trim()));
    const marks = all
      .filter(([name, x, y]) => name && x && y)
      .map(([name, x, y]) => ({ name: name.toUpperCase(), place: [typed(x), typed(y)] }));
    try {
      room.made(await put(`/api/benches/${room.id}/witness`, { marks, own: false }));
      say(W.made(marks.map((m) => m.name)));
    } catch (error) {
      sayRefused(error);
    }
  }

  rows.addEventListener("input", () => {
    const full = Array.from(rows.querySelectorAll("input[name=y]")).every((i) => /** @type {any} */ (i).value !== "");
    if (full && rows.childElementCount < 26) add(String.fromCharCode(65 + rows.childElementCount));
  });
  return el(
    "details",
    {},
    el("summary", {}, W.known),
    el("p.soft", {}, W.knownWords),
    el("form.stack.tight", { onsubmit: keep }, rows, el("button.button", { type: "submit" }, W.keep)),
  );
}
