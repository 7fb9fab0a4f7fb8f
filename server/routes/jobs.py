"""Jobs: the pages of guided work, and going on and back."""

from __future__ import annotations

from typing import Any

from flask import Blueprint

from server.routes.pages import page
from server.routes.reading import body
from server.routes.wiring import workshop
from server.services.work.jobs import MOST_COPIES, ORDERS, RATES, SIDES, JobChange, Start

jobs = Blueprint("jobs", __name__)


@jobs.get("/work")
def listed() -> str:
    """Jobs under way, finished ones, and the start of a new one."""
    return page("jobs")


@jobs.get("/work/<int:number>")
def shown(number: int) -> str:
    """Guided work on one job."""
    workshop().jobs.record(number)
    return page("work", job_id=number)


@jobs.get("/api/jobs")
def every() -> list[dict[str, Any]]:
    """Answer all jobs."""
    return workshop().work.every()


@jobs.post("/api/jobs")
def start() -> tuple[dict[str, Any], int]:
    """Start a job."""
    given = body().only("layout", "pattern", "bench", "copies", "leather", "name", "order", "side", "by_strike")
    wanted = Start(
        copies=given.whole("copies", 1, MOST_COPIES) if given.has("copies") else 1,
        layout=given.whole("layout") if given.has("layout") else None,
        pattern=given.whole("pattern") if given.has("pattern") else None,
        bench=given.whole("bench") if given.has("bench") else None,
        leather=given.text("leather", 40) if given.has("leather") else None,
        name=given.text("name") if given.has("name") else None,
        order=given.choice("order", ORDERS) if given.has("order") else "copy",
        side=given.choice("side", SIDES) if given.has("side") else None,
        by_strike=given.flag("by_strike") if given.has("by_strike") else True,
    )
    return workshop().work.start(wanted), 201


@jobs.get("/api/jobs/<int:number>")
def get(number: int) -> dict[str, Any]:
    """Answer a job at its place."""
    return workshop().work.get(number)


@jobs.put("/api/jobs/<int:number>")
def change(number: int) -> dict[str, Any]:
    """Change how a job is worked; what is left out stays as it is."""
    given = body().only("name", "copies", "side", "rate", "by_strike")
    return workshop().work.change(
        number,
        JobChange(
            name=given.text("name") if given.has("name") else None,
            copies=given.whole("copies", 1, MOST_COPIES) if given.has("copies") else None,
            side=given.choice("side", SIDES) if given.has("side") else None,
            rate=given.number("rate", *RATES) if given.has("rate") else None,
            by_strike=given.flag("by_strike") if given.has("by_strike") else None,
        ),
    )


@jobs.get("/api/jobs/<int:number>/drawing")
def drawing(number: int) -> dict[str, Any]:
    """Answer what the light draws for a job, in table mm."""
    return workshop().work.drawing(number)


@jobs.post("/api/jobs/<int:number>/go")
def go(number: int) -> dict[str, Any]:
    """Go on or back by one place, or to the beginning of a step."""
    given = body().only("by", "step", "revision")
    revision = given.whole("revision")
    if given.has("step"):
        return workshop().work.jump(number, given.text("step"), revision)
    return workshop().work.go(number, 1 if given.number("by", -1, 1) > 0 else -1, revision)


@jobs.post("/api/jobs/<int:number>/end")
def end(number: int) -> dict[str, Any]:
    """Call a job done where it stands."""
    return workshop().work.end(number, body().only("revision").whole("revision"))


@jobs.post("/api/jobs/<int:number>/light")
def light(number: int) -> dict[str, Any]:
    """Show the job in the light."""
    body().only()
    return workshop().work.show(number)


@jobs.post("/api/jobs/<int:number>/unchecked")
def unchecked(number: int) -> dict[str, Any]:
    """Go on today without a check of the bench."""
    body().only()
    return workshop().work.waive(number)


@jobs.post("/api/jobs/<int:number>/pace")
def pace(number: int) -> dict[str, Any]:
    """Let the blows follow by themselves, or no longer."""
    given = body().only("running", "rate")
    if not given.flag("running"):
        return workshop().work.pause(number)
    return workshop().work.run(number, given.number("rate", *RATES) if given.has("rate") else None)
