"""The maker's choice of how holes are stepped off: which stitches are eased, and what lies on the centre line."""

from __future__ import annotations

import numpy as np
import pytest

from server.leather import drafts
from server.leather.pattern import Pattern
from server.output.svg import pattern_svg
from server.services.making.sewing import stitch_line

FAMILIES = {"belt-pouch": "pocket", "flap-pouch": "pocket", "flat-sleeve": "pocket", "card-holder": "outer"}
PITCH = 3.85
"""mm: one of the irons in the trade, and no part of any of these seams."""


def drafted(family: str, **chosen: str) -> Pattern:
    """Return a family's usual thing at this pitch, stepped as chosen."""
    return drafts.get(family).draft({"pitch": PITCH, **chosen})


def places(pattern: Pattern) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    """Return the holes of the chief seam, (n, 2) mm."""
    holes = [hole for piece in pattern.pieces for hole in piece.holes if hole.seam == FAMILIES[pattern.family]]
    return np.array([(hole.x, hole.y) for hole in holes])


@pytest.mark.parametrize("family", FAMILIES)
def test_the_usual_is_what_it_was(family: str) -> None:
    usual = drafted(family)
    assert pattern_svg(usual) == pattern_svg(drafted(family, stepping="whole", start="hole"))
    assert "stepping" not in pattern_svg(usual)
    steps = np.hypot(*np.diff(places(usual), axis=0).T)
    assert not np.isclose(steps, PITCH, atol=1e-4).any()


@pytest.mark.parametrize("start", ["hole", "stitch"])
@pytest.mark.parametrize("family", FAMILIES)
def test_the_irons_pitch_is_kept_but_for_the_last_few(family: str, start: str) -> None:
    """Exactly the pitch from the middle out; the few before each end differ by a tenth of it at most, so five at the utmost."""
    found = drafted(family, stepping="last", start=start)
    points = places(found)
    steps = np.hypot(*np.diff(points, axis=0).T)
    exact = np.asarray(np.abs(steps - PITCH) < 1e-7)
    assert exact.sum() >= len(steps) - 10
    assert exact[5:-5].all()
    assert np.abs(steps / PITCH - 1.0).max() <= 0.1 + 1e-9
    assert not exact.all()
    said = [one for one in found.sentences if "exactly" in one.words]
    assert said[0].value == exact.sum()


@pytest.mark.parametrize("stepping", ["whole", "last"])
@pytest.mark.parametrize("family", FAMILIES)
def test_a_hole_or_a_stitch_lies_on_the_centre_line(family: str, stepping: str) -> None:
    ends = []
    for start in ("hole", "stitch"):
        points = places(drafted(family, stepping=stepping, start=start))
        assert np.allclose(points, points[::-1] * (-1.0, 1.0), atol=1e-9)
        middle = points[np.argsort(np.abs(points[:, 0]))[:2]]
        assert (len(points) % 2 == 1) == (start == "hole")
        assert np.isclose(middle[0, 0], 0.0, atol=1e-9) == (start == "hole")
        ends.append(points[0])
    assert np.allclose(ends[0], ends[1])


@pytest.mark.parametrize("family", FAMILIES)
def test_the_nearest_is_the_one_eased_less(family: str) -> None:
    def off(start: str) -> float:
        steps = np.hypot(*np.diff(places(drafted(family, start=start)), axis=0).T)
        return float(np.abs(steps / PITCH - 1.0).max())

    assert off("nearest") == pytest.approx(min(off("hole"), off("stitch")))
    assert off("hole") != pytest.approx(off("stitch"))


def test_every_seam_of_it_can_still_be_worked() -> None:
    """The plan of blows and the sewing take the holes as they are: their places are found again on the line."""
    for family, seam in FAMILIES.items():
        found = drafted(family, stepping="last", start="stitch")
        piece = next(one for one in found.pieces if any(hole.seam == seam for hole in one.holes))
        assert np.all(np.diff(stitch_line(piece, seam).positions) > 0)
