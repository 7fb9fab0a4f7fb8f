"""A virtual bench from first principles: a lens, rays, a table, leather on it, and hands that shake.

Nothing here is ours but this file: numpy only, so that it can judge the calibration instead of agreeing with it.

Table frame: millimetres, x right, y towards the maker, z up (so the frame is left-handed). Lens frame: x right and y
down in the picture, z along the optical axis (right-handed). A projector with no turn looks straight down and its
picture stands upright before the maker. Picture points are device pixels with pixel edges on integers.

How a ray leaves (all lengths in the tangent plane one unit in front of the lens, pitch of the panel = 1/throw/W):

    a = ((u - W/2 + skew (v - H/2)) / W - shift_x) / throw,   b = ((v - H/2) / W - shift_y) / throw,   r2 = a^2 + b^2
    a' = a (1 + d1 r2 + d2 r2^2) + 2 p1 a b + p2 (r2 + 2 a^2)
    b' = b (1 + d1 r2 + d2 r2^2) + p1 (r2 + 2 b^2) + 2 p2 a b
    ray = Rz(yaw) Ry(pitch) Rx(roll) diag(1, 1, -1) (+-a', b', 1)^T

The polynomial runs from picture to ray about the optical axis of a tilted lens; the calibration's runs from ideal
picture to real picture about a free centre. Neither is the exact inverse of the other, and the decentring terms (the
Conrady-Brown form: D. C. Brown, Decentering distortion of lenses, Photogrammetric Engineering 32, 1966) are not in the
calibration at all.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Document = dict[str, Any]
Crosses = Mapping[str, tuple[float, float]]


@dataclass(frozen=True)
class Projector:
    """The physical truth about one projector over one table.

    Attributes:
        lens: where the lens is, mm in the table frame.
        throw: distance over picture width.
        picture: width, height px.
        yaw: turn about the vertical, degrees.
        pitch: tilt about the table's y axis, degrees.
        roll: tilt about the table's x axis, degrees.
        shift_x: lens shift to the right, in picture widths.
        shift_y: lens shift down, in picture widths too.
        d1: radial lens error, second order.
        d2: radial lens error, fourth order.
        p1: decentring.
        p2: decentring.
        skew: how far the panel leans, px to the side a px down.
        mirrored: whether the mount mirrors the picture.

    """

    lens: tuple[float, float, float]
    throw: float
    picture: tuple[int, int] = (1920, 1080)
    yaw: float = 0.0
    pitch: float = 0.0
    roll: float = 0.0
    shift_x: float = 0.0
    shift_y: float = 0.0
    d1: float = 0.0
    d2: float = 0.0
    p1: float = 0.0
    p2: float = 0.0
    skew: float = 0.0
    mirrored: bool = False

    def land(self, points: Array, height: float = 0.0) -> Array:
        """Return where picture points (n, 2) px meet a flat surface `height` mm above the table: (n, 2) mm."""
        tangents = self.distort(self._tangents(np.asarray(points, float)))
        rays = self._cast(tangents)
        if np.any(rays[:, 2] >= 0.0):
            raise ValueError("a ray of this projector never comes down to the table")
        reach = (height - self.lens[2]) / rays[:, 2]
        return np.asarray(self.lens[:2] + reach[:, None] * rays[:, :2])

    def aim(self, points: Array, height: float = 0.0) -> Array:
        """Return the picture points (n, 2) px that light the points (n, 2) mm of a surface `height` mm above the table."""
        points = np.asarray(points, float)
        rays = np.column_stack([points - self.lens[:2], np.full(len(points), height - self.lens[2])])
        seen = rays @ self.orientation()
        target = seen[:, :2] / seen[:, 2:] * [self._hand(), 1.0]
        return self._pixels(self.straighten(target))

    def orientation(self) -> Array:
        """Return the (3, 3) from lens-frame to table-frame directions; determinant -1, for the table is left-handed."""
        return _turn_z(self.yaw) @ _turn_y(self.pitch) @ _turn_x(self.roll) @ np.diag([1.0, 1.0, -1.0])

    def distort(self, tangents: Array) -> Array:
        """Apply the lens error: tangents (n, 2) on the picture side to tangents (n, 2) of the rays that leave."""
        a, b = tangents.T
        r2 = a * a + b * b
        radial = 1.0 + self.d1 * r2 + self.d2 * r2 * r2
        out_a = a * radial + 2.0 * self.p1 * a * b + self.p2 * (r2 + 2.0 * a * a)
        out_b = b * radial + self.p1 * (r2 + 2.0 * b * b) + 2.0 * self.p2 * a * b
        return np.column_stack([out_a, out_b])

    def straighten(self, target: Array) -> Array:
        """Undo `distort` by Newton's method, to the last digits; (n, 2) -> (n, 2)."""
        tangents = np.array(target, float)
        for _ in range(12):
            step = np.linalg.solve(self._slopes(tangents), (target - self.distort(tangents))[:, :, None])[:, :, 0]
            tangents += step
            if np.max(np.abs(step), initial=0.0) < 1e-14:
                break
        if np.max(np.abs(self.distort(tangents) - target), initial=0.0) > 1e-12:
            raise ValueError("the lens error of this projector folds over itself")
        return tangents

    def _slopes(self, tangents: Array) -> Array:
        a, b = tangents.T
        r2 = a * a + b * b
        radial, grow = 1.0 + self.d1 * r2 + self.d2 * r2 * r2, 2.0 * (self.d1 + 2.0 * self.d2 * r2)
        cross = a * b * grow + 2.0 * self.p1 * a + 2.0 * self.p2 * b
        along_a = radial + a * a * grow + 2.0 * self.p1 * b + 6.0 * self.p2 * a
        along_b = radial + b * b * grow + 6.0 * self.p1 * b + 2.0 * self.p2 * a
        return np.stack([np.stack([along_a, cross], -1), np.stack([cross, along_b], -1)], -2)

    def _cast(self, tangents: Array) -> Array:
        rays = np.column_stack([tangents * [self._hand(), 1.0], np.ones(len(tangents))])
        return np.asarray(rays @ self.orientation().T)

    def _hand(self) -> float:
        return -1.0 if self.mirrored else 1.0

    def _tangents(self, points: Array) -> Array:
        width, height = self.picture
        u, v = points[:, 0] - width / 2, points[:, 1] - height / 2
        shifted = np.column_stack([(u + self.skew * v) / width - self.shift_x, v / width - self.shift_y])
        return shifted / self.throw

    def _pixels(self, tangents: Array) -> Array:
        width, height = self.picture
        v = (tangents[:, 1] * self.throw + self.shift_y) * width
        u = (tangents[:, 0] * self.throw + self.shift_x) * width - self.skew * v
        return np.column_stack([u + width / 2, v + height / 2])


