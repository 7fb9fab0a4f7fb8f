"""The adjustment: what it finds, what it says, what it refuses."""

from __future__ import annotations

import copy
from itertools import combinations
from typing import Any

import numpy as np
import pytest

from calibration.adjust import adjust
from calibration.arrays import Array
from calibration.bench import DOUBTS, Bench
from calibration.lens import Lens
from calibration.parallax import Parallax
from calibration.plane import Plane
from calibration.refusal import Refusal
from calibration.sightings import Sightings, read
from calibration.targets import crosses, propose_distance

PICTURE = (1920, 1080)
SURE = 0.005
"""mm: so sure that what is held beforehand has no say."""


def true_bench(mirrored: bool = False) -> Bench:
    flip = -1.0 if mirrored else 1.0
    plane = Plane.of([[flip * 1.5, 0.08, 900.0], [-0.05, 1.6, 500.0], [3e-5, -1e-4, 1.0]])
    lens = Lens(np.array([1000.0, 200.0]), 1101.4535, -0.013, 0.004)
    return Bench(PICTURE, plane, lens, Parallax(np.array([50.0, 700.0, 1850.0])), np.zeros((DOUBTS, DOUBTS)))


def document(columns: int = 5, rows: int = 4) -> dict[str, Any]:
    shown = crosses(PICTURE, columns, rows)
    return {
        "picture": {"width": 1920, "height": 1080},
        "crosses": {name: list(at) for name, at in shown.items()},
        "positions": [],
        "distances": [],
        "lens": [],
    }


def marks(
    bench: Bench, doc: dict[str, Any], names: str, height: float = 0.0, sigma: float = 0.25
) -> list[dict[str, Any]]:
    at = bench.to_table(np.array([doc["crosses"][n] for n in names]), height)
    return [
        {"cross": n, "at": list(map(float, p)), "height": height, "sigma": sigma}
        for n, p in zip(names, at, strict=True)
    ]


def tapes(bench: Bench, doc: dict[str, Any], sigma: float = 0.3) -> list[dict[str, Any]]:
    at = {n: bench.to_table(np.array([p]))[0] for n, p in doc["crosses"].items()}
    return [
        {"from": a, "to": b, "length": float(np.linalg.norm(at[a] - at[b])), "sigma": sigma}
        for a, b in combinations(at, 2)
    ]


def full(mirrored: bool = False, sigma: float = 0.25) -> tuple[Bench, dict[str, Any]]:
    bench, doc = true_bench(mirrored), document()
    doc["positions"] = marks(bench, doc, "ABCDEFGHIJKLMNOPQRST", 0.0, sigma) + marks(bench, doc, "AEPT", 100.0, sigma)
    return bench, doc


def shape_error(found: Bench, true: Bench) -> float:
    """Return the largest difference of distances between picture points as the two benches see them, mm."""
    grid = np.array([[u, v] for u in np.linspace(0, 1920, 9) for v in np.linspace(0, 1080, 6)])
    pairs = np.array(list(combinations(range(len(grid)), 2)))

    def lengths(bench: Bench) -> Array:
        at = bench.to_table(grid)
        return np.asarray(np.linalg.norm(at[pairs[:, 0]] - at[pairs[:, 1]], axis=1))

    return float(np.abs(lengths(found) - lengths(true)).max())


@pytest.mark.parametrize("mirrored", [False, True])
def test_faultless_marks_give_the_bench_back(mirrored: bool) -> None:
    true, doc = full(mirrored, SURE)
    found = adjust(read(doc))
    grid = true.grid(9, 6)
    assert np.abs(found.bench.to_picture(grid) - true.to_picture(grid)).max() < 0.02
    assert np.allclose(found.bench.position, true.position, atol=0.5)
    assert found.report.worst is None
    assert found.report.trusted
    assert found.report.redundancy == 48 - 15


