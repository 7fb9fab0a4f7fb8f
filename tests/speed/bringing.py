"""``python -m tests.speed.bringing``: a file of 10,000 curves brought to the server, by the clock, as its maker waits for it."""

from __future__ import annotations

import tempfile
from contextlib import closing
from pathlib import Path

import numpy as np

from server.reading.warm import WarmReader
from tests.speed.clock import line, repeat, title
from tests.speed.reading import AIM, KINDS, drawing, theirs
from tests.web.desk import Desk, open_desk

PATHS = 500


def reading() -> None:
    """Time the warm process against svgelements' own reading and flattening in this one, in the same run."""
    title("read an SVG of 10,000 segments by the warm process (by the clock)")
    with closing(WarmReader()) as reader:
        for kind in KINDS:
            data = drawing(kind, PATHS)
            ours = repeat(lambda data=data: reader.read(data, "speed.svg"), 7, 2)  # type: ignore[misc]
            other = repeat(lambda data=data: theirs(data), 3, 1)  # type: ignore[misc]
            ratio = f"ours / svgelements = {np.median(ours) / np.median(other):.2f}"
            line(f"{kind}, {PATHS} paths, warm process", ours, AIM, ratio)
            line(f"{kind}, {PATHS} paths, svgelements here", other)


def bringing() -> None:
    """Time the request that brings a file, and the one that shows it."""
    title("the same brought to the server")
    with tempfile.TemporaryDirectory() as folder:
        desk = open_desk(Path(folder))
        data = drawing("cubics", PATHS)
        line("cubics, upload answered", repeat(lambda: upload(desk, data), 5, 1), AIM)
        number = upload(desk, data)
        line("cubics, shown with its proposal", repeat(lambda: desk.get(f"/api/drawings/{number}"), 5, 1), AIM)
        desk.shop.close()


def upload(desk: Desk, data: bytes) -> int:
    """Bring a file and return its number."""
    answer = desk.ask("POST", "/api/drawings?name=speed.svg", data, Content_Type="application/octet-stream")
    if answer.status_code != 201 or answer.json is None:
        raise ValueError(answer.get_data(as_text=True))
    return int(answer.json["id"])


if __name__ == "__main__":
    reading()
    bringing()
