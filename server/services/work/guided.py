"""What guided work asks of the light: a bench that was checked today, and no lines once the job is done."""

from __future__ import annotations

from server.errors import Refusal
from server.services.bench.bench_check import BenchCheck
from server.services.light.stage import BenchInUse, Laid, Stage
from server.services.work.at_work import AtWork


def led(stage: Stage) -> tuple[AtWork, Laid, BenchInUse]:
    """Return the job of a stage that is led by one, with the layout and the bench that it always has."""
    if stage.work is None or stage.laid is None or stage.bench is None:
        raise TypeError("this stage is not led by a job")
    return stage.work, stage.laid, stage.bench


def check_first(check: BenchCheck) -> None:
    """Refuse (409) to go on with a job whose bench was not checked today."""
    if not check.passed:
        sentence = f"{check.sentence} Check it first, or choose on the work page to go on without."
        raise Refusal(sentence, field="bench", status=409)


def allow(stage: Stage) -> None:
    """Refuse (409) to show a job on a bench that was not checked today; without a job nothing is asked."""
    if stage.work is not None and not over(stage):
        check_first(stage.work.check)


def over(stage: Stage) -> bool:
    """Tell whether the job that is shown is done."""
    return stage.work is not None and stage.work.place.done
