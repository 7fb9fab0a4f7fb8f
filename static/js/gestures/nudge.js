const WAYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

/** How far one press goes: 1, with Shift 10, with Alt a tenth. */
export function stride(/** @type {{shiftKey: boolean, altKey: boolean}} */ event) {
  if (event.altKey) return 0.1;
  return event.shiftKey ? 10 : 1;
}

/**
 * Let the arrow keys move something while the element has the focus.
 * @param {Element} element
 * @param {(dx: number, dy: number) => void} moved in the unit that one press stands for; y grows downwards
 * @returns {() => void} disable
 */
export function nudge(element, moved) {
  const pressed = (/** @type {KeyboardEvent} */ event) => {
    const way = WAYS[event.key];
    if (way === undefined || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    const step = stride(event);
    moved(way[0] * step, way[1] * step);
  };
  element.addEventListener("keydown", pressed);
  return () => element.removeEventListener("keydown", pressed);
}
