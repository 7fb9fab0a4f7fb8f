"""Reader of our own pattern files (SVG at true size). The only home of svgelements.

What it minds, because svgelements 1.9.6 and SVG in the wild do not:
- A broken path is cut short silently, so the path data is counted in and the segments are counted out.
- A shape with a bad attribute vanishes, so attributes are read here and every drawn element must come out as a shape.
- ``Length`` arithmetic mixes units wrongly, so only the root's width and height may carry units; inside, numbers are plain.
"""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from calibration.refusal import Refusal
from server.geometry.svg_numbers import (
    IDENTITY,
    Matrix,
    apply,
    coordinates,
    page,
    positive,
    pure_number,
    scale_of,
    transform,
)
from server.geometry.svg_path import subpaths

MOST_CHARACTERS = 5_000_000
MOST_SHAPES = 20_000
DEEPEST = 50
ROLES = ("cut", "slot", "stitch", "hole", "fold", "mark")
_SVG = "{http://www.w3.org/2000/svg}"
_DRAWN = ("path", "line", "polyline", "polygon", "rect", "circle", "ellipse")
_INHERITED = ("role", "piece", "name", "seam")
_PASSED_OVER = ("title", "desc", "metadata", "defs", "style")


@dataclass(frozen=True)
class Shape:
    """One drawn thing.

    Attributes:
        role: "cut", "slot", "stitch", "hole", "fold" or "mark".
        piece: the name of its piece.
        name: its data-name; for a hole its seam; may be "".
        points: (n, 2) mm on the page; curves stay within 0.01 mm. A hole has one point, its centre.
        closed: whether the last point joins the first.
        angle: degrees clockwise from x on the page, where the file gives one.
        attributes: every data- attribute without its "data-".

    """

    role: str
    piece: str
    name: str
    points: NDArray[np.float64]
    closed: bool
    angle: float | None
    attributes: Mapping[str, str]


@dataclass(frozen=True)
class Label:
    """Words on a piece: centre (or start) in mm on the page, height in mm, angle in degrees."""

    text: str
    piece: str
    name: str
    x: float
    y: float
    size: float
    angle: float


@dataclass(frozen=True)
class Drawing:
    """A pattern file, read. Sizes in mm; `titles` and `origins` go by the name of the piece."""

    width_mm: float
    height_mm: float
    shapes: tuple[Shape, ...]
    labels: tuple[Label, ...] = ()
    titles: Mapping[str, str] = field(default_factory=dict)
    origins: Mapping[str, tuple[float, float]] = field(default_factory=dict)


def read(text: str) -> Drawing:
    """Read a pattern file.

    Raises:
        Refusal: a document type or entity, bad XML, no width and height in mm, cm or in, an element that could not be
            read whole, a shape without role or piece, or a file too large.

    """
    root = _parse(text)
    width, height, matrix = page(root.get("width"), root.get("height"), root.get("viewBox"))
    reader = _Reader()
    reader.group(root, _Above(matrix @ transform(root.get("transform"), "the page"), {}), 0)
    if not reader.shapes:
        raise Refusal("The file draws nothing: it needs shapes with data-role inside a group with data-piece.")
    titles, origins = MappingProxyType(reader.titles), MappingProxyType(reader.origins)
    return Drawing(width, height, tuple(reader.shapes), tuple(reader.labels), titles, origins)


def _parse(text: str) -> ET.Element:
    if len(text) > MOST_CHARACTERS:
        raise Refusal(f"The file has {len(text)} characters: a pattern file has at most {MOST_CHARACTERS}.")
    upper = text.upper()
    for word in ("<!DOCTYPE", "<!ENTITY"):
        if word in upper:
            raise Refusal(f"The file contains {word}>, which pattern files may not: save it as plain SVG.")
    try:
        root = ET.fromstring(text)  # noqa: S314 - no document type, so no entities
    except (ET.ParseError, ValueError) as error:
        raise Refusal(f"The file is not well-formed XML ({str(error)[:80]}): save it again as SVG.") from error
    if root.tag != f"{_SVG}svg":
        raise Refusal(f"The file's outermost element is {_short(root.tag)!r}, not svg: give an SVG pattern file.")
    return root


