import { ago } from "../dates.js";
import { el } from "../dom.js";
import { workWords } from "../words/work.js";

const W = workWords.list;

/** A job as a line of a list: its name, where it stands, and how far it is. */
export function jobRow(/** @type {any} */ job) {
  const words = job.done
    ? `${W.copies(job.copies)}, ${W.done(ago(job.done_at))}`
    : (job.gone ?? `${job.where} ${job.title}. ${cap(W.worked(ago(job.changed_at)))}.`);
  const link = el(
    "a.job",
    { href: `/work/${job.id}` },
    el("span.name", {}, job.name),
    el("span.where", {}, words),
    job.done ? null : el("span.share", {}, W.share(job)),
    job.done ? null : bar(job),
  );
  return el("li", {}, link);
}

/** How far a job is, as a bar. */
export function bar(/** @type {any} */ job) {
  const progress = /** @type {HTMLProgressElement} */ (el("progress", { max: 1, value: job.progress }));
  progress.setAttribute("aria-label", W.shareOf(job));
  return progress;
}

const cap = (/** @type {string} */ text) => text[0].toUpperCase() + text.slice(1);

/** Jobs under way and finished ones, apart. */
export const sorted = (/** @type {any[]} */ jobs) => ({
  underWay: jobs.filter((job) => !job.done),
  finished: jobs.filter((job) => job.done),
});
