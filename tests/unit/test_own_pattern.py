"""Bring your own pattern: proposal, scale, assignment, and the pattern made of it."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.spatial import cKDTree

from calibration.refusal import Refusal
from server.leather import drafts
from server.output.svg import pattern_svg
from server.reading.assignment import Assignment, Choice
from server.reading.formats import parse
from server.reading.layer_words import role_called
from server.reading.own_pattern import to_pattern
from server.reading.proposing import propose
from server.reading.scale import in_unit, scale_from
from server.reading.sheet import Sheet

HEAD = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="{0}" height="{0}" viewBox="0 0 300 300" stroke="#000" fill="none">'
)
RING = "M20 20H120V90H20zM60 30H80V35H60z"
STITCH = '<path stroke="blue" d="M24 24V86H116V24"/>'


def sheet_of(body: str, size: str = "300mm") -> Sheet:
    return parse(f"{HEAD.format(size)}{body}</svg>".encode(), "own.svg")


def choices(sheet: Sheet) -> list[str]:
    given = propose(sheet).assignment
    return [given.lines.get(i) or given.looks[line.look.key] for i, line in enumerate(sheet.lines)]


@pytest.mark.parametrize(
    ("layer", "role"),
    [("Cut Lines", "cut"), ("SCHNITT", "cut"), ("Nahtlinie", "stitch"), ("Découpe", "cut"), ("stitch holes", "hole"), ("Layer 1", None),
     ("Falz", "fold"), ("Löcher", "hole"), ("stitchHoles", "hole"), ("裁断線", "cut"), ("Шов", "stitch"), ("Defpoints", "ignore"),
     ("couture", "stitch"), ("cutout", "slot"), ("Hilfslinien", "mark"), ("taglio", "cut"), ("shortcut", None)],
)  # fmt: skip
def test_layers_are_understood_in_several_languages(layer: str, role: str | None) -> None:
    called = role_called(layer)
    assert (called and called[0]) == role


def test_shapes_alone_are_enough_for_a_proposal() -> None:
    """All black, no layers: outline, slot, line beside the edge, dashed line, row of holes, fold, mark, frame."""
    holes = "".join(f'<circle cx="{30 + 4 * i}" cy="80" r="0.6"/>' for i in range(12))
    sheet = sheet_of(
        f'<rect width="300" height="300"/><path d="{RING}"/><path d="M24 24V86H116V24"/>{holes}<path d="M20 60H120"/>'
        '<path d="M50 50l3 3 2 -4"/><path stroke-dasharray="3 2" d="M90 40H110"/><path d="M200 200l5 5"/>'
    )
    expected = ["ignore", "cut", "slot", "stitch", *["hole"] * 12, "fold", "mark", "stitch", "mark"]
    assert choices(sheet) == expected
    words = " ".join(reason.words for reason in propose(sheet).reasons)
    for why in (
        "frame of the page",
        "closed and lie inside no other",
        "small, round and alike",
        "even distance",
        "dashed",
    ):
        assert why in words


def test_a_layer_name_outweighs_the_shape() -> None:
    sheet = sheet_of(
        f'<g id="Mark"><path d="{RING}"/></g><g id="Taglio"><path stroke-dasharray="1 1" d="M0 0H9V9z"/></g>'
    )
    assert choices(sheet) == ["mark", "mark", "cut"]


def test_our_own_pattern_file_comes_back() -> None:
    """The belt pouch written, read as a foreign file, proposed and made again: same pieces, slots and holes."""
    ours = drafts.get("belt-pouch").draft({})
    sheet = parse(pattern_svg(ours).encode(), "pouch.svg")
    back = to_pattern(sheet, propose(sheet).assignment, 5.0)
    assert back.family == "own"
    assert len(back.pieces) == len(ours.pieces)
    front, again = ours.pieces[0], back.pieces[0]
    left, top, right, _ = front.box()
    assert again.outline.flatten().min(axis=0).tolist() == pytest.approx([(left - right) / 2, 0.0], abs=0.02)
    assert again.outline.length == pytest.approx(front.outline.length, abs=0.1)
    assert sum(line.role == "slot" for line in again.drawn) == sum(line.role == "slot" for line in front.drawn)
    old = np.array([(h.x - (left + right) / 2, h.y - top) for h in front.holes])
    new = np.array([(h.x, h.y) for h in again.holes])
    assert len(old) == len(new)
    assert cKDTree(new).query(old)[0].max() < 1e-4
    assert [seam.holes for seam in back.seams] == [seam.holes for seam in ours.seams if seam.piece == front.name]
    assert any("texts left out" in sentence.words for sentence in back.sentences)


def test_stitch_lines_get_holes_and_steps_follow() -> None:
    sheet = sheet_of(f'<path d="{RING}"/>{STITCH}<text>Front</text>')
    pattern = to_pattern(sheet, propose(sheet).assignment, 4.0, leather=1.5)
    (piece,), (seam,) = pattern.pieces, pattern.seams
    points = piece.hole_points(seam.name)
    # 62 + 92 + 62 mm at about 4 mm: 62/4 = 15.5 -> 16 stitches (or 15), 92/4 = 23, and a hole in both corners
    steps = np.hypot(*np.diff(points, axis=0).T)
    assert seam.holes == len(points) == seam.stitches + 1
    assert {round(step, 6) for step in steps.tolist()} == {round(62 / round(62 / 4), 6), 4.0}
    for corner in ((-46.0, 66.0), (46.0, 66.0)):
        assert np.hypot(*(points - corner).T).min() < 1e-9
    assert [step.name for step in pattern.steps] == ["cut-piece-1", "punch-piece-1", "prick-piece-1"]
    assert pattern.step("punch-piece-1").shows(piece.line("slot-1"))
    assert not pattern.step("prick-piece-1").shows(piece.line("outline"))
    assert dict(pattern.measures) == {"pitch": 4.0, "leather": 1.5}
    assert [sentence.words for sentence in pattern.sentences if sentence.kind == "warning"] == [
        "1 text left out, such as 'Front'."
    ]


def test_pieces_are_found_by_containment_and_lost_lines_are_said() -> None:
    body = (
        f'<path d="{RING}"/><path d="M63 31H70V34H63z"/><path d="M150 20H250V90H150z"/>'
        '<path stroke="red" d="M160 30H170"/><path stroke="red" d="M10 200H90"/><path d="M30 40H50"/><path d="M200 200l9 0 0 9"/>'
        '<path d="M150 120H250V190H150V120.4"/>'
    )
    sheet = sheet_of(body)
    looks: dict[str, Choice] = {look.key: "mark" if look.colour == "#ff0000" else "cut" for look in sheet.looks}
    pattern = to_pattern(sheet, Assignment(looks), 4.0)
    assert [len(piece.drawn) for piece in pattern.pieces] == [3, 1, 2, 1]
    assert [line.name for line in pattern.pieces[0].drawn] == ["outline", "slot-1", "slot-2"]
    words = " ".join(sentence.words for sentence in pattern.sentences)
    assert "1 open cut lines lie in no piece" in words
    assert "1 mark lines lie in no piece" in words
    assert "gap of 0.40 mm" in words


def test_drawn_holes_are_kept_in_order() -> None:
    turn = [(70 + 30 * math.cos(a), 55 + 30 * math.sin(a)) for a in np.linspace(0, 2 * math.pi, 48, endpoint=False)]
    circles = "".join(
        f'<circle cx="{x}" cy="{y}" r="0.5"/>' for x, y in turn[::5] + turn[1::5] + turn[2::5] + turn[3::5] + turn[4::5]
    )
    sheet = sheet_of(f'<path d="M20 20H120V90H20z"/>{circles}')
    pattern = to_pattern(sheet, propose(sheet).assignment, 4.0)
    (seam,) = pattern.seams
    assert (seam.holes, seam.closed) == (48, True)
    steps = np.hypot(*np.diff(pattern.pieces[0].hole_points(seam.name), axis=0).T)
    assert steps == pytest.approx(2 * 30 * math.sin(math.pi / 48), abs=1e-3)


def test_holes_drawn_as_two_rings_are_one() -> None:
    """Found by the fuzz: an eyelet drawn as two circles is one hole."""
    rings = "".join(f'<circle cx="{30 + 5 * i}" cy="50" r="{r}"/>' for i in range(10) for r in (0.5, 0.8))
    sheet = sheet_of(f'<path d="M20 20H120V90H20z"/>{rings}')
    assert to_pattern(sheet, propose(sheet).assignment, 4.0).seams[0].holes == 10


def test_a_stitch_line_too_short_says_so() -> None:
    sheet = sheet_of('<path d="M20 20H120V90H20z"/><circle stroke="blue" cx="60" cy="60" r="2"/>')
    looks: dict[str, Choice] = {look.key: "stitch" if look.colour == "#0000ff" else "cut" for look in sheet.looks}
    pattern = to_pattern(sheet, Assignment(looks), 10.0)
    assert pattern.seams == ()
    assert any("seam 1 has no holes" in sentence.words for sentence in pattern.sentences)


# ---- scale


def test_a_known_length_gives_the_scale() -> None:
    sheet = sheet_of(f'<path d="{RING}"/>', "300")
    with pytest.raises(Refusal, match="does not say its unit") as refused:
        to_pattern(sheet, propose(sheet).assignment, 4.0)
    assert refused.value.field == "unit"
    by_width = scale_from(sheet, 0, 200.0, "width")
    by_points = scale_from(sheet, ((0.0, 0.0), (300 * 25.4 / 96, 0.0)), 600.0)
    for scaled in (by_width, by_points, scale_from(sheet, 0, 680.0)):
        assert scaled.unit_known
        assert scaled.lines[0].box == pytest.approx((40, 40, 240, 180), abs=1e-9)
    assert in_unit(sheet, "mm").lines[0].box == pytest.approx((20, 20, 120, 90))
    assert in_unit(sheet, "px 72").lines[0].box[2] == pytest.approx(120 * 25.4 / 72)


@pytest.mark.parametrize(
    ("known", "true", "words"),
    [
        (9, 10.0, "no line 9"),
        (0, math.nan, "true length"),
        (0, -1.0, "true length"),
        (((1.0, 1.0), (1.0, 1.0)), 5.0, "no length"),
        (0, 9e4, "would then be"),
    ],
)
def test_a_scale_that_cannot_be_is_refused(known: int, true: float, words: str) -> None:
    with pytest.raises(Refusal, match=words):
        scale_from(sheet_of(f'<path d="{RING}"/>', "300"), known, true, "height" if true == 9e4 else "along")


def test_assignments_are_checked() -> None:
    sheet = sheet_of(f'<path d="{RING}"/>{STITCH}')
    keys = [look.key for look in sheet.looks]
    cut: Choice = "cut"
    for looks, words in (({}, "Say what the lines"), ({**dict.fromkeys(keys, cut), "x||": cut}, "no lines of look")):
        with pytest.raises(Refusal, match=words):
            to_pattern(sheet, Assignment(looks), 4.0)
    with pytest.raises(Refusal, match="choose one of"):
        Assignment({keys[0]: "fringe"})  # type: ignore[dict-item]
    with pytest.raises(Refusal, match="No closed line"):
        to_pattern(sheet, Assignment(dict.fromkeys(keys, "mark")), 4.0)
    for pitch in (0.0, math.nan, 60.0):
        with pytest.raises(Refusal, match="pitch"):
            to_pattern(sheet, Assignment(dict.fromkeys(keys, cut)), pitch)
    body = "".join(f"M24 {24 + i / 20}H116" for i in range(400))
    many = sheet_of(f'<path d="{RING}"/><path stroke="blue" d="{body}"/>')
    with pytest.raises(Refusal, match="holes are the most"):
        to_pattern(many, Assignment({many.looks[0].key: "cut", many.looks[1].key: "stitch"}), 1.0)


def test_a_traced_outline_is_thinned_and_stays_where_it_was() -> None:
    turns = np.linspace(0.0, 2 * np.pi, 6_001)[:-1]
    traced = " ".join(f"{150 + 100 * np.cos(a):.5f},{150 + 80 * np.sin(a):.5f}" for a in turns)
    sheet = sheet_of(f'<polygon points="{traced}"/>')
    outline = to_pattern(sheet, propose(sheet).assignment, 4.0).pieces[0].outline
    assert len(outline.segments) < 600
    points = outline.flatten() + np.array([150.0, 70.0])
    off = np.abs(np.hypot((points[:, 0] - 150) / 100, (points[:, 1] - 150) / 80) - 1) * 80
    assert off.max() < 0.015


def test_more_points_than_a_maker_can_wait_for_are_refused() -> None:
    comb = " ".join(f"{10 + i * 0.0125:.4f},{20 + 5 * (i % 2)}" for i in range(22_000))
    sheet = sheet_of(f'<polygon points="{comb} 285,290 10,290"/>')
    with pytest.raises(Refusal, match="more than 20000: simplify the drawing"):
        to_pattern(sheet, Assignment({look.key: "cut" for look in sheet.looks}, {}), 4.0)
