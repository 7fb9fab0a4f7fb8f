"""The reader of pattern files: gives back what was written, and refuses what it cannot read whole."""

from __future__ import annotations

import math

import numpy as np
import pytest
import svgelements
from numpy.typing import NDArray

from calibration.refusal import Refusal
from server.geometry.svg_path import count_segments
from server.geometry.svg_reading import Drawing, Shape, read
from server.leather.drafts import get
from server.output.svg import pattern_svg

HEAD = '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="50mm" viewBox="0 0 100 50">'


def page(body: str, head: str = HEAD) -> Drawing:
    return read(f"{head}{body}</svg>")


def only(body: str, head: str = HEAD) -> Shape:
    (shape,) = page(f'<g data-piece="a">{body}</g>', head).shapes
    return shape


def test_a_written_pattern_reads_back_whole() -> None:
    pattern = get("belt-pouch").draft({})
    drawing = read(pattern_svg(pattern))
    for piece in pattern.pieces:
        origin = np.array(drawing.origins[piece.name])
        shapes = [shape for shape in drawing.shapes if shape.piece == piece.name]
        lines = [shape for shape in shapes if shape.role != "hole"]
        assert [(s.role, s.name, s.closed, s.angle) for s in lines] == [
            (d.role, d.name, d.path.closed, d.angle) for d in piece.drawn
        ]
        for shape, drawn in zip(lines, piece.drawn, strict=True):
            s = np.linspace(0, drawn.path.length, 200)
            exact = np.array([drawn.path.point_at(float(at)) for at in s]) + origin
            assert off_line(exact, shape) < 0.021
        holes = [shape for shape in shapes if shape.role == "hole"]
        assert [hole.attributes["seam"] for hole in holes] == [hole.seam for hole in piece.holes]
        assert [hole.name for hole in holes] == [hole.seam for hole in piece.holes]
        for got, hole in zip(holes, piece.holes, strict=True):
            assert got.points.shape == (1, 2)
            assert got.points[0] - origin == pytest.approx((hole.x, hole.y), abs=1e-6)
            assert got.angle == pytest.approx(hole.angle, abs=1e-6)
    assert drawing.titles == {"front": "Front", "back": "Back"}
    assert {label.text for label in drawing.labels} == {"Front", "Back", "cut 1"}


def off_line(points: NDArray[np.float64], shape: Shape) -> float:
    """The farthest of the points from the lines between a shape's points, and of its points from the points."""
    ring = np.concatenate((shape.points, shape.points[:1])) if shape.closed else shape.points
    a, b = ring[:-1], ring[1:]
    t = np.clip(np.einsum("nij,ij->ni", points[:, None] - a, b - a) / np.sum((b - a) ** 2, axis=1), 0, 1)
    feet = a + t[..., None] * (b - a)
    return float(np.hypot(*np.moveaxis(feet - points[:, None], 2, 0)).min(axis=1).max())


def test_nested_transforms_move_lines_holes_and_their_directions() -> None:
    body = (
        '<g transform="translate(50 20)"><g data-piece="a" transform="rotate(90) scale(-1,1)">'
        '<line data-role="mark" x1="0" y1="0" x2="10" y2="0"/>'
        '<circle data-role="hole" data-seam="s" data-angle="0" cx="10" cy="0" r="0.5"/></g></g>'
    )
    line, hole = page(body).shapes
    assert line.points == pytest.approx(np.array([(50, 20), (50, 10)]), abs=1e-12)
    assert hole.points[0] == pytest.approx((50, 10), abs=1e-12)
    assert hole.angle == pytest.approx(-90)


@pytest.mark.parametrize(
    ("transform", "point"),
    [
        ("", (3, 5)),
        ("translate(10)", (13, 5)),
        ("translate(10,-2)", (13, 3)),
        ("scale(2)", (6, 10)),
        ("scale(-1 2)", (-3, 10)),
        ("rotate(90)", (-5, 3)),
        ("rotate(90 3 0)", (-2, 0)),
        ("skewX(45)", (8, 5)),
        ("skewY(45)", (3, 8)),
        ("matrix(1 2 3 4 5 6)", (3 + 15 + 5, 6 + 20 + 6)),
        (" translate(1 1) , scale(2)\trotate(180) ", (-5, -9)),
    ],
)
def test_every_transform_moves_a_point_as_the_standard_says(transform: str, point: tuple[float, float]) -> None:
    """SVG 1.1, chapter 7.6: x' = a x + c y + e, y' = b x + d y + f; a list applies from right to left."""
    shape = only(f'<line data-role="cut" x1="3" y1="5" x2="50" y2="70" transform="{transform}"/>')
    assert shape.points[0] == pytest.approx(point, abs=1e-12)


