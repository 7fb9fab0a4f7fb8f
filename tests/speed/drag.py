"""A drag: from the hand's POST to the lines in the projector window, through a real server and a real Chromium."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import product
from pathlib import Path
from typing import Any

import numpy as np
from playwright.sync_api import Page, sync_playwright

from tests.bench import simulator as sim
from tests.speed.clock import line, title
from tests.web.process import Process, started

PICTURES = ((1920, 1080), (3840, 2160))
MOVES, PACE_MS, AIM = 300, 1000 / 60, 16.0

DRAG = """
async ({ layout, piece, moves, pace, raster }) => {
  const token = document.querySelector('meta[name="token"]').content;
  const headers = { "X-Hidelight-Token": token, "Content-Type": "application/json" };
  const context = document.querySelector("canvas").getContext("2d");
  const drawn = (before) => new Promise((done, fail) => {
    const late = setTimeout(() => fail(new Error("no frame within 2 s")), 2000);
    const look = new MutationObserver(() => {
      if (document.body.dataset.version === before) return;
      clearTimeout(late);
      look.disconnect();
      if (raster) context.getImageData(0, 0, 1, 1);
      done(performance.now());
    });
    look.observe(document.body, { attributes: true, attributeFilter: ["data-version"] });
  });
  const found = [];
  for (let i = 0; i < moves; i++) {
    const start = performance.now();
    const frame = drawn(document.body.dataset.version);
    const x = 600 + 80 * Math.sin(i / 40), y = 200 + 40 * Math.cos(i / 30), turn = i / 5;
    const body = JSON.stringify({ layout, piece, x, y, turn, mirror: false });
    const answer = await fetch("/api/light/move", { method: "POST", headers, body });
    if (!answer.ok) throw new Error(await answer.text());
    found.push((await frame) - start);
    await new Promise((next) => setTimeout(next, Math.max(0, pace - (performance.now() - start))));
  }
  return found;
}
"""
"""Runs in the projector window: a frame counts as drawn when the window has painted it and says its version;
with ``raster`` only when the canvas has been brought to pixels too (reading one pixel back forces that)."""


@dataclass(frozen=True)
class Job:
    """What lies in the light: a thing's family with the measures that differ, and the piece that is dragged."""

    title: str
    family: str
    measures: dict[str, str]
    piece: str


JOBS = (
    Job("pouch", "belt-pouch", {}, "front"),
    Job("full roll", "tool-roll", {"tools": "16", "length": "300", "pitch": "1.8"}, "pockets"),
)
"""The practice pouch, and a large tool roll with about two thousand strokes: more than any one step of a job shows."""


def dragging() -> None:
    """Time the drag of a piece, every line of every step lit, on a 1080p and a 4K picture."""
    title("drag: POST to drawn in the projector window")
    with sync_playwright() as tools:
        browser = tools.chromium.launch(executable_path=shutil.which("chromium"))
        for job, (width, height) in product(JOBS, PICTURES):
            with _light(browser, job, width, height) as (page, layout, size):
                for raster in (False, True):
                    words = f"{job.title}, {width} x {height}, {size}" + (", rastered" if raster else "")
                    line(words, _drag(page, layout, job.piece, raster), AIM)
        browser.close()


def _drag(page: Page, layout: int, piece: str, raster: bool) -> list[float]:
    wanted = {"layout": layout, "piece": piece, "moves": MOVES, "pace": PACE_MS, "raster": raster}
    page.evaluate(DRAG, {**wanted, "moves": 30})
    times: list[float] = page.evaluate(DRAG, wanted)
    return times


@contextmanager
def _light(browser: Any, job: Job, width: int, height: int) -> Iterator[tuple[Page, int, str]]:
    """Return a projector window that shows a job on a calibrated bench, its layout and how much is drawn."""
    with tempfile.TemporaryDirectory() as folder, started(Path(folder)) as server:
        layout = _laid_out(server, job, width, height)
        size = _size(server, layout, width, height)
        page = browser.new_page(viewport={"width": width, "height": height})
        page.goto(f"http://127.0.0.1:{server.port}/light")
        page.wait_for_selector("body[data-mode=layout]")
        yield page, layout, size
        page.close()


def _laid_out(server: Process, job: Job, width: int, height: int) -> int:
    """Return a layout of the job, all steps shown, on a bench of that picture size sighted by the simulator."""
    thing = _ask(server, "POST", "/api/things", {"name": "speed", "family": job.family, "measures": job.measures})["id"]
    bench = _ask(server, "POST", "/api/benches", {"name": "speed", "width": width, "height": height})
    projector = sim.Projector(lens=(600.0, 300.0, 1900.0), throw=1.55, picture=(width, height), pitch=2.0, roll=-3.0)
    crosses = {name: (float(u), float(v)) for name, (u, v) in bench["sightings"]["crosses"].items()}
    sighted = sim.sight_marks(projector, crosses, np.random.default_rng(1))
    _ask(server, "PUT", f"/api/benches/{bench['id']}/sightings", {"positions": sighted["positions"]})
    pattern = _ask(server, "POST", "/api/patterns", {"thing": thing})["id"]
    layout = int(
        _ask(server, "POST", "/api/layouts", {"pattern": pattern, "bench": bench["id"], "name": "speed"})["id"]
    )
    _ask(server, "PUT", f"/api/layouts/{layout}", {"step": None, "leather": "1.8 mm"})
    return layout


def _size(server: Process, layout: int, width: int, height: int) -> str:
    """Light the layout, be the projector window for a moment, and count the strokes and points of its frame."""
    _ask(server, "POST", "/api/light", {"mode": "layout", "layout": layout})
    with server.stream("projector", "counter") as stream:
        size = {"window": "counter", "width": width, "height": height, "ratio": 1, "fullscreen": True}
        _ask(server, "POST", "/api/window", size)
        while not (frame := stream.next("frame"))["strokes"]:
            pass
    return f"{len(frame['strokes'])} strokes, {sum(len(stroke['points']) // 2 for stroke in frame['strokes'])} points"


def _ask(server: Process, method: str, path: str, body: Any) -> Any:
    status, content = server.ask(method, path, body)
    if status >= 300:
        raise RuntimeError(f"{method} {path}: {content}")
    return content
