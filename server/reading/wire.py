"""A sheet, or a refusal, as bytes between two processes: one line of JSON, then the points as little-endian doubles.

No pickle: whatever a hostile file makes of its reader, what arrives here is numbers and words.
"""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import Any

import numpy as np

from calibration.refusal import Refusal
from server.reading.sheet import Dropped, Look, Page, Sheet, SheetLine

_DOUBLES = np.dtype("<f8")


def pack(sheet: Sheet) -> bytes:
    """Return a sheet as bytes."""
    looks = {look: number for number, look in enumerate(sheet.looks)}
    head = {
        "name": sheet.name,
        "kind": sheet.kind,
        "unit": sheet.unit,
        "unit_known": sheet.unit_known,
        "pages": [asdict(page) for page in sheet.pages],
        "dropped": [asdict(drop) for drop in sheet.dropped],
        "notes": sheet.notes,
        "looks": [asdict(look) for look in looks],
        "lines": [[len(line.points), line.closed, looks[line.look], line.page, line.filled] for line in sheet.lines],
    }
    points = np.concatenate([line.points for line in sheet.lines]) if sheet.lines else np.zeros((0, 2))
    return json.dumps(head).encode() + b"\n" + points.astype(_DOUBLES).tobytes()


def pack_refusal(refusal: Refusal) -> bytes:
    """Return a refusal as bytes."""
    return json.dumps({"refusal": refusal.sentence}).encode() + b"\n"


def unpack(data: bytes) -> Sheet:
    """Return the sheet that was packed.

    Raises:
        Refusal: the one that was packed, or bytes that are neither.

    """
    line, _, rest = data.partition(b"\n")
    try:
        head: dict[str, Any] = json.loads(line)
        if "refusal" in head:
            raise Refusal(str(head["refusal"]))
        return _sheet(head, np.frombuffer(rest, _DOUBLES).reshape(-1, 2).astype(np.float64))
    except (KeyError, TypeError, ValueError, IndexError) as error:
        if isinstance(error, Refusal):
            raise
        raise Refusal("The file could not be read: save it again, simplified.") from error


def _sheet(head: dict[str, Any], points: np.ndarray[Any, np.dtype[np.float64]]) -> Sheet:
    looks = [Look(look["layer"], look["colour"], tuple(look["dash"])) for look in head["looks"]]
    lines, start = [], 0
    for count, closed, look, page, filled in head["lines"]:
        lines.append(SheetLine(points[start : start + count], bool(closed), looks[look], int(page), bool(filled)))
        start += count
    if start != len(points):
        raise ValueError("points left over")
    pages = tuple(Page(**page) for page in head["pages"])
    dropped = tuple(Dropped(**drop) for drop in head["dropped"])
    return Sheet(
        head["name"], head["kind"], tuple(lines), pages, head["unit_known"], head["unit"], dropped, tuple(head["notes"])
    )
