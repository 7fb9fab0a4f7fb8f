"""``python -m tests.speed.fuzz_bringing N [--seed S]``: bring N mutated files to the server and count what it answers.

Each goes the whole way that a page goes: the upload, read by the warm process; the sheet, the proposal and the pattern; a
unit where the file has none; and what makes a pattern is saved, laid on the practice bench and lit. What counts as wrong: a
status of 500 and more, an answer after more than the limit of a reading and a second, a refusal that is not one sentence,
or a dead server.
"""

from __future__ import annotations

import argparse
import logging
import random
import sys
import tempfile
import time
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from werkzeug.test import TestResponse

from server.reading.limits import WALL_SECONDS
from tests.speed.fuzz_reading import mutated, seeds
from tests.web.desk import Desk, open_desk

SLACK_SECONDS = 1.0


@dataclass
class Tally:
    """What was answered: how many of each end, what was wrong, and how long each request took, s."""

    ends: Counter[str] = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)
    times: dict[str, list[float]] = field(default_factory=dict)

    def ask(self, desk: Desk, label: str, method: str, path: str, body: Any = None, **headers: str) -> TestResponse:
        """Ask, and note what is not as it must be."""
        begun = time.perf_counter()
        answer = desk.ask(method, path, body, **headers)
        took = time.perf_counter() - begun
        self.times.setdefault(method, []).append(took)
        sentence = answer.json.get("error", {}).get("sentence", "") if isinstance(answer.json, dict) else ""
        if answer.status_code >= 500 or took > WALL_SECONDS + SLACK_SECONDS:
            self.wrong.append(f"{label}: {method} {answer.status_code} after {took:.2f} s {sentence}")
        if answer.status_code >= 400 and not (sentence and "\n" not in sentence):
            self.wrong.append(f"{label}: {method} {answer.status_code} without a sentence")
        return answer


def one(desk: Desk, data: bytes, label: str, tally: Tally) -> None:
    """Bring one file and go on with it as far as it goes."""
    kind = {"Content_Type": "application/octet-stream"}
    answer = tally.ask(desk, label, "POST", "/api/drawings?name=fuzz", data, **kind)
    if answer.status_code != 201 or answer.json is None:
        tally.ends[f"refused with {answer.status_code}"] += 1
        return
    path = f"/api/drawings/{answer.json['id']}"
    found = tally.ask(desk, label, "GET", path).json
    if isinstance(found, dict) and found.get("unit_known") is False:
        body = {"revision": found["revision"], "choices": found["choices"] | {"unit": "mm"}}
        found = tally.ask(desk, label, "PUT", path, body).json
    made = isinstance(found, dict) and found.get("draft") is not None
    tally.ends["read, and made a pattern" if made else "read, and asked for other choices"] += 1
    if made:
        _work(desk, path, label, tally)
    else:
        tally.ask(desk, label, "DELETE", path)


def _work(desk: Desk, path: str, label: str, tally: Tally) -> None:
    """Save, lay and light what was brought; a refusal on the way is an answer too."""
    thing = tally.ask(desk, label, "POST", f"{path}/keep", {"name": "fuzz"}).json
    pattern = tally.ask(desk, label, "POST", "/api/patterns", {"thing": thing["id"] if thing else 0}).json or {}
    tally.ask(desk, label, "GET", f"/api/patterns/{pattern.get('id', 0)}/sheet")
    layout = tally.ask(desk, label, "POST", "/api/layouts", {"pattern": pattern.get("id", 1), "bench": 1}).json or {}
    lit = tally.ask(desk, label, "POST", "/api/light", {"mode": "layout", "layout": layout.get("id", 1)})
    if lit.status_code == 200:
        sentence = desk.frame()["sentence"]
        tally.ends["lit" if sentence is None else "said in the light why not"] += 1


def run(count: int, seed: int) -> Tally:
    """Bring ``count`` mutated files to one server."""
    tally, files = Tally(), seeds()
    with tempfile.TemporaryDirectory() as folder:
        desk = open_desk(Path(folder))
        desk.window()
        desk.practice("marks")
        for number in range(count):
            chance = random.Random(seed * 1_000_003 + number)
            name, data = files[number % len(files)]
            one(desk, mutated(data, chance), f"{seed}/{number} {name}", tally)
        if desk.ask("GET", "/api/state").status_code != 200:
            tally.wrong.append("the server does not answer any more")
        desk.shop.close()
    return tally


def main() -> None:
    """Run and print."""
    asked = argparse.ArgumentParser()
    asked.add_argument("count", type=int, nargs="?", default=300)
    asked.add_argument("--seed", type=int, default=1)
    given = asked.parse_args()
    logging.getLogger("server").setLevel(logging.ERROR)
    begun = time.perf_counter()
    tally = run(given.count, given.seed)
    print(f"{given.count} mutated files, seed {given.seed}, {time.perf_counter() - begun:.0f} s")
    for end, times in tally.ends.most_common():
        print(f"  {times:6d}  {end}")
    for method, took in tally.times.items():
        print(f"  {method:6} slowest {max(took):.2f} s, median {sorted(took)[len(took) // 2]:.3f} s of {len(took)}")
    print(f"  wrong: {len(tally.wrong)}")
    for words in tally.wrong[:20]:
        print(words)
    sys.exit(1 if tally.wrong else 0)


if __name__ == "__main__":
    main()