def test_the_view_box_and_the_units_set_the_size() -> None:
    line = '<line data-role="cut" x1="0" y1="0" x2="10" y2="0"/>'
    inch = '<svg xmlns="http://www.w3.org/2000/svg" width="4in" height="2in" viewBox="0 0 400 200">'
    assert only(line, inch).points[1] == pytest.approx((2.54 * 0.1 * 10, 0))
    shifted = '<svg xmlns="http://www.w3.org/2000/svg" width="10cm" height="50mm" viewBox="5 -5 100 50">'
    assert only(line, shifted).points.tolist() == [[-5, 5], [5, 5]]
    pixels = '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="50mm">'
    assert only(line, pixels).points[1] == pytest.approx((10 * 25.4 / 96, 0))


@pytest.mark.parametrize(
    ("body", "length", "closed"),
    [
        ('<circle data-role="cut" cx="20" cy="20" r="10"/>', 20 * math.pi, True),
        ('<rect data-role="cut" x="1" y="2" width="12" height="12" rx="2.5"/>', 43.707963, True),
        ('<rect data-role="cut" x="1" y="2" width="12" height="10"/>', 44.0, True),
        ('<polyline data-role="cut" points="0,0 3,0 3,4"/>', 7.0, False),
        ('<polygon data-role="cut" points="0 0 3 0 3 4"/>', 12.0, True),
        ('<path data-role="cut" d="M0 0h3v4z"/>', 12.0, True),
        ('<path data-role="cut" d="m1,1 3-4"/>', 5.0, False),
        ('<path data-role="cut" d="M0 0a10 10 0 0120 0"/>', 10 * math.pi, False),
    ],
)
def test_shapes_come_out_at_their_length(body: str, length: float, closed: bool) -> None:
    shape = only(body)
    ring = np.concatenate((shape.points, shape.points[:1])) if closed else shape.points
    assert shape.closed is closed
    assert float(np.hypot(*np.diff(ring, axis=0).T).sum()) == pytest.approx(length, rel=1.5e-3)


def test_an_ellipse_stays_within_a_fiftieth_of_a_millimetre() -> None:
    points = only('<ellipse data-role="cut" cx="50" cy="25" rx="40" ry="20"/>').points
    middles = (points + np.roll(points, -1, axis=0)) / 2 - (50, 25)
    # nearest distance to the ellipse, to first order: implicit function over its gradient
    f = (middles[:, 0] / 40) ** 2 + (middles[:, 1] / 20) ** 2 - 1
    gradient = np.hypot(2 * middles[:, 0] / 1600, 2 * middles[:, 1] / 400)
    assert np.abs(f / gradient).max() < 0.02


def test_a_bezier_stays_within_a_fiftieth_of_a_millimetre() -> None:
    points = only('<path data-role="cut" d="M0 0 C 0 40 60 40 60 0"/>').points
    t = np.linspace(0, 1, 2001)[:, None]
    curve = 3 * (1 - t) ** 2 * t * (0, 40) + 3 * (1 - t) * t**2 * (60, 40) + t**3 * (60, 0)
    assert off_line(curve, Shape("cut", "a", "", points, False, None, {})) < 0.02


def test_two_subpaths_are_two_shapes() -> None:
    shapes = page('<g data-piece="a"><path data-role="cut" d="M0 0h3v4zM10 10h5"/></g>').shapes
    assert [shape.closed for shape in shapes] == [True, False]


LINE = '<line data-role="cut" x1="0" y1="0" x2="1" y2="1"/>'
IN_PIECE = '<g data-piece="a">{}</g>'