@pytest.mark.parametrize("mirrored", [False, True])
def test_faultless_tape_gives_the_shape_back(mirrored: bool) -> None:
    true, doc = true_bench(mirrored), document(3, 3)
    doc["distances"], doc["mirrored"] = tapes(true, doc, SURE), mirrored
    found = adjust(read(doc))
    assert shape_error(found.bench, true) < 0.02
    first, second = found.bench.to_table(np.array([doc["crosses"]["A"], doc["crosses"]["B"]]))
    assert np.allclose(first, 0.0, atol=1e-6)
    assert second[0] > 0
    assert abs(second[1]) < 1e-6
    assert found.report.frame == "tape"


def test_marks_and_tape_mix() -> None:
    true, doc = true_bench(), document(3, 3)
    doc["positions"], doc["distances"] = marks(true, doc, "AI", 0.0, SURE), tapes(true, doc, SURE)
    found = adjust(read(doc)).bench
    grid = true.grid(9, 6)
    assert np.abs(found.to_picture(grid) - true.to_picture(grid)).max() < 0.05


def test_lens_tapes_find_the_lens() -> None:
    true, doc = true_bench(), document()
    doc["positions"] = marks(true, doc, "ABCDEFGHIJKLMNOPQRST")
    away = np.linalg.norm(true.position - np.append(doc["positions"][0]["at"], 0.0))
    doc["lens"] = [
        {"cross": "A", "slant": float(away), "sigma": 2},
        {"height": 1850, "sigma": 2},
        {"foot": [50, 700], "sigma": 2},
    ]
    found = adjust(read(doc))
    assert np.allclose(found.bench.position, true.position, atol=1.0)
    assert np.sqrt(np.diag(found.bench.covariance)[13:16]).max() < 2.5
    assert [one.kind for one in found.report.sightings[-3:]] == ["slant", "height", "foot"]


def test_foot_of_a_tape_bench_is_in_its_own_frame() -> None:
    true, doc = true_bench(), document(3, 3)
    a, b = true.to_table(np.array([doc["crosses"]["A"], doc["crosses"]["B"]]))
    x = (b - a) / np.linalg.norm(b - a)
    away = true.position[:2] - a
    foot = [float(x @ away), float(-x[1] * away[0] + x[0] * away[1])]
    doc["distances"] = tapes(true, doc)
    doc["lens"] = [{"foot": foot, "sigma": 1}, {"height": 1850, "sigma": 1}]
    found = adjust(read(doc)).bench
    assert np.allclose(found.position, [*foot, 1850.0], atol=0.1)


def test_a_long_tape_is_named_with_its_length() -> None:
    true, doc = true_bench(), document(3, 3)
    doc["distances"] = tapes(true, doc)
    wrong = next(i for i, d in enumerate(doc["distances"]) if (d["from"], d["to"]) == ("A", "F"))
    doc["distances"][wrong]["length"] += 10.0
    report = adjust(read(doc)).report
    assert report.worst == {"index": wrong, "sentence": "A to F looks 10 mm long: measure it again."}
    assert not report.trusted
    assert report.sightings[wrong].suspect


def test_a_mark_sighted_wrong_is_named() -> None:
    _, doc = full()
    doc["positions"][7]["at"][0] += 6.0
    report = adjust(read(doc)).report
    assert report.worst is not None
    assert report.worst["index"] == 7
    assert "The place of H looks 6.1 mm off" in report.worst["sentence"]


def test_residuals_beyond_their_sigma_raise_the_expected_error() -> None:
    _, doc = full()
    rng = np.random.default_rng(8)
    for one in doc["positions"]:
        one["at"] = [float(v) for v in np.array(one["at"]) + rng.normal(0, 1.0, 2)]
    loud = adjust(read(doc))
    for one in doc["positions"]:
        one["sigma"] = 1.0
    calm = adjust(read(doc))
    assert not loud.report.trusted
    assert calm.report.trusted
    assert loud.report.error["median_mm"] == pytest.approx(calm.report.error["median_mm"], rel=0.35)


