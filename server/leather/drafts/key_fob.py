"""The key fob: one strip folded round a ring, its two paddles sewn together.

blank = 2 (L - d / 2 - t) + pi (d / 2 + K t), d the inside of the loop: wire and play.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from calibration.refusal import Refusal
from server.geometry.build import polyline, unfold
from server.geometry.fillet import rounded
from server.geometry.path import Path
from server.leather import bend
from server.leather.drafts import key_fob_words as words
from server.leather.drafts import parts
from server.leather.drafts.key_fob_sizes import Sizes
from server.leather.drafts.tips import flipped, tip, tip_path
from server.leather.measure import Given, chosen, complete
from server.leather.pattern import Dimension, Measure, Pattern
from server.leather.piece import Drawn, Piece
from server.leather.stitch import StitchLine
from server.leather.things import Preset

NAME = words.NAME
TITLE = "Key fob"
SUMMARY = "One strip folded round a key ring, its two paddles sewn together."
MEASURES: tuple[Measure, ...] = words.MEASURES
PRESETS: tuple[Preset, ...] = ()
PLIES = 2
_SLOPE = 2.0
"""How much longer the shoulder is than it steps in; common practice, no source."""


def draft(values: Mapping[str, Given]) -> Pattern:
    """Draft a key fob from measures in mm; a measure that is left out or None takes its default.

    Raises:
        Refusal: a measure out of range, or measures that cannot go together; the field is the measure to change.

    """
    m = parts.filled(complete(values, MEASURES), {})
    s = _sizes(m)
    _check(m, s)
    line = parts.symmetric_ring(_seam_half(s), m["pitch"], "paddle")
    seams = (parts.seam(line, "paddle", "Paddle seam", "fob", PLIES, PLIES * m["leather"]),)
    pieces = (_fob(s, line),)
    return Pattern(
        NAME, TITLE, m, pieces, seams, words.steps(m, seams[0]), words.sentences(m, s, seams), _dimensions(s)
    )


def _sizes(m: Mapping[str, float]) -> Sizes:
    inside = (m["wire"] + m["play"]) / 2.0
    half, neck = m["width"] / 2.0, m["neck-width"] / 2.0
    return Sizes(
        half=half,
        neck=neck,
        straight=m["length"] - inside - m["leather"],
        loop=bend.allowance(math.pi, inside, m["leather"], m["neutral"]),
        shoulder=_SLOPE * (half - neck),
        neck_length=m["neck-length"],
        tip=chosen(MEASURES, m, "tip"),
        margin=m["edge-margin"],
    )


def _check(m: Mapping[str, float], s: Sizes) -> None:
    if s.neck > s.half:
        what = f"The neck would be wider ({2 * s.neck:.4g} mm) than the fob ({2 * s.half:.4g} mm)"
        raise Refusal(f"{what}; make it narrower.", field="neck-width")
    if 2.0 * s.neck > m["ring"]:
        what = f"A neck {2 * s.neck:.4g} mm wide does not go into a ring of {m['ring']:.4g} mm"
        raise Refusal(f"{what}; make it narrower.", field="neck-width")
    if s.half - s.margin < 2.0 * m["pitch"] / 3.0 + 1.0:
        most = s.half - 2.0 * m["pitch"] / 3.0 - 1.0
        what = f"An edge margin of {s.margin:.4g} mm leaves no room between the rows of a fob {2 * s.half:.4g} mm wide"
        raise Refusal(f"{what}; {max(most, 0.0):.3g} mm is the most.", field="edge-margin")
    reach = max(s.margin, 0.45 * math.hypot(s.half - s.neck, s.shoulder)) + s.margin + m["pitch"]
    least = m["length"] + s.side_top + reach - s.side_end
    if s.side_end - s.side_top < reach:
        what = f"A fob {m['length']:.4g} mm long has no room for its neck, shoulders and tip"
        raise Refusal(f"{what}; {math.ceil(least)} mm is the least.", field="length")


# ---- lines, drawn on the back paddle (below the loop) and turned over to the front


def _side(s: Sizes) -> Path:
    """The right side from the middle of the loop down the neck, over the shoulder and round the tip."""
    top = s.straight + s.loop + s.neck_length
    tail = tip_path(s.tip, s.half, s.side_top, s.side_end)
    if s.half == s.neck:
        return Path((*polyline([(s.neck, s.middle), (s.half, s.side_top)]).segments, *tail.segments))
    bends = s.swell / math.tan(math.atan2(s.half - s.neck, s.shoulder) / 2.0)
    spots = [(s.neck, s.middle), (s.neck, top), (s.half, s.side_top), (s.half, s.side_end)]
    lead = rounded(spots, [0.0, bends, bends, 0.0], field="length")
    return Path((*lead.segments, *tip_path(s.tip, s.half, s.side_end, s.side_end).segments))


def _outline(s: Sizes) -> Path:
    low = _side(s)
    high = flipped(low, s.middle).reversed()
    return unfold(Path((*high.segments, *low.segments)), closed=True)


def _seam_half(s: Sizes) -> Path:
    """The right half of the ring on the front paddle, from its tip end (top centre) to below the shoulder."""
    inside, top = s.half - s.margin, s.seam_top
    corner = min(3.0, inside / 2.0)
    low = min(
        s.side_end, tip(s.tip, s.half, s.side_end, s.margin)[0].start[1]
    )  # a square tip's inset corner begins higher
    across = rounded([(0.0, top), (inside, top), (inside, low)], [0.0, corner, 0.0], field="length")
    tail = tip_path(s.tip, s.half, low, s.side_end, s.margin)
    return flipped(Path((*across.segments, *tail.segments)), s.middle).reversed()


def _fob(s: Sizes, line: StitchLine) -> Piece:
    folds = (s.straight, s.straight + s.loop)
    drawn = (
        Drawn("cut", _outline(s), "outline"),
        Drawn("stitch", line.path, "paddle"),
        *(Drawn("fold", polyline([(-s.neck, y), (s.neck, y)]), f"fold-{i}") for i, y in enumerate(folds, 1)),
        parts.centre(0.0, s.blank),
        parts.grain(s.half * 0.45, s.side_top + 0.2 * (s.side_end - s.side_top), s.side_end),
    )
    size = parts.label_size(s.half * 1.6, s.side_end - s.side_top)
    middle = (s.side_top + s.side_end) / 2.0
    return Piece("fob", "Fob", drawn, line.holes, parts.labels("Fob", -s.half * 0.45, middle, size))


def _dimensions(s: Sizes) -> tuple[Dimension, ...]:
    low = s.straight + s.loop
    return (
        parts.dimension("fob", "blank length", (-s.half, 0.0), (-s.half, s.blank), 14.0),
        parts.dimension("fob", "width", (-s.half, s.side_end), (s.half, s.side_end), s.tip_height + 8.0, "width"),
        parts.dimension("fob", "neck width", (-s.neck, s.middle), (s.neck, s.middle), 6.0, "neck-width"),
        parts.dimension("fob", "tip to loop", (s.half, 0.0), (s.half, s.straight), -12.0, "length"),
        parts.dimension("fob", "loop", (s.neck, s.straight), (s.neck, low), s.neck - s.half - 12.0, "wire"),
        parts.dimension(
            "fob", "neck", (s.neck, low), (s.neck, low + s.neck_length), s.neck - s.half - 12.0, "neck-length"
        ),
    )
