"""SVG path data of foreign files, as runs of cubics; and SVG colours. Uses svgelements, and counts behind it.

svgelements 1.9.6 cuts broken path data short without a word, so the data is read strictly first (grammar of SVG 1.1,
chapter 8.3.9) and the segments that went in are counted against those that come out.
"""

from __future__ import annotations

import math
import re

import numpy as np
import svgelements

from calibration.refusal import Refusal
from server.geometry import cubics
from server.geometry.cubics import Array

Outline = tuple[Array, bool]
"""A run of cubics (n, 4, 2) and whether it is closed; n is 0 for a lone point."""
_Curve = tuple[float, ...]
"""x, y of start, two controls and end."""
_NUMBER = r"(?>[-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?)"
"""Atomic: a number is never cut in two to make the count come out."""
_GAP = r"[\s,]*"
_COMMANDS = re.compile(r"([A-DF-Za-df-z])")
_PLAIN = re.compile(rf"{_GAP}({_NUMBER})")
_FLAGGED = re.compile(
    rf"{_GAP}({_NUMBER}){_GAP}({_NUMBER}){_GAP}({_NUMBER}){_GAP}([01]){_GAP}([01]){_GAP}({_NUMBER}){_GAP}({_NUMBER})"
)
_EACH = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}
_LARGEST = 1e12
_BLACK = re.compile(r"black|#0+f*|(rgb|hsl)a?\(.*\)")
MOST_CHARACTERS = 4_000_000
"""Of one path: some 200,000 curves."""


def outlines(data: str, what: str) -> list[Outline]:
    """Return the subpaths of path data, in user units.

    Raises:
        Refusal: data that cannot be read to its end, a number too large, or segments lost on the way.

    """
    expected = segment_count(data, what)
    try:
        segments = list(svgelements.Path(data))
    except (ValueError, ArithmeticError, LookupError, TypeError, AttributeError) as error:
        raise Refusal(f"The path data of {what} cannot be read at {data.strip()[:30]!r}: write it again.") from error
    if len(segments) != expected:
        raise Refusal(f"{what} has {expected} path commands but only {len(segments)} could be read: write it again.")
    found: list[Outline] = []
    strip: list[_Curve] = []
    for segment in segments:
        if isinstance(segment, svgelements.Move):
            _finish(found, strip, closed=False)
            strip = []
        elif isinstance(segment, svgelements.Close):
            _finish(found, [*strip, *_run(segment)], closed=True)
            strip = []
        else:
            strip.extend(_run(segment))
    _finish(found, strip, closed=False)
    return found


def segment_count(data: str, what: str) -> int:
    """Return how many segments path data has, reading it strictly to its end, in time linear in its length.

    Raises:
        Refusal: anything that is not path data.

    """
    if len(data) > MOST_CHARACTERS:
        raise Refusal(f"The path data of {what} has {len(data)} characters, more than {MOST_CHARACTERS}: simplify it.")
    first, *rest = _COMMANDS.split(data)
    if first.strip() or not rest or rest[0] not in "mM":
        raise Refusal(f"The path data of {what} cannot be read at {data.strip()[:30]!r}: write it again.")
    total = 0
    for command, numbers in zip(rest[::2], rest[1::2], strict=True):
        total += _groups(command.upper(), numbers, what)
    return total


def _groups(command: str, numbers: str, what: str) -> int:
    each = _EACH.get(command)
    pattern = _FLAGGED if command == "A" else _PLAIN
    found = pattern.findall(numbers)
    given = len(found) * (7 if command == "A" else 1)
    if each is None or pattern.sub("", numbers).strip(" \t\r\n\f,") or (given % each if each else given):
        raise Refusal(f"The path data of {what} cannot be read at {(command + numbers)[:30]!r}: write it again.")
    if each and not given:
        raise Refusal(f"The path data of {what} has a {command} with numbers missing: write it again.")
    words = (word for group in found for word in group) if command == "A" else iter(found)
    if any(not abs(float(word)) <= _LARGEST for word in words):
        raise Refusal(f"The path data of {what} has a number too large to be a place: write it again.")
    return given // each if each else 1


def _finish(found: list[Outline], strip: list[_Curve], *, closed: bool) -> None:
    if strip:
        found.append((np.array(strip, dtype=np.float64).reshape(-1, 4, 2), closed))


def _run(segment: svgelements.PathSegment) -> list[_Curve]:
    """The cubics of one segment; none for a segment that goes nowhere. Plain numbers: an array each would cost more."""
    (ax, ay), (dx, dy) = start, end = _xy(segment.start), _xy(segment.end)
    if isinstance(segment, svgelements.CubicBezier):
        return [(ax, ay, *_xy(segment.control1), *_xy(segment.control2), dx, dy)]
    if isinstance(segment, svgelements.QuadraticBezier):
        x, y = _xy(segment.control)
        return [(ax, ay, ax + (x - ax) / 1.5, ay + (y - ay) / 1.5, dx + (x - dx) / 1.5, dy + (y - dy) / 1.5, dx, dy)]
    if start == end:
        return []
    if isinstance(segment, svgelements.Arc) and segment.rx and segment.ry and segment.sweep:
        return [tuple(curve) for curve in _arc(segment, start, end).reshape(-1, 8).tolist()]
    x, y = (dx - ax) / 3.0, (dy - ay) / 3.0
    return [(ax, ay, ax + x, ay + y, dx - x, dy - y, dx, dy)]


def _arc(segment: svgelements.Arc, start: tuple[float, float], end: tuple[float, float]) -> Array:
    centre = np.array(_xy(segment.center))
    across, along = np.array(_xy(segment.prx)) - centre, np.array(_xy(segment.pry)) - centre
    run = cubics.arc(centre, across, along, float(segment.get_start_t()), float(segment.sweep))
    if not np.isfinite(run).all():
        return cubics.lines([start, end])
    run[0, 0], run[-1, 3] = start, end
    return run


def colour(text: str) -> str | None:
    """Return a CSS colour as "#rrggbb", or None for "none", a reference, or what is not a colour."""
    given = text.strip().lower()
    if not given or given in ("none", "transparent") or given.startswith("url(") or len(given) > 60:
        return None
    try:
        value = svgelements.Color(given)
        channels = (value.red, value.green, value.blue)
    except (ValueError, TypeError, ArithmeticError, IndexError, KeyError):
        return None
    if not any(channels) and _BLACK.fullmatch(given) is None:
        return None  # svgelements calls whatever it does not know black
    if any(channel is None or not math.isfinite(channel) for channel in channels):
        return None
    return "#" + "".join(f"{min(255, max(0, int(channel))):02x}" for channel in channels)


def _xy(point: svgelements.Point) -> tuple[float, float]:
    return float(point.x), float(point.y)
