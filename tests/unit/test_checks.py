"""Checks before cutting: for each a pattern that makes it and one that does not."""

from __future__ import annotations

import math

import numpy as np
import pytest

from server.geometry.build import polyline, rounded_rectangle
from server.geometry.nearness import crossing, fits_in, gap
from server.geometry.path import Arc, Path
from server.geometry.placement import Placement
from server.leather import drafts
from server.leather.checks import Finding, Limits, check, picture_of
from server.leather.pattern import Pattern, Seam
from server.leather.piece import Drawn, Hole, Piece

EDGE = polyline([(0, 0), (100, 0), (100, 60), (0, 60)], closed=True)
CLEAR = ((30.0, 30.0), (34.0, 30.0), (38.0, 30.0))


def pattern(
    *drawn: Drawn, holes: tuple[tuple[float, float], ...] = CLEAR, seams: tuple[Seam, ...] = (), **measures: float
) -> Pattern:
    piece = Piece(
        "panel", "Panel", (Drawn("cut", EDGE, "outline"), *drawn), tuple(Hole(x, y, 0.0, "seam") for x, y in holes)
    )
    return Pattern("test", "Test", measures, (piece,), seams, (), (), ())


def slot(left: float, top: float, right: float, bottom: float) -> Drawn:
    return Drawn("slot", rounded_rectangle(left, top, right, bottom, 1.0), "slot")


def stitches(*points: tuple[float, float]) -> Drawn:
    return Drawn("stitch", polyline(list(points)), "seam")


def seam(name: str, length: float, holes: int, mate: str = "") -> Seam:
    return Seam(name, name.title(), "panel", False, holes, holes - 1, 4.0, length, 2, 100.0, 1, ((2, 1),), mate)


def only(found: tuple[Finding, ...], kind: str) -> Finding:
    assert [one.kind for one in found] == [kind]
    assert found[0].sentence.endswith(".")
    assert found[0].remedy.endswith(".")
    assert found[0].piece == "panel"
    return found[0]


def test_a_sound_pattern_has_no_findings() -> None:
    assert check(pattern(slot(60, 20, 66, 40), stitches((30, 30), (38, 30)))) == ()


def test_margin() -> None:
    found = only(check(pattern(holes=((30, 30), (34, 58.0), (38, 58.5)))), "margin")
    assert found.place == (38.0, 58.5)
    assert "2 holes" in found.sentence
    assert "1.5 mm" in found.sentence
    assert check(pattern(holes=((30, 57.5),))) == ()
    assert only(check(pattern(holes=((30, 57.5),)), Limits(margin=3.0)), "margin")


def test_a_hole_outside_the_leather_or_in_a_slot() -> None:
    assert only(check(pattern(holes=((30, 30), (34, 63)))), "outside").place == (34.0, 63.0)
    found = check(pattern(slot(32, 20, 38, 40), holes=((35, 30),)), Limits(neck=0.0))
    assert only(found, "outside").place == (35.0, 30.0)
    assert check(pattern(slot(40, 20, 46, 40), holes=((35, 30),))) == ()


def test_a_hole_in_a_fold() -> None:
    fold = Drawn("fold", polyline([(0, 30.4), (100, 30.4)]), "turn")
    found = only(check(pattern(fold, holes=((30, 30), (30, 26)))), "fold")
    assert found.place == (30.0, 30.0)
    assert "0.4 mm" in found.sentence
    assert check(pattern(fold, holes=((30, 29), (30, 32)))) == ()


def test_a_slot_too_near_the_edge_or_over_it() -> None:
    found = only(check(pattern(slot(92, 20, 98, 40))), "slot edge")
    assert found.place[0] == pytest.approx(98.0)
    assert "2.0 mm from the edge" in found.sentence
    assert "over the edge" in only(check(pattern(slot(97, 20, 105, 40))), "slot edge").sentence
    assert check(pattern(slot(91, 20, 97, 40))) == ()


def test_a_narrow_neck_between_slot_and_seam() -> None:
    found = only(check(pattern(slot(40, 20, 46, 40))), "neck")
    assert found.place == (38.0, 30.0)
    assert "2.0 mm" in found.sentence
    assert "0.5 mm" in found.remedy
    assert check(pattern(slot(40.5, 20, 46, 40))) == ()


