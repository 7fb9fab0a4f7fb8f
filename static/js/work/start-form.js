import { get, post } from "../api.js";
import { choices } from "../choices.js";
import { ago } from "../dates.js";
import { byId, el } from "../dom.js";
import { showFieldErrors } from "../fields.js";
import { sayRefused } from "../say.js";
import { typed } from "../lengths.js";
import { workWords } from "../words/work.js";

const W = workWords.start;

/** The form that starts a job; `?layout=3` in the address chooses what. */
export async function startForm() {
  const [layouts, patterns, benches] = await Promise.all([
    get("/api/layouts"),
    get("/api/patterns"),
    get("/api/benches"),
  ]);
  const nothing = layouts.length + patterns.length === 0;
  byId("start-form").hidden = nothing;
  byId("start-nothing").hidden = !nothing;
  if (nothing) return;
  let order = "copy";
  fill(layouts, patterns, benches);
  choices(byId("start-order"), "order", Object.entries(W.orders), order, (chosen) => (order = chosen));
  byId("start-what").addEventListener("change", () => follow(layouts));
  byId("start-copies").addEventListener("input", several);
  byId("start-form").addEventListener("submit", (event) => {
    event.preventDefault();
    begin(order);
  });
  several();
  await follow(layouts);
}

function fill(layouts, patterns, benches) {
  const wanted = new URLSearchParams(location.search).get("layout");
  const laid = layouts.map((one) =>
    el("option", { value: `layout ${one.id}`, selected: String(one.id) === wanted }, one.name),
  );
  const saved = patterns.map((one) => el("option", { value: `pattern ${one.id}` }, W.pattern(one, ago(one.made_at))));
  const groups = [
    [W.laid, laid],
    [W.saved, saved],
  ].filter(([, rows]) => rows.length > 0);
  byId("start-what").replaceChildren(...groups.map(([label, rows]) => el("optgroup", { label }, ...rows)));
  byId("start-bench").replaceChildren(...benches.map((one) => el("option", { value: one.id }, one.name)));
}

const chosen = () => byId("start-what").value.split(" ");

/** A layout knows its bench and its leather; a pattern goes to the bench that is chosen. */
async function follow(layouts) {
  const [kind, id] = chosen();
  const leather = byId("start-leather");
  leather.value = "";
  leather.placeholder = W.asDrafted;
  if (kind !== "layout") return;
  const bench = layouts.find((one) => String(one.id) === id)?.bench;
  if (bench !== undefined) byId("start-bench").value = String(bench);
  try {
    leather.value = (await get(`/api/layouts/${id}`)).leather;
  } catch (error) {
    sayRefused(error);
  }
}

const copies = () => Number(byId("start-copies").value.trim());

function several() {
  byId("start-order").hidden = !(copies() > 1);
}

async function begin(order) {
  const form = byId("start-form");
  const [kind, id] = chosen();
  const fine = Number.isInteger(copies()) && copies() >= 1 && copies() <= 200;
  form.querySelector('[data-for="copies"]').textContent = fine ? "" : W.notANumber;
  if (!fine) return byId("start-copies").focus();
  const leather = typed(byId("start-leather").value.trim());
  const bench = Number(byId("start-bench").value);
  const asked = { [kind]: Number(id), copies: copies(), order, by_strike: byId("start-strikes").checked };
  if (bench) Object.assign(asked, { bench });
  try {
    const job = await post("/api/jobs", leather === "" ? asked : { ...asked, leather });
    location.href = `/work/${job.id}`;
  } catch (error) {
    if (!showFieldErrors(form, error)) sayRefused(error);
  }
}
