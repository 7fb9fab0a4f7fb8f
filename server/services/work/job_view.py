"""A job as pages and phones show it."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

import numpy as np

from calibration.arrays import Array
from server.output.scene import Scene
from server.services.bench.bench_check import BenchCheck
from server.services.light.pictures import placement, scenes
from server.services.light.stage import Stage
from server.services.work import step_card
from server.services.work.at_work import AtWork
from server.services.work.card_words import ahead, strike_words, where
from server.services.work.guided import led, over
from server.store.jobs import JobRecord

GONE = "The layout of this job is no longer there: bring it back, or start the job anew from another."


def kept(job: JobRecord) -> dict[str, Any]:
    """Return what is kept of a job."""
    state = job.state
    return {
        "id": job.id,
        "name": job.name,
        "revision": job.revision,
        "layout": job.layout_id,
        "copies": state.copies,
        "copy": state.copy,
        "order": state.order,
        "side": state.side,
        "rate": state.rate,
        "by_strike": state.by_strike,
        "done": state.done_at is not None,
        "done_at": state.done_at,
        "made_at": job.made_at,
        "changed_at": job.changed_at,
    }


def in_state(job: JobRecord | None, in_light: int | None, running: int | None) -> dict[str, Any] | None:
    """Return the job in use as the state tells of it: enough for a page to see that it has changed."""
    if job is None:
        return None
    place = {"step": job.state.step, "strike": job.state.strike}
    live = {"in_light": job.id == in_light, "running": job.id == running}
    keys = ("id", "name", "revision", "copies", "copy", "done")
    return {key: kept(job)[key] for key in keys} | place | live


def headline(job: JobRecord, work: AtWork | None) -> dict[str, Any]:
    """Return a job as a list shows it; ``work`` is None when its layout is gone, or when it is done."""
    done = job.state.done_at is not None
    return kept(job) | {
        "where": None if work is None or done else where(work),
        "title": None if work is None or done else work.step.title,
        "progress": 1.0 if done else 0.0 if work is None else round(work.path.share(work.place), 4),
        "gone": GONE if work is None and not done else None,
    }


def whole(stage: Stage) -> dict[str, Any]:
    """Return a job with its step, its blow, its bench and its card."""
    work, laid, bench = led(stage)
    record = bench.record
    return headline(work.job, work) | {
        "bench": {"id": record.id, "name": record.name, "practice": record.practice},
        "layout_name": laid.layout.name,
        "leather": laid.layout.leather,
        "step": _step(work),
        "steps": [
            {"name": one.name, "title": one.title, "strikes": len(work.blows.get(one.name, ()))}
            for one in work.pattern.steps
        ],
        "strike": _strike(work),
        "next": ahead(work),
        "check": check_json(work.check),
        "card": _card(stage),
    }


def check_json(check: BenchCheck) -> dict[str, Any]:
    """Return what is known of the bench today."""
    return asdict(check) | {"passed": check.passed}


def drawing(stage: Stage) -> dict[str, Any]:
    """Return what the light draws for a job, in table mm: outlines of the pieces, lit lines, card, and the picture's edge.

    Lines are ``[kind, closed, [x, y, x, y, ...]]``.
    """
    _, laid, bench = led(stage)
    lies = stage.lies()
    lit = {} if over(stage) else scenes(laid)
    card = step_card.of_stage(stage)
    return {
        "footprint": np.round(bench.optics.footprint(stage.height), 1).tolist(),
        "pieces": [
            {
                "name": piece.name,
                "title": piece.title,
                "points": _flat(placement(lies[piece.name]).apply(piece.outline.flatten())),
            }
            for piece in laid.drafted.pieces
        ],
        "lines": [line for name, scene in lit.items() for line in _lines(scene, placement(lies[name]).apply)],
        "card": None if card is None else _lines(card.scene(), card.placement.apply),
        "card_box": None if card is None else _flat(card.corners()),
    }


def _lines(scene: Scene, place: Any) -> list[list[Any]]:
    return [[item.kind, item.closed, _flat(place(item.points))] for item in scene.items]


def _flat(points: Array) -> list[float]:
    flat: list[float] = np.round(points, 2).ravel().tolist()
    return flat


def _step(work: AtWork) -> dict[str, Any]:
    step, names = work.step, [one.name for one in work.pattern.steps]
    return {
        "name": step.name,
        "title": step.title,
        "words": step.words,
        "tools": list(step.tools),
        "caution": step.caution,
        "waits": list(work.waits),
        "piece": step.piece,
        "piece_title": work.pattern.piece(step.piece).title,
        "plies_under": step.plies_under,
        "height_mm": round(step.height(work.leather), 3),
        "number": names.index(step.name) + 1,
        "of": len(names),
    }


def _strike(work: AtWork) -> dict[str, Any] | None:
    strike = work.strike
    if strike is None or work.place.strike is None:
        return None
    return {
        "number": work.place.strike + 1,
        "of": len(work.strikes),
        "seam": strike.title,
        "seam_number": strike.number,
        "seam_of": strike.of,
        "tool": strike.tool,
        "words": strike.words,
        "said": strike_words(work),
        "tines": [[hole, made] for hole, made in zip(strike.numbers, strike.made, strict=True)],
    }


def _card(stage: Stage) -> dict[str, Any]:
    card = step_card.of_stage(stage)
    return {
        "shown": card is not None,
        "sentence": step_card.sentence(stage, card),
        "letter_mm": None if card is None else round(card.size, 2),
        "short": card is not None and card.short,
    }
