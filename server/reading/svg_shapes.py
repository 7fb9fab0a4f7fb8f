"""The seven drawn elements of SVG as runs of cubics, in user units."""

from __future__ import annotations

import math

import numpy as np

from calibration.refusal import Refusal
from server.geometry import cubics
from server.geometry.svg_outlines import Outline, outlines
from server.reading.svg_lengths import numbers, pixels
from server.reading.xml_tree import Node

DRAWN = ("path", "line", "polyline", "polygon", "rect", "circle", "ellipse")


def shape(node: Node, viewport: tuple[float, float], what: str) -> list[Outline]:
    """Return what an element draws; nothing for one that SVG says draws nothing (no data, a size of 0).

    Raises:
        Refusal: an attribute that cannot be read, named.

    """
    if node.tag == "path":
        return outlines(node.get("d"), what) if node.get("d").strip() else []
    if node.tag in ("polyline", "polygon"):
        return _poly(node, what)
    if node.tag == "line":
        x1, y1, x2, y2 = (_length(node, name, viewport, what) for name in ("x1", "y1", "x2", "y2"))
        return [(cubics.lines([(x1, y1), (x2, y2)]), False)]
    return _rect(node, viewport, what) if node.tag == "rect" else _round(node, viewport, what)


def _poly(node: Node, what: str) -> list[Outline]:
    given = numbers(node.get("points"), f"points of {what}")
    if len(given) % 2:
        raise Refusal(f"The points of {what} are an odd count of numbers")
    if len(given) < 4:
        return []
    points = np.array(given).reshape(-1, 2)
    closed = node.tag == "polygon"
    return [(cubics.lines(np.concatenate((points, points[:1])) if closed else points), closed)]


def _rect(node: Node, viewport: tuple[float, float], what: str) -> list[Outline]:
    x, y, w, h = (_length(node, name, viewport, what) for name in ("x", "y", "width", "height"))
    if w < 0.0 or h < 0.0:
        raise Refusal(f"{what} has a size below 0")
    if w == 0.0 or h == 0.0:
        return []
    given = [name for name in ("rx", "ry") if node.get(name, "auto") != "auto"]
    radii = {name: abs(_length(node, name, viewport, what)) for name in given}
    rx = min(radii.get("rx", radii.get("ry", 0.0)), w / 2.0)
    ry = min(radii.get("ry", radii.get("rx", 0.0)), h / 2.0)
    if rx <= 0.0 or ry <= 0.0:
        return [(cubics.lines([(x, y), (x + w, y), (x + w, y + h), (x, y + h), (x, y)]), True)]
    corners = (
        (x + w - rx, y + ry, -90.0),
        (x + w - rx, y + h - ry, 0.0),
        (x + rx, y + h - ry, 90.0),
        (x + rx, y + ry, 180.0),
    )
    arcs = [cubics.arc((cx, cy), (rx, 0), (0, ry), math.radians(a), math.pi / 2.0) for cx, cy, a in corners]
    strip = []
    for before, after in zip([arcs[-1], *arcs], arcs, strict=False):
        strip += [cubics.lines([before[-1, 3], after[0, 0]]), after]
    return [(np.concatenate(strip), True)]


def _round(node: Node, viewport: tuple[float, float], what: str) -> list[Outline]:
    cx, cy = (_length(node, name, viewport, what) for name in ("cx", "cy"))
    names = ("r", "r") if node.tag == "circle" else ("rx", "ry")
    rx, ry = (_length(node, name, viewport, what) for name in names)
    if rx < 0.0 or ry < 0.0:
        raise Refusal(f"{what} has a radius below 0")
    if rx == 0.0 or ry == 0.0:
        return []
    return [(cubics.arc((cx, cy), (rx, 0.0), (0.0, ry), 0.0, 2.0 * math.pi), True)]


def _length(node: Node, name: str, viewport: tuple[float, float], what: str) -> float:
    width, height = viewport
    whole = {"x": width, "w": width, "c": width, "y": height, "h": height}.get(
        name[-1] if name != "width" else "w", 0.0
    )
    if name == "height":
        whole = height
    if name == "r":
        whole = math.hypot(width, height) / math.sqrt(2.0)
    return pixels(node.get(name, "0") or "0", whole, f"{name} of {what}")
