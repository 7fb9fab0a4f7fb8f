"""Which seams a step of the work pricks, and which it sews; how often a piece is cut."""

from __future__ import annotations

import re

from server.leather.pattern import Pattern, Seam, Step
from server.leather.piece import Piece

_CUT = re.compile(r"cut ([0-9]+)")


def holed(pattern: Pattern, step: Step) -> list[Seam]:
    """Return the seams whose holes the light shows for a step."""
    named = [seam for seam in pattern.seams if not step.lines or seam.name in step.lines]
    return named if "hole" in step.roles else []


def pricked(pattern: Pattern, step: Step) -> list[Seam]:
    """Return the seams that a step pricks: those of a pricking step, and of a sewing step those that none before has pricked."""
    here = [seam for seam in holed(pattern, step) if seam.piece == step.piece]
    if "stitch" not in step.roles:
        return here
    pricking = [one for one in pattern.steps if "stitch" not in one.roles and one.piece == step.piece]
    before = {seam.name for one in pricking for seam in holed(pattern, one)}
    return [seam for seam in here if seam.name not in before]


def sewn(pattern: Pattern, step: Step) -> list[Seam]:
    """Return the seams that a step sews; a mate is sewn with its other half."""
    return [seam for seam in holed(pattern, step) if "stitch" in step.roles and not seam.mate]


def times_cut(piece: Piece) -> int:
    """Return how often a piece is cut, as its label says ("cut 2"); once where it says nothing."""
    return next((int(found[1]) for label in piece.labels if (found := _CUT.fullmatch(label.text))), 1)