@pytest.mark.parametrize(
    ("body", "says"),
    [
        ('<path data-role="cut" d="M0 0 L10"/>', "numbers missing"),
        ('<path data-role="cut" d="M0 0 L10 10 garbage"/>', "cannot be read"),
        ('<path data-role="cut" d="M0 0 L10 10 L nan 3"/>', "numbers missing"),
        ('<path data-role="cut" d="M0 0 A5 5 0 2 1 10 10"/>', "numbers missing"),
        ('<path data-role="cut" d="L0 0 5 5"/>', "cannot be read"),
        ('<path data-role="cut" d=""/>', "no path data"),
        ('<path data-role="cut"/>', "no path data"),
        ('<path data-role="cut" d="M0 0 L0 0"/>', "without length"),
        ('<path data-role="cut" d="M0 0 h4 z h4"/>', "after it was closed"),
        ('<path data-role="cut" data-name="edge" d="M0 0 L1e999 0"/>', "edge"),
        ('<rect data-role="cut" width="ten" height="5"/>', "width of <rect>"),
        ('<rect data-role="cut" width="10" height="-5"/>', "more than 0"),
        ('<rect data-role="cut" width="10"/>', "height of <rect>"),
        ('<circle data-role="cut" r="10mm"/>', "without a unit"),
        ('<circle data-role="hole" cx="1" cy="1"/>', "r of <circle>"),
        ('<rect data-role="hole" width="1" height="1"/>', "holes are circles"),
        ('<circle data-role="hole" cx="1" cy="1" r="1" data-angle="steep"/>', "data-angle"),
        ('<polyline data-role="cut" points="0 0 5"/>', "3 numbers"),
        ('<polyline data-role="cut" points="0 0"/>', "fewer than two"),
        ('<line data-role="engrave" x2="5"/>', "'engrave'"),
        ('<line x2="5"/>', "data-role"),
        ('<line data-role="cut" x2="5" transform="rotate(4"/>', "transform"),
        ('<line data-role="cut" x2="5" transform="scale(0)"/>', "flat"),
        ('<line data-role="cut" x2="5" transform="rotate(1 2)"/>', "2 numbers"),
        ('<line data-role="cut" x2="5" style="transform: rotate(4deg)"/>', "style"),
        ('<use href="#a"/>', "<use>"),
        ('<image href="http://example.invalid/a.png"/>', "<image>"),
        ('<script>alert(1)</script>', "<script>"),
        ('<svg width="5mm"/>', "<svg>"),
        ("", "draws nothing"),
    ],
)  # fmt: skip
def test_what_cannot_be_read_whole_is_named_and_refused(body: str, says: str) -> None:
    with pytest.raises(Refusal) as caught:
        page(IN_PIECE.format(body))
    assert says in caught.value.sentence
    assert caught.value.sentence.endswith(".")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "well-formed"),
        ("<svg", "well-formed"),
        ("<html/>", "not svg"),
        ('<!DOCTYPE svg [<!ENTITY a "b">]>' + HEAD + "</svg>", "DOCTYPE"),
        (HEAD + "<!entity></svg>", "ENTITY"),
        (HEAD.replace('width="100mm" ', "") + LINE + "</svg>", "width is None"),
        (HEAD.replace("100mm", "100px") + LINE + "</svg>", "'100px'"),
        (HEAD.replace("100mm", "100") + LINE + "</svg>", "'100'"),
        (HEAD.replace("50mm", "100%") + LINE + "</svg>", "height is '100%'"),
        (HEAD.replace("100mm", "0mm") + LINE + "</svg>", "more than 0"),
        (HEAD.replace("100mm", "99999999mm") + LINE + "</svg>", "at most"),
        (HEAD.replace("0 0 100 50", "0 0 100 60") + LINE + "</svg>", "shape of the page"),
        (HEAD.replace("0 0 100 50", "0 0 100") + LINE + "</svg>", "viewBox"),
        (HEAD + LINE + "</svg>", "in no piece"),
        (HEAD + "<g>" * 60 + "</g>" * 60 + "</svg>", "deep"),
        (HEAD + " " * 5_000_001 + "</svg>", "characters"),
        (HEAD + IN_PIECE.format(LINE * 20_001) + "</svg>", "simplify"),
    ],
)
def test_a_file_that_is_no_pattern_file_is_refused(text: str, says: str) -> None:
    with pytest.raises(Refusal) as caught:
        read(text)
    assert says in caught.value.sentence


def test_what_other_programs_add_is_passed_over() -> None:
    body = '<x:view xmlns:x="urn:x"/><!-- words --><defs><path d="broken"/></defs><metadata/>' + IN_PIECE.format(LINE)
    assert len(page(body).shapes) == 1


@pytest.mark.parametrize(
    ("data", "count"),
    [
        ("M0 0 1 1 2 2", 3),
        ("M0,0L1-1.5.5.5z", 4),
        ("M0 0c1 1 2 2 3 3 4 4 5 5 6 6", 3),
        ("M0 0a1 1 0 00.5.5 1 1 0 1 0 1 1", 3),
    ],
)
def test_segments_are_counted_as_the_grammar_says(data: str, count: int) -> None:
    assert count_segments(data, "it") == count


def test_a_path_that_the_library_cuts_short_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """As svgelements 1.9.6 does with data it cannot read: it keeps what came before and says nothing."""
    whole = svgelements.Path("M0 0 L10 0 L10 10")
    monkeypatch.setattr("server.geometry.svg_path.svgelements.Path", lambda _: list(whole)[:-1])
    with pytest.raises(Refusal, match="3 path commands but only 2"):
        only('<path data-role="cut" d="M0 0 L10 0 L10 10"/>')


@pytest.mark.parametrize(
    "data",
    [
        "M0 0 A0 5 0 0 1 10 0",
        "M0 0 L5 0 z m 5 5 l 3 0",
        "M0 0 1 0 2 0 z",
        "m0 0 s 1 1 2 2 t 3 3",
        "M0 0 q1 1 2 2t5 5",
        "M0,0,1,1",
    ],
)
def test_the_library_and_the_grammar_count_alike(data: str) -> None:
    assert len(list(svgelements.Path(data))) == count_segments(data, "it")
