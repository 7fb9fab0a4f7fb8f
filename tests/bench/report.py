"""Print what ``test_accuracy`` holds to bounds, as tables: ``python -m tests.bench.report [BENCHES]``."""

from __future__ import annotations

import sys
from collections.abc import Sequence

import numpy as np

from tests.bench import measure
from tests.bench.measure import bench_number, calibrated, coverage, series

WAYS: tuple[tuple[str, measure.Sight, float], ...] = (
    ("5 x 4 marks", measure.marks, 0.0),
    ("5 x 4 marks, whole-pixel nudges", measure.nudged, 0.0),
    ("5 x 4 marks and four on a block", measure.marks_and_block, 0.0),
    ("the same, on 8 mm leather", measure.marks_and_block, 8.0),
    ("nine crosses, 26 tape distances", measure.tape, 0.0),
    ("the same, the 26 that are proposed", measure.tape_as_proposed, 0.0),
)


FLAT: tuple[tuple[str, measure.Sight], ...] = (
    ("homography, four corners", measure.four_corners),
    ("homography, 5 x 4 marks", measure.marks),
)


def row(title: str, values: Sequence[float], more: str = "") -> None:
    """Print one line: median over the benches and the 90 % bench, in mm."""
    print(f"{title:<42} {np.median(values):7.3f} {np.quantile(values, 0.9):7.3f}  {more}")


def main(count: int) -> None:
    """Print the tables for benches 0 to count - 1."""
    print(f"{count} virtual benches; 95 % of the picture lies within, mm     median    90 %\n")
    for title, flat in FLAT:
        row(
            title,
            [measure.homography_error95(truth, flat(truth, rng)) for truth, rng in map(bench_number, range(count))],
        )
    for title, sight, height in WAYS:
        outcomes = series(sight, count, height)
        share, error = coverage(outcomes)
        unit = float(np.mean([one.sigma0 for one in outcomes]))
        told = f"predicted 95 % holds for {share:6.1%} +- {error:.1%}, sigma0 {unit:.2f}"
        row(title, [one.error95 for one in outcomes], told)
    print("\nsigmas stated wrong by a factor; said by the program's own residuals; the 95 % figure then holds for")
    for title, sight, _ in WAYS[:3] + WAYS[4:5]:
        for factor in (0.5, 1.0, 2.0):
            way = measure.misjudged(sight, factor)
            said = [measure.says_wrong_sigmas(measure.calibrated(way, index)[1]) for index in range(count)]
            shares = f"too small {said.count('small') / count:6.1%}, too large {said.count('large') / count:6.1%}"
            print(f"{title:<42} x {factor:3.1f}  {shares}, holds {coverage(series(way, count))[0]:6.1%}")
    print()
    row("half a pixel", [one.pixel / 2 for one in series(measure.marks, count)])
    drawn = [calibrated(measure.marks_and_block, index) for index in range(count)]
    row(
        "left of the shift by 2-8 mm leather",
        [measure.parallax_remainder(truth, found.bench) for truth, found in drawn],
    )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 300)
