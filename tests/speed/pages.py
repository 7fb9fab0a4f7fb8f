"""``python -m tests.speed.pages``: from starting the program to the first usable page, and what each page weighs and takes.

Medians of five. Every load is a first one: a fresh browser context has nothing in its cache.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from playwright.sync_api import Browser, CDPSession, sync_playwright

from tests.browser.house import CHROMIUM_OPTIONS, House, chromium
from tests.speed.clock import line, title
from tests.web.process import ROOT, free_port

RUNS = 5
READY = {
    "/": "#first:not([hidden]) #start-practice, #next-part:not([hidden]) #next",
    "/draft/1": "#lay:enabled",
    "/rack": "main input:enabled, main button:enabled",
    "/table/1": "#step-next:enabled",
    "/work/1": "#next:enabled",
    "/bench/1": "#index a",
    "/check": "#judge:enabled",
    "/practice": "#walk li",
    "/light": "body[data-picture=fresh]",
    "/paper/1": "main button:enabled",
    "/sheet/1": "main svg",
}
"""Each main page, and what is there when it can be used."""


@dataclass(frozen=True)
class Load:
    """One first load: ms until the page can be used, requests, bytes on the wire and unpacked, and the longest chain."""

    ready_ms: float
    requests: int
    wire: int
    unpacked: int
    chain: int


class Network:
    """Counts what a page loads; event streams, which never end, count as one request."""

    def __init__(self, tools: CDPSession) -> None:
        self.requests: dict[str, str] = {}
        self.parents: dict[str, str] = {}
        self.wire = self.unpacked = 0
        tools.on("Network.requestWillBeSent", self._sent)
        tools.on("Network.dataReceived", self._received)
        tools.on("Network.loadingFinished", self._finished)
        tools.send("Network.enable")

    def chain(self) -> int:
        """Return how many files lie one behind another, each asked for by the one before, at the longest."""
        return max((self._depth(url) for url in self.requests.values()), default=0)

    def _depth(self, url: str) -> int:
        seen, found = {url}, 1
        while (parent := self.parents.get(url)) is not None and parent not in seen:
            seen.add(parent)
            url, found = parent, found + 1
        return found

    def _sent(self, event: dict[str, Any]) -> None:
        url = event["request"]["url"]
        self.requests[event["requestId"]] = url
        if (asker := event["initiator"].get("url")) is not None:
            self.parents.setdefault(url, asker)

    def _received(self, event: dict[str, Any]) -> None:
        self.unpacked += event["dataLength"]

    def _finished(self, event: dict[str, Any]) -> None:
        self.wire += int(event["encodedDataLength"])


def load(browser: Browser, address: str, path: str) -> Load:
    """Load a page for the first time and wait until it can be used."""
    context = browser.new_context(viewport={"width": 1280, "height": 800})
    page = context.new_page()
    network = Network(context.new_cdp_session(page))
    begun = time.perf_counter()
    page.goto(address + path, wait_until="commit")
    page.wait_for_selector(READY[path])
    ready = (time.perf_counter() - begun) * 1000.0
    page.wait_for_timeout(500)
    found = Load(ready, len(network.requests), network.wire, network.unpacked, network.chain())
    context.close()
    return found


def starting(browser: Browser) -> None:
    """Time the program from its start on an empty folder: until it says its address, and until the first button is there."""
    title("from starting the program")
    said, ready, busy = [], [], []
    for _ in range(RUNS):
        with tempfile.TemporaryDirectory() as folder:
            begun = time.perf_counter()
            process, port = _start(Path(folder))
            said.append((time.perf_counter() - begun) * 1000.0)
            busy.append(_busy_ms(process.pid))
            load(browser, f"http://127.0.0.1:{port}", "/")
            ready.append((time.perf_counter() - begun) * 1000.0 - 500.0)
            process.kill()
            process.communicate()
    line("until it answers", said)
    line("processor time of the program until then", busy)
    line("until the first page's main button is enabled", ready)


def _busy_ms(process: int) -> float:
    """Return the processor time that a process has taken, ms: on a machine with other work the clock tells less."""
    ticks = Path(f"/proc/{process}/stat").read_text().rsplit(")", 1)[1].split()[11:13]
    return sum(map(int, ticks)) * 1000.0 / os.sysconf("SC_CLK_TCK")


def _start(folder: Path) -> tuple[subprocess.Popen[str], int]:
    """Start the program as a maker does; return when it has said its address."""
    port = free_port()
    command = [sys.executable, "-m", "server.cli", "--no-browser", "--data", str(folder), "--port", str(port)]
    process = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
    assert process.stdout is not None
    if f"127.0.0.1:{port}" not in process.stdout.readline():
        raise ValueError("the program did not start")
    return process, port


def weighing(browser: Browser, address: str) -> None:
    """Print time to usable and weight of each main page."""
    print(
        f"\n{'page':<12} {'usable ms':>9} {'slowest':>8} {'requests':>9} {'chain':>6} {'kB sent':>8} {'kB unpacked':>12}"
    )
    for path in READY:
        loads = [load(browser, address, path) for _ in range(RUNS)]
        middle = {name: float(np.median([getattr(one, name) for one in loads])) for name in Load.__annotations__}
        slowest = max(one.ready_ms for one in loads)
        print(
            f"{path:<12} {middle['ready_ms']:9.0f} {slowest:8.0f} {middle['requests']:9.0f} {middle['chain']:6.0f} "
            f"{middle['wire'] / 1000:8.0f} {middle['unpacked'] / 1000:12.0f}",
            flush=True,
        )


def furnish(house: House) -> None:
    """Make what the pages show: the practice bench calibrated, its pouch on the table, a job begun."""
    house.practice("marks", "block", lay=True)
    house.ask("POST", "/api/jobs", {"layout": 1})
    house.ask("POST", "/api/jobs/1/unchecked", {})
    house.ask("POST", "/api/jobs/1/light", {})


def main() -> None:
    """Measure and print."""
    with sync_playwright() as tools, tempfile.TemporaryDirectory() as folder:
        browser = tools.chromium.launch(executable_path=chromium(), args=list(CHROMIUM_OPTIONS))
        starting(browser)
        with House(Path(folder) / "data") as house:
            furnish(house)
            weighing(browser, house.address)
        browser.close()


if __name__ == "__main__":
    main()
