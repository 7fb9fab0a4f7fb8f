"""Lines of very many short segments: all chords at once, and the same as stepped one by one."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from server.geometry import spacing
from server.geometry.build import polyline
from server.geometry.dense import LEAST_SEGMENTS, dense, equal_chords
from server.geometry.path import Arc, Path
from server.geometry.spacing import Spacing, step_off
from tests.reference.brute import equal_steps, joined, straight

Points = NDArray[np.float64]


def wave(segments: int, height: float = 40.0, short: float = 25.0) -> Path:
    x = np.linspace(0.0, 300.0, segments + 1)
    return polyline(np.column_stack((x, height * np.sin(x / short))).tolist())


def one_by_one(path: Path, pitch: float, monkeypatch: pytest.MonkeyPatch) -> Spacing:
    with monkeypatch.context() as patch:
        patch.setattr(spacing, "dense", lambda _: None)
        return step_off(path, pitch)


def test_all_at_once_is_what_brute_force_steps() -> None:
    """tests/reference/brute.py: the definition itself, on the same 600 lines."""
    path = wave(600)
    found = step_off(path, 4.0)
    places: list[tuple[float, float]] = [segment.start for segment in path.segments] + [path.end]
    curve = joined(*((math.dist(a, b), straight(a, b)) for a, b in itertools.pairwise(places)))
    count = len(found.points) - 1
    chord, points = equal_steps(curve, count, path.length / count)
    assert found.chords == pytest.approx((chord,), abs=1e-9)
    assert np.abs(found.points - np.array(points)).max() < 1e-8


@settings(deadline=None, max_examples=15, derandomize=True)
@given(st.floats(5.0, 60.0), st.floats(12.0, 60.0), st.floats(1.5, 9.0), st.integers(LEAST_SEGMENTS, 2_000))
def test_it_agrees_with_stepping_to_a_billionth(height: float, short: float, pitch: float, segments: int) -> None:
    path = wave(segments, height, short)
    line = dense(path)
    assert line is not None
    count = round(path.length / pitch)
    found = equal_chords(line, 0.0, path.length, count)
    if found is None:
        return  # stepped one by one then
    chord, places = found
    walked = spacing.walk(path, 0.0, path.length, chord, count)
    assert np.abs(np.array(walked) - places).max() < 1e-7
    points = np.array([path.point_at(s) for s in places])
    assert np.abs(np.hypot(*np.diff(points, axis=0).T) - chord).max() < 1e-9


def test_it_is_used_and_not_only_tried(monkeypatch: pytest.MonkeyPatch) -> None:
    path = wave(1_000)
    monkeypatch.setattr(spacing, "walk", lambda *_: pytest.fail("stepped one by one"))
    assert len(step_off(path, 4.0).points) > 50


def test_a_curl_within_a_chord_is_stepped_one_by_one(monkeypatch: pytest.MonkeyPatch) -> None:
    """A loop of 3 mm across lies within a chord of 8 mm: the first place where the line leaves the circle is before it or after."""
    turn = np.linspace(0.0, 2.0 * math.pi, 200)
    loop = np.column_stack((50.0 + 6.0 * np.sin(turn), 6.0 * np.cos(turn) - 6.0))
    lead, tail = (np.column_stack((np.linspace(a, b, 300), np.zeros(300))) for a, b in ((0, 49.9), (50.1, 100)))
    path = polyline([tuple(p) for p in np.concatenate((lead, loop, tail)).tolist()])
    found, slow = step_off(path, 8.0), one_by_one(path, 8.0, monkeypatch)
    assert found.positions == pytest.approx(slow.positions, abs=1e-7)


def test_a_path_with_arcs_or_few_lines_is_none_of_it() -> None:
    assert dense(Path((Arc.of((0, 0), 20.0, 0.0, 200.0),))) is None
    assert spacing._at_once(wave(LEAST_SEGMENTS // 2), 0.0, 100.0, 20) is None