def _turn_x(degrees: float) -> Array:
    c, s = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    return np.array([[1.0, 0.0, 0.0], [0.0, c, -s], [0.0, s, c]])


def _turn_y(degrees: float) -> Array:
    c, s = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    return np.array([[c, 0.0, s], [0.0, 1.0, 0.0], [-s, 0.0, c]])


def _turn_z(degrees: float) -> Array:
    c, s = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    return np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])


def tv_distortion(projector: Projector) -> float:
    """TV distortion of the picture on a screen square to the optical axis, as a fraction: (A - B) / B.

    B is the height of the picture in its middle, A the mean height of its two sides (the full-height form of the figure
    that data sheets give; the half-height form is half of it). Bends of both long edges count, so shift hardly matters.
    """
    width, height = projector.picture
    columns = np.array([0.0, width / 2, width])
    square = replace(projector, lens=(0.0, 0.0, 1000.0), yaw=0.0, pitch=0.0, roll=0.0, mirrored=False)
    top = square.land(np.column_stack([columns, np.zeros(3)]))[:, 1]
    bottom = square.land(np.column_stack([columns, np.full(3, height)]))[:, 1]
    left, middle, right = bottom - top
    return float((left + right) / 2 / middle - 1.0)


def random_projector(rng: np.random.Generator, mirrored: bool | None = None) -> Projector:
    """Return one projector of the population every accuracy figure is stated for.

    1920 x 1080; picture 1.0-1.5 m wide; throw ratio 1.2-2.0, so the lens hangs 1.2-3.0 m up. Lens shift up to +-0.5 of
    the picture height and +-0.1 of its width. Tilt 0-10 degrees, most often 3, towards any side (keystone). The mount is
    turned by any quarter, give or take 3 degrees; half of them mirror (a fold mirror). TV distortion uniform in +-1 %,
    of which the fourth-order part takes -30 % to +30 % at the far corner. Decentring terms up to 1e-4 each: with a
    tangent radius of 0.5 and a lens at 2 m they move a corner by up to 0.2 mm. Panel skew up to 1e-4, a tenth of a pixel
    over the height. The middle of the picture lands 0.4-0.7 m right of the table's origin and as far towards the maker.
    """
    aspect = 1080 / 1920
    throw, width = rng.uniform(1.2, 2.0), rng.uniform(1000.0, 1500.0)
    tilt, side = rng.triangular(0.0, 3.0, 10.0), rng.uniform(0.0, 2.0 * np.pi)
    plain = Projector(
        lens=(0.0, 0.0, throw * width),
        throw=throw,
        yaw=90.0 * rng.integers(4) + rng.uniform(-3.0, 3.0),
        pitch=tilt * np.cos(side),
        roll=tilt * np.sin(side),
        shift_x=rng.uniform(-0.1, 0.1),
        shift_y=rng.uniform(-0.5, 0.5) * aspect,
        p1=rng.uniform(-1e-4, 1e-4),
        p2=rng.uniform(-1e-4, 1e-4),
        skew=rng.uniform(-1e-4, 1e-4),
        mirrored=bool(rng.integers(2)) if mirrored is None else mirrored,
    )
    bent = with_tv_distortion(plain, rng.uniform(-0.01, 0.01), rng.uniform(-0.3, 0.3))
    return _centred(bent, rng.uniform(400.0, 700.0, 2))


