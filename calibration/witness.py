"""A new session on a bench that is calibrated already: what moved, and whether a few sightings can mend it.

The unknowns of a session are the seven ways in which a projector on a ceiling gives way: three turns about its lens, three
moves of the lens, and a breath of zoom as it warms up. What is believed of them beforehand is ``GIVE``; the witness sightings
and the bench's own covariance do the rest, in one weighted update (generalised least squares; Koch, Parameter Estimation and
Hypothesis Testing in Linear Models, from memory). Both decisions are chi-square tests at a stated risk, never a fixed distance.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from typing import Any, Literal

import numpy as np
from scipy import stats

from calibration.arrays import Array
from calibration.bench import DOUBTS, Bench
from calibration.lens import Lens
from calibration.parallax import Parallax
from calibration.plane import Plane
from calibration.refusal import Refusal

GIVE = {"turn": 0.0035, "move": 2.0, "zoom": 0.0005}
"""Standard deviations of what counts as a little: 0.2 degrees about each axis, 2 mm along each, 0.05 % of zoom (our choice:
a ceiling mount knocked by hand or warming up; no source). More than this, judged by the test, is for a new calibration."""
STILL_RISK, SHIFT_RISK = 0.05, 0.01
"""The chance that a bench at rest is called shifted, and that a small shift is called more than a shift."""
_FEWEST, _MOST = 2, 26

Decision = Literal["still", "shifted", "anew"]


@dataclass(frozen=True)
class Witness:
    """One witness mark and where its cross stands now.

    Attributes:
        name: letter of the cross.
        place: (x, y) mm of the mark on the table, in the bench's frame.
        pixel: (x, y) px where the cross had to be for it to lie on the mark.
        sigma: mm, how surely a hand sees that.
        own: the mark was drawn under this bench's own light, so the bench's error is in both and cancels.

    """

    name: str
    place: tuple[float, float]
    pixel: tuple[float, float]
    sigma: float = 0.3
    own: bool = True


@dataclass(frozen=True)
class Session:
    """What a session's witness sightings say.

    Attributes:
        decision: still, shifted (and corrected), or anew (more than a shift).
        bench: the bench to use: as it was, or corrected; as it was also for "anew", where it must not be used.
        sentence: for the maker, with numbers.
        drift_mm: median movement of the light over the picture, mm; how far the witness crosses were off for "anew".
        sigma0: root mean square of the witness residuals over what the bench promises for them.
        still_chance: chance of such residuals if nothing moved.
        shift_chance: chance of such residuals after a small shift.
        off_mm: by letter, how far each cross was from its mark.

    """

    decision: Decision
    bench: Bench
    sentence: str
    drift_mm: float
    sigma0: float
    still_chance: float
    shift_chance: float
    off_mm: dict[str, float]

    def to_json(self) -> dict[str, Any]:
        """Return plain values without the bench."""
        return {key: value for key, value in asdict(replace(self, bench=self.bench)).items() if key != "bench"}


def resume(bench: Bench, witnesses: Sequence[Witness]) -> Session:
    """Decide from witness sightings whether a bench still holds.

    Raises:
        Refusal: fewer than two witnesses, the same one twice, or a bench that is not calibrated.

    """
    _check(bench, witnesses)
    places, pixels = (np.array([getattr(w, key) for w in witnesses], dtype=np.float64) for key in ("place", "pixel"))
    off = bench.to_table(pixels) - places
    slopes = bench.landing_partials(places).reshape(-1, DOUBTS)
    noise = np.repeat([w.sigma for w in witnesses], 2) ** 2
    strange = slopes * np.repeat([not w.own for w in witnesses], 2)[:, None]
    at_rest = strange @ bench.covariance @ strange.T + np.diag(noise)
    moves = motions(bench)
    give = np.array([GIVE["turn"]] * 3 + [GIVE["move"]] * 3 + [GIVE["zoom"]]) ** 2
    yielding = at_rest + (slopes @ moves * give) @ (slopes @ moves).T
    still, shift = (_chance(off.ravel(), spread) for spread in (at_rest, yielding))
    sigma0 = float(np.sqrt(off.ravel() @ np.linalg.solve(at_rest, off.ravel()) / off.size))
    off_mm = {w.name: float(np.hypot(*d)) for w, d in zip(witnesses, off, strict=True)}
    if still >= STILL_RISK:
        return Session("still", bench, _still_words(off_mm), 0.0, sigma0, still, shift, off_mm)
    if shift < SHIFT_RISK:
        return Session("anew", bench, _anew_words(off_mm), max(off_mm.values()), sigma0, still, shift, off_mm)
    corrected = _corrected(bench, moves, give, (slopes, strange, noise, off.ravel()))
    drift = _drift(bench, corrected)
    return Session("shifted", corrected, _shift_words(drift, len(witnesses)), drift, sigma0, still, shift, off_mm)


def motions(bench: Bench) -> Array:
    """Return (20, 7): how the terms of a bench change when its projector turns about x, y, z (rad), moves along them (mm), zooms.

    With M the map from directions to ideal px, H = [M1, M2, -M C]; a turn w makes M (1 - [w]), a move makes C + d.
    """
    h, c = bench.plane.matrix, bench.position
    whole = np.column_stack([h[:, 0], h[:, 1], -(h[:, 2] + h[:, :2] @ c[:2]) / c[2]])
    moves = np.zeros((DOUBTS, 7))
    for axis in range(3):
        x, y, z = np.eye(3)[axis]
        turned = -whole @ np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
        moves[:9, axis] = np.column_stack([turned[:, 0], turned[:, 1], -turned @ c]).ravel()
        moves[[2, 5, 8], 3 + axis] = -whole[:, axis]
        moves[13 + axis, 3 + axis] = 1.0
    centre = bench.lens.centre
    zoom = np.array([[1.0, 0.0, -centre[0]], [0.0, 1.0, -centre[1]], [0.0, 0.0, 0.0]])
    moves[:9, 6] = (zoom @ h).ravel()
    return moves


def _check(bench: Bench, witnesses: Sequence[Witness]) -> None:
    if bench.frame == "nominal":
        raise Refusal("This bench is not calibrated yet; witness marks are for benches that are.")
    if not _FEWEST <= len(witnesses) <= _MOST:
        raise Refusal(f"There are {len(witnesses)} witness sightings; give {_FEWEST} to {_MOST}.")
    names = [w.name for w in witnesses]
    double = next((name for name in names if names.count(name) > 1), None)
    if double is not None:
        raise Refusal(f"Witness {double} is given twice; give it once.")
    numbers = np.array([[*w.place, *w.pixel, w.sigma] for w in witnesses])
    if not np.isfinite(numbers).all() or (numbers[:, 4] <= 0).any():
        raise Refusal("A witness sighting holds a number that is not finite, or a sigma of zero; sight it again.")


def _chance(off: Array, covariance: Array) -> float:
    return float(stats.chi2.sf(off @ np.linalg.solve(covariance, off), len(off)))


def _corrected(bench: Bench, moves: Array, give: Array, seen: tuple[Array, Array, Array, Array]) -> Bench:
    """Return the bench with the most likely motion made, and the covariance that is left.

    The state is the motion (7) and the error of the terms (20); a mark of the bench's own light tells of the motion only.
    """
    slopes, strange, noise, off = seen
    observed = np.hstack([slopes @ moves, strange])
    prior = np.zeros((7 + DOUBTS, 7 + DOUBTS))
    prior[:7, :7], prior[7:, 7:] = np.diag(give), bench.covariance
    gain = np.linalg.solve(observed @ prior @ observed.T + np.diag(noise), observed @ prior).T
    state, left = -gain @ off, prior - gain @ observed @ prior
    carry = np.hstack([moves, np.eye(DOUBTS)])
    return _changed(bench, carry @ state, carry @ left @ carry.T)


def _changed(bench: Bench, change: Array, covariance: Array) -> Bench:
    raw = bench.plane.matrix + change[:9].reshape(3, 3)
    lens = bench.lens
    lens = Lens(lens.centre + change[9:11], lens.scale, lens.k1 + float(change[11]), lens.k2 + float(change[12]))
    unit = np.ones(DOUBTS)
    unit[:9] = 1.0 / np.linalg.norm(raw)
    covariance = (covariance + covariance.T) / 2 * np.outer(unit, unit)
    return replace(
        bench, plane=Plane.of(raw), lens=lens, parallax=Parallax(bench.position + change[13:16]), covariance=covariance
    )


def _drift(before: Bench, after: Bench) -> float:
    grid = before.grid(9, 6)
    return float(np.median(np.linalg.norm(after.to_table(before.to_picture(grid)) - grid, axis=1)))


def _farthest(off_mm: dict[str, float]) -> str:
    name = max(off_mm, key=lambda key: off_mm[key])
    return f"{name} is {off_mm[name]:.1f} mm off its mark"


def _still_words(off_mm: dict[str, float]) -> str:
    return f"Nothing moved: {_farthest(off_mm)}, no more than a hand's error. The bench holds."


def _shift_words(drift: float, count: int) -> str:
    return f"The projector shifted a little, about {drift:.1f} mm: corrected from {count} sightings."


def _anew_words(off_mm: dict[str, float]) -> str:
    return f"This is more than a shift: {_farthest(off_mm)}. Sight that one again, or calibrate anew."