def test_what_cannot_be_seen_is_held_and_said() -> None:
    true, doc = true_bench(), document(2, 2)
    doc["positions"] = marks(true, doc, "ABCD")
    report = adjust(read(doc)).report
    assert [h["term"] for h in report.held] == ["lens centre", "lens error", "lens position"]
    assert report.sigma0 is None
    assert report.error["worst_mm"] > 2.0  # four corners cannot promise more


def test_raising_the_surface_costs_certainty_only_while_the_lens_is_unknown() -> None:
    true, doc = full()
    known = adjust(read(doc)).bench
    doc["positions"] = doc["positions"][:20]
    unknown = adjust(read(doc)).bench
    grid = true.grid(5, 4)
    assert unknown.error95(grid, 8.0).max() > 2 * known.error95(grid, 8.0).max()
    assert unknown.error95(grid).max() == pytest.approx(known.error95(grid).max(), rel=0.2)


def spoil(change: Any) -> Sightings:
    _, doc = full()
    change(doc)
    return read(doc)


def keep(names: str) -> Any:
    def change(doc: dict[str, Any]) -> None:
        doc["positions"] = [p for p in doc["positions"] if p["cross"] in names and p["height"] == 0]

    return change


def swap(one: str, two: str) -> Any:
    def change(doc: dict[str, Any]) -> None:
        for p in doc["positions"]:
            p["cross"] = {one: two, two: one}.get(p["cross"], p["cross"])

    return change


def far_wrong(doc: dict[str, Any]) -> None:
    doc["positions"][7]["at"][0] += 60.0


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (keep(""), "Nothing is sighted yet"),
        (keep("AET"), "Only 3 crosses are sighted"),
        (keep("ABCDE"), "lie on one line"),
        (keep("ABCP"), "Crosses A, B, C lie on one line"),
        (keep("ABCDEF"), "Crosses A, B, C, D, E lie on one line and fewer than two lie off it"),
        (swap("B", "I"), "Crosses B and I look swapped"),
        (far_wrong, "contradict each other.*The place of H looks 60 mm off"),
    ],
)
def test_marks_that_cannot_be_are_refused(change: Any, says: str) -> None:
    sightings = spoil(change)
    with pytest.raises(Refusal, match=says):
        adjust(sightings)


def test_bow_tie_of_four_is_refused() -> None:
    doc = document(2, 2)
    places = {"A": [0, 0], "B": [1200, 0], "C": [1200, 675], "D": [0, 675]}
    doc["positions"] = [{"cross": n, "at": at} for n, at in places.items()]
    with pytest.raises(Refusal, match="bow-tie"):
        adjust(read(doc))


def test_horizon_inside_the_picture_is_refused() -> None:
    doc = document()
    plane = Plane.of([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 8e-4, -0.1]])
    for name in "ABCDEFGHIJ":
        at = plane(np.array([doc["crosses"][name]]))[0]
        doc["positions"].append({"cross": name, "at": list(map(float, at))})
    with pytest.raises(Refusal, match=r"horizon|bow-tie|swapped"):
        adjust(read(doc))


def test_two_crosses_on_one_place_are_refused() -> None:
    _, doc = full()
    doc["positions"][1]["at"] = list(doc["positions"][0]["at"])
    with pytest.raises(Refusal, match="A and B are both said to lie at"):
        adjust(read(doc))
    doc["crosses"]["B"] = list(doc["crosses"]["A"])
    with pytest.raises(Refusal, match="Crosses A and B stand on one place"):
        adjust(read(doc))


def test_too_few_distances_say_how_many_more() -> None:
    true, doc = true_bench(), document(2, 2)
    doc["distances"] = tapes(true, doc)[:4]
    with pytest.raises(
        Refusal, match="0 known marks and 4 distances give 4 figures; at least 5 are needed: add 1 distances"
    ):
        adjust(read(doc))


