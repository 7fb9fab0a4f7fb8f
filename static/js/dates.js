const FULL = new Intl.DateTimeFormat("en", { dateStyle: "medium", timeStyle: "short" });

/** "just now", "12 minutes ago", "today, 14:05" or the date, from an ISO time. */
export function ago(/** @type {string} */ iso, now = new Date()) {
  const then = new Date(iso);
  const minutes = Math.round((now.getTime() - then.getTime()) / 60000);
  if (minutes < 1) return "just now";
  if (minutes === 1) return "a minute ago";
  if (minutes < 60) return `${minutes} minutes ago`;
  return FULL.format(then);
}
