"""What a maker's hand has in the light over a layout: a cross-hair, an outline to push against, or the crosses of a span."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, TypeAlias

from calibration.sightings import Pair
from server.store.records import Lie

Marks: TypeAlias = tuple[tuple[str, Pair], ...]
"""Witness crosses on a piece: letter and place, piece mm."""


@dataclass(frozen=True)
class Aim:
    """The cross-hair over a piece.

    Args:
        piece: the piece that is looked for.
        pixel: where the cross-hair is, picture px.
        asked: the place of the piece that it is to be brought onto, by name.
        points: where it was, px, by the name of the place that lay under it.
        found: how the piece lies by these, once it can be said.
        marks: witness crosses on the piece that can be aimed at, in a piece longer than the light.

    """

    piece: str
    pixel: Pair
    asked: str | None = None
    points: Mapping[str, Pair] = field(default_factory=dict)
    found: Lie | None = None
    marks: Marks = ()

    def told(self) -> dict[str, Any]:
        """Return what a window needs to know to move the cross-hair."""
        done = sorted(self.points)
        return {"kind": "aim", "piece": self.piece, "asked": self.asked, "done": done, "pixel": list(self.pixel)}


@dataclass(frozen=True)
class Push:
    """A bright outline to push a piece against; with ``marks``, witness crosses to push its marks onto."""

    piece: str
    marks: Marks = ()

    def told(self) -> dict[str, Any]:
        """Return what a window needs to know."""
        return {"kind": "push", "piece": self.piece}


@dataclass(frozen=True)
class Span:
    """The crosses of the span that lies in the light: some to be marked, some to be met."""

    piece: str
    draw: Marks = ()
    meet: Marks = ()

    def told(self) -> dict[str, Any]:
        """Return what a window needs to know."""
        return {"kind": "span", "piece": self.piece}


Over: TypeAlias = Aim | Push | Span
