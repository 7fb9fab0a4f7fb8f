import { get } from "../api.js";
import { afterQuiet, byId, el } from "../dom.js";
import { nudge } from "../gestures/nudge.js";
import { sayRefused } from "../say.js";
import { words } from "../words.js";
import { heat, heatLegend } from "./heat.js";
import { sketch } from "./sketch.js";

const W = words.bench;

/** The error is shown on the bare table, or on leather so many millimetres thick. */
const heightOf = (/** @type {string} */ view) => (view === "leather" ? 4 : 0);

/**
 * The picture beside the sightings: a sketch of the crosses, or how sure each place of the table is.
 * @param {number} id of the bench
 * @param {any} bench what the page knows of it
 * @param {any} hands what the page lets a panel do
 */
export function picturePanel(id, bench, hands) {
  const place = byId("picture");
  const under = byId("under-picture");
  let map = null;
  let mapView = "";
  let fresh = false;

  /** Worked out only while it is looked at, and not for every nudge. */
  const want = afterQuiet(200, async () => {
    if (bench.view === "crosses" || !bench.report || fresh) return;
    const { view } = bench;
    try {
      const found = await get(`/api/benches/${id}/map?height=${heightOf(view)}`);
      if (view !== bench.view) return;
      [map, mapView, fresh] = [found, view, true];
      draw();
    } catch (error) {
      sayRefused(error);
    }
  });

  function draw() {
    if (bench.view === "crosses") {
      place.replaceChildren(crossSketch());
      under.replaceChildren(el("p.soft.small", {}, W.sketchWords));
    } else if (map === null) {
      place.replaceChildren(el("p.soft.empty", {}, bench.report ? W.wait : W.noMap));
      under.replaceChildren();
    } else {
      place.replaceChildren(heat(map));
      under.replaceChildren(el("p.soft", {}, W.mapWords(map, heightOf(bench.view))), heatLegend());
    }
  }

  function crossSketch() {
    const { sightings } = bench;
    const tape = bench.way === "tape";
    return sketch({
      picture: bench.picture,
      crosses: sightings.crosses,
      chosen: tape ? null : bench.chosen,
      known: tape ? sightings.distances.filter((d) => d.length !== "").map((d) => [d.from, d.to]) : [],
      wanted: tape ? (bench.wanted ?? bench.propose) : null,
      placed: new Set(sightings.positions.map((p) => p.cross)),
      choose: (cross) => {
        hands.choose(cross);
        place.focus({ preventScroll: true });
      },
    });
  }

  // In the sketch the arrow keys move the chosen cross, and a letter chooses one.
  nudge(place, (dx, dy) => bench.way === "marks" && hands.nudge(dx, dy));
  place.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || !/^[a-z]$/i.test(event.key)) return;
    hands.choose(event.key.toUpperCase());
  });

  return {
    draw,
    /** The sightings or the view have changed: the map is asked for anew. */
    stale() {
      fresh = false;
      if (!bench.report || bench.view !== mapView) map = null;
      want();
    },
  };
}
