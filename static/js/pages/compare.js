import { get } from "../api.js";
import { ago } from "../dates.js";
import { byId, el, svg } from "../dom.js";
import { sayRefused } from "../say.js";
import { undoWords } from "../words/undo.js";

const W = undoWords.compare;
const { old, new: fresh } = byId("compare").dataset;
/** Free room round a piece, as a share of its larger side. */
const AROUND = 0.08;

function show(found) {
  byId("compare-title").textContent = W.heading(found.old, found.new);
  byId("old-words").textContent = W.old(ago(found.old.made_at));
  byId("new-words").textContent = W.new(ago(found.new.made_at));
  byId("worst").textContent = worst(found);
  byId("figures").replaceChildren(...found.pieces.map((piece) => figure(piece, found.same_mm)));
  byId("piece-table").replaceChildren(...table(W.columns, found.pieces.map((piece) => pieceCells(piece, found.same_mm))));
  byId("measures-same").textContent = found.measures.length === 0 ? W.measuresSame : "";
  const rows = found.measures.map((m) => [m.title, W.value(m, m.old), W.value(m, m.new)]);
  byId("measure-table").replaceChildren(...(rows.length > 0 ? table(W.measureColumns, rows) : []));
}

function worst({ pieces, worst_mm: distance, same_mm: same }) {
  if (distance === null) return W.nothingShared;
  if (distance <= same) return pieces.every((piece) => piece.old && piece.new) ? W.same : W.sharedSame;
  return W.worst(pieces.find((piece) => piece.apart?.mm === distance).title, distance);
}

/** What is to be said of one piece. */
function told(piece, same) {
  if (piece.old === null || piece.new === null) return piece.old === null ? W.only.new : W.only.old;
  return piece.apart === null ? W.unmeasured : `${W.columns[1]}: ${W.apart(piece.apart.mm, same)}.`;
}

function figure(piece, same) {
  const [left, top, right, bottom] = piece.box;
  const around = AROUND * Math.max(right - left, bottom - top);
  const [wide, high] = [right - left + 2 * around, bottom - top + 2 * around];
  const root = svg(
    "svg.overlay",
    { viewBox: `${left - around} ${top - around} ${wide} ${high}`, role: "img", "aria-label": W.drawing(piece.title, told(piece, same)) },
    ...(piece.old ? [lines(piece.old, "old")] : []),
    ...(piece.new ? [lines(piece.new, "new")] : []),
    ...(piece.apart && piece.apart.mm > same ? [mark(piece.apart, Math.max(wide, high))] : []),
  );
  return el("figure.card", { "data-piece": piece.name }, el("figcaption", {}, el("h2", {}, piece.title), el("p.soft", {}, told(piece, same))), root);
}

function lines(side, way) {
  const drawn = side.lines.map((line) => svg(`path.${line.role}`, { d: path(line) }));
  const holes = side.holes.map(([cx, cy]) => svg("circle", { cx, cy, r: way === "old" ? 1.1 : 0.6 }));
  return svg(`g.${way}`, {}, ...drawn, ...holes);
}

const path = ({ points, closed }) => `M${points.map((p) => p.join(" ")).join("L")}${closed ? "Z" : ""}`;

/** The way between the two outlines where they lie farthest apart, with a ring round it that is seen from afar. */
function mark({ from, to }, size) {
  const [x, y] = [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2];
  const reach = Math.hypot(from[0] - to[0], from[1] - to[1]) / 2 + size * 0.025;
  return svg("g.mark", {}, svg("path", { d: `M${from.join(" ")}L${to.join(" ")}` }), svg("circle", { cx: x, cy: y, r: reach }));
}

function pieceCells(piece, same) {
  const side = (name, read) => (piece[name] === null ? W.missing : read(piece[name]));
  const both = (read) => W.fromTo(side("old", read), side("new", read));
  return [
    piece.title,
    piece.apart === null ? W.missing : W.apart(piece.apart.mm, same),
    both((s) => String(s.holes.length)),
    both((s) => W.area(s.area_mm2)),
  ];
}

function table(columns, rows) {
  const head = el("thead", {}, el("tr", {}, ...columns.map((text) => el("th", { scope: "col" }, text))));
  const body = rows.map(([first, ...rest]) => el("tr", {}, el("th", { scope: "row" }, first), ...rest.map((text) => el("td", {}, text))));
  return [head, el("tbody", {}, ...body)];
}

const exchange = byId("exchange");
exchange.textContent = W.way;
exchange.href = `/compare/${fresh}/${old}`;
byId("mark-words").textContent = W.mark;
get(`/api/compare/${old}/${fresh}`).then(show).catch(sayRefused);
