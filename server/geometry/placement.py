"""Where a piece lies on the table: mirrored first, then turned, then moved."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from calibration.refusal import Refusal

_QUARTERS = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))


@dataclass(frozen=True)
class Placement:
    """A rigid move of the plane, millimetres and degrees, x right and y down.

    Attributes:
        x: mm to the right, done last.
        y: mm down (towards the maker), done last.
        turn_degrees: turn about the piece's own origin, positive clockwise as seen from above.
        mirror: turn the piece over first (x becomes -x).

    Raises:
        Refusal: a number that is not finite.

    """

    x: float = 0.0
    y: float = 0.0
    turn_degrees: float = 0.0
    mirror: bool = False

    def __post_init__(self) -> None:
        for name in ("x", "y", "turn_degrees"):
            if not math.isfinite(getattr(self, name)):
                raise Refusal(
                    f"The placement's {name} is not a finite number: write millimetres or degrees.", field=name
                )

    @property
    def cos_sin(self) -> tuple[float, float]:
        """Cosine and sine of the turn; exact at quarter turns."""
        quarters, rest = divmod(self.turn_degrees, 90.0)
        if rest == 0.0:
            return _QUARTERS[int(quarters) % 4]
        turn = math.radians(self.turn_degrees)
        return math.cos(turn), math.sin(turn)

    def apply(self, points: ArrayLike) -> NDArray[np.float64]:
        """Return the placed points, (n, 2) in and (n, 2) out, mm."""
        given = np.asarray(points, dtype=np.float64).reshape(-1, 2)
        cos, sin = self.cos_sin
        x = -given[:, 0] if self.mirror else given[:, 0]
        y = given[:, 1]
        return np.column_stack((self.x + cos * x - sin * y, self.y + sin * x + cos * y))

    def angle(self, degrees: float) -> float:
        """Return the direction, in degrees, that a direction of the piece has on the table, in (-180, 180]."""
        turned = (180.0 - degrees if self.mirror else degrees) + self.turn_degrees
        return wrap_degrees(turned)


def wrap_degrees(degrees: float) -> float:
    """Return the same direction in (-180, 180]."""
    wrapped = math.fmod(degrees, 360.0)
    if wrapped <= -180.0:
        return wrapped + 360.0
    return wrapped - 360.0 if wrapped > 180.0 else wrapped
