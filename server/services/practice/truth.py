"""What is really so in the practice workshop, which the calibration is not told: how the projector hangs, where the dots are."""

from __future__ import annotations

import threading
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, replace
from typing import Any

import numpy as np

from server.errors import Refusal
from server.practice.hand import Crosses, Hand
from server.practice.knock import How, knocked
from server.practice.projector import TRUE, TrueProjector
from server.store import settings as remembered
from server.store.database import Database
from server.store.records import Document, Lie

KEPT_AS = "practice"
"""The name under which the store keeps the truth."""


@dataclass(frozen=True)
class CutPiece:
    """A cut piece of a layout, and where it truly lies on the practice table."""

    layout: int
    piece: str
    lie: Lie


@dataclass(frozen=True)
class Truth:
    """How the practice projector hangs, where pencil dots lie, mm by letter, and the cut piece on the practice table."""

    projector: TrueProjector = TRUE
    dots: Mapping[str, list[float]] = field(default_factory=dict)
    piece: CutPiece | None = None


class PracticeTruth:
    """Keeps the truth over restarts. ``random`` is the hand's noise and the knock's strength."""

    def __init__(self, database: Database, random: np.random.Generator) -> None:
        self._database, self._random = database, random
        self._lock = threading.Lock()
        self._now = _restored(database)

    @property
    def now(self) -> Truth:
        """Return the truth as it is now."""
        return self._now

    def hand(self) -> Hand:
        """Return a hand at the table, under the projector as it hangs now; to be used by one thread at a time."""
        return Hand(self._now.projector, self._random)

    def knock(self, how: How) -> None:
        """Knock the projector, or hang it back."""
        with self._lock:
            self._keep(replace(self._now, projector=knocked(self._now.projector, how, self._random)))

    def draw(self, pixels: Crosses) -> None:
        """Put a pencil dot where the light of each of these pixels really falls; older dots are wiped off."""
        with self._lock:
            self._keep(replace(self._now, dots=self.hand().dots(pixels)))

    def lay(self, places: Crosses) -> None:
        """Mark places of the table whose coordinates are known; older dots are wiped off."""
        with self._lock:
            self._keep(replace(self._now, dots={name: list(place) for name, place in places.items()}))

    def cut(self, piece: CutPiece) -> None:
        """Let a cut piece lie on the table; the one before is taken away."""
        with self._lock:
            self._keep(replace(self._now, piece=piece))

    def _keep(self, truth: Truth) -> None:
        piece = None if truth.piece is None else asdict(truth.piece)
        kept = {"projector": asdict(truth.projector), "dots": dict(truth.dots), "piece": piece}
        with self._database.writing() as session:
            remembered.remember(session, KEPT_AS, kept)
        self._now = truth


def _restored(database: Database) -> Truth:
    """Return the truth as it was kept; the projector as it first hung where that cannot be read."""
    try:
        with database.reading() as session:
            return _read(remembered.recall(session, KEPT_AS))
    except (Refusal, KeyError, TypeError, AttributeError):
        return Truth()


def _read(kept: Document | None) -> Truth:
    if kept is None:
        return Truth()
    given: dict[str, Any] = {
        name: tuple(value) if isinstance(value, list) else value for name, value in kept["projector"].items()
    }
    piece = kept.get("piece")
    cut = None if piece is None else CutPiece(piece["layout"], piece["piece"], Lie(**piece["lie"]))
    return Truth(TrueProjector(**given), kept["dots"], cut)
