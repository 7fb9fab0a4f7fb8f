import { byId, el } from "../dom.js";
import { paperWords as W } from "../words/paper.js";

/** Show the pages of a print; each picture is fetched when it comes into sight. */
export function showPages(/** @type {string} */ base, /** @type {URLSearchParams} */ asked, /** @type {any} */ answer) {
  const place = byId("pages");
  place.dataset.lie = asked.get("size") === "roll" ? "roll" : answer.turn;
  place.dataset.stale = "no";
  byId("preview-words").textContent = W.found(answer);
  byId("paper-refused").textContent = "";
  place.replaceChildren(...answer.pages.map((page) => pageItem(`${base}/paper/page-${page.number}.svg?${asked}`, page, answer.page_count)));
}

function pageItem(address, page, of) {
  const picture = el("img", {
    src: address,
    alt: W.page(page, of),
    loading: "lazy",
    width: Math.round(page.width_mm * 2),
    height: Math.round(page.height_mm * 2),
  });
  return el("li", {}, el("a", { href: address, target: "_blank" }, picture, el("span.small", { "aria-hidden": "true" }, W.caption(page))));
}

/** What was chosen cannot be printed: say why, and keep the last pages, dimmed. */
export function showRefused(/** @type {string} */ sentence) {
  byId("pages").dataset.stale = "yes";
  byId("preview-words").textContent = "";
  byId("paper-refused").textContent = sentence;
}
