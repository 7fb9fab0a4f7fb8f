"""A whole pattern: pieces, seams, the steps of the work, and what is said about it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from server.geometry.path import Point
from server.leather.piece import Drawn, Hole, Label, Piece, Role

Unit = Literal["length", "leather", "count", "ratio", "percent", "choice"]
WaitKind = Literal["tacky", "joint", "drying"]


@dataclass(frozen=True)
class Measure:
    """One measurement the maker gives.

    Attributes:
        name: identifier, such as "edge-margin".
        title: as a person reads it.
        meaning: one sentence: what it is and how it is taken.
        unit: "length" (mm); "leather" (mm) when ounces are understood too; "count", a whole number; "ratio", a plain
            number; "percent"; or "choice", one of `choices`, kept as its place in them (0, 1, ...).
        low: least value, in mm or in its unit.
        high: greatest value.
        default: in mm or its unit, or None when it is derived from the other measures while left empty.
        reference: where the default and the range come from.
        figure: id of the small drawing that shows where it is measured.
        choices: (name, title) of each, for a choice; else empty.

    """

    name: str
    title: str
    meaning: str
    unit: Unit
    low: float
    high: float
    default: float | None
    reference: str
    figure: str
    choices: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Step:
    """One step of the work, and what the light shows for it.

    Attributes:
        name: identifier, such as "cut-front".
        title: the step in a few words.
        words: what to do.
        piece: the name of the piece the light lies on.
        roles: the roles that are lit.
        lines: if not empty, only the lines (or holes of seams, or labels) of these names are lit.
        plies_under: how many plies lie under the light, the lit one too.
        tools: what is used.
        caution: what to mind for safety; may be empty.
        others_mm: thickness of each of those plies that is not the pattern's own leather, such as a welt, mm.
        waits: what must rest before the work goes on: glue until it is tacky, a joint until it holds, wet leather until dry.

    """

    name: str
    title: str
    words: str
    piece: str
    roles: tuple[Role, ...]
    lines: tuple[str, ...]
    plies_under: int
    tools: tuple[str, ...]
    caution: str
    others_mm: tuple[float, ...] = ()
    waits: tuple[WaitKind, ...] = ()

    def height(self, leather: float) -> float:
        """Return how high the lit surface is above the table, mm, where a ply of the pattern's leather is `leather` mm."""
        return leather * (self.plies_under - len(self.others_mm)) + math.fsum(self.others_mm)

    def shows(self, item: Drawn | Hole | Label) -> bool:
        """Return whether the light shows this item of the step's piece."""
        if isinstance(item, Hole):
            role: Role = "hole"
            name = item.seam
        else:
            role = "mark" if isinstance(item, Label) else item.role
            name = item.name
        return role in self.roles and (not self.lines or name in self.lines)


@dataclass(frozen=True)
class Sentence:
    """One thing the draft says.

    Attributes:
        kind: a fit, a bound, a count or a warning.
        words: the sentence.
        value: its number in mm (or a count), if it has one.
        formula: how the number comes about, with the values in it, such as "W + 2 a = 85.6 + 2 x 2.7 = 91.0 mm".
        measure: the name of the measure that this number stands for when it is left empty, or None.

    """

    kind: Literal["fit", "bound", "count", "warning"]
    words: str
    value: float | None = None
    formula: str | None = None
    measure: str | None = None


@dataclass(frozen=True)
class Dimension:
    """A dimension line for the drawing.

    Attributes:
        label: what it measures.
        piece: the piece it belongs to.
        start: mm, piece-local.
        end: mm, piece-local.
        offset: mm the dimension line stands off, to the right-hand side as one walks from start to end
            (down for a walk to the right).
        measure_name: the measure that sets it, or None when it follows from several.
        value_mm: the dimension, mm.

    """

    label: str
    piece: str
    start: Point
    end: Point
    offset: float
    measure_name: str | None
    value_mm: float


@dataclass(frozen=True)
class Seam:
    """One seam, as it is pricked and sewn.

    Attributes:
        name: as its stitch line and its holes are named.
        title: as a person reads it.
        piece: the piece that carries its holes.
        closed: whether it runs round to its start.
        holes: how many.
        stitches: how many.
        pitch_mm: the eased pitch: the chord between neighbouring holes, the mean over its spans.
        length_mm: length of the stitch line.
        plies: how many plies it goes through.
        thread_mm: saddle-stitch thread with back stitches and tails; of the seam by itself as it is drafted, its share of the
            threads that are cut once the pattern is worked out for a rack.
        strikes: blows of the pricking irons, and `irons` says of which: a usual set as it is drafted, then the rack's.
        irons: (tines, strikes) for each iron used, the widest first.
        eased_mm: how much longer than its mate this line is drawn on purpose, mm (negative: shorter), because it is
            stretched or bent round a corner when it is sewn.
        stack_mm: thickness of those plies together, mm; 0 where it is not known.
        mate: the seam whose thread goes through these holes too (they lie on another piece, or beyond a fold), or "";
            a mate is pricked on its own and takes no thread of its own.

    """

    name: str
    title: str
    piece: str
    closed: bool
    holes: int
    stitches: int
    pitch_mm: float
    length_mm: float
    plies: int
    thread_mm: float
    strikes: int
    irons: tuple[tuple[int, int], ...]
    mate: str = ""
    stack_mm: float = 0.0
    eased_mm: float = 0.0

    def stack(self, leather: float) -> float:
        """Return what is sewn through, mm; where the seam does not say, its plies of `leather` mm."""
        return self.stack_mm or self.plies * leather


@dataclass(frozen=True)
class Pattern:
    """A drafted pattern. `measures` holds every measure in mm, the derived ones too."""

    family: str
    title: str
    measures: Mapping[str, float]
    pieces: tuple[Piece, ...]
    seams: tuple[Seam, ...]
    steps: tuple[Step, ...]
    sentences: tuple[Sentence, ...]
    dimensions: tuple[Dimension, ...]

    def __post_init__(self) -> None:
        object.__setattr__(self, "measures", MappingProxyType(dict(self.measures)))

    def piece(self, name: str) -> Piece:
        """Return the piece of that name; KeyError when there is none."""
        for piece in self.pieces:
            if piece.name == name:
                return piece
        raise KeyError(name)

    def seam(self, name: str) -> Seam:
        """Return the seam of that name; KeyError when there is none."""
        for seam in self.seams:
            if seam.name == name:
                return seam
        raise KeyError(name)

    def step(self, name: str) -> Step:
        """Return the step of that name; KeyError when there is none."""
        for step in self.steps:
            if step.name == name:
                return step
        raise KeyError(name)
