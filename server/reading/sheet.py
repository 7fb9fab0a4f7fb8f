"""What every reader gives: a sheet of lines in mm (x right, y down), with what was left out named."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Kind = Literal["svg", "dxf", "pdf"]
_HEAD = re.compile(r" (?=that |of |on |to |in |wholly |drawn |without |with |whose |which )")
"""What may follow the thing itself in the name of its kind."""


@dataclass(frozen=True)
class Look:
    """What lines that belong together share, as the file has it.

    Attributes:
        layer: name of the layer, group or spot colour; "" when there is none.
        colour: "#rrggbb", or "" when it is not known.
        dash: lengths of dashes and gaps in turn, mm; empty for an unbroken line.

    """

    layer: str = ""
    colour: str = ""
    dash: tuple[float, ...] = ()

    @property
    def key(self) -> str:
        """Return the name the look goes by in an assignment, the same for the same file."""
        dash = " ".join(f"{length:.2f}" for length in self.dash)
        return f"{self.layer}|{self.colour}|{dash}"

    @property
    def words(self) -> str:
        """Return the look as a person reads it."""
        line = "no colour" if not self.colour else f"colour {self.colour}"
        layer = f"layer {self.layer!r}, " if self.layer else ""
        return f"{layer}{line}, {'dashed' if self.dash else 'unbroken'}"


@dataclass(frozen=True, eq=False)
class SheetLine:
    """One line of a sheet.

    Attributes:
        points: (n, 2) mm, n >= 2; a closed line does not repeat its first point.
        closed: whether the last point joins the first.
        look: layer, colour, dash.
        page: counted from 1.
        filled: whether the file shows it as an area without a line round it.

    """

    points: Array
    closed: bool
    look: Look = Look()
    page: int = 1
    filled: bool = False

    @cached_property
    def length(self) -> float:
        """Length in mm, round to the start when closed."""
        ring = np.concatenate((self.points, self.points[:1])) if self.closed else self.points
        return float(np.hypot(*np.diff(ring, axis=0).T).sum())

    @cached_property
    def box(self) -> tuple[float, float, float, float]:
        """Left, top, right, bottom, mm."""
        x, y = self.points.T
        return float(x.min()), float(y.min()), float(x.max()), float(y.max())


@dataclass(frozen=True)
class Dropped:
    """Things of one kind that were left out, or read otherwise than they look.

    Attributes:
        what: the kind, such as "texts".
        count: how many.
        example: up to three of them, as a person would find them; may be "".
        why: what became of them.

    """

    what: str
    count: int
    example: str = ""
    why: str = "left out"

    @property
    def words(self) -> str:
        """Return it as a sentence."""
        example = f", such as {self.example}" if self.example else ""
        what = _one_of(self.what) if self.count == 1 else self.what
        return f"{self.count} {what} {self.why}{example}."


@dataclass(frozen=True)
class Page:
    """A page's number, counted from 1, and its width and height in mm."""

    number: int
    width: float
    height: float


@dataclass(frozen=True, eq=False)
class Sheet:
    """A file, read.

    Attributes:
        name: the file's.
        kind: "svg", "dxf" or "pdf".
        lines: in the order of the file.
        pages: in order.
        unit_known: whether the file states its unit. If not, the points are in mm only if `unit` is right.
        unit: the unit the numbers of the file were taken for: "mm", "cm", "in", "pt", "px" (1/96 in) and others.
        dropped: what was left out, never silently.
        notes: what else there is to say, a sentence each.

    """

    name: str
    kind: Kind
    lines: tuple[SheetLine, ...]
    pages: tuple[Page, ...]
    unit_known: bool
    unit: str
    dropped: tuple[Dropped, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def looks(self) -> tuple[Look, ...]:
        """The looks that occur, in the order in which they are met."""
        return tuple(dict.fromkeys(line.look for line in self.lines))

    @property
    def question(self) -> str | None:
        """The question to ask when the file does not say its unit, else None."""
        if self.unit_known:
            return None
        width, height = extent(self.lines)
        size = f"{width:.1f} x {height:.1f} mm ({width / 25.4:.2f} x {height / 25.4:.2f} in)"
        return (
            f"The file does not say its unit. Taken for {self.unit} the drawing is {size}: "
            "choose its unit, or point at a line whose true length you know."
        )


def _one_of(things: str) -> str:
    """Return the name of several things for one of them, such as "entity that is hidden"; a pair of kinds stays as it is."""
    head = _HEAD.split(things, maxsplit=1)[0]
    if " and " in head or not head.endswith("s"):
        return things
    one = f"{head[:-3]}y" if head.endswith("ies") else head[: -2 if head.endswith(("shes", "xes")) else -1]
    rest = things[len(head) :]
    return one + (f" that is {rest[10:]}" if rest.startswith(" that are ") else rest)


def extent(lines: Sequence[SheetLine]) -> tuple[float, float]:
    """Return width and height, mm, of the largest page's lines; (0, 0) without any."""
    if not lines:
        return 0.0, 0.0
    sizes = []
    for page in {line.page for line in lines}:
        points = np.concatenate([line.points for line in lines if line.page == page])
        sizes.append(np.ptp(points, axis=0).tolist())
    width, height = max(sizes, key=lambda size: float(size[0] * size[1]))
    return float(width), float(height)


def rescaled(sheet: Sheet, factor: float) -> Sheet:
    """Return the sheet with every length times `factor`, its unit now known."""
    lines = tuple(
        replace(line, points=line.points * factor, look=replace(line.look, dash=_times(line.look.dash, factor)))
        for line in sheet.lines
    )
    pages = tuple(Page(page.number, page.width * factor, page.height * factor) for page in sheet.pages)
    return replace(sheet, lines=lines, pages=pages, unit_known=True)


def _times(dash: tuple[float, ...], factor: float) -> tuple[float, ...]:
    return tuple(length * factor for length in dash)
