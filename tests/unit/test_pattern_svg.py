"""The pattern file and the pages' markup: what they carry, and that words cannot break out of them."""

from __future__ import annotations

import dataclasses
import xml.etree.ElementTree as ET

import pytest

from server.geometry.svg_reading import read
from server.leather.drafts import get
from server.leather.piece import Label
from server.output.svg import pattern_svg, piece_svg

PATTERN = get("belt-pouch").draft({})


def test_a_piece_for_the_pages_carries_every_line_hole_and_label_by_class_and_role() -> None:
    for piece in PATTERN.pieces:
        found = list(ET.fromstring(f"<g>{piece_svg(piece)}</g>"))  # noqa: S314 - our own text
        assert len(found) == len(piece.drawn) + len(piece.holes) + len(piece.labels)
        for element in found:
            role = element.get("data-role")
            assert f"role-{role}" in (element.get("class") or "").split()
            assert "style" not in element.attrib
        holes = [element for element in found if element.get("data-role") == "hole"]
        assert [hole.get("data-seam") for hole in holes] == [hole.seam for hole in piece.holes]
        assert [float(hole.get("cx", "")) for hole in holes] == pytest.approx([h.x for h in piece.holes], abs=1e-6)


def test_pieces_lie_side_by_side_without_touching() -> None:
    drawing = read(pattern_svg(PATTERN))
    front, back = ([shape.points for shape in drawing.shapes if shape.piece == piece.name] for piece in PATTERN.pieces)
    assert max(points[:, 0].max() for points in front) + 10 < min(points[:, 0].min() for points in back)
    for x, y in drawing.origins.values():
        assert (x, y) == (round(x), round(y))


def test_words_with_markup_stay_words() -> None:
    front = PATTERN.pieces[0]
    nasty = dataclasses.replace(front, title='<"a&b">', labels=(Label("<script>&", 0, 50, 5, name='"x'),))
    drawing = read(pattern_svg(dataclasses.replace(PATTERN, pieces=(nasty,), title="a < b")))
    assert drawing.titles == {"front": '<"a&b">'}
    assert [(label.text, label.name) for label in drawing.labels] == [("<script>&", '"x')]
    assert "<script" not in piece_svg(nasty)
