/** What was typed and not yet saved, kept in this browser so that a closed page loses nothing. */

const key = (/** @type {string} */ thing) => `hidelight-draft-${thing || "new"}`;

export function keep(/** @type {string} */ thing, /** @type {object} */ typed) {
  try {
    localStorage.setItem(key(thing), JSON.stringify(typed));
  } catch {
    // Without storage the page itself still holds everything.
  }
}

export function kept(/** @type {string} */ thing) {
  try {
    return JSON.parse(localStorage.getItem(key(thing)) ?? "null");
  } catch {
    return null;
  }
}

export function forget(/** @type {string} */ thing) {
  try {
    localStorage.removeItem(key(thing));
  } catch {
    // Nothing was kept then.
  }
}
