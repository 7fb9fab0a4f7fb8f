/**
 * @typedef {object} Drag
 * @property {(start: {x: number, y: number}, event: PointerEvent) => boolean} begin false lets the press go by
 * @property {(now: {x: number, y: number}, event: PointerEvent) => void} move
 * @property {() => void} end the finger or the button is up
 */

/**
 * Drag on an element with mouse, pen or finger. Points are those of the function given, so the same gesture serves a
 * stage in millimetres and a sketch in pixels.
 * @param {Element} element
 * @param {(event: PointerEvent) => {x: number, y: number}} where
 * @param {Drag} drag
 * @returns {() => void} disable
 */
export function dragging(element, where, drag) {
  let pointer = null;

  const down = (event) => {
    if (pointer !== null || event.button !== 0 || !drag.begin(where(event), event)) return;
    pointer = event.pointerId;
    element.setPointerCapture(pointer);
    event.preventDefault();
  };
  const moved = (event) => {
    if (event.pointerId === pointer) drag.move(where(event), event);
  };
  const up = (event) => {
    if (event.pointerId !== pointer) return;
    pointer = null;
    drag.end();
  };
  const acts = { pointerdown: down, pointermove: moved, pointerup: up, pointercancel: up };
  for (const [name, act] of Object.entries(acts)) element.addEventListener(name, act);
  return () => {
    for (const [name, act] of Object.entries(acts)) element.removeEventListener(name, act);
  };
}

/** The point of a pointer event in the user units of an SVG. */
export function inSvg(/** @type {SVGSVGElement} */ root) {
  return (/** @type {PointerEvent} */ event) => {
    const matrix = root.getScreenCTM();
    return new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix?.inverse());
  };
}