def test_distances_that_leave_a_cross_swinging_are_refused() -> None:
    true, doc = true_bench(), document(3, 3)
    far = [("A", "B"), ("B", "C"), ("A", "C"), ("A", "D"), ("A", "D")]
    doc["distances"] = [d for d in tapes(true, doc) for pair in far if pair == (d["from"], d["to"])]
    doc["distances"] += [d for d in tapes(true, doc) if (d["from"], d["to"]) == ("A", "G")]
    with pytest.raises(Refusal, match=r"free to swing|something of the picture free"):
        adjust(read(doc))


def test_a_single_known_mark_cannot_give_direction() -> None:
    true, doc = true_bench(), document(3, 3)
    doc["positions"], doc["distances"] = marks(true, doc, "A"), tapes(true, doc)
    with pytest.raises(Refusal, match="One known mark"):
        adjust(read(doc))


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"colour": 1}, "Unknown key 'colour' in the sightings"),
        ({"unit": "yd"}, "The unit 'yd' is not known"),
        ({"picture": {"width": 1920}}, "lacks 'height'"),
        ({"picture": {"width": 1920.5, "height": 1080}}, "whole pixels"),
        ({"crosses": {"A": [5000, 3]}}, "outside the picture of 1920 x 1080"),
        ({"crosses": {"A": [float("nan"), 3]}}, "plain finite number"),
        ({"positions": {}}, "positions must be a list"),
        ({"positions": [{"cross": "Z", "at": [0, 0]}]}, "There is no cross 'Z'"),
        ({"positions": [{"cross": "A", "at": [0, 0], "sigma": 0}]}, "no hand is that sure"),
        ({"positions": [{"cross": "A", "at": [0]}]}, "must be a pair"),
        ({"positions": [{"cross": "A", "at": [0, 0], "note": "x"}]}, "Unknown key 'note' in positions"),
        ({"distances": [{"from": "A", "to": "A", "length": 3}]}, "from A to itself"),
        ({"distances": [{"from": "A", "to": "B", "length": 0}]}, "must be more than zero"),
        ({"distances": [{"from": "A", "to": "B", "length": True}]}, "plain finite number"),
        ({"lens": [{"slant": 3}]}, "lacks 'cross'"),
        ({"mirrored": "no"}, "true or false"),
    ],
)
def test_a_file_that_is_wrong_is_refused_by_name(change: dict[str, Any], says: str) -> None:
    _, doc = full()
    with pytest.raises(Refusal, match=says):
        read({**doc, **change})


def test_inches_are_read_as_inches() -> None:
    _, doc = full()
    inches = copy.deepcopy(doc)
    inches["unit"] = "in"
    for one in inches["positions"]:
        one["at"] = [v / 25.4 for v in one["at"]]
        one["height"], one["sigma"] = one["height"] / 25.4, one["sigma"] / 25.4
    for mm, inch in zip(read(doc).positions, read(inches).positions, strict=True):
        assert np.allclose([*mm.at, mm.height, mm.sigma], [*inch.at, inch.height, inch.sigma])


def test_proposed_distances_reach_every_cross_and_then_end() -> None:
    doc = document(3, 3)
    pairs = []
    while (pair := propose_distance(read(doc))) is not None:
        pairs.append(pair)
        doc["distances"].append({"from": pair[0], "to": pair[1], "length": 1.0})
    assert len(set(pairs)) == 36
    assert {n for pair in pairs[:5] for n in pair} == set("ABCDEFGHI")


@pytest.mark.parametrize(("columns", "rows"), [(1, 4), (6, 5)])
def test_grids_that_cannot_be_lettered_are_refused(columns: int, rows: int) -> None:
    with pytest.raises(Refusal, match="cannot be lettered"):
        crosses(PICTURE, columns, rows)
