"""Layouts: a pattern on the table, piece by piece and step by step."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np

from calibration.arrays import Array
from server import units
from server.errors import Refusal
from server.leather.piece import ROLES, Piece
from server.output.svg import pattern_svg
from server.services.bench.optics import expected_error
from server.services.light.light import Light
from server.services.light.pictures import placement
from server.services.light.stage import BenchInUse, Laid
from server.services.making.made_of import rack_of
from server.services.pattern import drafting
from server.services.pattern.drafted import of_pattern
from server.services.table.arranged import first_lies
from server.store import benches, patterns, things
from server.store import layouts as stored
from server.store.database import Database
from server.store.records import BenchRecord, LayoutRecord, Lie, PatternRecord, ThingRecord

LEATHER_MM = (0.2, 20.0)
"""The thinnest skiver and the thickest sole bend that anyone lays out, mm (common practice, no source)."""

REDRAFTED = (
    "Hidelight drafts this pattern a little differently now than when it was saved: save the pattern again, lay it "
    "again, and do not mix pieces cut before and after."
)


@dataclass(frozen=True)
class LayoutChange:
    """What to change on a layout; None leaves it as it is. ``step`` "" means all steps at once."""

    name: str | None = None
    leather: str | None = None
    step: str | None = None
    show: Mapping[str, bool] | None = None
    placements: Mapping[str, Lie] | None = None


class Layouts:
    """The maker's verbs about layouts."""

    def __init__(self, database: Database, light: Light) -> None:
        self._database, self._light = database, light

    def every(self) -> list[dict[str, Any]]:
        """Return all layouts, the last made first, without their drawings."""
        with self._database.reading() as session:
            return [_headline(record) for record in stored.every(session)]

    def get(self, number: int) -> dict[str, Any]:
        """Return a layout with its pieces, steps and errors; refused when it is not there."""
        with self._database.reading() as session:
            layout = stored.get(session, number)
            pattern = patterns.get(session, layout.pattern_id)
            rack = rack_of(session, pattern)
            return _whole(Laid(layout, pattern, rack=rack), benches.get(session, layout.bench_id))

    def add(self, pattern: int, bench: int, name: str | None) -> dict[str, Any]:
        """Lay a pattern on a bench, its pieces in the middle of the picture: as in the file they came from, else side by side.

        Raises:
            Refusal: there is no such pattern or bench (404).

        """
        with self._database.writing() as session:
            found, record = patterns.get(session, pattern), benches.get(session, bench)
            laid = _first_laid(found, record, things.get(session, found.thing_id), name)
            layout = stored.add(session, pattern_id=pattern, bench_id=bench, laid=laid)
            rack = rack_of(session, found)
        self._light.refresh()
        return _whole(Laid(layout, found, rack=rack), record)

    def change(self, number: int, change: LayoutChange) -> dict[str, Any]:
        """Save a layout as it lies now; the light follows.

        Raises:
            Refusal: there is no such layout (404), step, kind of line or piece, or the leather is not understood.

        """
        with self._database.writing() as session:
            layout = stored.get(session, number)
            pattern, record = patterns.get(session, layout.pattern_id), benches.get(session, layout.bench_id)
            layout = stored.change(session, number, _changed(Laid(layout, pattern), change))
            rack = rack_of(session, pattern)
        self._light.refresh()
        return _whole(Laid(layout, pattern, rack=rack), record)


def _first_laid(pattern: PatternRecord, bench: BenchRecord, thing: ThingRecord, name: str | None) -> stored.Laid:
    drafted = of_pattern(pattern)
    thickness = pattern.measures_mm["leather"]
    return stored.Laid(
        name=name or f"{thing.name} on {bench.name}"[:120],
        leather=_as_typed(pattern.own.choices if pattern.own else thing.measures, thickness),
        leather_mm=thickness,
        step=drafted.steps[0].name if drafted.steps else None,
        show={},
        placements=first_lies(drafted.pieces, pattern.own, BenchInUse(bench)),
    )


def _as_typed(measures: Mapping[str, Any], thickness: float) -> str:
    """Return the leather as the maker wrote it, if that is still what the pattern was drafted for."""
    text = measures.get("leather", "")
    return text if text and units.leather(text, field="leather") == thickness else units.write_length(thickness)


def _changed(laid: Laid, change: LayoutChange) -> stored.Laid:
    layout = laid.layout
    return stored.Laid(
        name=change.name or layout.name,
        leather=layout.leather if change.leather is None else change.leather,
        leather_mm=layout.leather_mm if change.leather is None else _thickness(change.leather),
        step=layout.step if change.step is None else _step(laid, change.step),
        show={**layout.show, **_switched(layout, _kinds(change.show or {}))},
        placements={**layout.placements, **_lies(laid, change.placements or {})},
    )


