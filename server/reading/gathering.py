"""What a reader fills while it goes through a file: lines in, drops named, and budgets that no file may exceed."""

from __future__ import annotations

import numpy as np

from calibration.refusal import Refusal
from server.geometry import cubics
from server.reading.sheet import Array, Dropped, Look, SheetLine

MOST_LINES = 20_000
MOST_ELEMENTS = 50_000
"""Things gone through, counting those of a block or symbol each time it is used."""
FARTHEST = 1e9
"""mm: a place farther than this from the origin is no place."""
_EXAMPLES = 3
LONGEST = 100_000.0
"""mm: no sheet is wider or higher than this."""


class Gathering:
    """Lines and drops of one file.

    Args:
        tolerance: mm the points may leave a curve; finer where the scale is not known yet.

    """

    def __init__(self, tolerance: float = cubics.FINE) -> None:
        self.lines: list[SheetLine] = []
        self._tolerance = tolerance
        self._points = 0
        self._elements = 0
        self._drops: dict[tuple[str, str], tuple[int, tuple[str, ...]]] = {}
        self._seen: set[tuple[int, bool, bytes]] = set()

    def element(self) -> None:
        """Count a thing of the file.

        Raises:
            Refusal: more things than a pattern has.

        """
        self._elements += 1
        if self._elements > MOST_ELEMENTS:
            raise Refusal(f"The file draws more than {MOST_ELEMENTS} things: it is no pattern; simplify it.")

    def drop(self, what: str, example: str = "", why: str = "left out", count: int = 1) -> None:
        """Note that something was left out, or read otherwise than it looks."""
        before, examples = self._drops.get((what, why), (0, ()))
        if example and len(examples) < _EXAMPLES and example[:80] not in examples:
            examples = (*examples, example[:80])
        self._drops[what, why] = (before + count, examples)

    @property
    def dropped(self) -> tuple[Dropped, ...]:
        """Everything left out so far."""
        return tuple(Dropped(what, n, "; ".join(some), why) for (what, why), (n, some) in self._drops.items())

    def add(self, run: Array, look: Look, what: str, *, closed: bool, page: int = 1, filled: bool = False) -> None:
        """Add a run of cubics (n, 4, 2) in mm as one line; a bad one is dropped by name.

        Raises:
            Refusal: too many lines or points.

        """
        if len(run) == 0:
            return self.drop("lines without length", what)
        if not (np.isfinite(run).all() and np.abs(run).max() <= FARTHEST):
            return self.drop("lines with a number that is no place", what)
        points = cubics.flatten(run, self._tolerance, cubics.MOST_POINTS - self._points)
        return self.add_points(points, look, what, closed=closed, page=page, filled=filled)

    def add_points(
        self, points: Array, look: Look, what: str, *, closed: bool, page: int = 1, filled: bool = False
    ) -> None:
        """Add a line given by its points (n, 2) in mm; one that returns to its start is closed.

        Raises:
            Refusal: too many lines or points.

        """
        if len(points) > 2 and np.abs(points[0] - points[-1]).max() <= 1e-6:
            points, closed = points[:-1], True
        if len(points) < 2 or np.ptp(points, axis=0).max() < 1e-6:
            return self.drop("lines without length", what)
        self._points += len(points)
        if self._points > cubics.MOST_POINTS or len(self.lines) >= MOST_LINES:
            most = f"{MOST_LINES} lines or {cubics.MOST_POINTS} points"
            raise Refusal(f"The file has more than {most}: simplify it.")
        if self._is_repeated(points, closed, page):
            return self.drop("lines drawn twice", what, "taken once")
        return self.lines.append(SheetLine(points, closed and len(points) > 2, look, page, filled))

    def _is_repeated(self, points: Array, closed: bool, page: int) -> bool:
        rounded = np.round(points, 4) + 0.0
        keys = ((page, closed, rounded.tobytes()), (page, closed, rounded[::-1].tobytes()))
        repeated = any(key in self._seen for key in keys)
        self._seen.add(keys[0])
        return repeated

    def finished(self) -> tuple[SheetLine, ...]:
        """Return the lines.

        Raises:
            Refusal: no lines, or a drawing of no believable size.

        """
        if not self.lines:
            words = " ".join(drop.words for drop in self.dropped)
            raise Refusal(f"The file draws no lines that can be read. {words}".strip())
        low = np.min([line.points.min(axis=0) for line in self.lines], axis=0)
        high = np.max([line.points.max(axis=0) for line in self.lines], axis=0)
        if float((high - low).max()) > LONGEST:
            size = " x ".join(f"{length:.4g}" for length in (high - low).tolist())
            raise Refusal(f"The drawing is {size} mm, more than {LONGEST / 1000:.0f} m: remove what lies far off.")
        return tuple(self.lines)
