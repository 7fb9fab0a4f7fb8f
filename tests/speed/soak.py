"""``python -m tests.speed.soak MINUTES``: a working session with eight windows, to see whether memory stays flat.

The maker of ``soak_maker`` works without rest. Every half minute the server's memory and the windows' JavaScript heaps
(after a garbage collection, so that only what is kept counts) are noted; at the end each gets a slope in MB an hour.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from pathlib import Path

from playwright.sync_api import sync_playwright

from tests.browser.house import CHROMIUM_OPTIONS, House, chromium
from tests.speed.memory import Memory, flat, trend
from tests.speed.soak_maker import Maker

EVERY_S = 30.0


def soak(minutes: float) -> None:
    """Work for that long and print what was measured."""
    with (
        tempfile.TemporaryDirectory() as folder,
        House(Path(folder) / "data") as house,
        sync_playwright() as playwright,
    ):
        browser = playwright.chromium.launch(executable_path=chromium(), args=list(CHROMIUM_OPTIONS))
        maker = Maker(house, browser)
        assert house.process is not None
        memory = Memory(house.process.pid, house.folder, maker.windows)
        rows = _work(maker, memory, minutes * 60.0)
        browser.close()
    conclude(memory.names, rows)
    print("\ndone: " + ", ".join(f"{count} {name}" for name, count in sorted(maker.done.items())))


def _work(maker: Maker, memory: Memory, seconds: float) -> list[list[float]]:
    """Work and note; return the rows: minutes first, then as ``memory.names``."""
    start = time.monotonic()
    print("  min  " + " ".join(f"{name:>9}" for name in memory.names), flush=True)
    rows: list[list[float]] = []
    while (gone := time.monotonic() - start) < seconds:
        if gone >= EVERY_S * len(rows):
            rows.append([gone / 60.0, *memory.read()])
            print(f"{rows[-1][0]:5.1f}  " + " ".join(f"{value:9.2f}" for value in rows[-1][1:]), flush=True)
        maker.act()
    rows.append([(time.monotonic() - start) / 60.0, *memory.read()])
    return rows


def conclude(names: Sequence[str], rows: Sequence[Sequence[float]]) -> None:
    """Print each column's slope over the last four fifths of the time, and whether that is flat."""
    settled = [row for row in rows if row[0] >= rows[-1][0] / 5.0]
    print(f"\nslopes of the last {len(settled)} samples; the first fifth is the warming-up")
    minutes = [row[0] for row in settled]
    for column, name in enumerate(names, 1):
        slope, error = trend(minutes, [row[column] for row in settled])
        print(f"{name:>9} {slope:8.2f} +- {error:.2f} an hour: {flat(slope, error)}")


def main(arguments: Sequence[str], run: Callable[[float], None] = soak) -> int:
    """Read the minutes and run; return the exit status."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("minutes", type=float)
    run(parser.parse_args(arguments).minutes)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
