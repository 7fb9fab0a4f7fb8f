import { dragging, inSvg } from "../gestures/drag.js";
import { nudge } from "../gestures/nudge.js";

/**
 * Move a piece with mouse, finger or arrow keys.
 * @param {SVGSVGElement} root the stage
 * @param {{choose: (piece: string) => void, lie: (piece: string) => import("./lie.js").Lie,
 *          moved: (piece: string, lie: import("./lie.js").Lie) => void, done: (piece: string) => void, chosen: () => string}} hands
 */
export function movePiece(root, hands) {
  let piece = "";
  let start = { x: 0, y: 0 };
  let from = hands.lie("");

  dragging(root, inSvg(root), {
    begin(at, event) {
      const group = event.target instanceof Element ? event.target.closest(".piece") : null;
      if (group === null) return false;
      piece = group.getAttribute("data-piece") ?? "";
      hands.choose(piece);
      /** @type {SVGElement} */ (group).focus({ preventScroll: true });
      start = at;
      from = hands.lie(piece);
      return true;
    },
    move: (at) => hands.moved(piece, { ...from, x: from.x + at.x - start.x, y: from.y + at.y - start.y }),
    end: () => hands.done(piece),
  });

  nudge(root, (dx, dy) => {
    const name = hands.chosen();
    if (name === "") return;
    const lie = hands.lie(name);
    hands.moved(name, { ...lie, x: lie.x + dx, y: lie.y + dy });
    hands.done(name);
  });
}