def with_tv_distortion(projector: Projector, fraction: float, quartic: float = 0.0) -> Projector:
    """Return the projector with radial terms of that TV distortion, `quartic` their fourth-order share at the far corner."""
    width, height = projector.picture
    corners = np.array([[0.0, 0.0], [width, 0.0], [0.0, height], [width, height]])
    far2 = np.max(np.sum(projector._tangents(corners) ** 2, axis=1))
    shape = {"d1": (1.0 - quartic) / far2, "d2": quartic / far2**2}
    strength = fraction
    for _ in range(8 if fraction else 0):
        bent = replace(projector, d1=strength * shape["d1"], d2=strength * shape["d2"])
        strength *= fraction / tv_distortion(bent)
    return replace(projector, d1=strength * shape["d1"], d2=strength * shape["d2"])


def _centred(projector: Projector, spot: Array) -> Projector:
    """Hang the projector so that the middle of its picture lands on `spot` (2,) mm of the table."""
    middle = projector.land(np.array([[projector.picture[0] / 2, projector.picture[1] / 2]]))[0]
    x, y = np.array(projector.lens[:2]) + spot - middle
    return replace(projector, lens=(float(x), float(y), projector.lens[2]))


def grid(picture: tuple[int, int], columns: int, rows: int, margin: float = 0.06) -> dict[str, tuple[float, float]]:
    """Lettered crosses (A, B, C ... row by row) inside a picture, `margin` of its height away from the edges; px."""
    width, height = picture
    inset = margin * height
    across, down = np.linspace(inset, width - inset, columns), np.linspace(inset, height - inset, rows)
    spots = [(float(u), float(v)) for v in down for u in across]
    return {_letters(i): spot for i, spot in enumerate(spots)}


