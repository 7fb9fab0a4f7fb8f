"""The history of a bench: what is written into it, and what stands in it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from calibration.bench import Bench
from calibration.report import error_summary
from calibration.witness import Session as Decided
from server.services.times import is_today, minutes_since
from server.store import sessions as stored
from server.store.database import Session
from server.store.records import BenchRecord, Document, Entry, SessionRecord

SETTLING_MINUTES = 15.0
"""While sightings follow each other faster than this, they belong to one calibration."""

DRIFT_COLUMNS, DRIFT_ROWS = 9, 6
"""The grid over the picture on which a movement is measured."""


def note_calibration(session: Session, before: BenchRecord, bench: Bench, report: Document) -> None:
    """Write that a bench was calibrated; the entry is renewed while its sightings are still being taken."""
    last = stored.latest(session, before.id)
    settling = last is not None and last.entry.decision == "calibrated" and minutes_since(last.at) < SETTLING_MINUTES
    earlier = last.entry.calibration_before if last is not None and settling else before.calibration
    drift = _drift(earlier, bench)
    entry = Entry(
        "calibration", "calibrated", _words(bench, drift), drift, report["sigma0"], calibration_before=earlier
    )
    if last is not None and settling:
        stored.renew(session, last.id, entry)
    else:
        stored.add(session, before.id, entry)


def note_import(session: Session, bench_id: int, bench: Bench) -> None:
    """Write that a bench's calibration came from a file."""
    stored.add(session, bench_id, Entry("calibration", "imported", f"From a bench file. {_words(bench, None)}"))


def note_session(session: Session, record: BenchRecord, decided: Decided) -> None:
    """Write what a session check decided."""
    entry = Entry(
        kind="witness",
        decision=decided.decision,
        sentence=decided.sentence,
        drift_mm=decided.drift_mm,
        sigma0=decided.sigma0,
        still_chance=decided.still_chance,
        shift_chance=decided.shift_chance,
        off_mm={name: round(off, 3) for name, off in decided.off_mm.items()},
        calibration_before=record.calibration,
    )
    stored.add(session, record.id, entry)


def note_check(session: Session, bench_id: int, verdict: str, sentence: str, ratios: Sequence[float]) -> None:
    """Write the verdict of the steel rule; ``ratios`` are its differences over what was to be expected."""
    sigma0 = float(np.sqrt(np.mean(np.square(ratios)))) if ratios else None
    stored.add(session, bench_id, Entry("check", verdict, sentence, sigma0=sigma0))


def every(session: Session, bench_id: int) -> list[dict[str, Any]]:
    """Return the history of a bench as pages show it, newest first."""
    return [_told(record) for record in stored.every(session, bench_id)]


def last_check(session: Session, bench_id: int) -> dict[str, Any] | None:
    """Return the last session check or reading of the rule, and how long ago it was; None when there was none."""
    found = stored.latest(session, bench_id, "witness", "check")
    if found is None:
        return None
    entry = found.entry
    ago = {"minutes_ago": round(minutes_since(found.at)), "today": is_today(found.at)}
    return {"at": found.at, "kind": entry.kind, "decision": entry.decision, "sentence": entry.sentence} | ago


def corrected_at(session: Session, record: BenchRecord) -> str | None:
    """Return when a session check corrected the calibration in use, or None when it stands as the sightings gave it."""
    calibrated = stored.latest(session, record.id, "calibration")
    shifted = stored.latest(session, record.id, "witness", decision="shifted")
    if shifted is None or record.calibration is None or (calibrated is not None and calibrated.id > shifted.id):
        return None
    return shifted.at


def wants_calibration(session: Session, bench_id: int) -> bool:
    """Tell whether the last word on a bench is that it must be calibrated anew."""
    last = stored.latest(session, bench_id, "witness", "calibration")
    return last is not None and last.entry.decision == "anew"


def _told(record: SessionRecord) -> dict[str, Any]:
    entry = record.entry
    return {
        "id": record.id,
        "at": record.at,
        "kind": entry.kind,
        "decision": entry.decision,
        "drift_mm": entry.drift_mm,
        "sigma0": entry.sigma0,
        "sentence": entry.sentence,
        "off_mm": dict(entry.off_mm),
    }


def _drift(before: Document | None, after: Bench) -> float | None:
    """Return the median movement of the light, mm; None where the two do not share a frame that the table holds."""
    if before is None:
        return None
    earlier = Bench.from_json(before)
    if {earlier.frame, after.frame} != {"positions"} or earlier.picture != after.picture:
        return None
    places = earlier.grid(DRIFT_COLUMNS, DRIFT_ROWS)
    return float(np.median(np.linalg.norm(after.to_table(earlier.to_picture(places)) - places, axis=1)))


def _words(bench: Bench, drift: float | None) -> str:
    error = error_summary(bench)
    moved = "" if drift is None else f" The light lies about {drift:.1f} mm from where it lay before."
    sure = f"{error['median_mm']:.2f} mm in the middle of the range, {error['worst_mm']:.2f} mm at worst"
    return f"Calibrated: lines lie within {sure} (95 %).{moved}"
