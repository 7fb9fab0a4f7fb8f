"""Known marks whose cross was moved onto them by steps of the picture: how surely such a mark is sighted.

A cross moves by whole pixels (or tenths), so what is left between it and its mark is the hand's error and up to half a step.
The figure that a row states is the hand's; the step is added here, where pixels and millimetres meet.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import combinations
from typing import Any

import numpy as np

from server.services.bench.hand import HAND_MM, with_step
from server.services.bench.optics import NOMINAL_WIDTH_MM

FINE_STEP_PX = 0.1
"""The step of a cross that does not stand a whole number of pixels from where it began."""

Places = Mapping[str, Sequence[float]]


def with_steps(
    positions: Sequence[Mapping[str, Any]], crosses: Places, began: Places, width: int
) -> list[dict[str, Any]]:
    """Return the rows of known marks, those whose cross was moved with a sigma that includes the step, mm.

    Args:
        positions: complete rows, mm.
        crosses: where the crosses stand now, px.
        began: where they stood before anybody moved them, px.
        width: of the picture, px; gives the size of a pixel while there are not two marks to tell it.

    """
    pixel = _pixel_mm(positions, crosses) or NOMINAL_WIDTH_MM / width
    return [_with_step(dict(row), _step_px(row["cross"], crosses, began) * pixel) for row in positions]


def _with_step(row: dict[str, Any], step_mm: float) -> dict[str, Any]:
    hand = row.get("sigma", HAND_MM)
    plain = isinstance(hand, int | float) and not isinstance(hand, bool)
    return row | {"sigma": with_step(hand, step_mm)} if step_mm > 0 and plain else row


def _step_px(name: Any, crosses: Places, began: Places) -> float:
    if name not in crosses or name not in began or list(crosses[name]) == list(began[name]):
        return 0.0
    away = np.asarray(crosses[name]) - np.asarray(began[name])
    return 1.0 if np.allclose(away, np.rint(away), atol=1e-6) else FINE_STEP_PX


def _pixel_mm(positions: Sequence[Mapping[str, Any]], crosses: Places) -> float | None:
    """Return the size of a pixel as the marks on the table show it: the middle one of all pairs, mm."""
    low = {row["cross"]: row["at"] for row in positions if not row.get("height") and row["cross"] in crosses}
    sizes = [
        np.hypot(*np.subtract(low[a], low[b])) / apart
        for a, b in combinations(low, 2)
        if _is_pair(low[a]) and _is_pair(low[b]) and (apart := np.hypot(*np.subtract(crosses[a], crosses[b]))) > 1.0
    ]
    return float(np.median(sizes)) if sizes and float(np.median(sizes)) > 0 else None


def _is_pair(at: Any) -> bool:
    return isinstance(at, list) and len(at) == 2 and all(isinstance(part, int | float) for part in at)
