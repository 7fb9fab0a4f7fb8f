"""A bench as pages show it: in a list, in use, and whole."""

from __future__ import annotations

from typing import Any

from calibration.bench import Bench
from calibration.report import error_summary
from server.services import history, warmth, witness
from server.services.fitting import fit, wanted
from server.store.database import Session
from server.store.records import BenchRecord, Document

STALE = "The projector was corrected after these sightings were taken: clear them before you sight it anew."


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
    kept = any(record.sightings[name] for name in ("positions", "distances", "lens"))
    return (
        shown
        | {"sightings": record.sightings, "report": record.report}
        | wanted(found)
        | {"witness": witness.told(record), "stale": STALE if shown["corrected_at"] and kept else None}
    )


def renewed_report(report: Document | None, bench: Bench) -> dict[str, Any]:
    """Return the report of a calibration whose sightings no longer tell the whole: with the expected error as it is now."""
    nothing: dict[str, Any] = {
        "sigma0": None,
        "redundancy": 0,
        "trusted": False,
        "sightings": [],
        "worst": None,
        "held": [],
        "warnings": [],
    }
    return nothing | {"frame": bench.frame} | dict(report or {}) | {"error": error_summary(bench)}
