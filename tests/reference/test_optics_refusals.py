"""What must be refused, in one sentence, and what must not."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from calibration.adjust import adjust
from calibration.bench import Bench
from calibration.lens import Lens
from calibration.parallax import Parallax
from calibration.plane import Plane
from calibration.refusal import Refusal
from calibration.sightings import read
from tests.bench import simulator as sim

PROJECTOR = sim.with_tv_distortion(sim.Projector(lens=(600.0, 300.0, 1900.0), throw=1.55, pitch=2.0, roll=-3.0), 0.005)
CORNERS = [(0, 0), (1920, 0), (1920, 1080), (0, 1080)]
BOW_TIE = [(0, 0), (1200, 0), (0, 675), (1200, 675)]


def refused(call: Callable[[], object]) -> str:
    with pytest.raises(Refusal) as caught:
        call()
    sentence = caught.value.sentence
    assert sentence == str(caught.value)
    assert sentence[-1] == "."
    assert "\n" not in sentence
    assert len(sentence) < 300
    return sentence


def sighted(columns: int = 5, rows: int = 4, seed: int = 1) -> dict[str, Any]:
    return sim.sight_marks(PROJECTOR, sim.grid((1920, 1080), columns, rows), np.random.default_rng(seed))


def taped(pairs: list[tuple[str, str]] | int | None = 26, sigma: float = 0.3) -> dict[str, Any]:
    return sim.sight_tape(PROJECTOR, sim.grid((1920, 1080), 3, 3), np.random.default_rng(2), sigma, pairs)


def adjusted(document: dict[str, Any]) -> object:
    return adjust(read(document))


# The list of the outside values page: scikit-image 0.26 answers "success" to the first.


def test_three_in_line() -> None:
    source, target = [(0, 0), (1, 0), (2, 0), (1, 3)], [(0, 0), (10, 1), (20, 3), (9, 30)]
    assert "line" in refused(lambda: Plane.fit(source, target))
    assert "line" in refused(lambda: Plane.fit(target, source))


def test_bow_tie() -> None:
    # fits exactly, but w changes its sign inside the picture
    assert "cross" in refused(lambda: Plane.fit(CORNERS, BOW_TIE))
    assert "cross" in refused(lambda: Plane.fit(BOW_TIE, CORNERS))


def test_ten_equal_points() -> None:
    spread = [(float(i), float(i * i)) for i in range(10)]
    assert "one place" in refused(lambda: Plane.fit([(5, 5)] * 10, spread))
    assert "one place" in refused(lambda: Plane.fit(spread, [(5, 5)] * 10))


def test_two_equal_of_four() -> None:
    refused(lambda: Plane.fit([(0, 0), (0, 0), (1, 1), (0, 1)], [(0, 0), (1, 0), (1, 1), (0, 1)]))


@pytest.mark.parametrize("count", [0, 1, 3])
def test_too_few(count: int) -> None:
    points = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0)][:count]
    refused(lambda: Plane.fit(np.array(points).reshape(-1, 2), np.array(points).reshape(-1, 2)))


def test_not_in_pairs() -> None:
    assert "5" in refused(lambda: Plane.fit([(0, 0), (1, 0), (1, 1), (0, 1), (2, 2)], [(0, 0), (1, 0), (1, 1), (0, 1)]))


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf])
def test_not_finite(bad: float) -> None:
    assert "finite" in refused(lambda: Plane.fit([(0, 0), (1, 0), (1, bad), (0, 1)], [(0, 0), (1, 0), (1, 1), (0, 1)]))


def test_singular_matrix() -> None:
    refused(lambda: Plane.of([[1, 2, 3], [2, 4, 6], [0, 0, 1]]))
    refused(lambda: Plane.of(np.zeros((3, 3))))


# Lens and height.


def test_a_lens_that_folds_the_picture() -> None:
    lens = Lens(np.array([960.0, 540.0]), 1100.0, -0.5, 0.0)
    refused(lambda: lens.inverse(np.array([[1900.0, 1000.0]])))


@pytest.mark.parametrize("height", [1500.0, 2000.0])
def test_leather_above_the_lens(height: float) -> None:
    assert f"{height:.0f}" in refused(lambda: Parallax(np.array([0.0, 0.0, 1500.0]))(np.array([[1.0, 2.0]]), height))


def test_parallel_rays_tell_no_lens() -> None:
    places = [[0.0, 0.0], [500.0, 0.0]]
    refused(lambda: Parallax.fit(places, places, np.array([100.0, 100.0])))


def test_points_that_are_not_pairs() -> None:
    refused(lambda: Bench.nominal((1920, 1080), 1200.0).to_picture([[1.0, 2.0, 3.0]]))
    refused(lambda: Bench.nominal((1920, 1080), 1200.0).to_table([[1.0, math.nan]]))


def without(document: dict[str, Any], kind: str, keep: int) -> dict[str, Any]:
    return {**document, kind: document[kind][:keep]}


# What a maker may send.


def test_nothing() -> None:
    refused(lambda: adjusted(without(sighted(), "positions", 0)))


def test_three_marks() -> None:
    assert "3" in refused(lambda: adjusted(without(sighted(), "positions", 3)))


@pytest.mark.parametrize("count", [1, 4])
def test_a_few_distances(count: int) -> None:
    refused(lambda: adjusted(taped(count)))


def test_five_distances_that_say_only_four_things() -> None:
    # A, E and I are in line, so A to I follows from A to E and E to I: the picture is still free to swing
    pairs = [("A", "E"), ("E", "I"), ("A", "I"), ("E", "B"), ("E", "C")]
    assert "free to swing" in refused(lambda: adjusted(taped(pairs)))


def test_all_marks_in_line() -> None:
    document = sighted()
    row = {**document, "positions": document["positions"][5:10]}
    assert "line" in refused(lambda: adjusted(row))


def test_four_marks_three_in_line() -> None:
    document = sighted()
    four = {**document, "positions": [document["positions"][i] for i in (0, 2, 4, 17)]}
    assert "line" in refused(lambda: adjusted(four))


def test_two_crosses_on_one_pixel() -> None:
    document = sighted()
    document["crosses"]["B"] = document["crosses"]["A"]
    sentence = refused(lambda: adjusted(document))
    assert "A" in sentence
    assert "B" in sentence


def test_two_marks_at_one_place() -> None:
    document = sighted()
    document["positions"][7]["at"] = document["positions"][6]["at"]
    sentence = refused(lambda: adjusted(document))
    assert "G" in sentence
    assert "H" in sentence


@pytest.mark.parametrize(("one", "two"), [(0, 19), (6, 7), (3, 4), (1, 15)])
def test_two_letters_swapped_are_named(one: int, two: int) -> None:
    document = sighted()
    marks = document["positions"]
    marks[one]["at"], marks[two]["at"] = marks[two]["at"], marks[one]["at"]
    sentence = refused(lambda: adjusted(document))
    assert f"{marks[one]['cross']} and {marks[two]['cross']}" in sentence


def test_bow_tie_of_four() -> None:
    document = sighted(2, 2)
    marks = document["positions"]
    marks[2]["at"], marks[3]["at"] = marks[3]["at"], marks[2]["at"]
    assert "bow-tie" in refused(lambda: adjusted(document))


def test_figures_that_contradict_each_other() -> None:
    document = sighted()
    for mark, shift in zip(document["positions"], np.random.default_rng(3).normal(0, 25, (20, 2)), strict=True):
        mark["at"] = [mark["at"][0] + shift[0], mark["at"][1] + shift[1]]
    refused(lambda: adjusted(document))


def test_inches_taken_for_millimetres_in_half_of_them() -> None:
    document = taped(36)
    for one in document["distances"][::2]:
        one["length"] /= 25.4
    refused(lambda: adjusted(document))


def test_the_horizon_in_the_picture() -> None:
    # four crosses near one corner seen through a map whose horizon runs through the rest of the picture
    plane = Plane.of([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, -1.0 / 500.0, 1.0]])
    crosses = {"A": (100.0, 100.0), "B": (800.0, 100.0), "C": (100.0, 400.0), "D": (800.0, 400.0)}
    places = plane(np.array(list(crosses.values())))
    document = {
        "picture": {"width": 1920, "height": 1080},
        "crosses": {name: list(at) for name, at in crosses.items()},
        "positions": [{"cross": n, "at": [float(x), float(y)]} for n, (x, y) in zip(crosses, places, strict=True)],
    }
    assert "horizon" in refused(lambda: adjusted(document))


FAULTS: dict[str, tuple[Callable[[dict[str, Any]], object], str]] = {
    "unknown key": (lambda d: d.update(colour="red"), "colour"),
    "unknown key in a position": (lambda d: d["positions"][3].update(hight=3), "hight"),
    "unknown key in a distance": (
        lambda d: d.update(distances=[{"from": "A", "to": "B", "length": 9, "lenght": 9}]),
        "lenght",
    ),
    "unknown key in a lens sighting": (lambda d: d.update(lens=[{"height": 1500, "slant": 3}]), "slant"),
    "unknown unit": (lambda d: d.update(unit="cubit"), "cubit"),
    "unknown cross": (lambda d: d["positions"][0].update(cross="ZZ"), "ZZ"),
    "no such cross on a tape": (lambda d: d.update(distances=[{"from": "A", "to": "Q9", "length": 10}]), "Q9"),
    "from a cross to itself": (lambda d: d.update(distances=[{"from": "A", "to": "A", "length": 10}]), "A"),
    "no picture": (lambda d: d.pop("picture"), "picture"),
    "no crosses": (lambda d: d.pop("crosses"), "crosses"),
    "no place": (lambda d: d["positions"][0].pop("at"), "at"),
    "not a number": (lambda d: d["positions"][0].update(at=["12", 3]), "12"),
    "NaN": (lambda d: d["positions"][0].update(at=[math.nan, 3]), "nan"),
    "infinity": (lambda d: d["positions"][0].update(at=[math.inf, 3]), "inf"),
    "a truth value for a number": (lambda d: d["positions"][0].update(height=True), "True"),
    "sigma zero": (lambda d: d["positions"][0].update(sigma=0), "sigma"),
    "sigma below zero": (lambda d: d["positions"][0].update(sigma=-0.5), "sigma"),
    "height below the table": (lambda d: d["positions"][0].update(height=-3), "-3"),
    "length zero": (lambda d: d.update(distances=[{"from": "A", "to": "B", "length": 0}]), "0"),
    "length below zero": (lambda d: d.update(distances=[{"from": "A", "to": "B", "length": -5}]), "-5"),
    "half pixels of picture": (lambda d: d["picture"].update(width=1920.5), "1920.5"),
    "picture of no size": (lambda d: d["picture"].update(width=0), "0"),
    "a cross outside": (lambda d: d["crosses"].update(A=[2000, 5]), "2000"),
    "a lone number for a cross": (lambda d: d["crosses"].update(A=7), "7"),
    "positions no list": (lambda d: d.update(positions={"A": [1, 2]}), "positions"),
    "mirrored is a word": (lambda d: d.update(mirrored="yes"), "mirrored"),
}


@pytest.mark.parametrize("fault", FAULTS)
def test_a_faulty_file_is_named(fault: str) -> None:
    change, named = FAULTS[fault]
    document = sighted()
    change(document)
    assert named in refused(lambda: read(document))


@pytest.mark.parametrize("document", [[], 7, "text", None])
def test_what_is_no_object_is_refused(document: Any) -> None:
    refused(lambda: read(document))


# The other side: what looks odd but is right.


def test_mirrored_and_turned_mounts() -> None:
    for mirrored in (False, True):
        for yaw in (0.0, 90.0, 180.0, 271.0):
            projector = sim.Projector(lens=(600.0, 300.0, 1900.0), throw=1.55, yaw=yaw, mirrored=mirrored)
            adjusted(sim.sight_marks(projector, sim.grid((1920, 1080), 5, 4), np.random.default_rng(1)))
            adjusted(sim.sight_tape(projector, sim.grid((1920, 1080), 3, 3), np.random.default_rng(1)))


def test_four_marks() -> None:
    adjusted(sighted(2, 2))


def test_a_whole_row_in_line_among_others() -> None:
    adjusted(sighted(3, 3))


def test_six_distances_between_four_crosses() -> None:
    crosses = sim.grid((1920, 1080), 2, 2)
    adjusted(sim.sight_tape(PROJECTOR, crosses, np.random.default_rng(1), 0.3))


def test_two_marks_and_the_rest_by_tape() -> None:
    document = sim.combine(taped(36), without(sighted(3, 3), "positions", 2))
    adjusted(document)
