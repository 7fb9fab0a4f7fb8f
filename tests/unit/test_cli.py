"""The command line: what each verb does, its exit status, and that refusals are one sentence."""

from __future__ import annotations

import io
import json
import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from server.cli import main
from tests.unit.test_adjust import full, true_bench

POUCH = [
    "--measure",
    "width=3in",
    "--measure",
    "height=6 in",
    "--measure",
    'thickness=1/2"',
    "--measure",
    "stands-out=1in",
]


@pytest.fixture
def bench_file(tmp_path: Path) -> Path:
    _, document = full(sigma=0.01)
    sightings, bench = tmp_path / "sightings.json", tmp_path / "bench.json"
    sightings.write_text(json.dumps(document))
    assert main(["calibrate", str(sightings), "--out", str(bench)]) == 0
    return bench


@pytest.fixture
def pouch_file(tmp_path: Path) -> Path:
    path = tmp_path / "pouch.svg"
    assert main(["draft", "belt-pouch", *POUCH, "--out", str(path)]) == 0
    return path


def refused(capsys: pytest.CaptureFixture[str], words: list[str]) -> str:
    assert main(words) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert len(said.err.strip().splitlines()) == 1
    assert "Traceback" not in said.err
    return said.err.strip()


def test_draft_to_standard_output_is_true_size(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["draft", "belt-pouch", *POUCH]) == 0
    text = capsys.readouterr().out
    width, box = re.search(r'width="([\d.]+)mm"', text), re.search(r'viewBox="0 0 ([\d.]+) ', text)
    assert width is not None
    assert box is not None
    assert width[1] == box[1]
    assert 'data-piece="front"' in text


def test_draft_lists_and_explains(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["draft", "--list"]) == 0
    assert "belt-pouch" in capsys.readouterr().out
    assert main(["draft", "--explain", "belt-pouch"]) == 0
    said = capsys.readouterr().out
    for measure in ("width", "stands-out", "slot-gap", "corner-radius", "pitch", "back-margin"):
        assert measure in said


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["draft"], "Name a family"),
        (["draft", "rucksack"], "rucksack"),
        (["draft", "belt-pouch", "--measure", "width"], "is not a measure"),
        (["draft", "belt-pouch", "--measure", "wdth=3"], "no measure 'wdth'"),
        (["draft", "belt-pouch", "--measure", "width=3 furlongs"], "furlongs"),
        (["draft", "belt-pouch", "--measure", "stands-out=9in"], "228.6 mm is to stand out"),
        (["fold"], "invalid choice"),
        (["calibrate", "nowhere.json", "--out", "x.json"], "cannot be read"),
        (["map", "nowhere.json", "--to", "table"], "cannot be read"),
        (["map"], "required"),
    ],
)
def test_refusals_are_one_sentence(capsys: pytest.CaptureFixture[str], words: list[str], says: str) -> None:
    assert says in refused(capsys, words)


def test_calibrate_reports_and_writes(tmp_path: Path, capsys: pytest.CaptureFixture[str], bench_file: Path) -> None:
    assert "No sighting stands out." in capsys.readouterr().out
    sightings = tmp_path / "sightings.json"
    assert main(["calibrate", str(sightings), "--out", str(tmp_path / "b.json"), "--json"]) == 0
    report = json.loads(capsys.readouterr().out)
    assert report["redundancy"] == 33
    assert len(report["sightings"]) == 24
    assert json.loads(bench_file.read_text())["report"]["error"]["pixel_mm"] == pytest.approx(0.64, abs=0.01)


@pytest.mark.parametrize(
    ("content", "says"),
    [
        ("{", "is not JSON"),
        ("[1]", "holds list"),
        ('{"picture": {"width": NaN}}', "holds NaN"),
        ("{}", "lacks 'picture'"),
        ('{"picture": {"width": 1920, "height": 1080}, "crosses": {"A": [1, 2]}, "spirit": 1}', "Unknown key 'spirit'"),
        ("[" * 100_000, "is not JSON"),
        ("\udcff", "is not text"),
    ],
)
def test_bad_sightings_leave_no_bench(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], content: str, says: str
) -> None:
    (tmp_path / "s.json").write_bytes(content.encode("utf-8", "surrogateescape"))
    assert says in refused(capsys, ["calibrate", str(tmp_path / "s.json"), "--out", str(tmp_path / "b.json")])
    assert sorted(p.name for p in tmp_path.iterdir()) == ["s.json"]


def mapped(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], lines: str, *words: str) -> Any:
    monkeypatch.setattr("sys.stdin", io.StringIO(lines))
    capsys.readouterr()
    assert main(["map", *words]) == 0
    return np.array([[float(v) for v in line.split(",")] for line in capsys.readouterr().out.splitlines()])


