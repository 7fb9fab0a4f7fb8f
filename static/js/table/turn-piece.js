import { dragging, inSvg } from "../gestures/drag.js";
import { about, middleOf, onTable } from "./lie.js";

const KEY_TURNS = { "[": -1, "]": 1, "{": -15, "}": 15 };

/**
 * Turn the chosen piece about its own middle: by its handle (Shift holds to 15 degrees), or with [ and ].
 * @param {SVGSVGElement} root
 * @param {SVGElement} handle
 * @param {any} hands as for movePiece, with piece(name) as well
 */
export function turnPiece(root, handle, hands) {
  let first = 0;
  let from = null;

  const direction = (at) => {
    const name = hands.chosen();
    const middle = onTable(from ?? hands.lie(name), middleOf(hands.piece(name)));
    return (Math.atan2(at.y - middle.y, at.x - middle.x) * 180) / Math.PI;
  };

  dragging(handle, inSvg(root), {
    begin(at, event) {
      event.stopPropagation();
      from = hands.lie(hands.chosen());
      first = direction(at);
      return true;
    },
    move(at, event) {
      const turn = from.turn + direction(at) - first;
      const held = event.shiftKey ? Math.round(turn / 15) * 15 : turn;
      hands.moved(hands.chosen(), about(from, middleOf(hands.piece(hands.chosen())), { turn: held }));
    },
    end() {
      from = null;
      hands.done(hands.chosen());
    },
  });

  root.addEventListener("keydown", (event) => {
    const by = KEY_TURNS[event.key];
    if (by === undefined || hands.chosen() === "") return;
    event.preventDefault();
    hands.turn(by);
  });
}
