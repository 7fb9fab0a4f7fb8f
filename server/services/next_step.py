"""What the maker should do next: one sentence, and where."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

from server.services.times import is_today
from server.store.jobs import JobRecord
from server.store.records import BenchRecord, CheckRecord, LayoutRecord, ThingRecord

Action = Literal["practice-start", "add-bench", "open-light", "lay"]


@dataclass(frozen=True)
class Standing:
    """Where things stand: what is in use, how the projector window fits, and what the last session check said."""

    thing: ThingRecord | None
    bench: BenchRecord | None
    layout: LayoutRecord | None
    check: CheckRecord | None
    window_open: bool
    misfit: str | None
    checked: dict[str, Any] | None = None
    corrected_at: str | None = None
    wants_calibration: bool = False
    job: JobRecord | None = None


@dataclass(frozen=True)
class NextStep:
    """The words, the page to go to (None when an action does it), and the action (None when the page is enough)."""

    words: str
    href: str | None
    action: Action | None = None


def next_step(now: Standing) -> NextStep:
    """Return the first thing that is still wanting on the way from a thing to light on leather."""
    if now.thing is None and now.bench is None:
        return NextStep(
            "Walk through the whole job in the practice workshop, or draft a thing of your own.", None, "practice-start"
        )
    if now.thing is None:
        return NextStep("Measure a thing and draft its pattern.", "/draft")
    if now.bench is None:
        return NextStep("Set up the bench that your projector lights.", None, "add-bench")
    return _with_bench(now, now.thing, now.bench)


def _with_bench(now: Standing, thing: ThingRecord, bench: BenchRecord) -> NextStep:
    if not now.window_open and not bench.practice:
        return NextStep("Open the projector window and put it on the projector, full screen.", "/light", "open-light")
    if now.misfit is not None and not bench.practice:
        return NextStep(now.misfit, "/light", "open-light")
    if bench.calibration is None:
        return NextStep(f"Calibrate {bench.name}, so that the light knows where it lands.", f"/bench/{bench.id}")
    if now.wants_calibration:
        return NextStep(f"Calibrate {bench.name} anew: it moved by more than a shift.", f"/bench/{bench.id}")
    if now.check is None or now.check.made_at < (bench.calibrated_at or ""):
        return NextStep(f"Check {bench.name} with a steel rule.", "/check")
    if not _checked_today(now, now.check):
        return NextStep(f"Check {bench.name} before you cut: nothing was checked today.", f"/bench/{bench.id}#session")
    if now.job is not None and now.job.state.done_at is None:
        return NextStep(f"Go on with {now.job.name}: the light leads you from step to step.", f"/work/{now.job.id}")
    if now.layout is None:
        return NextStep(f"Lay {thing.name} on the table.", f"/draft/{thing.id}", "lay")
    return NextStep(f"Work on {now.layout.name}: step by step at the table.", f"/table/{now.layout.id}")


def _checked_today(now: Standing, check: CheckRecord) -> bool:
    return is_today(check.made_at) or (now.checked is not None and bool(now.checked["today"]))
