"""The map through four points in exact fractions, a way of its own: through the four corners of the projective frame.

Source: Hartley & Zisserman, Multiple View Geometry, 2nd ed., section 2.4 (four points fix a plane map; canonical frame;
section from memory). A point triple (p, q, r) is weighted so that a p + b q + c r is the fourth point; the map is then
target frame times inverse of source frame. No equations are fitted, nothing is rounded.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

Row = list[Fraction]
Matrix = list[Row]
Points = Sequence[tuple[float, float]]


def exact_map(source: Points, target: Points) -> Matrix:
    """Return the (3, 3) that takes four source points to four target points, any scale."""
    return _times(_frame(target), _adjugate(_frame(source)))


def exact_at(matrix: Matrix, point: tuple[float, float]) -> tuple[float, float]:
    """Map one point; the only rounding is the last one, to float."""
    x, y, w = (sum((a * b for a, b in zip(row, _lift(point), strict=True)), Fraction(0)) for row in matrix)
    return float(x / w), float(y / w)


def _lift(point: tuple[float, float]) -> Row:
    return [Fraction(point[0]), Fraction(point[1]), Fraction(1)]


def _frame(points: Points) -> Matrix:
    columns = [_lift(point) for point in points[:3]]
    basis = [list(row) for row in zip(*columns, strict=True)]
    weights = _times(_adjugate(basis), [[value] for value in _lift(points[3])])
    return [[row[i] * weights[i][0] for i in range(3)] for row in basis]


def _times(a: Matrix, b: Matrix) -> Matrix:
    return [
        [sum((x * y for x, y in zip(row, column, strict=True)), Fraction(0)) for column in zip(*b, strict=True)]
        for row in a
    ]


def _adjugate(m: Matrix) -> Matrix:
    def minor(i: int, j: int) -> Fraction:
        (a, b), (c, d) = ([row[k] for k in range(3) if k != i] for n, row in enumerate(m) if n != j)
        return (a * d - b * c) * (-1 if (i + j) % 2 else 1)

    return [[minor(i, j) for j in range(3)] for i in range(3)]
