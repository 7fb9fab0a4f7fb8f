/** What is said of bringing light and leather together, and of pieces longer than the light. */

import { length as mm } from "../lengths.js";

const per = (share) => `${(share * 100).toFixed(1)} %`;

export const alignWords = {
  title: "Leather and light together",
  idle: "The piece has moved, on the mat or under the knife? Show the light where it lies, or push it back under the light.",
  toLeather: "Bring the light to the leather",
  toLight: "Bring the leather to the light",
  stop: "Stop, change nothing",
  uncalibrated: "The bench is not calibrated yet, so the light cannot be brought to a place.",

  aim: {
    ask: (title) => `Bring the cross-hair onto: ${title}`,
    all: "Every place was aimed at.",
    edge: "Anywhere along this edge counts, near the ring.",
    spot: "Its very point counts: look through the free middle of the cross-hair.",
    how: "Drag the cross-hair on the drawing, or in the projector window. Arrow keys: one pixel; Shift ten, Alt a tenth. Enter takes it, Escape stops.",
    take: "It lies on it",
    way: { up: "Cross-hair away from you", left: "Cross-hair to the left", right: "Cross-hair to the right", down: "Cross-hair towards you" },
    step: "How far one press goes",
    steps: (n) => (n === 1 ? "1 pixel" : `${n} pixels`),
    where: (at) => `${mm(at[0], 1)} across, ${mm(at[1], 1)} towards you`,
    others: "Ask for another place",
    done: (n) => (n === 0 ? "No place yet; two are needed, four are better." : n === 1 ? "One place taken." : `${n} places taken.`),
  },

  result: {
    title: "How it lies by these places",
    drop: (title) => `Leave out ${title}`,
    rms: (value) => `They fit to ${mm(value)} (root mean square).`,
    error: (value) => `The light will lie within ${mm(value)} of where it belongs, all over the piece, 95 times in 100.`,
    doubt: (e) =>
      `Give or take ${mm(e.x_mm)} across, ${mm(e.y_mm)} towards you and ${e.turn_degrees.toFixed(2)}° of turn (one standard error).`,
    scale: (s) => `Size against the pattern: ${per(s.value - 1)}, give or take ${per(s.error)}. The light never stretches the pattern.`,
    lay: "Lay the light so",
    over: "Lay it turned over",
    laid: "The light lies on the leather.",
  },

  push: {
    words: "The bright outline and the ticks beyond its corners show where the leather belongs: push it against them.",
    carry: "Or carry the outline: drag it in the projector window; arrow keys move it, [ and ] turn it by a tenth of a degree.",
    done: "It lies there",
  },

  practice: {
    title: "On the practice table",
    slip: "Let the leather slip",
    hand: "Let the practice hand aim",
  },

  spans: {
    title: "Longer than the light",
    longer: (p) => `${p.title} is ${mm(p.length_mm, 0)} long, more than the light reaches at once. It is drawn in spans: draw one, mark its crosses, shift the leather, meet the crosses, go on.`,
    ground: "Crosses go",
    grounds: { waste: "on the waste beside it", piece: "on the piece, in pencil" },
    plan: (title) => `Cut ${title} into spans`,
    again: "Plan anew",
    end: "Forget the spans",
    now: (n, of) => `Span ${n} of ${of}`,
    stretch: (s) => `${mm(s.from_mm, 0)} to ${mm(s.to_mm, 0)} of its length`,
    within: (value) => `within ${mm(value)}`,
    row: (n, s) => `Span ${n}: ${mm(s.from_mm, 0)} to ${mm(s.to_mm, 0)}, lines within ${mm(s.error95_mm)}`,
    turned: "turned end for end",
    draw: (names) => `Cut or scribe what the light shows, then mark the crosses ${list(names)} with an awl or a pencil.`,
    meet: (names, about) =>
      `${about ? "Turn the leather end for end and lay" : "Shift the leather and lay"} it so that its marks ${list(names)} are near their crosses. Then meet them:`,
    aimAt: "Bring the light to the marks",
    push: "Push the marks onto the crosses",
    last: "This is the last span.",
    show: "Show the crosses",
    next: "Next span",
    back: "Span before",
    far: (far) =>
      `At the far end the lines will lie within ${mm(far.error95_mm)} of their place, 95 times in 100: ${mm(far.lengthwise_mm)} lengthwise, ${mm(far.sideways_mm)} sideways.`,
    hands: (h) => `Reckoned with ${mm(h.mark)} for marking a cross, ${mm(h.aim)} for meeting it, and the bench's own error.`,
    about: "The leather is turned end for end at each shift: what the picture is bent at one end then falls out.",
    why: "Why these spans?",
    drawing: (title, n) => `${title} and its ${n} spans`,
  },
};

function list(/** @type {string[]} */ names) {
  return names.length < 2 ? names.join("") : `${names.slice(0, -1).join(", ")} and ${names[names.length - 1]}`;
}
