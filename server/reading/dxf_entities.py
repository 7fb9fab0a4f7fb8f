"""DXF entities as runs of cubics in space, in the units of the file: (n, 4, 3), y up."""

from __future__ import annotations

import itertools
import math
from typing import Any

import numpy as np

from server.geometry import cubics
from server.geometry.cubics import Array

DRAWN = ("LINE", "LWPOLYLINE", "POLYLINE", "ARC", "CIRCLE", "ELLIPSE", "SPLINE")
_FRAME = 16
"""Flag of a vertex that is only a control of a fitted curve (DXF reference, VERTEX group code 70)."""


def run_of(entity: Any, tolerance: float) -> tuple[Array, bool]:
    """Return an entity's run and whether it is closed.

    Args:
        entity: one whose dxftype() is in DRAWN.
        tolerance: file units a flattened spline may stand off.

    Raises:
        ValueError, TypeError, ArithmeticError: data the entity cannot have; the caller names it and goes on.

    """
    kind = entity.dxftype()
    if kind == "LINE":
        return cubics.lines([_xyz(entity.dxf.start), _xyz(entity.dxf.end)]), False
    if kind in ("ARC", "CIRCLE"):
        return _arc(entity, kind == "CIRCLE")
    if kind == "ELLIPSE":
        return _ellipse(entity)
    if kind == "SPLINE":
        return _spline(entity, tolerance)
    return _light(entity) if kind == "LWPOLYLINE" else _heavy(entity)


def _arc(entity: Any, whole: bool) -> tuple[Array, bool]:
    basis, radius = _basis(entity), abs(float(entity.dxf.radius))
    start = 0.0 if whole else math.radians(entity.dxf.start_angle % 360.0)
    sweep = 2.0 * math.pi if whole else math.radians((entity.dxf.end_angle - entity.dxf.start_angle) % 360.0)
    sweep = sweep or 2.0 * math.pi
    centre = np.array(_xyz(entity.dxf.center)) @ basis
    return cubics.arc(centre, radius * basis[0], radius * basis[1], start, sweep), whole


def _ellipse(entity: Any) -> tuple[Array, bool]:
    across = np.array(_xyz(entity.dxf.major_axis))
    normal = np.array(_xyz(entity.dxf.extrusion))
    along = np.cross(normal / np.linalg.norm(normal), across) * float(entity.dxf.ratio)
    start, end = float(entity.dxf.start_param), float(entity.dxf.end_param)
    sweep = (end - start) % (2.0 * math.pi)
    whole = sweep < 1e-9 or 2.0 * math.pi - sweep < 1e-9
    run = cubics.arc(_xyz(entity.dxf.center), across, along, start, 2.0 * math.pi if whole else sweep)
    return run, whole


def _spline(entity: Any, tolerance: float) -> tuple[Array, bool]:
    tool = entity.construction_tool()
    closed = bool(entity.closed)
    if tool.degree == 3 and not tool.is_rational and tool.is_clamped:
        parts = [np.array([_xyz(point) for point in part]) for part in tool.bezier_decomposition()]
        return np.array(parts), closed
    points = [_xyz(point) for point in tool.flattening(tolerance, segments=8)]
    return cubics.lines(points), closed


def _light(entity: Any) -> tuple[Array, bool]:
    corners = [(float(x), float(y), float(b)) for x, y, b in entity.get_points("xyb")]
    height = float(entity.dxf.get("elevation", 0.0))
    return _bulged(entity, corners, height, bool(entity.closed)), bool(entity.closed)


def _heavy(entity: Any) -> tuple[Array, bool]:
    if entity.get_mode() not in ("AcDb2dPolyline", "AcDb3dPolyline"):
        raise ValueError("a mesh")
    vertices = [v for v in entity.vertices if not v.dxf.flags & _FRAME]
    places = [_xyz(v.dxf.location) for v in vertices]
    closed = bool(entity.is_closed)
    if entity.get_mode() == "AcDb3dPolyline":
        return cubics.lines([*places, places[0]] if closed else places), closed
    corners = [(x, y, float(v.dxf.get("bulge", 0.0))) for (x, y, _), v in zip(places, vertices, strict=True)]
    height = places[0][2] if places else 0.0
    return _bulged(entity, corners, height, closed), closed


def _bulged(entity: Any, corners: list[tuple[float, float, float]], height: float, closed: bool) -> Array:
    ring = [*corners, corners[0]] if closed and corners else corners
    parts = [cubics.bulge(a[:2], b[:2], a[2]) for a, b in itertools.pairwise(ring)]
    if not parts:
        raise ValueError("fewer than two corners")
    flat = np.concatenate(parts)
    space = np.concatenate((flat, np.full((*flat.shape[:2], 1), height)), axis=2)
    return np.asarray(space @ _basis(entity), dtype=np.float64)


def _basis(entity: Any) -> Array:
    """The axes of the entity's own plane as rows (the arbitrary axis algorithm of the DXF reference)."""
    ocs = entity.ocs()
    return np.array([_xyz(ocs.to_wcs(axis)) for axis in ((1, 0, 0), (0, 1, 0), (0, 0, 1))])


def _xyz(point: Any) -> tuple[float, float, float]:
    x, y, *rest = tuple(point)
    return float(x), float(y), float(rest[0]) if rest else 0.0
