"""SVG path data turned into points in mm, with nothing lost on the way."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator

import numpy as np
import svgelements
from numpy.typing import NDArray

from calibration.refusal import Refusal
from server.geometry.svg_numbers import NUMBER, Matrix, apply

TOLERANCE = 0.01
"""mm: how far the points' chords may leave a curve."""
_NUMBERS_OF = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}
_GAP = r"[\s,]*"
_FLAGGED = re.compile(
    rf"{_GAP}({NUMBER}){_GAP}({NUMBER}){_GAP}({NUMBER}){_GAP}([01]){_GAP}([01]){_GAP}({NUMBER}){_GAP}({NUMBER})"
)
_PLAIN = re.compile(rf"{_GAP}({NUMBER})")
_MOST_PIECES = 2000


def subpaths(data: str, matrix: Matrix, what: str) -> Iterator[tuple[NDArray[np.float64], bool]]:
    """Give the points (n, 2), mm, and closedness of each subpath of some path data after a matrix.

    Raises:
        Refusal: data that is empty or cannot be read to its end, or a subpath of one point.

    """
    expected = count_segments(data, what)
    try:
        segments = list(svgelements.Path(data))
    except (ArithmeticError, ValueError) as error:
        raise Refusal(f"{what} has numbers that no path can have: write it again.") from error
    if len(segments) != expected:
        raise Refusal(f"{what} has {expected} path commands but only {len(segments)} could be read: write it again.")
    points: list[NDArray[np.float64]] = []
    closed = False
    for segment in segments:
        if isinstance(segment, svgelements.Move):
            yield from _finished(points, closed, what)
            points, closed = [apply(matrix, [_xy(segment.end)])], False
        elif closed:
            raise Refusal(f"{what} goes on after it was closed: start the next part with a move.")
        else:
            points.append(_flat(segment, matrix))
            closed = isinstance(segment, svgelements.Close)
    yield from _finished(points, closed, what)


def _finished(points: list[NDArray[np.float64]], closed: bool, what: str) -> Iterator[tuple[NDArray[np.float64], bool]]:
    if not points:
        return
    line = np.concatenate(points)
    keep = np.ones(len(line), dtype=bool)
    keep[1:] = np.any(np.abs(np.diff(line, axis=0)) > 1e-9, axis=1)
    line = line[keep]
    if closed and len(line) > 1 and np.all(np.abs(line[0] - line[-1]) <= 1e-6):
        line = line[:-1]
    if len(line) < 2 or not np.all(np.isfinite(line)):
        raise Refusal(f"{what} has a part without length: remove it or draw it whole.")
    yield line, closed


def count_segments(data: str, what: str) -> int:
    """Return how many segments path data has, reading it strictly to its end (SVG 1.1, chapter 8.3)."""
    rest, total, first = data.strip(), 0, True
    while rest:
        command = rest[0].upper()
        if command not in _NUMBERS_OF or (first and command != "M"):
            raise Refusal(f"The path data of {what} cannot be read at {rest[:30]!r}: write it again.")
        groups, rest = _groups(rest[1:], command, what)
        total, first = total + groups, False
    if total < 2:
        raise Refusal(f"{what} has no path data that draws anything: remove it or draw it whole.")
    return total


def _groups(rest: str, command: str, what: str) -> tuple[int, str]:
    """Return how many groups of numbers follow a command, and what is left after them."""
    if command == "Z":
        return 1, rest.lstrip(" \t\r\n,")
    pattern, each = (_FLAGGED, 1) if command == "A" else (_PLAIN, _NUMBERS_OF[command])
    position, numbers = 0, 0
    while found := pattern.match(rest, position):
        position, numbers = found.end(), numbers + 1
        if not all(math.isfinite(float(number)) for number in found.groups()):
            raise Refusal(f"The path data of {what} has a number too large: {found.group().strip()[:30]}.")
    if numbers == 0 or numbers % each:
        raise Refusal(f"The path data of {what} has a {command} with numbers missing: write it again.")
    return numbers // each, rest[position:].lstrip(" \t\r\n,")


def _flat(segment: svgelements.PathSegment, matrix: Matrix) -> NDArray[np.float64]:
    """Return the points of a segment after its first, mm."""
    if isinstance(segment, svgelements.Arc):
        return _flat_arc(segment, matrix)
    if isinstance(segment, (svgelements.QuadraticBezier, svgelements.CubicBezier)):
        controls = [segment.start, *_controls(segment), segment.end]
        return _flat_bezier(apply(matrix, [_xy(point) for point in controls]))
    return apply(matrix, [_xy(segment.end)])


def _controls(segment: svgelements.PathSegment) -> list[svgelements.Point]:
    if isinstance(segment, svgelements.QuadraticBezier):
        return [segment.control]
    return [segment.control1, segment.control2]


def _flat_bezier(controls: NDArray[np.float64]) -> NDArray[np.float64]:
    """Points of a Bezier curve; the count from its second differences (Wang's bound, n^2 = d (d-1) / 8 max / tolerance)."""
    degree = len(controls) - 1
    bend = float(np.max(np.hypot(*np.diff(controls, 2, axis=0).T)))
    count = min(_MOST_PIECES, max(1, math.ceil(math.sqrt(degree * (degree - 1) * bend / (8.0 * TOLERANCE)))))
    t = np.linspace(0.0, 1.0, count + 1)[1:, None]
    powers = [math.comb(degree, k) * t**k * (1.0 - t) ** (degree - k) * controls[k] for k in range(degree + 1)]
    return np.asarray(np.sum(powers, axis=0), dtype=np.float64)


def _flat_arc(arc: svgelements.Arc, matrix: Matrix) -> NDArray[np.float64]:
    """Points of an elliptical arc at equal parameter steps; the sagitta is at most that of its larger, scaled radius."""
    if not math.isfinite(max(arc.rx, arc.ry)) or not math.isfinite(arc.sweep):
        raise Refusal("An arc of the file has a radius without end: draw it as a line.")
    radius = max(arc.rx, arc.ry) * float(np.linalg.norm(matrix[:2, :2], 2))
    step = 2.0 * math.acos(max(-1.0, 1.0 - TOLERANCE / radius)) if radius > TOLERANCE else math.pi / 2
    count = min(_MOST_PIECES, max(1, math.ceil(abs(arc.sweep) / step)))
    points = [_xy(arc.point(i / count)) for i in range(1, count)] + [_xy(arc.end)]
    return apply(matrix, points)


def _xy(point: svgelements.Point) -> tuple[float, float]:
    return float(point.x), float(point.y)
