"""The work sheet for paper: what the services say of a saved pattern, put into words and lists."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from server import units
from server.leather.pattern import Pattern, Step
from server.leather.piece import Piece
from server.output.paper_sheet import SheetStep, SheetTable, WorkSheet
from server.services.sheet import lit

Said = Mapping[str, Any]


def work_sheet(said: Said, pattern: Pattern) -> WorkSheet:
    """Return the work sheet of a pattern.

    Args:
        said: what ``Making.sheet`` answers.
        pattern: the pattern it is about, for the pictures.

    """
    ways = said["thread"]["routes"]
    steps = zip(said["steps"], pattern.steps, strict=True)
    return WorkSheet(
        said["thing"]["name"],
        f"{said['title']}, pattern {said['id']}, saved {said['made_at'][:10]}. {said['cost']['words']}",
        [*_findings(said), *said["lacking"]],
        [
            SheetTable("Measures", ("Measure", "Value"), [(one["title"], one["words"]) for one in said["measures"]]),
            SheetTable("Cut list", ("Piece", "Cut", "Across x down", "Grain"), [_cut(one) for one in pattern.pieces]),
            SheetTable("Thread", ("Thread", "Piece of work", "Cut to length"), list(_threads(said["thread"], pattern))),
            SheetTable("Blows", ("Seam", "Holes", "Stitches", "Pitch", "Blows"), list(_blows(said, pattern))),
        ],
        [_step(one, step, pattern, ways) for one, step in steps],
    )


def _findings(said: Said) -> list[str]:
    found = [f"{one['sentence']} {one['remedy']}" for one in said["findings"]]
    if said["as_saved"]:
        return found
    return [
        "The drafting rules have changed since this pattern was saved: draft it again before you work by it.",
        *found,
    ]


def _cut(piece: Piece) -> tuple[str, str, str, str]:
    """A piece's title, how many are cut (as its label says), its size, and whether its grain is marked."""
    left, top, right, bottom = piece.box()
    many = next((label.text for label in piece.labels if label.text.startswith("cut ")), "cut 1")
    grain = "along the arrow" if any(drawn.name == "grain" for drawn in piece.drawn) else "as it suits"
    return piece.title, many.removeprefix("cut "), f"{right - left:.1f} x {bottom - top:.1f} mm", grain


def _threads(thread: Said, pattern: Pattern) -> Iterator[tuple[str, str, str]]:
    """A line for each piece of thread: which, for which piece of work, how long to cut it."""
    name = thread["name"] or "no thread on the rack suits"
    for route in thread["routes"]:
        title = _title(pattern, route["piece"])
        for piece in route["pieces"]:
            yield f"{name}{_needle(thread)}", title, f"{piece['length'] / 10.0:.0f} cm"


def _needle(thread: Said) -> str:
    return f", {thread['needle']}" if thread["needle"] else ""


def _title(pattern: Pattern, name: str) -> str:
    return next((piece.title for piece in pattern.pieces if piece.name == name), name)


def _blows(said: Said, pattern: Pattern) -> Iterator[tuple[str, ...]]:
    """A line for each seam that a step pricks."""
    for one in (strikes for step in said["steps"] for strikes in step["strikes"]):
        seam = pattern.seam(one["seam"])
        yield seam.title, f"{seam.holes}", f"{seam.stitches}", f"{seam.pitch_mm:.2f} mm", f"{len(one['words'])}"


def _step(said: Said, step: Step, pattern: Pattern, ways: Sequence[Said]) -> SheetStep:
    piece = pattern.piece(step.piece)
    lists = [
        (f"{one['title']}: {len(one['words'])} blows for {one['holes']} holes", one["words"]) for one in said["strikes"]
    ]
    lists += [
        (f"The way of the thread, {_title(pattern, way['piece']).lower()}", way["words"]) for way in _sewn(said, ways)
    ]
    return SheetStep(
        step.title,
        step.words,
        f"{piece.title}, {_plies(step.plies_under)}, {units.write_length(round(said['height_mm'], 1))} above the table.",
        f"You need: {', '.join(said['tools'])}." if said["tools"] else "",
        step.caution,
        piece,
        lit(piece, step),
        lists,
    )


def _sewn(said: Said, ways: Sequence[Said]) -> list[Said]:
    return [way for way in ways if set(way["seams"]) & set(said["sews"])]


def _plies(count: int) -> str:
    if count == 0:
        return "on the bare table"
    return "one ply under the light" if count == 1 else f"{count} plies under the light"
