"""The step card: its letters, its size, and the place it finds."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from server.geometry.free_place import FreeRoom, hull, meets
from server.leather import drafts
from server.output.lettering import BETWEEN, GLYPHS, UNKNOWN, strokes, width, wrapped
from server.services.work.card_words import Block
from server.services.work.step_card import LARGEST_MM, LEAST_MM, OUTLINE_MM, SIDES, Card, _found, _Table

SAYS = (Block("Prick the holes", 1.35), Block("Start at the bottom centre and prick out to both ends, 91 holes."))
SHORT = SAYS[:1]


def box(left: float, top: float, right: float, bottom: float) -> np.ndarray:
    return np.array([[left, top], [right, top], [right, bottom], [left, bottom]], dtype=np.float64)


def card(edge: np.ndarray, *pieces: np.ndarray, side: str = "bottom", least: float = LEAST_MM) -> Card | None:
    table = _Table(edge.tobytes(), tuple(piece.tobytes() for piece in pieces), least, practice=False)
    return _found(SAYS, SHORT, side, table)


def test_every_sign_stands_on_the_grid_and_is_its_own() -> None:
    drawn = [(columns, strokes) for columns, strokes in GLYPHS.values()]
    assert len(set(drawn)) == len(drawn), "two letters look the same"
    for letter, (columns, lines) in GLYPHS.items():
        points = np.array(
            [[int(x) for x in line] for part in lines.split() for line in zip(part[::2], part[1::2], strict=True)]
        )
        assert all(len(part) % 2 == 0 and len(part) >= 4 for part in lines.split()), letter
        assert points[:, 0].min() >= 0, letter
        assert points[:, 0].max() == columns, letter
        assert points[:, 1].max() <= 8, letter


def test_a_capital_is_as_high_as_it_should_be_and_reads_from_left_to_right() -> None:
    lines = strokes("HLp", 10.0, 50.0, 12.0)
    every = np.concatenate(lines)
    assert every[:, 0].min() == 10.0
    assert every[:, 0].max() == pytest.approx(10.0 + width("HLp", 12.0))
    capital = np.concatenate(strokes("H", 0.0, 50.0, 12.0))
    assert (capital[:, 1].min(), capital[:, 1].max()) == (38.0, 50.0)
    stem, foot = np.concatenate(strokes("L", 0.0, 0.0, 6.0))[[0, -1]]
    assert stem[0] < foot[0], "the foot of an L points to the right"
    assert stem[1] < foot[1], "and lies at its lower end"


def test_words_of_the_families_can_all_be_written() -> None:
    said = " ".join(
        word
        for family in drafts.families().values()
        for step in family.draft({}).steps
        for word in (step.title, step.words, *step.tools)
    )
    plain = set(said) - set(GLYPHS) - {" "}
    assert len(said) > 1000
    assert plain == set(), "the alphabet lacks signs that the steps use"


@pytest.mark.parametrize(
    ("text", "like"), [("Nähahle", "Nahahle"), ("2 – 3", "2 - 3"), ("it’s", "it's"), ("4 × 2", "4 x 2")]
)
def test_other_signs_are_drawn_as_their_plain_one(text: str, like: str) -> None:
    for one, other in zip(strokes(text, 0, 0, 6), strokes(like, 0, 0, 6), strict=True):
        np.testing.assert_array_equal(one, other)


def test_a_sign_nobody_foresaw_is_a_box() -> None:
    assert width("漢", 6.0) == pytest.approx(UNKNOWN[0])
    assert len(strokes("漢", 0, 0, 6)) == 1
    assert width("ii", 6.0) == pytest.approx(BETWEEN)
    assert width("", 6.0) == 0.0


@given(st.text(alphabet="abc defgh iklm", max_size=80), st.floats(20.0, 200.0))
def test_wrapping_loses_no_word_and_breaks_only_between_words(text: str, widest: float) -> None:
    rows = wrapped(text, 6.0, widest)
    assert " ".join(rows).split() == text.split()
    for row in rows:
        assert width(row, 6.0) <= widest or " " not in row
    for row, below in pairwise(rows):
        assert width(f"{row} {below.split()[0]}", 6.0) > widest, "a row has room for the next word"


PLACES = st.tuples(st.floats(0, 700), st.floats(0, 400), st.floats(20, 300), st.floats(20, 250))


@settings(max_examples=40)
@given(
    st.lists(PLACES, max_size=5), st.floats(30, 300), st.floats(30, 200), st.sampled_from([(0.0, 0.0), (500.0, 700.0)])
)
def test_a_free_place_is_free_and_none_is_missed(
    things: list[tuple[float, float, float, float]], wide: float, high: float, near: tuple[float, float]
) -> None:
    boxes = [box(x, y, x + w, y + h) for x, y, w, h in things]
    found = FreeRoom(box(0, 0, 1000, 700), boxes, clear=5.0).place(wide, high, near)
    grid = [(x, y) for x in np.arange(wide / 2, 1000, 25.0) for y in np.arange(high / 2, 700, 25.0)]
    if found is None:
        roomy = [at for at in grid if _free(at, wide + 42, high + 42, boxes)]
        assert roomy == [], "there was a place with two cells to spare"
    else:
        assert _free(found, wide + 9.9, high + 9.9, boxes)


def _free(at: tuple[float, float], wide: float, high: float, boxes: list[np.ndarray]) -> bool:
    left, top, right, bottom = at[0] - wide / 2, at[1] - high / 2, at[0] + wide / 2, at[1] + high / 2
    inside = left >= 0 and top >= 0 and right <= 1000 and bottom <= 700
    return inside and all(right < b[0, 0] or left > b[2, 0] or bottom < b[0, 1] or top > b[2, 1] for b in boxes)


@pytest.mark.parametrize("side", SIDES)
def test_the_card_is_large_where_there_is_room_and_keeps_off_the_pieces(side: str) -> None:
    edge, pieces = box(0, 0, 1200, 700), [box(450, 250, 600, 420), box(640, 260, 800, 400)]
    found = card(edge, *pieces, side=side)
    assert found is not None
    assert (found.size, found.short) == (LARGEST_MM, False)
    assert not meets(found.corners(), hull(np.concatenate(pieces)))
    lines = [found.placement.apply(line) for line in found.lines]
    letters = hull(np.concatenate(lines))
    assert not any(meets(letters, piece) for piece in pieces)
    assert all((line.min(axis=0) >= 0).all() and (line.max(axis=0) <= [1200, 700]).all() for line in lines)


def test_with_less_room_the_letters_are_smaller_then_the_words_fewer_then_there_is_no_card() -> None:
    whole = card(box(0, 0, 560, 400), box(0, 0, 200, 400))
    tight = card(box(0, 0, 320, 260), box(0, 0, 130, 260))
    brief = card(box(0, 0, 230, 70), box(0, 0, 92, 70))
    assert whole is not None
    assert tight is not None
    assert brief is not None
    assert whole.size == LARGEST_MM
    assert LEAST_MM <= tight.size < LARGEST_MM
    assert not tight.short
    assert brief.short
    assert brief.size >= LEAST_MM
    assert card(box(0, 0, 200, 130), box(10, 10, 190, 120)) is None


def test_no_letter_is_smaller_than_can_be_read() -> None:
    room = box(0, 0, 320, 260), box(0, 0, 130, 260)
    small, none = card(*room), card(*room, least=14.0)
    assert small is not None
    assert small.size < 11.0
    assert none is None or none.size >= 14.0


def test_between_spread_pieces_the_card_may_lie_but_not_on_them() -> None:
    edge = box(0, 0, 900, 500)
    pieces = [box(0, 0, 150, 500), box(750, 0, 900, 500)]
    found = card(edge, *pieces)
    assert found is not None
    assert all(not meets(found.corners(), piece) for piece in pieces)
    left, right = found.corners()[:, 0].min(), found.corners()[:, 0].max()
    assert left >= 150 + OUTLINE_MM
    assert right <= 750 - OUTLINE_MM
