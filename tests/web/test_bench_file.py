"""Bench files: taken out, brought in, and refused."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from calibration.bench import Bench
from server.cli import main
from tests.web.desk import Desk, open_desk


@pytest.fixture
def file(desk: Desk) -> dict[str, Any]:
    """The file of the practice bench, number 1, with table, tolerance and marks."""
    desk.practice("marks", "block")
    desk.put("/api/benches/1/witness", {"names": ["A", "E", "P"], "own": True})
    desk.put("/api/benches/1", {"name": "Bay 2 / left", "tolerance": 0.7, "table_width": 1500})
    found: dict[str, Any] = desk.get("/api/benches/1/file.json")
    return found


def test_a_file_is_named_after_its_bench(desk: Desk, file: dict[str, Any]) -> None:
    answer = desk.ask("GET", "/api/benches/1/file.json")
    assert answer.headers["Content-Disposition"] == 'attachment; filename="bay-2-left-1.json"'
    assert answer.mimetype == "application/json"
    assert file["bench"]["name"] == "Bay 2 / left"


def test_the_command_line_reads_the_same_file(
    desk: Desk,
    file: dict[str, Any],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    place = tmp_path / "bench.json"
    place.write_text(json.dumps(file))
    monkeypatch.setattr("sys.stdin", ["960.5,540.5\n"])
    assert main(["map", str(place), "--to", "table"]) == 0
    x, y = map(float, capsys.readouterr().out.split(","))
    record = desk.shop.benches.record(1)
    assert record.calibration is not None
    assert (x, y) == pytest.approx(tuple(Bench.from_json(record.calibration).to_table([[960.5, 540.5]])[0]), abs=1e-5)


def test_a_bench_comes_back_whole(desk: Desk, file: dict[str, Any], tmp_path: Path) -> None:
    """Into another workshop: the same light for the same places, table, tolerance, marks; sightings are not in it."""
    other = open_desk(tmp_path / "other")
    answer = other.ask("POST", "/api/benches/import", {"name": "Copy", "file": file})
    assert answer.status_code == 201
    assert answer.json is not None
    brought, first = answer.json, desk.get("/api/benches/1")
    for key in ("picture", "table", "tolerance"):
        assert brought[key] == first[key]
    assert (brought["name"], brought["calibrated"], brought["practice"]) == ("Copy", True, False)
    assert brought["error_mm"] == pytest.approx(first["error_mm"])
    assert brought["witness"]["usable"] is True
    assert brought["witness"]["marks"] == first["witness"]["marks"]
    assert brought["sightings"]["positions"] == []
    ours, theirs = desk.shop.benches.record(1).calibration, other.shop.benches.record(1).calibration
    assert ours is not None
    assert theirs is not None
    assert ours.keys() == theirs.keys()
    assert np.array(theirs["plane"]) == pytest.approx(np.array(ours["plane"]), rel=1e-12)
    assert {**theirs, "plane": 0} == {**ours, "plane": 0}
    assert other.get("/api/benches/1/map")["error_mm"] == desk.get("/api/benches/1/map")["error_mm"]
    at = {mark["name"]: mark["predicted"] for mark in brought["witness"]["marks"]}
    assert other.post("/api/benches/1/session", {"seen": at})["decision"] == "still"
    history = other.get("/api/benches/1/sessions")
    assert [entry["decision"] for entry in history] == ["still", "imported"]
    assert other.get("/api/state")["bench"]["name"] == "Copy", "it is the one in use"
    other.shop.close()


def test_a_brought_calibration_stands_until_sightings_give_another(desk: Desk, file: dict[str, Any]) -> None:
    number = desk.post("/api/benches/import", {"name": "Copy", "file": file})["id"]
    before = desk.shop.benches.record(number)
    desk.put(f"/api/benches/{number}/sightings", {"positions": [{"cross": "A", "at": [1, 2]}]})
    after = desk.shop.benches.record(number)
    assert (after.calibration, after.calibrated_at) == (before.calibration, before.calibrated_at)
    assert desk.get(f"/api/benches/{number}")["sightings"]["positions"] == [{"cross": "A", "at": [1, 2]}]
    rows = desk.get("/api/benches/1")["sightings"]["positions"]
    shifted = [row | {"at": [row["at"][0] + 5, row["at"][1]]} for row in rows]
    assert desk.put(f"/api/benches/{number}/sightings", {"positions": shifted})["report"]["sightings"]
    assert desk.shop.benches.record(number).calibration != before.calibration
    history = desk.get(f"/api/benches/{number}/sessions")
    assert history[0]["drift_mm"] == pytest.approx(5, abs=0.2)


def test_a_plain_bench_file_is_enough(desk: Desk, file: dict[str, Any]) -> None:
    """What ``hidelight calibrate`` writes has no belongings."""
    plain = {key: value for key, value in file.items() if key not in ("bench", "report")}
    brought = desk.post("/api/benches/import", {"name": "Plain", "file": plain})
    assert (brought["tolerance"], brought["table"]) == (0.5, {"width": None, "depth": None})
    assert brought["witness"]["marks"] == []
    assert brought["report"]["trusted"] is False, "nobody has said so"


def test_its_picture_cannot_be_changed(desk: Desk, file: dict[str, Any]) -> None:
    number = desk.post("/api/benches/import", {"name": "Copy", "file": file})["id"]
    assert desk.ask("PUT", f"/api/benches/{number}", {"width": 1280}).status_code == 409


def _nominal(file: dict[str, Any]) -> None:
    file.update(Bench.nominal((1920, 1080), 1200.0).to_json())


def _negative(file: dict[str, Any]) -> None:
    file["covariance"] = (-np.array(file["covariance"])).tolist()


def _lopsided(file: dict[str, Any]) -> None:
    file["covariance"][0][3] += 1.0


def _unsure(file: dict[str, Any]) -> None:
    file["covariance"] = (np.array(file["covariance"]) * 1e12).tolist()


DAMAGE: dict[str, Callable[[dict[str, Any]], None]] = {
    "another kind": lambda file: file.update(kind="spoon"),
    "no kind": lambda file: file.pop("kind"),
    "newer": lambda file: file.update(version=2),
    "version in words": lambda file: file.update(version={"a": ["x" * 9000]}),
    "no plane": lambda file: file.pop("plane"),
    "plane of zeros": lambda file: file.update(plane=[[0.0] * 3] * 3),
    "plane of giants": lambda file: file.update(plane=[[1e300] * 3] * 3),
    "flat plane": lambda file: file.update(plane=[[1.0, 0, 0], [0, 1, 0], [0, 0, 0]]),
    "lens in words": lambda file: file["lens"].update(k1="0.1"),
    "wild lens": lambda file: file["lens"].update(k1=-40.0),
    "lens below the table": lambda file: file.update(position=[1, 2, -3]),
    "picture of one pixel": lambda file: file.update(picture={"width": 1, "height": 1}),
    "small covariance": lambda file: file.update(covariance=[[1.0]]),
    "negative covariance": _negative,
    "lopsided covariance": _lopsided,
    "covariance of metres": _unsure,
    "not calibrated": _nominal,
    "belongings in a list": lambda file: file.update(bench=[]),
    "tolerance in words": lambda file: file["bench"].update(tolerance="0.5"),
    "tolerance of nothing": lambda file: file["bench"].update(tolerance=0),
    "table of nothing": lambda file: file["bench"].update(table_width=0),
    "marks in an object": lambda file: file["bench"].update(witness={}),
    "a mark without its place": lambda file: file["bench"]["witness"][0].pop("place"),
    "a mark nowhere": lambda file: file["bench"]["witness"][0].update(place=[1e9, 0]),
    "a mark twice": lambda file: file["bench"]["witness"].append(file["bench"]["witness"][0]),
    "a mark without a letter": lambda file: file["bench"]["witness"][0].update(name="a!"),
}


@pytest.mark.parametrize("damage", DAMAGE)
def test_a_damaged_file_is_refused_and_makes_no_bench(desk: Desk, file: dict[str, Any], damage: str) -> None:
    damaged = copy.deepcopy(file)
    DAMAGE[damage](damaged)
    answer = desk.ask("POST", "/api/benches/import", {"name": "Copy", "file": damaged})
    assert answer.status_code == 422, answer.get_data(as_text=True)
    assert answer.json is not None
    assert answer.json["error"]["field"] == "file"
    assert len(answer.json["error"]["sentence"]) < 300
    assert [bench["id"] for bench in desk.get("/api/benches")] == [1]
