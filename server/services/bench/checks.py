"""The check: what a steel rule reads on the check figure, against what the bench promises."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any, Literal

import numpy as np

from calibration.bench import Bench
from server.errors import Refusal
from server.services.bench import check_figure, history
from server.services.bench.optics import optics
from server.services.light.light import Light
from server.store import benches
from server.store import checks as stored
from server.store.database import Database

READING_SIGMA_MM = 0.3
"""How surely a person reads a projected line, a pixel wide, with a steel rule, both ends together (common practice)."""

SURE, BEYOND = 1.96, 3.29
"""Standard deviations that 95 % and 99.9 % of fair readings stay within (the normal distribution)."""

FEWEST = 3
"""Readings below which nothing is said."""

NO_DIAGONAL = "The sides are as they should be, but a rhombus has such sides too: read at least one diagonal."

Verdict = Literal["holds", "out", "unsure"]


@dataclass(frozen=True)
class Row:
    """One reading, mm: what it should be, what was read, their difference, and how much of that is to be expected."""

    name: str
    nominal: float
    read: float
    difference: float
    allowed: float
    ratio: float


class Checks:
    """The maker's verb: check."""

    def __init__(self, database: Database, light: Light) -> None:
        self._database, self._light = database, light

    def judge(self, bench_id: int, size: float, height: float, readings: Mapping[str, float]) -> dict[str, Any]:
        """Return the verdict on some readings of the figure, mm, and keep it.

        Raises:
            Refusal: the bench is not calibrated (409), a name is not a line of the figure, or the figure does not fit.

        """
        with self._database.reading() as session:
            record = benches.get(session, bench_id)
        if record.calibration is None:
            raise Refusal(
                f"{record.name} is not calibrated yet, so there is nothing to check.", field="bench", status=409
            )
        rows = judge_rows(optics(record), size, height, readings)
        verdict, sentence = decide(rows)
        kept: dict[str, Any] = {"size": size, "height": height, "readings": readings}
        with self._database.writing() as session:
            stored.add(session, bench_id=bench_id, verdict=verdict, sentence=sentence, **kept)
            history.note_check(session, bench_id, verdict, sentence, [row.ratio for row in rows])
        self._light.refresh()
        return {"verdict": verdict, "sentence": sentence, "rows": [asdict(row) for row in rows]}


def judge_rows(bench: Bench, size: float, height: float, readings: Mapping[str, float]) -> list[Row]:
    """Return each reading with what was to be expected."""
    should, spread = check_figure.nominal(size), length_sigmas(bench, size, height)
    unknown = next((name for name in readings if name not in should), None)
    if unknown is not None:
        raise Refusal(f"The figure has no line {unknown[:40]!r}: give {', '.join(should)}.", field="readings")
    rows = []
    for name in (name for name in should if name in readings):
        sigma = float(np.hypot(spread[name], READING_SIGMA_MM))
        off = readings[name] - should[name]
        rows.append(Row(name, should[name], readings[name], off, SURE * sigma, abs(off) / sigma))
    return rows


def length_sigmas(bench: Bench, size: float, height: float) -> dict[str, float]:
    """Return the standard deviation of each line's projected length, mm.

    Both ends move with the same terms, so the covariance is carried through the difference of their Jacobians:
    var = g C g^T with g = u (J_end - J_start), u the unit vector along the line (linear propagation of covariance;
    Ghilani, Adjustment Computations, ch. 6, chapter from memory).
    """
    corners = check_figure.corner_places(bench, size, height)
    slopes = dict(zip(check_figure.CORNERS, bench.landing_partials(corners, height), strict=True))
    ends = check_figure.line_ends(corners)
    found = {}
    for name, (start, end) in check_figure.LINES.items():
        along = ends[name][1] - ends[name][0]
        gradient = (along / np.hypot(*along)) @ (slopes[end] - slopes[start])
        found[name] = float(np.sqrt(gradient @ bench.covariance @ gradient))
    return found


def decide(rows: list[Row]) -> tuple[Verdict, str]:
    """Return the verdict and its sentence.

    It holds when every reading is within 95 %, is out when one is beyond 99.9 %, and is unsure between, or when there
    are too few readings to tell: a figure out of square shows in its diagonals only.
    """
    if not rows:
        return "unsure", "Type what the rule reads along at least three lines of the figure."
    worst = max(rows, key=lambda row: row.ratio)
    if worst.ratio > SURE and (common := common_scale(rows)) is not None:
        return ("out" if worst.ratio > BEYOND else "unsure"), _scale_words(len(rows), common)
    about = f"{worst.name} reads {worst.read:.1f} mm where {worst.nominal:.1f} mm belongs"
    if worst.ratio > BEYOND:
        return (
            "out",
            f"{about}, and only {worst.allowed:.1f} mm of error is to be expected: calibrate again before you cut.",
        )
    if len(rows) < FEWEST:
        return "unsure", f"{len(rows)} of 6 lines were read: read at least {FEWEST}, one of them a diagonal."
    if worst.ratio > SURE:
        return "unsure", f"{about}, a little more than the {worst.allowed:.1f} mm to be expected: read it again."
    if not any(row.name.startswith("diagonal") for row in rows):
        return "unsure", NO_DIAGONAL
    return (
        "holds",
        f"All {len(rows)} readings are within what the bench promises; the largest error is {abs(worst.difference):.1f} mm.",
    )


def common_scale(rows: list[Row]) -> float | None:
    """Return the share by which every line reads too long (below zero: too short), None where one factor is no explanation.

    It is one when at least three lines are read, it differs from nothing by more than chance (99.9 %), and what it leaves
    of each reading is within 95 %. Weighted mean of the ratios (Ghilani, Adjustment Computations, ch. 10, from memory).
    """
    if len(rows) < FEWEST:
        return None
    nominal = np.array([row.nominal for row in rows])
    off = np.array([row.difference for row in rows])
    sigma = np.array([row.allowed for row in rows]) / SURE
    weight = float(np.sum((nominal / sigma) ** 2))
    share = float(np.sum(nominal * off / sigma**2)) / weight
    left = np.abs(off - share * nominal) / sigma
    return share if abs(share) * np.sqrt(weight) > BEYOND and left.max() <= SURE else None


def _scale_words(count: int, share: float) -> str:
    return (
        f"All {count} lines read {100 * abs(share):.2f} % {'long' if share > 0 else 'short'}: what the bench was measured with and "
        "this rule do not agree. Hold the two against each other, and calibrate with the one you cut by."
    )
