"""What comes out of the store: frozen records, free of any session."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

Document = Mapping[str, Any]
"""A JSON object, read only."""


@dataclass(frozen=True)
class BenchRecord:
    """A bench. ``picture`` is (width, height) px; ``calibration`` and ``report`` are None until the fit holds.

    ``table`` is (width, depth) mm, None where not given; ``tolerance`` mm at 95 %; ``witness`` the marks, each with name,
    place, pixel, own, sigma and ``of``, the time of the calibration it was drawn under; ``guard`` answers by name.
    """

    id: int
    name: str
    practice: bool
    picture: tuple[int, int]
    sightings: Document
    calibration: Document | None
    report: Document | None
    calibrated_at: str | None
    made_at: str
    changed_at: str
    revision: int
    table: tuple[float | None, float | None] = (None, None)
    tolerance: float = 0.5
    witness: tuple[Document, ...] = ()
    warm_since: str | None = None
    guard: Document = field(default_factory=dict)


@dataclass(frozen=True)
class ThingRecord:
    """A thing to be carried; ``measures`` as typed, by name of the measure.

    ``made_of`` names the leather, thread and irons chosen from the rack; ``costing`` copies and hardware, as typed.
    """

    id: int
    name: str
    practice: bool
    family: str
    measures: Mapping[str, str]
    made_at: str
    changed_at: str
    revision: int
    made_of: Mapping[str, str] = field(default_factory=dict)
    costing: Document = field(default_factory=dict)


@dataclass(frozen=True)
class Brought:
    """What a pattern of the maker's own is made of: the drawing's number, its packed sheet, the choices about it."""

    drawing: int
    sheet: bytes
    choices: Document


@dataclass(frozen=True)
class PatternRecord:
    """A saved pattern: measures in mm, the document the pages show, the pattern file.

    ``own`` is what it was made of, when it was not drafted; lists of patterns leave it out. ``made_of`` holds the leather,
    thread and irons as they hung on the rack when it was saved.
    """

    id: int
    thing_id: int
    family: str
    title: str
    measures_mm: Mapping[str, float]
    document: Document
    svg: str
    made_at: str
    own: Brought | None = None
    made_of: Document = field(default_factory=dict)


@dataclass(frozen=True)
class Lie:
    """Where a piece lies: mirrored first, turned by ``turn`` degrees, then its origin moved to (x, y) mm."""

    x: float
    y: float
    turn: float = 0.0
    mirror: bool = False


@dataclass(frozen=True)
class LayoutRecord:
    """A pattern laid on a bench; ``leather`` as typed, ``leather_mm`` the thickness of one ply in mm."""

    id: int
    name: str
    pattern_id: int
    bench_id: int
    leather: str
    leather_mm: float
    step: str | None
    show: Mapping[str, bool]
    placements: Mapping[str, Lie]
    made_at: str
    changed_at: str
    revision: int


@dataclass(frozen=True)
class CheckRecord:
    """A reading of the check figure of ``size`` mm at ``height`` mm, and the verdict on it."""

    id: int
    bench_id: int
    bench_revision: int
    size: float
    height: float
    readings: Mapping[str, float]
    verdict: str
    sentence: str
    made_at: str


@dataclass(frozen=True)
class Entry:
    """What is to be written into a bench's history.

    Args:
        kind: witness, calibration or check.
        decision: what came of it, in one word.
        sentence: the same for the maker.
        drift_mm: median movement of the light since before, mm; None where it cannot be said.
        sigma0: residuals over what was promised; None where nothing was tested.
        still_chance, shift_chance: chance of such residuals at rest, and after a small shift.
        off_mm: by witness, how far it was from its mark.
        calibration_before: the calibration that was in use.

    """

    kind: str
    decision: str
    sentence: str
    drift_mm: float | None = None
    sigma0: float | None = None
    still_chance: float | None = None
    shift_chance: float | None = None
    off_mm: Mapping[str, float] = field(default_factory=dict)
    calibration_before: Document | None = None


@dataclass(frozen=True)
class SessionRecord:
    """An entry in a bench's history, and when it was made."""

    id: int
    bench_id: int
    at: str
    entry: Entry
