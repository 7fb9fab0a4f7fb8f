"""The work sheet for paper: what the services say of a saved pattern, put into words and lists."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import chain
from typing import Any

from server import units
from server.leather.pattern import Pattern, Step
from server.output.paper_sheet import SheetStep, SheetTable, WorkSheet
from server.services.making.sheet import lit

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
        f"{said['title']}, pattern {said['id']}, saved {said['made_at'][:10]}. {said['leather']}. {_cost(said['cost'])}",
        [*_findings(said), *said["lacking"]],
        [
            SheetTable("Measures", ("Measure", "Value") * 2, _measures(said["measures"]), (0.32, 0.18) * 2),
            SheetTable(
                "Cut list",
                ("Piece", "Cut", "Across x down", "Leather", "Grain"),
                [_cut(one, pattern) for one in said["cuts"]],
                (0.28, 0.1, 0.27, 0.15, 0.2),
            ),
            SheetTable("Thread", ("Thread", "Piece of work", "Cut to length"), list(_threads(said["thread"], pattern))),
            SheetTable(
                "Blows",
                ("Seam", "Holes", "Stitches", "Pitch", "Blows"),
                [_blows(one) for one in said["seams"]],
                (0.22, 0.09, 0.11, 0.12, 0.46),
            ),
        ],
        [_step(one, step, pattern, ways) for one, step in steps],
    )


def _cost(cost: Said) -> str:
    """The one line of the account, once prices are set; else the leather and the time."""
    return f"{cost['words'] if cost['price'] > 0.0 else cost['amounts']}."


def _measures(measures: Sequence[Said]) -> list[tuple[str, str, str, str]]:
    """The measures in two columns, read down."""
    half = -(-len(measures) // 2)
    cells = [(str(one["title"]), str(one["words"])) for one in measures] + [("", "")]
    return [(*cells[i], *cells[min(i + half, len(measures))]) for i in range(half)]


def _findings(said: Said) -> list[str]:
    found = [f"{one['sentence']} {one['remedy']}" for one in said["findings"]]
    if said["as_saved"]:
        return found
    return [
        "The drafting rules have changed since this pattern was saved: draft it again before you work by it.",
        *found,
    ]


def _cut(cut: Said, pattern: Pattern) -> tuple[str, ...]:
    """A piece: how many are cut, how large, how thick, and whether its grain is marked."""
    grain = any(drawn.name == "grain" for drawn in pattern.piece(cut["piece"]).drawn)
    return (
        cut["title"],
        f"{cut['count']}",
        f"{cut['width_mm']:.1f} x {cut['height_mm']:.1f} mm",
        f"{cut['leather_mm']:.2f} mm",
        "along the arrow" if grain else "as it suits",
    )


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


def _blows(seam: Said) -> tuple[str, ...]:
    """A seam: its holes, stitches and pitch, and how many blows with which irons."""
    irons = [f"{many} with {'1 tine' if tines == 1 else f'{tines} tines'}" for tines, many in seam["irons"]]
    blows = f"{seam['strikes']}: {', '.join(irons)}"
    return seam["title"], f"{seam['holes']}", f"{seam['stitches']}", f"{seam['pitch_mm']:.2f} mm", blows


def _step(said: Said, step: Step, pattern: Pattern, ways: Sequence[Said]) -> SheetStep:
    piece = pattern.piece(step.piece)
    return SheetStep(
        said["title"],
        said["words"],
        f"{piece.title}, {_plies(step.plies_under)}, {units.write_length(round(said['height_mm'], 1))} above the table.",
        f"You need: {', '.join(said['tools'])}." if said["tools"] else "",
        said["caution"],
        piece,
        lit(piece, step),
        [*chain.from_iterable(map(_struck, said["strikes"])), *(_way(way, pattern) for way in _sewn(said, ways))],
        [wait["words"] for wait in said["waits"]],
    )


def _struck(seam: Said) -> list[tuple[str, list[str]]]:
    """The blows of a seam: how its irons are set, then those that are told together in one line."""
    title = f"{seam['title']}: {len(seam['words'])} blows for {seam['holes']} holes"
    lines = [f"{_numbers(one['first'], one['last'])}. {one['words']}" for one in seam["told"]]
    return [(title, [seam["hint"]]), ("", lines)] if seam["hint"] else [(title, lines)]


def _numbers(first: int, last: int) -> str:
    return f"{first}" if first == last else f"{first} to {last}"


def _way(way: Said, pattern: Pattern) -> tuple[str, list[str]]:
    title = f"The way of the thread, {_title(pattern, way['piece']).lower()}"
    return title, [f"{i}. {words}" for i, words in enumerate(way["words"], 1)]


def _sewn(said: Said, ways: Sequence[Said]) -> list[Said]:
    return [way for way in ways if set(way["seams"]) & set(said["sews"])]


def _plies(count: int) -> str:
    if count == 0:
        return "on the bare table"
    return "one ply under the light" if count == 1 else f"{count} plies under the light"