def test_a_stitch_line_that_crosses_a_slot() -> None:
    found = only(check(pattern(slot(60, 20, 66, 40), stitches((30, 30), (90, 30)))), "crossing")
    assert found.place == pytest.approx((63, 30), abs=0.01)
    assert "6.0 mm" in found.sentence
    assert check(pattern(slot(60, 20, 66, 40), stitches((30, 45), (90, 45)))) == ()


def test_a_piece_larger_than_the_picture() -> None:
    found = only(check(pattern(), Limits(picture=picture_of(90, 80))), "larger than the picture")
    assert found.place == (50.0, 30.0)
    for room in ((100.5, 60.5), (60.5, 100.5), (92, 92)):
        fits = fits_in(EDGE.flatten(), picture_of(*room)) is not None
        assert fits == (check(pattern(), Limits(picture=picture_of(*room))) == ())
    assert check(pattern(), Limits(picture=picture_of(60.5, 100.5))) == ()
    assert only(check(pattern(), Limits(picture=((0, 0), (130, 20), (110, 60), (0, 70)))), "larger than the picture")


def test_a_long_thin_piece_goes_in_aslant() -> None:
    strip = np.array([(0, 0), (115, 0), (115, 4), (0, 4)], dtype=float)
    room = np.array(picture_of(90, 80))
    found = fits_in(strip, room)
    assert found is not None
    turn, move = found
    placed = Placement(*move, turn).apply(strip)
    assert placed.min() >= -1e-6
    assert placed[:, 0].max() <= 90 + 1e-6
    assert placed[:, 1].max() <= 80 + 1e-6
    assert fits_in(strip * (1.1, 1), room) is None


@pytest.mark.parametrize("seed", range(12))
def test_a_piece_goes_in_just_where_brute_force_says(seed: int) -> None:
    rng = np.random.default_rng(seed)
    angles = np.sort(rng.uniform(0, 2 * math.pi, 7))
    ring = np.column_stack((np.cos(angles), np.sin(angles))) * rng.uniform(20, 40, (7, 1))
    width, height = rng.uniform(45, 75, 2)
    boxes = [np.ptp(Placement(turn_degrees=t).apply(ring), axis=0) for t in np.arange(0, 180, 1.0)]
    expected = any(w <= width and h <= height for w, h in boxes)
    assert (fits_in(ring, picture_of(width, height)) is not None) == expected


def test_a_welt_thinner_than_the_spine() -> None:
    found = only(check(pattern(spine=4.0, welt=3.0)), "thin welt")
    assert "2 layers" in found.remedy
    assert check(pattern(spine=3.0, welt=3.0)) == ()
    assert check(pattern(welt=3.0)) == ()
    assert only(check(pattern(), Limits(spine=4.0, welt=3.0)), "thin welt")


def test_mating_seams_more_than_five_per_cent_off() -> None:
    pair = (seam("panel-seam", 200.0, 51), seam("gusset-seam", 212.0, 51, "panel-seam"))
    found = only(check(pattern(seams=pair)), "mating")
    assert "12.0 mm (6 %) longer" in found.sentence
    assert check(pattern(seams=(pair[0], seam("gusset-seam", 209.0, 51, "panel-seam")))) == ()
    uneven = (pair[0], seam("gusset-seam", 203.0, 52, "panel-seam"))
    assert "52 holes" in only(check(pattern(seams=uneven)), "mating").sentence


def test_the_drafts_come_through() -> None:
    made = drafts.get("belt-pouch").draft({})
    assert check(made) == ()
    assert {one.kind for one in check(made, Limits(margin=4.0))} == {"margin"}
    assert {one.piece for one in check(made, Limits(picture=picture_of(120, 100)))} == {"front", "back"}


def test_nearness_of_paths() -> None:
    ring = Path((Arc.of((0, 0), 5.0, 0.0, 360.0),), closed=True)
    line = polyline([(8, -10), (8, 10)])
    apart, place = gap(ring, line)
    assert apart == pytest.approx(3, abs=0.003)
    assert place == pytest.approx((5, 0), abs=0.15)
    assert crossing(line, ring) is None
    through = crossing(polyline([(3, -10), (3, 10)]), ring)
    assert through is not None
    assert through[0] == pytest.approx(8, abs=0.01)
    assert through[1] == pytest.approx((3, 0), abs=0.01)
