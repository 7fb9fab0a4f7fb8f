"""The command ``hidelight bring``: what it lists, what it writes, and how it ends."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from server.cli import main
from server.geometry.svg_reading import read
from server.reading.formats import parse

ROOT = Path(__file__).resolve().parents[2]
BODY = (
    'viewBox="0 0 300 200" fill="none" stroke="#000"><g id="cut"><path d="M20 20H120V90H20z"/></g>'
    '<path stroke="blue" d="M24 24V86H116V24"/><text x="1" y="9">not to scale</text></svg>'
)


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A drawing that does not say its unit."""
    path = tmp_path / "wallet.svg"
    path.write_text(f'<svg xmlns="http://www.w3.org/2000/svg" {BODY}')
    return path


@pytest.fixture(autouse=True)
def at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Read in this process: starting another takes a second, and the last test does."""
    monkeypatch.setattr("server.services.pattern.bring.read_file", parse)


def run(*words: str | Path) -> int:
    return main(["bring", *map(str, words)])


def test_it_lists_what_is_in_a_file(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(file, "--list") == 0
    said = capsys.readouterr().out
    for words in ("does not say its unit", "look 1\tcut\t1 line\tlayer 'cut'", "look 2\tstitch", "line 1\tcut", "text"):
        assert words in said
    assert run(file, "--list", "--known", "1=13.6 in", "--as", "look 2=fold", "--as", "line 1=slot") == 0
    said = capsys.readouterr().out
    assert "101.6 x 71.1 mm" in said
    assert "look 2\tfold" in said
    assert "cut, 1 of them slot" in said


def test_it_writes_a_pattern_at_true_size(file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "pattern.svg"
    assert run(file, "--unit", "mm", "--pitch", "5 mm", "--out", out) == 0
    said = capsys.readouterr().out
    assert "text left out" in said
    assert "seam 1" in said
    drawing = read(out.read_text())
    outline = next(shape for shape in drawing.shapes if shape.role == "cut")
    assert np.ptp(outline.points, axis=0) == pytest.approx([100.0, 70.0], abs=1e-6)
    holes = [shape for shape in drawing.shapes if shape.role == "hole"]
    assert len(holes) == 12 + 18 + 12 + 1  # 62 mm, 92 mm, 62 mm of stitch line at 5 mm
    assert run(file, "--unit", "mm") == 0
    written = capsys.readouterr()
    assert written.out.startswith("<svg") or "<svg" in written.out[:200]
    assert "text left out" in written.err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "does not say its unit"),
        (("--unit", "furlong"), "furlong"),
        (("--known", "7=3 in"), "no line 7"),
        (("--known", "wide"), "--known is 'wide'"),
        (("--unit", "mm", "--as", "look 9=cut"), "no look 'look 9'"),
        (("--unit", "mm", "--as", "cut=glue"), "glue"),
        (("--unit", "mm", "--as", "cut"), "--as is 'cut'"),
        (("--unit", "mm", "--as", "cut=fold"), "No closed line"),
        (("--unit", "mm", "--pitch", "0"), "pitch"),
        (("--unit", "mm", "--plies", "40"), "plies"),
        (("--unit", "mm", "--out", "/nowhere/at/all.svg"), "cannot be written"),
    ],
)
def test_it_refuses_in_one_sentence(
    file: Path, words: tuple[str, ...], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(file, *words) == 2
    printed = capsys.readouterr()
    assert said in printed.err
    assert printed.err.count("\n") == 1
    assert printed.out == ""


def test_the_program_itself_reads_a_file_in_a_process_of_its_own(file: Path) -> None:
    words = [sys.executable, "-m", "server.cli", "bring", str(file), "--unit", "mm"]
    done = subprocess.run(words, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0
    assert 'data-role="hole"' in done.stdout
    assert "text left out" in done.stderr


def test_a_file_that_is_not_there_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(tmp_path / "missing.pdf") == 2
    assert "missing.pdf" in capsys.readouterr().err
