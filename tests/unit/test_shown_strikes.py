"""The blows of a step as the light and the sheet show them: places, tools, words; every hole made once."""

from __future__ import annotations

from dataclasses import replace

import pytest

from server.leather import drafts
from server.leather.order import pricked
from server.leather.pattern import Pattern
from server.leather.rack import ChiselRow, Rack, starter
from server.leather.strike import Strike
from server.services.making.strikes import ShownStrike, strikes_of
from server.services.pattern import drafting


def usual(family: str) -> Pattern:
    """Return a family drafted with its usual measures."""
    return drafting.draft(family, {})


@pytest.mark.parametrize("family", sorted(drafts.families()))
def test_every_hole_is_made_once_and_each_blow_lies_on_its_holes(family: str) -> None:
    """Over all steps of a family each hole of each seam is made by exactly one blow, at the hole's own place."""
    pattern, rack = usual(family), starter()
    made: dict[str, list[int]] = {}
    for step in pattern.steps:
        for blow in strikes_of(pattern, step, rack):
            assert blow.piece == step.piece == pattern.seam(blow.seam).piece
            points = pattern.piece(blow.piece).holes_of(blow.seam)
            assert blow.holes == tuple((points[i - 1].x, points[i - 1].y) for i in blow.numbers)
            new = [number for number, first in zip(blow.numbers, blow.made, strict=True) if first]
            made.setdefault(blow.seam, []).extend(new)
    assert {name: sorted(numbers) for name, numbers in made.items()} == {
        seam.name: list(range(1, seam.holes + 1)) for seam in pattern.seams
    }


def test_blows_are_numbered_in_striking_order() -> None:
    """1 of n to n of n in each seam, and each row but the first stands in a hole that an earlier blow made."""
    pattern = usual("belt-pouch")
    prick = next(step for step in pattern.steps if pricked(pattern, step))
    for seam in pricked(pattern, prick):
        blows = [blow for blow in strikes_of(pattern, prick, starter()) if blow.seam == seam.name]
        assert [(blow.number, blow.of) for blow in blows] == [(i + 1, len(blows)) for i in range(len(blows))]
        made: set[int] = set()
        for blow in blows:
            stands = {n for n, new in zip(blow.numbers, blow.made, strict=True) if not new}
            assert stands <= made
            assert stands or len(blow.numbers) == 1 or not made
            made |= set(blow.numbers)


def test_tools_are_those_of_the_rack() -> None:
    """Irons of the seam's pitch by name; an awl, hole by hole, where the rack has none or only of another pitch."""
    pattern = usual("belt-pouch")
    step = next(step for step in pattern.steps if pricked(pattern, step))
    own = Rack(chisels=(ChiselRow(4.0, (5, 2), 2.0),))
    tools = {len(blow.holes): blow.tool for blow in strikes_of(pattern, step, own)}
    assert tools.items() <= {5: "5-tine iron of 4 mm", 2: "2-tine iron of 4 mm", 1: "awl"}.items()
    assert 5 in tools
    for bare in (Rack(), Rack(chisels=(ChiselRow(2.7, (10, 6, 1), 1.5),))):
        blows = strikes_of(pattern, step, bare)
        assert {blow.tool for blow in blows} == {"awl"}
        assert len(blows) == sum(seam.holes for seam in pricked(pattern, step))


def test_a_wide_row_of_another_pitch_is_not_used_where_its_tines_miss() -> None:
    """Irons 0.15 mm off the pitch, set by the middle: six tines would miss by 0.375 mm, three miss by 0.15; 0.25 is forgiven."""
    pattern = usual("belt-pouch")
    step = next(step for step in pattern.steps if pricked(pattern, step))
    pitch = pattern.seam("pocket").pitch_mm
    rack = Rack(chisels=(ChiselRow(pitch + 0.15, (6, 3, 1), 2.0),))
    widths = {len(blow.holes) for blow in strikes_of(pattern, step, rack) if blow.seam == "pocket"}
    assert max(widths) == 3


@pytest.mark.parametrize(
    ("strike", "words"),
    [
        (
            Strike(11, 6, (11, 12, 13, 14, 15, 16), (12, 13, 14, 15, 16)),
            "6 tines, first tine in hole 12; makes 13 to 17.",
        ),
        (Strike(0, 4, (0, 1, 2, 3), (0, 1, 2, 3)), "4 tines; makes 1 to 4."),
        (Strike(7, 1, (7,), (7,)), "1 tine; makes 8."),
        (Strike(2, 4, (2, 3, 4, 5), (2, 3)), "4 tines, last 2 tines in holes 5 to 6; makes 3 to 4."),
        (Strike(58, 4, (58, 59, 0, 1), (59, 0)), "4 tines, 2 tines in holes 59 and 2; makes 60 and 1."),
    ],
)
def test_words_of_a_blow(strike: Strike, words: str) -> None:
    """Tines, which of them stand in which holes, and what is made; a ring goes on at hole 1."""
    assert strike.words == words


def test_steps_that_prick_nothing_show_no_blows() -> None:
    """A cutting step has none; nor has a pricking step whose holes are on another piece."""
    pattern = usual("belt-pouch")
    assert strikes_of(pattern, pattern.steps[0], starter()) == ()
    prick = next(step for step in pattern.steps if pricked(pattern, step))
    other = next(piece.name for piece in pattern.pieces if piece.name != prick.piece)
    moved: tuple[ShownStrike, ...] = strikes_of(pattern, replace(prick, piece=other), starter())
    assert moved == ()
