"""``python -m tests.speed.reading``: reading a pattern of 10,000 curves, against svgelements' own way in the same run."""

from __future__ import annotations

import io
import random
import time
from collections.abc import Callable

import numpy as np
import svgelements

from server.reading.formats import parse
from server.reading.own_pattern import to_pattern
from server.reading.proposing import propose
from server.reading.reader import read_file
from tests.speed.clock import line, repeat, title

SEGMENTS, AIM = 10_000, 1000.0
KINDS = ("lines", "cubics", "arcs")


def drawing(kind: str, paths: int) -> bytes:
    """Return an SVG at true size whose `paths` paths have 10,000 segments in all."""
    chance = random.Random(5)

    def point() -> str:
        return f"{chance.uniform(-15, 15):.3f} {chance.uniform(-15, 15):.3f}"

    def segment() -> str:
        if kind == "lines":
            return f"l{point()}"
        if kind == "cubics":
            return f"c{point()} {point()} {point()}"
        return f"a{chance.uniform(5, 20):.2f} {chance.uniform(5, 20):.2f} 20 0 1 {point()}"

    each = SEGMENTS // paths
    body = "".join(f'<path d="M{point()}{"".join(segment() for _ in range(each))}"/>' for _ in range(paths))
    head = '<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="300mm" viewBox="0 0 300 300" fill="none" stroke="#000">'
    return f'{head}<g transform="rotate(3)">{body}</g></svg>'.encode()


def theirs(data: bytes) -> int:
    """Read and flatten with svgelements alone, every curve at as many points as ours take on the mean; return how many."""
    total = 0
    for element in svgelements.SVG.parse(io.BytesIO(data), ppi=25.4, reify=True).elements():
        if isinstance(element, svgelements.Path):
            for segment in element:
                if isinstance(segment, (svgelements.CubicBezier, svgelements.Arc)):
                    total += len(segment.npoint(np.linspace(0.0, 1.0, _POINTS)))
                elif isinstance(segment, svgelements.Line):
                    total += 1
    return total


_POINTS = 40


def spent(work: Callable[[], object], count: int) -> list[float]:
    """Return the processor time of `count` runs in ms: what else the machine does is left out."""
    work()
    times = []
    for _ in range(count):
        begun = time.process_time()
        work()
        times.append(1000.0 * (time.process_time() - begun))
    return times


def reading() -> None:
    """Time both, and the whole way through the child process."""
    title("read an SVG of 10,000 segments (processor time)")
    for kind in KINDS:
        for paths in (1, 500):
            data = drawing(kind, paths)
            points = sum(len(one.points) for one in parse(data, "speed.svg").lines)
            ours = spent(lambda data=data: parse(data, "speed.svg"), 5)  # type: ignore[misc]
            other = spent(lambda data=data: theirs(data), 3)  # type: ignore[misc]
            more = f"{points} points; ours / svgelements = {np.median(ours) / np.median(other):.2f}"
            line(f"{kind}, {paths} paths, ours", ours, AIM, more)
            line(f"{kind}, {paths} paths, svgelements, {_POINTS} points a curve", other)
    data = drawing("cubics", 500)
    title("the same through the child process (by the clock)")
    line("cubics, 500 paths, in the child process", repeat(lambda: read_file(data, "speed.svg"), 5, 1), AIM)


def making() -> None:
    """Time the proposal and the pattern of a sheet of rings in rings."""
    body = "".join(
        f'<g transform="translate({60 * (i % 10)} {60 * (i // 10)})"><rect width="50" height="50" rx="5"/><rect x="4" y="4" width="42" '
        f'height="42" rx="2" stroke-dasharray="2 1"/><circle cx="25" cy="25" r="5"/></g>'
        for i in range(100)
    )
    head = '<svg xmlns="http://www.w3.org/2000/svg" width="600mm" height="600mm" viewBox="0 0 600 600" fill="none" stroke="#000">'
    sheet = parse(f"{head}{body}</svg>".encode(), "speed.svg")
    proposal = propose(sheet)
    title("a sheet of 100 pieces with 100 slots and 100 stitch lines")
    line("proposal", repeat(lambda: propose(sheet), 5, 1))
    line("pattern, 4,000 holes", repeat(lambda: to_pattern(sheet, proposal.assignment, 4.0), 3, 1))


if __name__ == "__main__":
    reading()
    making()