@dataclass(frozen=True)
class _Above:
    """What an element inherits: the matrix to page mm, and the data- attributes of the groups around it."""

    matrix: Matrix
    data: Mapping[str, str]


class _Reader:
    """Walks the tree once and gathers shapes; every drawn element must come out as at least one."""

    def __init__(self) -> None:
        self.shapes: list[Shape] = []
        self.labels: list[Label] = []
        self.titles: dict[str, str] = {}
        self.origins: dict[str, tuple[float, float]] = {}

    def group(self, element: ET.Element, above: _Above, depth: int) -> None:
        if depth > DEEPEST:
            raise Refusal(f"The file nests groups more than {DEEPEST} deep: ungroup them.")
        here = _Above(above.matrix, {**above.data, **_data(element)})
        if "data-piece" in element.attrib:
            self._piece(here.data, here.matrix)
        for child in element:
            self._element(child, here, depth)

    def _piece(self, data: Mapping[str, str], matrix: Matrix) -> None:
        name = data["piece"]
        self.titles[name] = data.get("title", name)
        if "origin" in data:
            point = apply(matrix, coordinates(data["origin"], 2, f"data-origin of piece {name!r}"))[0]
            self.origins[name] = (float(point[0]), float(point[1]))

    def _element(self, element: ET.Element, above: _Above, depth: int) -> None:
        if not isinstance(element.tag, str) or not element.tag.startswith(_SVG):
            return  # comments, and what drawing programs add in their own namespaces
        kind = _short(element.tag)
        if kind in _PASSED_OVER:
            return
        if kind not in ("g", "text", *_DRAWN):
            raise Refusal(f"The file contains {_named(element)}, which pattern files may not: turn it into paths.")
        if "transform" in element.get("style", "").lower():
            raise Refusal(f"{_named(element)} is moved by a style: write the move as a transform attribute.")
        inherited = {key: above.data[key] for key in _INHERITED if key in above.data}
        here = _Above(above.matrix @ transform(element.get("transform"), _named(element)), inherited)
        if kind == "g":
            self.group(element, here, depth + 1)
        elif kind == "text":
            self._text(element, here)
        else:
            self._shape(element, kind, here)

    def _shape(self, element: ET.Element, kind: str, above: _Above) -> None:
        data = {**above.data, **_data(element)}
        role, piece = data.get("role"), data.get("piece")
        if role not in ROLES:
            raise Refusal(f"{_named(element)} has data-role {role!r}: it needs one of {', '.join(ROLES)}.")
        if piece is None:
            raise Refusal(f"{_named(element)} is in no piece: put it in a group with data-piece.")
        name = data.get("name") or data.get("seam", "")
        angle = _angle(data, above.matrix, element)
        drawn = _centre(element, above.matrix) if role == "hole" else _outlines(element, kind, above.matrix)
        for points, closed in drawn:
            self.shapes.append(Shape(role, piece, name, points, closed, angle, MappingProxyType(data)))
        if len(self.shapes) > MOST_SHAPES:
            raise Refusal(f"The file has more than {MOST_SHAPES} shapes: simplify it.")

    def _text(self, element: ET.Element, above: _Above) -> None:
        data = {**above.data, **_data(element)}
        words = " ".join("".join(element.itertext()).split())
        if not words:
            return
        at = [pure_number(element.get(name, "0"), f"{name} of {_named(element)}") for name in ("x", "y")]
        size = pure_number(element.get("font-size", "5").removesuffix("px"), f"font-size of {_named(element)}")
        (x, y), turn = apply(above.matrix, [at])[0], _turned(0.0, above.matrix)
        label = Label(
            words,
            data.get("piece", ""),
            data.get("name", "label"),
            float(x),
            float(y),
            size * scale_of(above.matrix),
            turn,
        )
        self.labels.append(label)


