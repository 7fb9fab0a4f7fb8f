import { get } from "../api.js";
import { byId, el } from "../dom.js";
import { sayRefused } from "../say.js";
import { watchState } from "../state.js";
import { workWords } from "../words/work.js";
import { jobRow, sorted } from "./jobs-list.js";

const MOST = 4;

/** The first page's list of jobs under way; it follows the state. */
export function underWay() {
  let seen = "";
  watchState((state) => {
    const now = JSON.stringify(state.job ?? null);
    if (now === seen) return;
    seen = now;
    fill().catch(sayRefused);
  });
}

async function fill() {
  const { underWay: open, finished } = sorted(await get("/api/jobs"));
  byId("work-part").hidden = open.length + finished.length === 0;
  const none = el("li.soft", {}, workWords.list.none);
  byId("jobs").replaceChildren(...(open.length === 0 ? [none] : open.slice(0, MOST).map(jobRow)));
}
