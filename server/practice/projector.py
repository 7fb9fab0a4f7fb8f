"""The true projector of the practice bench, from first principles: a lens in space, rays, a table.

Nothing here is shared with the calibration: the lens error has another form (it bends the ray, by a polynomial in the
ray's tangent), and the pose is given as a surveyor would, by position and three angles. So what the calibration finds
out about this bench, it has found out from sightings.

Camera axes: a to the right and b down in the picture, w along the optical axis down to the table. A pixel (u, v) has the
image-plane tangents a = ((u - W/2)/W - shift_x)/throw and b = ((v - H/2)/W - shift_y)/throw (pinhole model, throw ratio =
distance over picture width; Hartley & Zisserman, Multiple View Geometry, 2nd ed., ch. 6, from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from calibration.refusal import Refusal

Array: TypeAlias = NDArray[np.float64]

STRAIGHT_DOWN = np.diag([1.0, 1.0, -1.0])
"""Camera axes in the table frame for a projector that looks straight down: b towards the maker, w down."""

_AIM_STEPS = 8
"""Newton steps: from the middle to a corner of a picture with a lens error of a per cent, six settle it to 1e-9 px."""


@dataclass(frozen=True)
class TrueProjector:
    """A projector over a table.

    Args:
        position: the lens, mm: x right, y towards the maker, z up from the table.
        yaw: turn about the vertical, degrees.
        pitch: tilt about the table's y axis, degrees.
        roll: tilt about the table's x axis, degrees.
        throw: distance over picture width.
        shift: lens shift right and down, in picture widths.
        picture: width and height, px.
        bend: (d1, d2), the lens error: a ray's tangent t becomes t (1 + d1 t^2 + d2 t^4).
        mirrored: whether the picture is a mirror image.

    """

    position: tuple[float, float, float]
    yaw: float
    pitch: float
    roll: float
    throw: float
    shift: tuple[float, float]
    picture: tuple[int, int]
    bend: tuple[float, float]
    mirrored: bool = False

    def rays(self, points: Array) -> Array:
        """Return the directions (n, 3) in the table frame of the rays through picture px (n, 2)."""
        width, height = self.picture
        middle = np.array([width / 2, height / 2])
        tangent = ((points - middle) / width - np.array(self.shift)) / self.throw
        square = (tangent**2).sum(axis=1, keepdims=True)
        bent = tangent * (1.0 + self.bend[0] * square + self.bend[1] * square**2)
        if self.mirrored:
            bent = bent * np.array([-1.0, 1.0])
        camera = np.column_stack([bent, np.ones(len(points))])
        return np.asarray(camera @ (self._turn() @ STRAIGHT_DOWN).T)

    def land(self, points: Array, height: float = 0.0) -> Array:
        """Return where the light of picture px (n, 2) lands on a surface at ``height`` mm: table mm (n, 2).

        Raises:
            Refusal: the surface is not below the lens, or a ray does not go down.

        """
        lens = np.array(self.position)
        if not 0.0 <= height < lens[2]:
            raise Refusal(
                f"A surface {height:g} mm high is not below the lens, which hangs {lens[2]:g} mm above the table."
            )
        rays = self.rays(np.asarray(points, dtype=np.float64).reshape(-1, 2))
        if rays.size and rays[:, 2].max() >= -1e-9:
            raise Refusal("Part of the picture does not reach the table: aim the projector further down.")
        reach = (height - lens[2]) / rays[:, 2:]
        return np.asarray(lens[:2] + rays[:, :2] * reach)

    def aim(self, places: Array, height: float = 0.0) -> Array:
        """Return the picture px (n, 2) whose light lands on the places (n, 2) mm: what a hand finds by moving a cross.

        Newton's method with slopes by differences; it starts in the middle of the picture and needs a few steps.
        """
        goal = np.asarray(places, dtype=np.float64).reshape(-1, 2)
        found = np.tile(np.array(self.picture) / 2.0, (len(goal), 1))
        for _ in range(_AIM_STEPS):
            off = goal - self.land(found, height)
            slopes = np.stack([self.land(found + step, height) - self.land(found - step, height) for step in np.eye(2)])
            found = found + np.linalg.solve(slopes.transpose(1, 2, 0) / 2.0, off[:, :, None])[:, :, 0]
        return found

    def _turn(self) -> Array:
        yaw, pitch, roll = np.radians([self.yaw, self.pitch, self.roll])
        about_z = np.array([[np.cos(yaw), -np.sin(yaw), 0], [np.sin(yaw), np.cos(yaw), 0], [0, 0, 1]])
        about_y = np.array([[np.cos(pitch), 0, np.sin(pitch)], [0, 1, 0], [-np.sin(pitch), 0, np.cos(pitch)]])
        about_x = np.array([[1, 0, 0], [0, np.cos(roll), -np.sin(roll)], [0, np.sin(roll), np.cos(roll)]])
        return np.asarray(about_z @ about_y @ about_x)


TRUE = TrueProjector(
    position=(470.0, 290.0, 1893.0),
    yaw=2.4,
    pitch=-4.6,
    roll=5.2,
    throw=1.52,
    shift=(0.021, 0.128),
    picture=(1920, 1080),
    bend=(0.078, -0.06),
)
"""The practice bench: hung by hand, a little crooked, with vertical lens shift. Not for the calibration's eyes."""