def _thickness(text: str) -> float:
    mm = units.leather(text, field="leather")
    low, high = LEATHER_MM
    if not low <= mm <= high:
        raise Refusal(f"Leather of {mm:g} mm a ply is not usual: give {low:g} to {high:g} mm.", field="leather")
    return mm


def _step(laid: Laid, name: str) -> str | None:
    known = [step.name for step in laid.drafted.steps]
    if name and name not in known:
        raise Refusal(f"The pattern has no step {name[:40]!r}: it has {', '.join(known)}.", field="step")
    return name or None


def _switched(layout: LayoutRecord, show: Mapping[str, bool]) -> Mapping[str, bool]:
    """Return the kinds of line that are switched over; what stays as it is, is no change. One never switched is on."""
    return {kind: on for kind, on in show.items() if on != layout.show.get(kind, True)}


def _kinds(show: Mapping[str, bool]) -> Mapping[str, bool]:
    unknown = next((kind for kind in show if kind not in ROLES), None)
    if unknown is not None:
        raise Refusal(f"There is no kind of line {unknown[:40]!r}: there is {', '.join(ROLES)}.", field="show")
    return show


def _lies(laid: Laid, lies: Mapping[str, Lie]) -> Mapping[str, Lie]:
    known = laid.layout.placements
    unknown = next((piece for piece in lies if piece not in known), None)
    if unknown is not None:
        raise Refusal(f"The layout has no piece {unknown[:40]!r}: it has {', '.join(known)}.", field="placements")
    return lies


def _headline(layout: LayoutRecord) -> dict[str, Any]:
    return {
        "id": layout.id,
        "name": layout.name,
        "pattern": layout.pattern_id,
        "bench": layout.bench_id,
        "made_at": layout.made_at,
        "changed_at": layout.changed_at,
    }


def _whole(laid: Laid, record: BenchRecord) -> dict[str, Any]:
    layout, bench = laid.layout, BenchInUse(record)
    optics, height = bench.optics, laid.height
    errors = {piece.name: _error(laid, bench, piece) for piece in laid.drafted.pieces}
    return _headline(layout) | {
        "leather": layout.leather,
        "leather_mm": layout.leather_mm,
        "step": layout.step,
        "show": {role: layout.show.get(role, True) for role in ROLES},
        "placements": {piece: asdict(lie) for piece, lie in layout.placements.items()},
        "height": height,
        "thing": laid.pattern.thing_id,
        "pieces": [piece | _judged(errors[piece["name"]], record.tolerance) for piece in drafting.pieces(laid.drafted)],
        "tolerance_mm": record.tolerance,
        "steps": [asdict(step) | {"height": step.height(layout.leather_mm)} for step in laid.drafted.steps],
        "bench": {"id": record.id, "name": record.name, "calibrated": bench.calibrated, "practice": record.practice},
        "footprint": np.round(optics.footprint(height), 2).tolist(),
        "errors": errors,
        "outside": {piece.name: _outside(laid, bench, piece) for piece in laid.drafted.pieces},
        "warning": None if pattern_svg(laid.drafted) == laid.pattern.svg else REDRAFTED,
    }


def _error(laid: Laid, bench: BenchInUse, piece: Piece) -> float | None:
    """Return the largest 95 % error round the piece's outline, mm, or None while the bench is not calibrated."""
    if not bench.calibrated:
        return None
    return float(expected_error(bench.optics, _outline(laid, piece), laid.height).max())


def _judged(error: float | None, tolerance: float) -> dict[str, Any]:
    """Return a piece's expected error, and whether it meets the tolerance; null for both while not calibrated."""
    return {"error_mm": error, "met": None if error is None else error <= tolerance}


def _outside(laid: Laid, bench: BenchInUse, piece: Piece) -> float:
    """Return the share of the piece's outline that the picture does not reach, 0 to 1."""
    lit = bench.optics.to_picture(_outline(laid, piece), laid.height)
    inside = ((lit >= 0) & (lit <= np.array(bench.record.picture))).all(axis=1)
    return round(float(1.0 - inside.mean()), 4)


def outlines(laid: Laid) -> Array:
    """Return the points (n, 2) mm of the outlines of all pieces where they lie."""
    return np.concatenate([_outline(laid, piece) for piece in laid.drafted.pieces])


def _outline(laid: Laid, piece: Piece) -> Array:
    return placement(laid.layout.placements[piece.name]).apply(piece.outline.flatten())
