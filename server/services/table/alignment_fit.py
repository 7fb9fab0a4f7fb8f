"""Bring the light to the leather: places of a piece that the cross-hair was put on, and how the piece lies by them.

What the cross-hair says is where the light *believes* it lands: its believed place is the true place less the bench's own
error there and the hand's. The line that is drawn afterwards carries the bench's error once more, so near the places aimed at
the bench's error falls out of the sum, and only the hand's is left: ``Aligned.error95`` counts both.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from calibration.arrays import Array
from calibration.bench import Bench
from calibration.precision import radius95
from calibration.sightings import Pair
from server.errors import Refusal
from server.geometry import rigid
from server.geometry.placement import Placement
from server.leather.piece import Piece
from server.services.table import alignment_findings as findings
from server.services.table.alignment_features import Feature, foot_on
from server.services.table.alignment_findings import Finding, Misfit

AIM_MM = 0.25
"""How surely a hand brings the cross-hair onto a corner or an edge, mm in x and in y (common practice, no source)."""
CUT_MM = 0.2
"""How truly a hand cuts a corner, an edge or a slot where it is drawn, mm in x and in y (common practice, no source)."""
HAND_MM = float(np.hypot(AIM_MM, CUT_MM))
MARK_MM = 0.15
"""How truly a fine awl or pencil marks the middle of a cross of light, mm in x and in y (common practice, no source)."""
FARTHEST_EDGE_MM = 60.0
"""A foot on the outline farther than this from where it was asked for is another side's, mm."""


@dataclass(frozen=True)
class Aligned:
    """How a piece lies by what was seen.

    Args:
        placement: where the light must lie now.
        features: the places aimed at.
        seen: their places, and where the light believes the cross-hair was, mm.
        bench: the bench.
        height: of the lit surface, mm.
        hand: the hand's standard error in x and in y, mm, cutting and aiming together.
        finding: what was noticed, or None.

    """

    placement: Placement
    features: tuple[Feature, ...]
    seen: rigid.Seen
    bench: Bench
    height: float
    hand: float
    finding: Finding | None = None
    turned_over: bool = False

    @cached_property
    def equations(self) -> tuple[Array, Array]:
        """Return the equations (r, 3) and what is still off (r,) mm."""
        return rigid.system(self.seen, self.placement)

    @cached_property
    def chosen(self) -> Array:
        """Return the (r, 2n) that picks what the equations see."""
        return rigid.chooser(self.seen, self.placement)

    @cached_property
    def solve(self) -> Array:
        """Return the (3, r) that makes shift (mm) and turn (rad) about the middle of what was seen from what is off."""
        return np.asarray(np.linalg.pinv(self.equations[0]))

    @cached_property
    def slopes(self) -> Array:
        """Return how what was seen moves with the bench's doubts, (r, 20) mm."""
        return self.chosen @ self.bench.landing_partials(self.seen.seen, self.height).reshape(
            -1, len(self.bench.covariance)
        )

    @cached_property
    def covariance(self) -> Array:
        """Return the covariance (r, r) mm^2 of what was seen: the bench's own error, shared by all places, and the hand's."""
        return self.slopes @ self.bench.covariance @ self.slopes.T + self.hand**2 * self.chosen @ self.chosen.T

    @property
    def misfit(self) -> Misfit:
        """Return the equations, what is off, and what was promised."""
        return Misfit(*self.equations, self.covariance)

    @property
    def residuals(self) -> list[float]:
        """Return how far each place is still off, mm; across its edge where only that counts."""
        off = np.split(self.equations[1], np.cumsum([1 if edge else 2 for edge in self.seen.edges])[:-1])
        return [float(np.hypot.reduce(part)) if len(part) > 1 else float(abs(part[0])) for part in off]

    @property
    def rms(self) -> float:
        """Return the root mean square of the residuals, mm."""
        return float(np.sqrt(np.mean(np.square(self.residuals))))

    @property
    def doubt(self) -> Array:
        """Return the covariance (3, 3) of shift (mm) and turn (rad) about the middle of what was seen."""
        return np.asarray(self.solve @ self.covariance @ self.solve.T)

    @property
    def standard_errors(self) -> tuple[float, float, float]:
        """Return the standard errors of the placement about the middle: across and towards the maker, mm, and the turn, degrees."""
        x, y, turn = np.sqrt(np.diag(self.doubt)).tolist()
        return x, y, float(np.degrees(turn))

    def error95(self, places: Array) -> Array:
        """Return the radius (n,) mm within which the light lies, in 95 % of cases, of places (n, 2) of the piece.

        The bench's own error counts as it is there, less what aiming has taken out of it.
        """
        at = self.placement.apply(places)
        moves = rigid.fields(at, self.seen.seen.mean(axis=0))
        own = self.bench.landing_partials(at, self.height) - moves @ self.solve @ self.slopes
        hand = self.hand**2 * self.solve @ self.chosen @ self.chosen.T @ self.solve.T
        spread = own @ self.bench.covariance @ own.transpose(0, 2, 1) + moves @ hand @ moves.transpose(0, 2, 1)
        return radius95(spread)

    def scale(self) -> tuple[float, float]:
        """Return by which factor the leather looks larger than the pattern all over, and its standard error.

        With corners alone this is the scale of Umeyama, IEEE PAMI 13, 1991, 376 (from memory).
        """
        value, doubt = self.misfit.estimate(self.chosen @ _grown(self).reshape(-1, 1))
        return 1.0 + float(value[0]), float(np.sqrt(doubt[0, 0]))


