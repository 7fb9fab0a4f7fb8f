"""The cut piece on the practice table, as an eye sees it."""

from __future__ import annotations

from typing import Any

import numpy as np

from server.services.light.pictures import placement
from server.services.light.stage import Stage
from server.services.practice.truth import Truth


def cut_pieces(stage: Stage, truth: Truth) -> list[dict[str, Any]]:
    """Return the cut piece that lies on the practice table: the rings of its outline and slots, mm, x and y in turn."""
    cut, laid = truth.piece, stage.laid
    if cut is None or laid is None or laid.layout.id != cut.layout:
        return []
    piece = next((one for one in laid.drafted.pieces if one.name == cut.piece), None)
    if piece is None:
        return []
    lies = placement(cut.lie)
    rings = [piece.outline.flatten(0.1), *[drawn.path.flatten(0.1) for drawn in piece.drawn if drawn.role == "slot"]]
    placed = [np.round(lies.apply(ring), 2).ravel().tolist() for ring in rings]
    return [{"name": cut.piece, "rings": placed, "thickness": laid.layout.leather_mm}]