def _outlines(element: ET.Element, kind: str, matrix: Matrix) -> Iterator[tuple[NDArray[np.float64], bool]]:
    """Give the outlines (points in page mm, closed) that an element draws; always at least one."""
    what = _named(element)
    if kind == "path":
        yield from subpaths(element.get("d", ""), matrix, what)
    elif kind in ("polyline", "polygon"):
        points = coordinates(element.get("points", ""), None, f"points of {what}")
        if len(points) < 2:
            raise Refusal(f"{what} has fewer than two points: remove it or draw it whole.")
        yield apply(matrix, points), kind == "polygon"
    elif kind == "line":
        ends = [pure_number(element.get(name, "0"), f"{name} of {what}") for name in ("x1", "y1", "x2", "y2")]
        yield apply(matrix, [ends[:2], ends[2:]]), False
    else:
        yield from subpaths(_round_data(element, kind, what), matrix, what)


def _round_data(element: ET.Element, kind: str, what: str) -> str:
    """Return path data for a rect, circle or ellipse."""
    if kind == "rect":
        x, y = (pure_number(element.get(name, "0"), f"{name} of {what}") for name in ("x", "y"))
        w, h = (positive(element.get(name), f"{name} of {what}") for name in ("width", "height"))
        given = element.get("rx") or element.get("ry") or "0"
        rx = min(pure_number(given, f"rx of {what}"), w / 2)
        ry = min(pure_number(element.get("ry") or given, f"ry of {what}"), h / 2)
        if rx <= 0 or ry <= 0:
            return f"M{x},{y} h{w} v{h} h{-w} z"
        arc = f"a{rx},{ry} 0 0 1"
        sides = f"h{w - 2 * rx} {arc} {rx},{ry} v{h - 2 * ry} {arc} {-rx},{ry} h{2 * rx - w} {arc} {-rx},{-ry} v{2 * ry - h}"
        return f"M{x + rx},{y} {sides} {arc} {rx},{-ry} z"
    cx, cy = (pure_number(element.get(name, "0"), f"{name} of {what}") for name in ("cx", "cy"))
    names = ("r", "r") if kind == "circle" else ("rx", "ry")
    rx, ry = (positive(element.get(name), f"{name} of {what}") for name in names)
    return f"M{cx + rx},{cy} A{rx},{ry} 0 0 1 {cx - rx},{cy} A{rx},{ry} 0 0 1 {cx + rx},{cy} z"


def _centre(element: ET.Element, matrix: Matrix) -> list[tuple[NDArray[np.float64], bool]]:
    """A hole is its centre; only a circle says where that is."""
    if _short(element.tag) != "circle":
        raise Refusal(f"{_named(element)} is a hole but not a circle: stitch holes are circles.")
    positive(element.get("r"), f"r of {_named(element)}")
    centre = [pure_number(element.get(name, "0"), f"{name} of {_named(element)}") for name in ("cx", "cy")]
    return [(apply(matrix, [centre]), False)]


def _angle(data: Mapping[str, str], matrix: Matrix, element: ET.Element) -> float | None:
    if "angle" not in data:
        return None
    return _turned(pure_number(data["angle"], f"data-angle of {_named(element)}"), matrix)


def _turned(degrees: float, matrix: Matrix) -> float:
    """Return the direction a direction has after the matrix, degrees."""
    if np.array_equal(matrix[:, :2], IDENTITY[:, :2]):
        return degrees
    turn = math.radians(degrees)
    x, y = matrix[:2, :2] @ (math.cos(turn), math.sin(turn))
    return math.degrees(math.atan2(float(y), float(x)))


def _data(element: ET.Element) -> dict[str, str]:
    return {key.removeprefix("data-"): value for key, value in element.attrib.items() if key.startswith("data-")}


def _short(tag: str) -> str:
    return tag.rpartition("}")[2]


def _named(element: ET.Element) -> str:
    """Name an element for a sentence: its kind and whichever name it carries."""
    name = element.get("data-name") or element.get("id") or ""
    return f"<{_short(element.tag)}>{f' {name[:40]!r}' if name else ''}"
