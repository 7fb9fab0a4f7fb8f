import { get } from "../api.js";
import { byId, el } from "../dom.js";
import { sayRefused } from "../say.js";
import { watchState } from "../state.js";
import { jobRow, sorted } from "../work/jobs-list.js";
import { startForm } from "../work/start-form.js";
import { workWords } from "../words/work.js";

const W = workWords.list;

async function fill() {
  const { underWay, finished } = sorted(await get("/api/jobs"));
  byId("jobs").replaceChildren(...underWay.map(jobRow));
  byId("finished").replaceChildren(...finished.map(jobRow));
  byId("no-jobs").hidden = underWay.length > 0;
  byId("finished-part").hidden = finished.length === 0;
}

byId("no-jobs").replaceChildren(el("p", {}, W.none), ...W.how.map((sentence) => el("p.soft", {}, sentence)));
byId("start-nothing").prepend(workWords.start.nothing);
startForm().catch(sayRefused);
watchState(() => fill().catch(sayRefused));
