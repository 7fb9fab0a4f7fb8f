"""The practice bench's hidden projector and the simulator were written apart; on the same numbers they cast the same light."""

from __future__ import annotations

import numpy as np
import pytest

from server.practice.projector import TRUE, TrueProjector
from tests.bench.simulator import Projector, random_projector


def as_simulated(true: TrueProjector) -> Projector:
    """The same physics in the simulator's words."""
    return Projector(
        true.position,
        true.throw,
        true.picture,
        true.yaw,
        true.pitch,
        true.roll,
        *true.shift,
        *true.bend,
        mirrored=true.mirrored,
    )


def as_practised(one: Projector) -> TrueProjector:
    """A simulated projector in the practice bench's words (it has no decentring and no skew)."""
    shift, bend = (one.shift_x, one.shift_y), (one.d1, one.d2)
    return TrueProjector(
        one.lens, one.yaw, one.pitch, one.roll, one.throw, shift, one.picture, bend, mirrored=one.mirrored
    )


@pytest.mark.parametrize("height", [0.0, 4.0, 100.0])
def test_two_hands_one_light(height: float) -> None:
    rng = np.random.default_rng(11)
    truths = [TRUE, *(as_practised(random_projector(rng)) for _ in range(20))]
    pixels = rng.uniform([0.0, 0.0], [1920.0, 1080.0], (50, 2))
    for true in truths:
        assert np.abs(as_simulated(true).land(pixels, height) - true.land(pixels, height)).max() < 1e-9