def test_map_goes_there_and_back(
    bench_file: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    pixels = np.array([[960.0, 540.0], [100.25, 80.5], [1800.0, 1000.0]])
    lines = "".join(f"{u},{v}\n" for u, v in pixels)
    table = mapped(monkeypatch, capsys, lines, str(bench_file), "--to", "table", "--height", "4")
    assert np.allclose(table, true_bench().to_table(pixels, 4.0), atol=0.1)
    back = "".join(f"{x},{y}\n" for x, y in table)
    again = mapped(monkeypatch, capsys, back, str(bench_file), "--to", "picture", "--height", "4 mm")
    assert np.allclose(again, pixels, atol=1e-4)


HOSTILE = (
    '<line x1="0" y1="0" y2="0" x2="1e9"/>',
    '<line x1="0" y1="0" y2="0" x2="1e300"/>',
    '<circle cx="0" cy="0" r="1e308"/>',
    '<path d="M0 0C1e200 0 0 1e200 5 5"/>',
    '<path d="M0 0A1e-300 1e300 1e300 1 1 5 5"/>',
    '<line transform="scale(1e200)" x1="0" y1="0" y2="0" x2="9"/>',
    '<line transform="' + "scale(1)" * 5000 + '" x1="0" y1="0" y2="0" x2="9"/>',
    '<line style="TRANSFORM:scale(2)" x1="0" y1="0" y2="0" x2="9"/>',
)


@pytest.mark.parametrize("drawn", HOSTILE)
def test_hostile_drawings_are_refused(
    drawn: str, bench_file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shape = drawn.replace("<line", '<line data-role="cut"').replace("<circle", '<circle data-role="cut"')
    shape = shape.replace("<path", '<path data-role="cut"')
    page = 'xmlns="http://www.w3.org/2000/svg" width="500mm" height="500mm" viewBox="0 0 500 500"'
    (tmp_path / "p.svg").write_text(f'<svg {page}><g data-piece="p">{shape}</g></svg>')
    capsys.readouterr()
    words = ["project", str(tmp_path / "p.svg"), "--bench", str(bench_file), "--at", "0,0"]
    refused(capsys, [*words, "--out", str(tmp_path / "f.png")])


@pytest.mark.parametrize(
    "spoil",
    [
        '"unit": []',
        '"unit": {}',
        '"picture": {"width": 1' + "0" * 400 + ', "height": 9}',
        '"crosses": {"a\\nb": [1, 1]}',
        '"crosses": {"' + "x" * 5000 + '": [1, 1]}',
    ],
)
def test_absurd_sightings_are_one_sentence(tmp_path: Path, capsys: pytest.CaptureFixture[str], spoil: str) -> None:
    whole = {"picture": {"width": 1920, "height": 1080}, "crosses": {"A": [1, 1]}}
    text = json.dumps(whole)[:-1] + f", {spoil}}}"
    (tmp_path / "s.json").write_text(text)
    said = refused(capsys, ["calibrate", str(tmp_path / "s.json"), "--out", str(tmp_path / "b.json")])
    assert len(said) < 400


@pytest.mark.parametrize("line", ["1", "a,b", "1,2,3", "nan,1", "1,inf"])
def test_map_refuses_a_bad_line_by_number(
    line: str, bench_file: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    capsys.readouterr()
    monkeypatch.setattr("sys.stdin", io.StringIO(f"1,2\n{line}\n"))
    assert "Line 2" in refused(capsys, ["map", str(bench_file), "--to", "table"])


def test_project_draws_where_the_bench_says(bench_file: Path, pouch_file: Path, tmp_path: Path) -> None:
    words = [
        "project",
        str(pouch_file),
        "--bench",
        str(bench_file),
        "--at",
        "-200,-150",
        "--turn",
        "10",
        "--height",
        "4",
    ]
    assert main([*words, "--out", str(tmp_path / "f.svg")]) == 0
    assert main([*words, "--out", str(tmp_path / "f.png")]) == 0
    frame = (tmp_path / "f.svg").read_text()
    polygon = re.search(r'<polygon data-role="cut"[^>]*points="([^"]+)"', frame)
    assert polygon is not None
    lit = np.array([[float(v) for v in point.split(",")] for point in polygon[1].split()])
    on_table = true_bench().to_table(lit, 4.0)
    turn = np.radians(-10)
    rotation = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    in_file = (on_table - [-200, -150]) @ rotation.T
    assert np.ptp(in_file[:, 0]) == pytest.approx(146.05, abs=0.1)  # 5 3/4 in over the wings
    picture = np.asarray(Image.open(tmp_path / "f.png"))
    assert picture.shape == (1080, 1920, 3)
    middle = lit[len(lit) // 2]
    assert picture[int(middle[1]), int(middle[0])].max() > 100


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (["--at", "9000,9000"], "nothing of the pattern lies in the picture"),
        (["--at", "12"], "write a place as X,Y"),
        (["--turn", "nan"], "write degrees"),
        (["--height", "5000"], "not below the lens"),
        (["--out", "frame.gif"], "must end in .png or .svg"),
        (["--out", "/nowhere/frame.png"], "cannot be written"),
    ],
)
def test_project_refusals(
    change: list[str], says: str, bench_file: Path, pouch_file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    capsys.readouterr()
    words = ["project", str(pouch_file), "--bench", str(bench_file), "--at", "0,0", "--out", str(tmp_path / "f.png")]
    assert says in refused(capsys, [*words, *change])
