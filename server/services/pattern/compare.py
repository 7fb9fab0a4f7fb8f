"""Two saved patterns laid over each other: which lines moved, by how much, and which measures are behind it.

What is compared is the pattern files as they were saved, each piece about its own origin (centre line, mouth edge), so the
answer stays true whatever is drafted differently later.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from server.errors import Refusal
from server.geometry import svg_reading
from server.geometry.difference import farthest
from server.geometry.region import area
from server.geometry.svg_reading import Drawing, Shape
from server.leather.pattern import Measure
from server.services.pattern import drafted
from server.store import patterns, things
from server.store.database import Database, Session
from server.store.records import PatternRecord

LINES = ("cut", "slot", "fold")
"""The kinds of line that are drawn; stitches are told by their holes."""

SAME_MM = 0.05
"""Outlines that lie nowhere farther apart are the same to any knife, mm (half of what the comparison can miss: ``STEP``)."""

Points = NDArray[np.float64]


@dataclass(frozen=True)
class Side:
    """One of the two pieces of the same name: its outlines (n, 2) mm, and all its shapes about its own origin."""

    title: str
    outlines: tuple[Points, ...]
    shapes: tuple[tuple[Shape, Points], ...]

    def holes(self) -> list[list[float]]:
        """Return the places of the stitch holes, mm."""
        return [_rounded(points[0]) for shape, points in self.shapes if shape.role == "hole"]


class Compare:
    """The maker's verb about two saved patterns."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def read(self, old: int, new: int) -> dict[str, Any]:
        """Return both patterns piece by piece, what lies apart, and the measures that differ.

        Raises:
            Refusal: one of them is not there or in the bin (404), or its file cannot be read.

        """
        with self._database.reading() as session:
            records = [patterns.get(session, number) for number in (old, new)]
            heads = [_head(session, record) for record in records]
        pieces = _pieces(records[0], records[1])
        return {
            "old": heads[0],
            "new": heads[1],
            "pieces": pieces,
            "measures": measures_apart(records[0], records[1]),
            "worst_mm": max((piece["apart"]["mm"] for piece in pieces if piece["apart"]), default=None),
            "same_mm": SAME_MM,
        }


def measures_apart(old: PatternRecord, new: PatternRecord) -> list[dict[str, Any]]:
    """Return the measures that differ: name, title, unit, and both values, None where a pattern has no such measure."""
    known = _known(old) | _known(new)
    before, after = old.measures_mm, new.measures_mm
    return [
        {"name": name, **_titled(name, known), "old": before.get(name), "new": after.get(name)}
        for name in {**before, **after}
        if before.get(name) != after.get(name)
    ]


def _known(record: PatternRecord) -> dict[str, Measure]:
    """Return the measures of a pattern's family by name; none where the family is known no more."""
    try:
        return {measure.name: measure for measure in drafted.measures(record.family)}
    except Refusal:
        return {}


def _titled(name: str, known: Mapping[str, Measure]) -> dict[str, Any]:
    found = known.get(name)
    if found is None:
        return {"title": name.replace("-", " "), "unit": "length", "choices": []}
    return {"title": found.title, "unit": found.unit, "choices": [title for _name, title in found.choices]}


def _head(session: Session, record: PatternRecord) -> dict[str, Any]:
    thing = things.get(session, record.thing_id)
    return {
        "id": record.id,
        "title": record.title,
        "made_at": record.made_at,
        "thing": {"id": thing.id, "name": thing.name},
    }


def _pieces(old: PatternRecord, new: PatternRecord) -> list[dict[str, Any]]:
    before, after = _sides(old), _sides(new)
    return [_compared(name, before.get(name), after.get(name)) for name in {**before, **after}]


def _sides(record: PatternRecord) -> dict[str, Side]:
    drawing = svg_reading.read(record.svg)
    return {name: _side(drawing, name) for name in dict.fromkeys(shape.piece for shape in drawing.shapes)}


def _side(drawing: Drawing, name: str) -> Side:
    origin = np.array(drawing.origins.get(name, (0.0, 0.0)))
    shapes = tuple((shape, shape.points - origin) for shape in drawing.shapes if shape.piece == name)
    outlines = tuple(points for shape, points in shapes if shape.role == "cut" and shape.closed)
    return Side(drawing.titles.get(name, name), outlines, shapes)


def _compared(name: str, old: Side | None, new: Side | None) -> dict[str, Any]:
    sides = [side for side in (new, old) if side is not None]
    return {
        "name": name,
        "title": sides[0].title,
        "box": _box(points for side in sides for _shape, points in side.shapes),
        "old": _drawn(old),
        "new": _drawn(new),
        "apart": _apart(old, new),
    }


def _drawn(side: Side | None) -> dict[str, Any] | None:
    if side is None:
        return None
    lines = [(shape, points) for shape, points in side.shapes if shape.role in LINES]
    return {
        "lines": [
            {"role": shape.role, "closed": shape.closed, "points": np.round(points, 3).tolist()}
            for shape, points in lines
        ],
        "holes": side.holes(),
        "area_mm2": round(sum(area(outline) for outline in side.outlines), 1),
    }


def _apart(old: Side | None, new: Side | None) -> dict[str, Any] | None:
    """Return the largest distance between the outlines and where it is; None where one of them has none."""
    if old is None or new is None or not old.outlines or not new.outlines:
        return None
    found = farthest(old.outlines, new.outlines)
    return {"mm": round(found.distance, 2), "from": _rounded(found.start), "to": _rounded(found.end)}


def _box(parts: Iterable[Points]) -> list[float]:
    points = np.concatenate(list(parts))
    return _rounded([*points.min(axis=0), *points.max(axis=0)])


def _rounded(values: Iterable[float]) -> list[float]:
    return [round(float(value), 3) for value in values]
