import { el } from "../dom.js";
import { words } from "../words/words.js";

/**
 * The sections of a long page, of which one is seen at a time: the index above them links to each, and the address says
 * which one it is, so that links from elsewhere and the browser's back button work.
 * @param {HTMLElement} index a nav element, filled here
 * @param {Record<string, HTMLElement>} parts name -> section, in order
 * @param {(name: string) => void} opened called when a section comes into sight
 */
export function sections(index, parts, opened) {
  const links = Object.fromEntries(
    Object.keys(parts).map((name) => [name, el("a", { href: `#${name}` }, words.index[name])]),
  );
  index.replaceChildren(...Object.values(links));
  let now = "";

  function show(name) {
    if (name === now) return;
    now = name;
    for (const [other, part] of Object.entries(parts)) part.hidden = other !== name;
    for (const [other, link] of Object.entries(links)) {
      if (other === name) link.setAttribute("aria-current", "true");
      else link.removeAttribute("aria-current");
    }
    // On a narrow page the index runs on to the side; the chosen one is brought into it.
    index.scrollTo({ left: links[name].offsetLeft - 16 });
    opened(name);
  }

  const asked = () => decodeURIComponent(location.hash.slice(1));
  window.addEventListener("hashchange", () => {
    if (!(asked() in parts)) return;
    show(asked());
    window.scrollTo({ top: 0 });
  });

  return {
    /** Open what the address asks for, or else this one. */
    begin(/** @type {string} */ first) {
      show(asked() in parts ? asked() : first);
      window.scrollTo({ top: 0 });
    },
    now: () => now,
    /** Say in the index that a section wants a look. */
    flag(/** @type {string} */ name, /** @type {boolean} */ on) {
      links[name].dataset.flag = on ? "yes" : "no";
    },
  };
}