@dataclass(frozen=True)
class Aiming:
    """What is needed to say how a piece lies.

    Args:
        bench: a calibrated bench.
        height: of the lit surface, mm above the table.
        piece: the piece.
        aimed: each place of the piece, and the picture px at which the cross-hair stood on it.
        hand: standard error of a hand, mm in x and in y, aiming and cutting together.

    """

    bench: Bench
    height: float
    piece: Piece
    aimed: Sequence[tuple[Feature, Pair]]
    hand: float = HAND_MM

    def fit(self, *, mirror: bool) -> Aligned:
        """Return how the piece lies, without asking what the misfit means.

        Raises:
            Refusal: too few places, or places that leave the piece free.

        """
        if not self.aimed:
            raise Refusal(rigid.TOO_FEW, field="points")
        features = tuple(feature for feature, _ in self.aimed)
        placement, seen = rigid.fit(self._seen(features), self._foot, mirror=mirror)
        return Aligned(placement, features, seen, self.bench, self.height, self.hand)

    def _seen(self, features: Sequence[Feature]) -> rigid.Seen:
        pixels = np.array([pixel for _, pixel in self.aimed], dtype=np.float64)
        places = np.array([feature.at for feature in features], dtype=np.float64)
        normals = np.array([feature.normal or (np.nan, np.nan) for feature in features], dtype=np.float64)
        return rigid.Seen(places, self.bench.to_table(pixels, self.height), normals)

    def _foot(self, index: int, near: Array) -> tuple[Array, Array]:
        asked = self.aimed[index][0]
        at, normal = foot_on(self.piece.outline, near)
        if np.hypot(*(at - asked.at)) > FARTHEST_EDGE_MM:
            return np.array(asked.at), np.array(asked.normal)
        return at, normal


def align(aiming: Aiming, *, mirror: bool) -> Aligned:
    """Return how a piece lies by what was aimed at, and what its misfit means; ``mirror`` whether it is laid turned over.

    Raises:
        Refusal: too few places, or places that leave the piece free.

    """
    found = aiming.fit(mirror=mirror)
    finding = findings.judge(found.misfit, _names(aiming.aimed), _parts(found), _strains(found))
    if finding is None or len(aiming.aimed) < 3 or not findings.turned_over(found.misfit, _over(aiming, not mirror)):
        return replace(found, finding=finding)
    sentence = "The piece looks as if it were turned over: it fits when it is mirrored, and not as it is laid."
    return replace(found, finding=Finding("turned over", sentence), turned_over=True)


def _over(aiming: Aiming, mirror: bool) -> Misfit | None:
    """Return the misfit of the piece turned over, or None where that cannot be told."""
    try:
        return aiming.fit(mirror=mirror).misfit
    except Refusal:
        return None


def _names(aimed: Sequence[tuple[Feature, Pair]]) -> list[tuple[str, str]]:
    return [(feature.name, feature.title) for feature, _ in aimed]


def _parts(found: Aligned) -> list[Array]:
    """Return for each place the columns of its own error."""
    columns = [found.chosen[:, 2 * i : 2 * i + 2] for i in range(len(found.features))]
    return [
        part[:, [int(np.abs(part).sum(axis=0).argmax())]] if edge else part
        for part, edge in zip(columns, found.seen.edges, strict=True)
    ]


def _strains(found: Aligned) -> findings.Strains:
    """Return the stretch along the piece's own axes; along the line through the places where they show only that."""
    about = found.seen.places - found.seen.places.mean(axis=0)
    wide, deep = np.ptp(about, axis=0)
    narrow = min(wide, deep) < max(wide, deep) / 5.0 or len(about) < 3
    if narrow:
        columns = _grown(found).reshape(-1, 1)
        return findings.strains(found.misfit, found.chosen @ columns, ("along the line through the places",))
    axes = rigid.turned(found.placement, np.eye(2))
    fields = about[:, None, :] * axes.T[None]
    return findings.strains(found.misfit, found.chosen @ fields.reshape(-1, 2), ("across its width", "down its length"))


def _grown(found: Aligned) -> Array:
    """Return how places (n, 2) move on the table as the piece grows about their middle."""
    at = found.placement.apply(found.seen.places)
    return np.asarray(at - at.mean(axis=0))


def told(found: Aligned, piece: Piece) -> dict[str, object]:
    """Return the alignment as plain values: mm, degrees."""
    across, down, turn = found.standard_errors
    scale, doubt = found.scale()
    edge = found.error95(piece.outline.flatten(0.5))
    finding = found.finding
    return {
        "placement": lie_json(found.placement),
        "points": [
            {"feature": f.name, "title": f.title, "residual_mm": round(r, 3)}
            for f, r in zip(found.features, found.residuals, strict=True)
        ],
        "rms_mm": round(found.rms, 3),
        "standard_error": {"x_mm": round(across, 3), "y_mm": round(down, 3), "turn_degrees": round(turn, 4)},
        "error95_mm": round(float(edge.max()), 3),
        "scale": {"value": round(scale, 5), "error": round(doubt, 5)},
        "turned_over": found.turned_over,
        "finding": None
        if finding is None
        else {"kind": finding.kind, "sentence": finding.sentence, "feature": finding.feature},
    }


def lie_json(placement: Placement) -> Mapping[str, object]:
    """Return a placement as the pages know it."""
    return {
        "x": round(placement.x, 4),
        "y": round(placement.y, 4),
        "turn": round(placement.turn_degrees, 6),
        "mirror": placement.mirror,
    }
