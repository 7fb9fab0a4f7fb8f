"""A sheet that was brought, as the page shows it: its pages, looks, lines fine enough for a screen, and what was left out."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

import numpy as np

from server.reading.sheet import Array, Look, Page, Sheet, SheetLine

STEPS = 4000
"""A page's longer side is drawn on a grid of so many steps: finer than any screen shows without zoom."""

FINER = 2
"""Decimals beyond that grid: corners are pointed at to give a known length, and must not lose it by rounding."""

MOST_POINTS = 80_000
"""More points than this and the grid is made coarser, so that a page is sent in a second."""


def view(sheet: Sheet) -> dict[str, Any]:
    """Return a sheet for the page; lengths in the sheet's own mm, whatever its unit turns out to be."""
    step = max((max(_size(page, sheet)) for page in sheet.pages), default=0.0) / STEPS
    drawn = _drawn(sheet, step)
    places = {key: place for place, key in enumerate(dict.fromkeys(look.key for look in sheet.looks))}
    digits = max(0, int(np.ceil(-np.log10(step))) + FINER) if step > 0 else 3
    return {
        "unit": sheet.unit,
        "unit_known": sheet.unit_known,
        "question": sheet.question,
        "pages": [_page(page, sheet) for page in sheet.pages if any(line.page == page.number for line in sheet.lines)],
        "looks": [_look(look, sheet) for look in _first_of_each_key(sheet)],
        "lines": [
            _line(line, places[line.look.key], points, digits) for line, points in zip(sheet.lines, drawn, strict=True)
        ],
        "dropped": [drop.words for drop in sheet.dropped],
        "notes": list(sheet.notes),
    }


def _drawn(sheet: Sheet, step: float) -> list[Array]:
    """Return each line's points without those that a grid of `step` mm, or a coarser one, does not tell apart."""
    while True:
        drawn = [_thinned(line.points, step) for line in sheet.lines]
        if step <= 0.0 or sum(map(len, drawn)) <= max(MOST_POINTS, 2 * len(drawn)):
            return drawn
        step *= 2.0


def _thinned(points: Array, step: float) -> Array:
    """Return points without those that fall on the same place of a grid as the one before; two at least are left."""
    if step <= 0.0:
        return points
    placed = np.round(points / step)
    new = np.concatenate(([True], (placed[1:] != placed[:-1]).any(axis=1)))
    kept = points[new]
    return kept if len(kept) > 1 else points[[0, -1]]


def _size(page: Page, sheet: Sheet) -> tuple[float, float]:
    left, top, right, bottom = _box(page, sheet)
    return right - left, bottom - top


def _box(page: Page, sheet: Sheet) -> tuple[float, float, float, float]:
    """Return what the lines of a page take up: left, top, right, bottom, mm."""
    boxes = np.array([line.box for line in sheet.lines if line.page == page.number]).reshape(-1, 4)
    if not len(boxes):
        return 0.0, 0.0, 0.0, 0.0
    left, top = boxes[:, :2].min(axis=0).tolist()
    right, bottom = boxes[:, 2:].max(axis=0).tolist()
    return left, top, right, bottom


def _page(page: Page, sheet: Sheet) -> dict[str, Any]:
    return asdict(page) | {"box": list(_box(page, sheet))}


def _first_of_each_key(sheet: Sheet) -> list[Look]:
    return list({look.key: look for look in reversed(sheet.looks)}.values())[::-1]


def _look(look: Look, sheet: Sheet) -> dict[str, Any]:
    lengths = [line.length for line in sheet.lines if line.look.key == look.key]
    return {
        "key": look.key,
        "layer": look.layer,
        "colour": look.colour,
        "dash": list(look.dash),
        "words": look.words,
        "lines": len(lengths),
        "length": sum(lengths),
    }


def _line(line: SheetLine, look: int, points: Array, digits: int) -> dict[str, Any]:
    left, top, right, bottom = line.box
    return {
        "look": look,
        "page": line.page,
        "closed": line.closed,
        "length": line.length,
        "width": right - left,
        "height": bottom - top,
        "points": np.round(points, digits).ravel().tolist(),
    }
