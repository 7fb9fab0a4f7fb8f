import { byId } from "../dom.js";
import { nudge } from "../gestures/nudge.js";
import { words } from "../words/words.js";
import { sketch } from "./sketch.js";

/**
 * The picture beside the sightings: a sketch of the crosses. Arrow keys move the chosen one, a letter chooses another.
 * @param {any} bench what the page knows of it
 * @param {any} hands what the page lets a panel do
 */
export function picturePanel(bench, hands) {
  const place = byId("picture");

  function draw() {
    const { sightings } = bench;
    const tape = bench.way === "tape";
    const drawing = sketch({
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
      label: words.bench.sketch,
    });
    place.replaceChildren(drawing);
  }

  nudge(place, (dx, dy) => bench.way === "marks" && hands.nudge(dx, dy));
  place.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || !/^[a-z]$/i.test(event.key)) return;
    hands.choose(event.key.toUpperCase());
  });
  return { draw };
}
