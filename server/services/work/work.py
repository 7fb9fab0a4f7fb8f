"""Guided work: from step to step and blow to blow, in the light and on every page alike."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import replace
from typing import Any, TypeAlias

from server.errors import Refusal
from server.services.light.light import Light
from server.services.light.shown import Shown
from server.services.streams import Streams
from server.services.work import job_view
from server.services.work.at_work import AtWork
from server.services.work.guided import check_first, led
from server.services.work.job_path import Place
from server.services.work.jobs import JobChange, Jobs, Start, moved
from server.services.work.pace import Pace
from server.store.clock import now
from server.store.jobs import JobRecord, JobState

Change: TypeAlias = Callable[[JobRecord], JobState | None]
"""What becomes of a job; None leaves it as it is."""

DARK = "The light does not show this job: light it first, then the blows can follow by themselves."


class Work:
    """The maker's verbs about guided work. Every method may be called from any thread."""

    def __init__(self, jobs: Jobs, light: Light, streams: Streams, pace: Pace) -> None:
        self._jobs, self._light, self._streams, self._pace = jobs, light, streams, pace
        self._going = threading.Lock()

    def every(self) -> list[dict[str, Any]]:
        """Return all jobs as lists show them, the one worked on last first."""
        return [one | self._live(one["id"]) for one in self._jobs.every()]

    def get(self, number: int) -> dict[str, Any]:
        """Return a job at its place; one whose layout is gone with a sentence instead. Refused (404) when there is none."""
        record = self._jobs.record(number)
        try:
            stage = self._jobs.stage(number)
        except Refusal as refusal:
            return job_view.headline(record, None) | self._live(number) | {"gone": refusal.sentence}
        return job_view.whole(stage) | self._live(number)

    def drawing(self, number: int) -> dict[str, Any]:
        """Return what the light draws for a job, in table mm; refused as ``Jobs.stage``."""
        return job_view.drawing(self._jobs.stage(number))

    def start(self, start: Start) -> dict[str, Any]:
        """Start a job; refused as ``Jobs.start``."""
        number = self._jobs.start(start)
        self._jobs.change(number, _at(self._place(number)))
        self._streams.touch("state")
        return self.get(number)

    def go(self, number: int, by: int, revision: int) -> dict[str, Any]:
        """Go on (``by`` 1) or back (-1) by one place, from what the maker saw: the job at this revision.

        A press that comes twice, or on a job that has moved meanwhile, changes nothing: ``moved`` in the answer tells.

        Raises:
            Refusal: there is no such job (404), its layout is gone, or its bench is not checked today (409).

        """
        self._halt(number)
        went = self._move(number, revision, lambda work: work.path.go(work.place, by))
        return self.get(number) | {"moved": went}

    def jump(self, number: int, step: str, revision: int) -> dict[str, Any]:
        """Go to the beginning of a step of the present copy; as ``go``, and refused (422) for a step that is not there."""
        self._halt(number)
        went = self._move(number, revision, lambda work: _begin(work, step))
        return self.get(number) | {"moved": went}

    def end(self, number: int, revision: int) -> dict[str, Any]:
        """Call a job done where it stands; going back takes it up again there."""
        self._halt(number)
        with self._going:
            went = self._jobs.change(number, _if_at(revision, lambda job: replace(job.state, done_at=now())))
        self._follow(number)
        return self.get(number) | {"moved": went}

    def change(self, number: int, change: JobChange) -> dict[str, Any]:
        """Change a job's name, copies, side, rate, or whether it goes blow by blow.

        Raises:
            Refusal: fewer copies than the one that is being made.

        """
        with self._going:
            self._jobs.change(number, lambda job: _changed(job, change))
            if change.by_strike is not None:
                self._halt(number)
                self._jobs.change(number, _at(self._place(number)))
        self._follow(number)
        return self.get(number)

    def waive(self, number: int) -> dict[str, Any]:
        """Go on today without a check of the bench."""
        with self._going:
            self._jobs.change(number, lambda job: replace(job.state, unchecked_at=now()))
        self._follow(number)
        return self.get(number)

    def show(self, number: int) -> dict[str, Any]:
        """Show the job in the light.

        Raises:
            Refusal: there is no such job (404), its layout is gone, or its bench is not calibrated or not checked (409).

        """
        stage = self._jobs.stage(number)
        self._light.show(Shown(mode="layout", layout=stage.shown.layout, job=number))
        return self.get(number)

    def run(self, number: int, rate: float | None = None) -> dict[str, Any]:
        """Let the blows of the present step follow by themselves, ``rate`` a minute or at the job's own rate.

        Raises:
            Refusal: this step has no blows, or the light does not show the job (409).

        """
        work = self._place(number)
        if work.strike is None or work.place.done:
            raise Refusal("This step has no blows that could follow by themselves.", field="step", status=409)
        if not self._lit(number):
            raise Refusal(DARK, field="light", status=409)
        if rate is not None:
            self.change(number, JobChange(rate=rate))
        self._pace.start(number, rate or work.job.state.rate, self.beat)
        self._streams.touch("state")
        return self.get(number)

    def pause(self, number: int) -> dict[str, Any]:
        """Let the blows follow by themselves no longer."""
        self._halt(number)
        return self.get(number)

    def beat(self, number: int) -> bool:
        """Go on by one blow, as the clock does; tell whether another is to follow.

        It stops before the step would change, when another seam begins, and when the light no longer shows the job.
        """
        before = self._place(number)
        after = before.path.go(before.place, 1)
        same = (after.copy, after.step) == (before.place.copy, before.place.step) and not after.done
        went = same and self._lit(number) and self._move(number, before.job.revision, lambda _work: after)
        if went and _same_seam(before, after):
            return True
        self._halt(number)
        return False

    def _move(self, number: int, revision: int, to: Callable[[AtWork], Place]) -> bool:
        """Move a job from the place it has at this revision; tell whether it was still there."""
        with self._going:
            work = self._place(number)
            check_first(work.check)
            went = self._jobs.change(number, _if_at(revision, _at(work, to(work))))
        if went:
            self._follow(number)
        return went

    def _place(self, number: int) -> AtWork:
        return led(self._jobs.stage(number))[0]

    def _halt(self, number: int) -> None:
        """Let no more blows follow by themselves."""
        if self._pace.stop(number):
            self._streams.touch("state")

    def _follow(self, number: int) -> None:
        """Let the light and the pages show what has changed."""
        if self._light.shown.job == number:
            self._light.refresh()
        else:
            self._streams.touch("state")

    def _lit(self, number: int) -> bool:
        """Tell whether the light shows this job where it can be seen: in a window that fits, or on the practice table."""
        light, stage = self._light, self._light.stage
        frame = light.frame()
        if light.shown.job != number or stage.bench is None or frame.black or frame.sentence is not None:
            return False
        return stage.bench.record.practice or (light.windows.open and light.misfit() is None)

    def _live(self, number: int) -> dict[str, Any]:
        return {"running": self._pace.running == number, "in_light": self._light.shown.job == number}