def _letters(index: int) -> str:
    return chr(ord("A") + index % 26) * (1 + index // 26)


def _pixels_of(crosses: Crosses) -> Array:
    return np.array([crosses[name] for name in crosses], float)


def _document(projector: Projector, crosses: Crosses, **sightings: Sequence[Mapping[str, Any]]) -> Document:
    width, height = projector.picture
    return {
        "unit": "mm",
        "picture": {"width": width, "height": height},
        "crosses": {name: [float(spot[0]), float(spot[1])] for name, spot in crosses.items()},
        **{kind: [dict(one) for one in given] for kind, given in sightings.items()},
    }


def sight_marks(
    projector: Projector, crosses: Crosses, rng: np.random.Generator, sigma: float = 0.25, height: float = 0.0
) -> Document:
    """Read where each cross lands on a measured mat and type it, with a hand's error of `sigma` mm each way."""
    landed = projector.land(_pixels_of(crosses), height)
    read = landed + rng.normal(0.0, sigma, landed.shape)
    places = [
        {"cross": name, "at": [float(x), float(y)], "height": height, "sigma": sigma}
        for name, (x, y) in zip(crosses, read, strict=True)
    ]
    return _document(projector, crosses, positions=places)


def nudge_marks(
    projector: Projector, crosses: Crosses, rng: np.random.Generator, sigma: float = 0.25, height: float = 0.0
) -> Document:
    """Step each cross by whole pixels onto its mark; the marks stand near where the crosses land.

    The hand stops within `sigma` mm of the mark and then the cross takes the nearest pixel. The stated sigma counts both:
    the rounding to a whole pixel adds a twelfth of its square.
    """
    marks = projector.land(_pixels_of(crosses), height)
    stopped = projector.aim(marks + rng.normal(0.0, sigma, marks.shape), height)
    started = _pixels_of(crosses)
    nudged = started + np.round(stopped - started)
    step = np.linalg.norm(projector.land(started + np.array([1.0, 0.0]), height) - marks, axis=1).mean()
    stated = float(np.hypot(sigma, step / np.sqrt(12.0)))
    moved = {name: (float(u), float(v)) for name, (u, v) in zip(crosses, nudged, strict=True)}
    places = [
        {"cross": name, "at": [float(x), float(y)], "height": height, "sigma": stated}
        for name, (x, y) in zip(crosses, marks, strict=True)
    ]
    return _document(projector, moved, positions=places)


def sight_block(
    projector: Projector, crosses: Crosses, rng: np.random.Generator, sigma: float = 0.25, height: float = 100.0
) -> Document:
    """Read the same crosses again on top of a block `height` mm high: that tells where the lens hangs."""
    return sight_marks(projector, crosses, rng, sigma, height)


def sight_tape(
    projector: Projector,
    crosses: Crosses,
    rng: np.random.Generator,
    sigma: float = 0.3,
    pairs: Sequence[tuple[str, str]] | int | None = None,
    height: float = 0.0,
    scale: float = 0.0,
) -> Document:
    """Tape distances between crosses.

    Args:
        projector: the truth.
        crosses: name to px.
        rng: the hand.
        sigma: mm, standard error of one reading.
        pairs: which, or how many (drawn at random), or None for all.
        height: mm, of the surface both crosses lie on.
        scale: the tape's own error, 1e-4 = a tenth of a millimetre too long a metre.

    """
    landed = dict(zip(crosses, projector.land(_pixels_of(crosses), height), strict=True))
    taped = []
    for start, end in _pairs(crosses, pairs, rng):
        length = float(np.hypot(*(landed[end] - landed[start])))
        read = length * (1.0 + scale) + rng.normal(0.0, sigma)
        taped.append({"from": start, "to": end, "length": float(read), "height": height, "sigma": sigma})
    return {**_document(projector, crosses, distances=taped), "mirrored": seen_mirrored(projector)}


def _pairs(
    crosses: Crosses, pairs: Sequence[tuple[str, str]] | int | None, rng: np.random.Generator
) -> list[tuple[str, str]]:
    if pairs is not None and not isinstance(pairs, int):
        return list(pairs)
    every = list(combinations(crosses, 2))
    chosen = range(len(every)) if pairs is None else sorted(rng.choice(len(every), pairs, replace=False))
    return [every[int(i)] for i in chosen]


def seen_mirrored(projector: Projector) -> bool:
    """Tell whether the picture on the table is a mirror image of the picture on the screen."""
    width, height = projector.picture
    corner, right, below = projector.land(np.array([[0.0, 0.0], [width, 0.0], [0.0, height]]))
    (ax, ay), (bx, by) = right - corner, below - corner
    return bool(ax * by - ay * bx < 0.0)


def sight_lens(
    projector: Projector,
    crosses: Crosses,
    rng: np.random.Generator,
    slant_sigma: float = 5.0,
    height_sigma: float = 10.0,
    foot_sigma: float = 15.0,
) -> Document:
    """Hold a tape to the lens: slant distances to every cross given, the height, and the foot of a plumb line."""
    eye = np.array(projector.lens)
    landed = projector.land(_pixels_of(crosses))
    sightings: list[dict[str, Any]] = []
    for name, (x, y) in zip(crosses, landed, strict=True):
        slant = float(np.linalg.norm(eye - [x, y, 0.0]) + rng.normal(0.0, slant_sigma))
        sightings.append({"cross": name, "slant": slant, "sigma": slant_sigma})
    sightings.append({"height": float(eye[2] + rng.normal(0.0, height_sigma)), "sigma": height_sigma})
    foot = eye[:2] + rng.normal(0.0, foot_sigma, 2)
    sightings.append({"foot": [float(foot[0]), float(foot[1])], "sigma": foot_sigma})
    return _document(projector, crosses, lens=sightings)


def combine(*documents: Document) -> Document:
    """Make one sightings document out of several of the same picture; a cross must stand at one place in all of them."""
    merged: Document = {**documents[0], "crosses": {}, "positions": [], "distances": [], "lens": []}
    for document in documents:
        for name, spot in document["crosses"].items():
            if merged["crosses"].setdefault(name, spot) != spot:
                raise ValueError(f"cross {name} stands at two places")
        for kind in ("positions", "distances", "lens"):
            merged[kind] += document.get(kind, [])
    return merged


def rigid(source: Array, target: Array) -> Array:
    """Turn and move source (n, 2), never mirror or stretch it, as near to target (n, 2) as it goes.

    K. S. Arun, T. S. Huang, S. D. Blostein, Least-squares fitting of two 3-D point sets, IEEE PAMI 9, 1987 (from memory).
    """
    middle_s, middle_t = source.mean(axis=0), target.mean(axis=0)
    u, _, vt = np.linalg.svd((source - middle_s).T @ (target - middle_t))
    hand = np.diag([1.0, np.sign(np.linalg.det(u @ vt))])
    return np.asarray((source - middle_s) @ (u @ hand @ vt) + middle_t)
