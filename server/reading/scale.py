"""The true size of a sheet whose file does not say its unit: by the unit's name, or by one length that is known."""

from __future__ import annotations

import math
from typing import Literal

from calibration.refusal import Refusal
from server.reading.sheet import Sheet, extent, rescaled

Across = Literal["along", "width", "height"]
_MM = {"mm": 1.0, "cm": 10.0, "in": 25.4, "m": 1000.0, "pt": 25.4 / 72.0, "px": 25.4 / 96.0, "px 72": 25.4 / 72.0}
UNITS = (*_MM, "px 90")
"""What a maker may answer; "px" is 1/96 in, and programs that counted 72 or 90 to the inch have their own."""
_LARGEST = 100_000.0
_SMALLEST = 1.0


def in_unit(sheet: Sheet, unit: str) -> Sheet:
    """Return the sheet with its numbers taken as `unit`.

    Raises:
        Refusal: another unit than those in UNITS, or a drawing of no believable size.

    """
    if unit not in UNITS:
        raise Refusal(f"The unit {unit[:20]!r} is not known: choose one of {', '.join(UNITS)}.", field="unit")
    taken = _MM["px"] if sheet.unit.startswith("px") else _MM.get(sheet.unit, 1.0)
    return _scaled(sheet, _MM.get(unit, 25.4 / 90.0) / taken, "unit")


def scale_from(
    sheet: Sheet, known: int | tuple[tuple[float, float], tuple[float, float]], true: float, across: Across = "along"
) -> Sheet:
    """Return the sheet scaled so that a known line, or two points, have their true length.

    Args:
        sheet: whose unit is known or not; a stated unit is overruled.
        known: the number of a line in `sheet.lines`, or two points in the sheet's mm as they are now.
        true: the true length, mm.
        across: of a line: its length "along" it (round it when closed), or the "width" or "height" of the box round it.

    Raises:
        Refusal: no such line, no length to measure, or a result of no believable size.

    """
    if not (math.isfinite(true) and 0.0 < true <= _LARGEST):
        raise Refusal(f"The true length is {true:.6g} mm: give one above 0 and under 100 m.", field="length")
    measured = _measured(sheet, known, across)
    if not (math.isfinite(measured) and measured > 1e-6):
        raise Refusal("The line or points chosen have no length: choose others.", field="known")
    return _scaled(sheet, true / measured, "length")


def _measured(sheet: Sheet, known: int | tuple[tuple[float, float], tuple[float, float]], across: Across) -> float:
    if not isinstance(known, int):
        return math.dist(*known)
    if not 0 <= known < len(sheet.lines):
        raise Refusal(f"There is no line {known}: the sheet has {len(sheet.lines)}.", field="known")
    line = sheet.lines[known]
    left, top, right, bottom = line.box
    return {"along": line.length, "width": right - left, "height": bottom - top}[across]


def _scaled(sheet: Sheet, factor: float, field: str) -> Sheet:
    size = max(extent(sheet.lines)) * factor
    if not _SMALLEST <= size <= _LARGEST:
        raise Refusal(f"The drawing would then be {size:.4g} mm large: check the {field}.", field=field)
    return rescaled(sheet, factor)
