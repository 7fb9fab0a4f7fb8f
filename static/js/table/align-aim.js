import { eachFrame, svg } from "../dom.js";
import { dragging, inSvg } from "../gestures/drag.js";
import { transformOf } from "./lie.js";

const ARM = 26;
const FREE = 4;

/**
 * The cross-hair on the table drawing, over the pieces: a press or a drag brings it there. Places that can be aimed at are
 * ringed, the one asked for blinks.
 * @param {SVGSVGElement} root the stage
 * @param {(place: [number, number]) => void} moved mm on the table
 */
export function aimOn(root, moved) {
  const catcher = svg("rect.aim-catcher");
  const ghost = svg("g.aim-ghost", { "aria-hidden": "true" });
  const places = svg("g.aim-places");
  const hair = svg("g.aim-hair", { "aria-hidden": "true" });
  const element = svg("g.aiming", { hidden: true }, ghost, catcher, places, hair);
  root.append(element);
  const send = eachFrame((at) => moved([at.x, at.y]));
  const to = (at) => {
    place(at);
    send(at);
  };
  dragging(catcher, inSvg(root), {
    begin(at, event) {
      event.stopPropagation();
      to(at);
      return true;
    },
    move: to,
    end: () => {},
  });

  /** Millimetres of one CSS pixel. */
  const unit = () => root.viewBox.baseVal.width / Math.max(root.clientWidth, 1);

  function place(/** @type {{x: number, y: number}} */ { x, y }) {
    const u = unit();
    const arms = [
      [1, 0],
      [-1, 0],
      [0, 1],
      [0, -1],
    ].map(([dx, dy]) => `M${x + dx * FREE * u} ${y + dy * FREE * u}L${x + dx * ARM * u} ${y + dy * ARM * u}`);
    hair.replaceChildren(svg("path.under", { d: arms.join("") }), svg("path.line", { d: arms.join("") }));
  }

  /** The piece as it lies by the places aimed at so far. */
  function shape(told) {
    const piece = root.querySelector(`.piece[data-piece="${CSS.escape(told.piece)}"] .role-cut`);
    if (piece === null || told.result === null) return [];
    const copy = /** @type {SVGElement} */ (piece.cloneNode(true));
    copy.setAttribute("transform", transformOf(told.result.placement));
    return [copy];
  }

  return {
    /** @param {any} told what the server knows of the aiming, or null when there is none */
    show(told) {
      element.toggleAttribute("hidden", told === null);
      if (told === null) return;
      const { x, y, width, height } = root.viewBox.baseVal;
      for (const [name, value] of Object.entries({ x, y, width, height })) catcher.setAttribute(name, String(value));
      const done = new Set(told.points.map((point) => point.name));
      places.replaceChildren(...told.features.map((feature) => ring(feature, told.asked, done, unit())));
      ghost.replaceChildren(...shape(told));
      place({ x: told.place[0], y: told.place[1] });
    },
    place,
  };
}

function ring(feature, asked, done, u) {
  const state = feature.name === asked ? "asked" : done.has(feature.name) ? "done" : "other";
  const [cx, cy] = feature.at;
  return svg("circle.aim-place", { "data-state": state, cx, cy, r: (state === "asked" ? 11 : 5) * u }, svg("title", {}, feature.title));
}
