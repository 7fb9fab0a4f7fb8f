"""The practice table's leather can be moved, and a practice hand finds its corners again: nobody is told by how much."""

from __future__ import annotations

import threading
from dataclasses import replace
from typing import Any

import numpy as np

from server.errors import Refusal
from server.leather.piece import Piece
from server.services.light.light import Light
from server.services.light.pictures import placement
from server.services.light.stage import Stage
from server.services.practice.truth import CutPiece, PracticeTruth
from server.services.table.alignment import Alignment
from server.services.table.alignment_features import Feature, features
from server.services.table.alignment_over import Aim
from server.services.table.lies import lie
from server.store.records import Lie

MOVE_MM, TURN_DEGREES = (8.0, 25.0), (2.0, 9.0)
"""How far leather slips while it is cut: least and most, each way (invented)."""
TURNS_FREELY_MM = 250.0
"""A piece longer than this turns less, so that its ends stay in the light, mm."""
REAL = "This is a real bench: move the leather, and the cross-hair, by hand."


class MovedLeather:
    """The practice workshop's piece of leather, which lies where it lies, whatever the program believes."""

    def __init__(self, light: Light, alignment: Alignment, truth: PracticeTruth, random: np.random.Generator) -> None:
        self._light, self._alignment, self._truth, self._random = light, alignment, truth, random
        self._lock = threading.Lock()

    def shift(self, piece: str | None) -> dict[str, Any]:
        """Move the piece of the present step (or the one named) on the practice table, as cutting does.

        Raises:
            Refusal: the light shows no layout of the practice bench (409), or there is no such piece (404).

        """
        with self._lock:
            stage = _practice(self._light.stage)
            name = piece or _present(stage)
            if name not in stage.lies():
                raise Refusal(f"The layout has no piece {name[:40]!r}.", field="piece", status=404)
            moved = self._moved(stage.lies()[name], _piece(stage, name))
            self._truth.cut(CutPiece(_layout(stage), name, moved))
        self._light.refresh()
        return {"piece": name, "sentence": "The leather has slipped: the light lies beside its edges now."}

    def aim(self) -> dict[str, Any]:
        """Bring the cross-hair onto the place that is asked for, where it truly lies, with a hand's error.

        Raises:
            Refusal: the cross-hair is not in the light of the practice bench, or no piece was moved there (409).

        """
        with self._lock:
            stage = _practice(self._light.stage)
            cut, asked = self._truth.now.piece, _asked(stage)
            if cut is None or (cut.layout, cut.piece) != (_layout(stage), asked[0]):
                raise Refusal(
                    "No leather lies cut on the practice table: let it slip first.", field="piece", status=409
                )
            at = placement(cut.lie).apply([asked[1].at])
            pixel = self._truth.hand().aimed(at, stage.height)
        return self._alignment.aim(pixel, None)

    def _moved(self, lies: Lie, piece: Piece) -> Lie:
        turn, x, y = (
            self._random.uniform(low, high) * self._random.choice([-1.0, 1.0])
            for low, high in (TURN_DEGREES, MOVE_MM, MOVE_MM)
        )
        middle, long = _middle(piece)
        turn *= min(1.0, TURNS_FREELY_MM / long)
        before = placement(lies).apply([middle])[0]
        turned = lie(lies.x, lies.y, lies.turn + turn, mirror=lies.mirror)
        slip = before + np.array([x, y]) - placement(turned).apply([middle])[0]
        return replace(turned, x=turned.x + float(slip[0]), y=turned.y + float(slip[1]))


def _practice(stage: Stage) -> Stage:
    if stage.laid is None or stage.bench is None:
        raise Refusal("The light shows no layout now: show it first.", field="layout", status=409)
    if not stage.bench.record.practice:
        raise Refusal(REAL, field="bench", status=409)
    return stage


def _layout(stage: Stage) -> int:
    return 0 if stage.laid is None else stage.laid.layout.id


def _piece(stage: Stage, name: str) -> Piece:
    if stage.laid is None:
        raise Refusal("The light shows no layout now: show it first.", field="layout", status=409)
    return stage.laid.drafted.piece(name)


def _present(stage: Stage) -> str:
    laid = stage.laid
    if laid is not None and laid.step is not None:
        return laid.step.piece
    return next(iter(stage.lies()))


def _asked(stage: Stage) -> tuple[str, Feature]:
    aim = stage.over
    known = features(_piece(stage, aim.piece), aim.marks) if isinstance(aim, Aim) else []
    found = next((f for f in known if isinstance(aim, Aim) and f.name == aim.asked), None)
    if found is None or not isinstance(aim, Aim):
        raise Refusal("The cross-hair is not in the light: begin first.", field="layout", status=409)
    return aim.piece, found


def _middle(piece: Piece) -> tuple[tuple[float, float], float]:
    """Return the middle of a piece, and how long it is, mm."""
    left, top, right, bottom = piece.box()
    return ((left + right) / 2.0, (top + bottom) / 2.0), max(right - left, bottom - top)
