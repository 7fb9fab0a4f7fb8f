"""The rack, and what it says of slots, pitches, threads and needles: each warning with a case that makes it and one that does not."""

from __future__ import annotations

import math

import pytest

from calibration.refusal import Refusal
from server.geometry.build import polyline, rounded_rectangle
from server.geometry.path import Arc, Path
from server.geometry.placement import Placement
from server.leather import drafts
from server.leather.choose import (
    chisel_for,
    needle_for,
    review,
    sentences,
    slot_size,
    slot_tools,
    thread_for,
    thread_warning,
)
from server.leather.rack import ChiselRow, Leather, Needle, Punch, Rack, Thread, starter

ROW = ChiselRow(4.0, (6, 4, 2), 2.0)
STADIUM = rounded_rectangle(0, 0, 6, 40, 3)
HOLE = Path((Arc.of((5, 5), 2.0, 0.0, 360.0),), closed=True)


def test_the_starter_rack_says_that_it_is_common_practice() -> None:
    rack = starter()
    assert "common practice" in rack.source
    assert rack.leathers
    assert rack.threads
    assert rack.chisels
    assert rack.punches
    assert rack.needles
    assert rack.leather("bag leather").thickness == 2.0
    assert rack.thread("linen 18/3").diameter == pytest.approx(0.654, abs=5e-4)
    for row in rack.chisels:
        thread = thread_for(rack, row)
        assert thread is not None
        assert needle_for(rack, thread, 5.0)[1] is None


def test_a_measured_k_is_used_and_else_one_half() -> None:
    assert Leather("a", 2.0, 2.4).k == 0.5
    assert Leather("a", 2.0, 2.4, neutral=0.38).k == 0.38


def test_pitch_and_irons() -> None:
    rack = Rack(chisels=(ROW, ChiselRow(5.0, (4, 2), 2.6)))
    assert chisel_for(rack, 4.1) == (ROW, None)
    row, warning = chisel_for(rack, 4.4)
    assert row == ROW
    assert warning is not None
    assert "4.40 mm" in warning
    assert chisel_for(Rack(), 4.0)[0] is None


def test_thread_and_hole() -> None:
    assert thread_warning(Thread("fine", 0.8), ROW) is None
    warning = thread_warning(Thread("thick", 1.1), ROW)
    assert warning is not None
    assert "at most 1.00 mm" in warning
    rack = Rack(threads=(Thread("a", 0.6), Thread("b", 0.8), Thread("c", 1.0)))
    best = thread_for(rack, ROW)
    assert best is not None
    assert best.name == "b"
    assert thread_for(Rack(threads=(Thread("c", 1.2),)), ROW) is None


def test_needle_and_stack() -> None:
    fine, large = Needle("fine", 0.6, 8.0), Needle("large", 1.0, 14.0)
    rack = Rack(needles=(large, fine))
    assert needle_for(rack, Thread("t", 0.5), 6.0) == (fine, None)
    assert needle_for(rack, Thread("t", 0.5), 9.0) == (large, None)
    needle, warning = needle_for(rack, Thread("t", 0.5), 20.0)
    assert needle == large
    assert warning is not None
    assert "20.0 mm is too thick" in warning
    needle, warning = needle_for(rack, Thread("rope", 1.5), 2.0)
    assert needle is None
    assert warning is not None


def test_slots_and_punches() -> None:
    oblong, five, six = Punch("oblong", 6.0, 40.0), Punch("round", 5.0), Punch("round", 6.0)
    assert slot_tools(STADIUM, (oblong, six)) == ((oblong,), None)
    assert slot_tools(STADIUM, (five, six)) == ((six,), None)
    assert slot_tools(rounded_rectangle(0, 0, 10, 40, 2.5), (five,)) == ((five,), None)
    assert slot_tools(polyline([(0, 0), (3, 0), (3, 30), (0, 30)], closed=True), ()) == ((), None)
    tools, warning = slot_tools(STADIUM, (Punch("round", 3.0), Punch("oblong", 6.0, 30.0)))
    assert tools == ()
    assert warning is not None
    assert "6.0 x 40.0 mm" in warning
    assert slot_tools(HOLE, (Punch("round", 4.0),)) == ((Punch("round", 4.0),), None)
    assert slot_tools(HOLE, (Punch("round", 6.0),))[1] is not None
    assert slot_tools(HOLE, ())[1] is not None


@pytest.mark.parametrize("turn", [0, 30, 90, 137])
def test_a_slot_keeps_its_size_when_it_is_turned(turn: float) -> None:
    width, length, radius = slot_size(STADIUM.transformed(Placement(3, 4, turn)))
    assert (width, length, radius) == pytest.approx((6, 40, 3), abs=0.03)


def test_a_pattern_is_reviewed_against_the_rack() -> None:
    pattern = drafts.get("belt-pouch").draft({})
    full = review(pattern, starter())
    assert {one.what for one in full} >= {"front/slot-left", "pocket", "ring-left"}
    assert sentences(full) == ()
    assert all(one.tools for one in full)
    bare = review(pattern, Rack(chisels=(ChiselRow(7.0, (2,), 3.0),), threads=(Thread("rope", 3.0),)))
    words = " ".join(sentence.words for sentence in sentences(bare))
    for part in ("No punch", "No irons", "too thick"):
        assert part in words
    wanted = review(pattern, starter(), Thread("rope", 1.4))
    assert any("rope" in sentence.words for sentence in sentences(wanted))


@pytest.mark.parametrize(
    "make",
    [
        lambda: Leather("x", 3.0, 2.0),
        lambda: Leather("x", 0.0, 2.0),
        lambda: Leather("x", 1.0, 2.0, neutral=1.2),
        lambda: Leather("x", 1.0, 2.0, stretch=-0.1),
        lambda: Thread("x", 0.0),
        lambda: Thread.of_tex("x", math.nan),
        lambda: ChiselRow(4.0, (), 2.0),
        lambda: ChiselRow(4.0, (2,), 5.0),
        lambda: Punch("oblong", 6.0, 4.0),
        lambda: Punch("round", 0.0),
        lambda: Rack(arm_span=math.inf),
        lambda: Rack().leather("x"),
        lambda: Rack().thread("x"),
    ],
)
def test_what_cannot_be_on_a_rack_is_refused(make: object) -> None:
    assert callable(make)
    with pytest.raises(Refusal):
        make()
