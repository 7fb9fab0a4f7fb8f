import { svg } from "../dom.js";
import { dragging, inSvg } from "../gestures/drag.js";
import { nudge } from "../gestures/nudge.js";
import { words } from "../words/words.js";

/** @typedef {{x: number, y: number, turn: number, length: number, width: number}} Rule its zero at (x, y), its edge along x before it is turned */

/** Ticks each millimetre along the upper edge: 3 mm long, 5 at fives, 8 at tens. */
function ticks(length) {
  let d = "";
  for (let mm = 0; mm <= length; mm += 1) d += `M${mm} 0v${mm % 10 === 0 ? 8 : mm % 5 === 0 ? 5 : 3}`;
  return d;
}

/** Only hundreds are written from afar; the last one stands before the end of the steel. */
const nameOf = (mm, length) => `text${mm % 100 === 0 ? ".hundred" : ""}${mm === length ? ".last" : ""}`;

/**
 * A steel rule that can be dragged, turned by its far end, and moved with the arrow keys.
 * @param {SVGSVGElement} root
 * @param {() => void} moved the maker has taken it into the hand
 */
export function steelRule(root, moved) {
  const element = svg("g.rule", { tabindex: 0, role: "img", "aria-label": words.practice.rule });
  /** @type {Rule | null} */
  let rule = null;

  function draw() {
    if (rule === null) return;
    element.setAttribute("transform", `translate(${rule.x} ${rule.y}) rotate(${rule.turn})`);
  }

  function build({ length, width }) {
    const numbers = [];
    for (let mm = 0; mm <= length; mm += 10) numbers.push(svg(nameOf(mm, length), { x: mm, y: 14 }, mm));
    element.replaceChildren(
      svg("rect.steel", { x: -6, y: 0, width: length + 12, height: width, rx: 1 }),
      svg("path.ticks", { d: ticks(length) }),
      ...numbers,
      svg("circle.far", { cx: length - 45, cy: width - 9, r: 6 }),
    );
  }

  let grip = { x: 0, y: 0 };
  let turning = false;
  dragging(element, inSvg(root), {
    begin(at, event) {
      turning = event.target instanceof Element && event.target.classList.contains("far");
      grip = { x: at.x - rule.x, y: at.y - rule.y };
      moved();
      return true;
    },
    move(at) {
      if (turning) rule = { ...rule, turn: (Math.atan2(at.y - rule.y, at.x - rule.x) * 180) / Math.PI };
      else rule = { ...rule, x: at.x - grip.x, y: at.y - grip.y };
      moved();
      draw();
    },
    end() {},
  });
  nudge(element, (dx, dy) => {
    rule = { ...rule, x: rule.x + dx, y: rule.y + dy };
    moved();
    draw();
  });

  return {
    element,
    lay(/** @type {Rule} */ next) {
      if (rule === null || rule.length !== next.length) build(next);
      rule = next;
      draw();
    },
    /** Leave out numbers that would stand in the light's captions. @param {Element[]} captions */
    clearOf(captions) {
      const boxes = captions.map((caption) => caption.getBoundingClientRect());
      for (const number of element.querySelectorAll("text")) {
        const box = number.getBoundingClientRect();
        number.setAttribute("visibility", boxes.some((other) => overlap(box, other)) ? "hidden" : "visible");
      }
    },
    where: () => rule,
  };
}

const overlap = (/** @type {DOMRect} */ a, /** @type {DOMRect} */ b) =>
  a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
