import { Refused } from "./api.js";

/**
 * Put a refusal beside the field it is about, and take away those that no longer hold. Fields carry the server's names.
 * @param {HTMLElement} form
 * @param {unknown} error a refusal, or null to clear
 * @returns {boolean} whether the refusal found its field
 */
export function showFieldErrors(form, error) {
  const field = error instanceof Refused ? error.field : null;
  let found = false;
  for (const place of form.querySelectorAll(".wrong-here")) {
    const name = /** @type {HTMLElement} */ (place).dataset.for;
    const input = form.querySelector(`[name="${CSS.escape(name ?? "")}"]`);
    const here = field !== null && name === field;
    place.textContent = here ? /** @type {Refused} */ (error).sentence : "";
    if (here) input?.setAttribute("aria-invalid", "true");
    else input?.removeAttribute("aria-invalid");
    found ||= here;
  }
  return found;
}
