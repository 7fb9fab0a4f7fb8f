"""A bench as pages show it: in a list, in use, and whole."""

from __future__ import annotations

from typing import Any

from calibration.bench import Bench
from calibration.report import error_summary
from server.services.bench import history, warmth, witness
from server.services.bench.fitting import fit, wanted
from server.services.bench.typed_sightings import count_set_aside, in_force
from server.store.database import Session
from server.store.records import BenchRecord, Document


def summary(record: BenchRecord) -> dict[str, Any]:
    """Return a bench as lists show it."""
    error = record.report["error"] if record.report else None
    return {
        "id": record.id,
        "name": record.name,
        "practice": record.practice,
        "picture": list(record.picture),
        "table": {"width": record.table[0], "depth": record.table[1]},
        "tolerance": record.tolerance,
        "calibrated": record.calibration is not None,
        "calibrated_at": record.calibrated_at,
        "error_mm": None if error is None else {"median": error["median_mm"], "worst": error["worst_mm"]},
        "made_at": record.made_at,
        "changed_at": record.changed_at,
    }


def in_use(session: Session, record: BenchRecord) -> dict[str, Any]:
    """Return a bench as the state shows it: with its last check, its warmth, and whether a session corrected it."""
    last = history.last_check(session, record.id)
    return summary(record) | {
        "session": last,
        "warm": warmth.told(record.warm_since, None if last is None else last["at"]),
        "corrected_at": history.corrected_at(session, record),
    }


def whole(session: Session, record: BenchRecord) -> dict[str, Any]:
    """Return a bench with its sightings, what the adjustment says of them, and its witness marks."""
    found = fit(record.sightings, record.picture)
    shown = in_use(session, record)
    return (
        shown
        | {"sightings": in_force(record.sightings), "report": record.report}
        | wanted(found)
        | {"witness": witness.told(record), "stale": _stale(record, shown["corrected_at"])}
    )


def _stale(record: BenchRecord, corrected_at: str | None) -> str | None:
    """Return what became of the sightings from before a session corrected the bench, None where nothing did."""
    count = count_set_aside(record.sightings)
    if corrected_at is None or count == 0:
        return None
    return (
        f"The projector has shifted and was corrected, so its {count} sightings from before are set aside. The corrected "
        "calibration holds until new sightings suffice for one of their own."
    )


def renewed_report(report: Document | None, bench: Bench) -> dict[str, Any]:
    """Return the report of a calibration whose sightings no longer tell the whole: with the expected error as it is now."""
    told: dict[str, Any] = {"sigma0": None, "redundancy": 0, "trusted": False, "held": [], "warnings": []}
    nothing: dict[str, Any] = {"sightings": [], "worst": None}
    return told | {"frame": bench.frame} | dict(report or {}) | nothing | {"error": error_summary(bench)}
