import { drawn, svg } from "../dom.js";
import { words } from "../words/words.js";
import { ground, roomOf } from "./ground.js";
import { middleOf, onTable, transformOf } from "./lie.js";

/**
 * The table from above, in millimetres: the picture's outline and the pieces as they lie.
 * @param {HTMLElement} place
 */
export function stageOn(place) {
  const under = svg("g");
  const over = svg("g");
  const handle = svg(
    "g.turn-handle",
    { role: "img", "aria-label": words.table.handle },
    svg("path.stalk"),
    svg("circle.reach"),
    svg("circle.knob"),
    svg("path.bend"),
  );
  const root = /** @type {SVGSVGElement} */ (
    svg("svg.table-drawing.drawing", { "aria-label": words.table.stage, role: "group" }, under, over, handle)
  );
  place.append(root);
  /** @type {any} */
  let layout = null;
  let view = "all";
  let chosen = "";
  let unit = 1;

  function frame() {
    if (layout === null || place.clientWidth === 0) return;
    const room = view === "all" ? wholeRoom(layout) : pieceRoom(layout, chosen);
    unit = Math.max((room.right - room.left) / place.clientWidth, (room.bottom - room.top) / place.clientHeight);
    const [wide, high] = [place.clientWidth * unit, place.clientHeight * unit];
    const full = {
      left: (room.left + room.right - wide) / 2,
      top: (room.top + room.bottom - high) / 2,
      right: 0,
      bottom: 0,
    };
    full.right = full.left + wide;
    full.bottom = full.top + high;
    root.setAttribute("viewBox", `${full.left} ${full.top} ${wide} ${high}`);
    under.replaceChildren(ground(full, layout.footprint, unit));
    lay();
  }

  function lay() {
    for (const group of over.children) {
      const lie = layout.placements[group.getAttribute("data-piece") ?? ""];
      group.setAttribute("transform", transformOf(lie));
    }
    placeHandle();
  }

  function placeHandle() {
    const piece = layout.pieces.find((p) => p.name === chosen);
    handle.toggleAttribute("hidden", piece === undefined);
    if (piece === undefined) return;
    const lie = layout.placements[chosen];
    const [mx] = middleOf(piece);
    const reach = 34 * unit;
    const foot = onTable(lie, [mx, piece.box[1]]);
    const knob = onTable(lie, [mx, piece.box[1] - reach]);
    handle.querySelector(".stalk")?.setAttribute("d", `M${foot.x} ${foot.y}L${knob.x} ${knob.y}`);
    for (const [name, r] of [
      ["knob", 9],
      ["reach", 22],
    ]) {
      const circle = handle.querySelector(`.${name}`);
      for (const [key, value] of Object.entries({ cx: knob.x, cy: knob.y, r: Number(r) * unit }))
        circle?.setAttribute(key, String(value));
    }
    handle.querySelector(".bend")?.setAttribute("d", arrowRound(knob, 5 * unit));
  }

  function mark() {
    for (const group of over.children) {
      const name = group.getAttribute("data-piece");
      group.setAttribute("data-chosen", name === chosen ? "yes" : "no");
      group.setAttribute("data-lit", layout.lit === null || name === layout.lit ? "yes" : "no");
    }
    toFront();
    for (const [kind, shown] of Object.entries(layout.show)) root.toggleAttribute(`data-no-${kind}`, !shown);
  }

  /**
   * The chosen piece lies on top; an element that is moved loses the focus, so it is given back. Under the Tab key the order
   * stays, or one piece would be passed by.
   */
  function toFront() {
    const group = /** @type {SVGElement | null} */ (over.querySelector(`[data-piece="${CSS.escape(chosen)}"]`));
    if (group === null || group === over.lastElementChild || group.matches(":focus-visible")) return;
    const focused = document.activeElement === group;
    over.append(group);
    if (focused) group.focus({ preventScroll: true });
  }

  new ResizeObserver(frame).observe(place);
  return {
    root,
    handle,
    /** Take a layout over and draw it from new. */
    show(next) {
      const same = layout !== null && next.pieces.every((p, i) => layout.pieces[i]?.svg === p.svg);
      layout = next;
      if (!same) over.replaceChildren(...next.pieces.map(pieceGroup));
      frame();
      mark();
    },
    moved: lay,
    choose(name) {
      if (chosen === name) return;
      chosen = name;
      mark();
      placeHandle();
    },
    look(next) {
      view = next;
      frame();
    },
  };
}

function pieceGroup(piece) {
  const [left, top, right, bottom] = piece.box;
  const grip = svg("rect.grip", { x: left, y: top, width: right - left, height: bottom - top });
  const attributes = {
    "data-piece": piece.name,
    tabindex: 0,
    role: "button",
    "aria-label": words.table.pieceLabel(piece.title),
  };
  return svg("g.piece", attributes, grip, drawn(piece.svg));
}

function wholeRoom(layout) {
  const points = [...(layout.footprint ?? []), ...corners(layout, layout.pieces)];
  return roomOf(points, 30);
}

function pieceRoom(layout, name) {
  const pieces = layout.pieces.filter((p) => p.name === name);
  return roomOf(corners(layout, pieces.length > 0 ? pieces : layout.pieces), 45);
}

function corners(layout, pieces) {
  return pieces.flatMap((piece) => {
    const [left, top, right, bottom] = piece.box;
    const lie = layout.placements[piece.name];
    return [
      [left, top],
      [right, top],
      [right, bottom],
      [left, bottom],
    ].map((corner) => {
      const at = onTable(lie, /** @type {[number, number]} */ (corner));
      return [at.x, at.y];
    });
  });
}

const arrowRound = ({ x, y }, r) =>
  `M${x - r} ${y}A${r} ${r} 0 1 1 ${x} ${y + r}M${x + r * 0.7} ${y + r * 0.4}L${x} ${y + r}L${x + r * 0.7} ${y + r * 1.6}`;