def _begin(work: AtWork, step: str) -> Place:
    """The beginning of a step of the present copy."""
    known = [one.name for one in work.pattern.steps]
    if step not in known:
        raise Refusal(f"The pattern has no step {step[:40]!r}: it has {', '.join(known)}.", field="step")
    return work.path.begin(step, work.place.copy)


def _if_at(revision: int, change: Change) -> Change:
    """The same change for a job that is still at this revision, none for any other."""
    return lambda job: change(job) if job.revision == revision else None


def _at(work: AtWork, place: Place | None = None) -> Change:
    """What moves a job to a place, or to its own as its pattern and rack have it."""
    return lambda job: moved(job.state, place or work.place)


def _changed(job: JobRecord, change: JobChange) -> JobState:
    """The job's state with what is to be changed."""
    if change.copies is not None and change.copies < job.state.copy:
        sentence = f"Copy {job.state.copy} is being made: give {job.state.copy} copies or more."
        raise Refusal(sentence, field="copies")
    given = {name: value for name, value in vars(change).items() if value is not None}
    return replace(job.state, **given)


def _same_seam(before: AtWork, after: Place) -> bool:
    """Tell whether the blow after this one is on the same seam."""
    return (
        after.strike is not None
        and before.strike is not None
        and before.strikes[after.strike].seam == before.strike.seam
    )
