import { get, post, remove } from "../api.js";
import { ago } from "../dates.js";
import { byId, el, refill } from "../dom.js";
import { say, sayRefused } from "../say.js";
import { watchState } from "../state.js";
import { undoWords } from "../words/undo.js";

const W = undoWords.bin;

function bagRow(bag) {
  return el(
    "li.card.bag",
    { "data-bag": bag.id },
    el("div", {}, el("h2", {}, bag.name), el("p.soft", {}, `${W.kind(bag.kind)}. ${W.when(ago(bag.at))} ${W.hangs(bag.hangs)}`)),
    el(
      "div.row",
      {},
      el("button.button.main", { type: "button", "aria-label": W.backLabel(bag.name), onclick: () => putBack(bag) }, W.back),
      el("button.button", { type: "button", "aria-label": W.emptyLabel(bag.name), onclick: () => empty(bag) }, W.empty),
    ),
  );
}

async function act(/** @type {Promise<any>} */ asked, /** @type {string} */ done) {
  try {
    await asked;
    say(done);
  } catch (error) {
    sayRefused(error);
  }
  await show().catch(sayRefused);
}

const putBack = (bag) => act(post(`/api/bin/${bag.id}/back`), W.backDone(bag.name));

function empty(bag) {
  if (window.confirm(W.sure(bag.name))) act(remove(`/api/bin/${bag.id}`), W.emptyDone(bag.name));
}

async function show() {
  const bags = await get("/api/bin");
  byId("nothing").textContent = bags.length > 0 ? "" : W.nothing;
  refill(byId("bags"), ...bags.map(bagRow));
}

// The state comes at once and after each change, in whatever window it was made.
watchState(() => show().catch(sayRefused));
