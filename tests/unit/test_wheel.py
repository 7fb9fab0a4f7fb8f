"""The built wheel runs from any folder: it carries the three rooms with pages, scripts and migrations, and nothing of the tests."""

from __future__ import annotations

import subprocess
import sys
import zipfile
from pathlib import Path

from tests.unit.test_house import ROOT


def test_wheel_carries_everything_it_needs(tmp_path: Path) -> None:
    command = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(tmp_path)]
    subprocess.run(command, cwd=ROOT, check=True, capture_output=True)
    names = set(zipfile.ZipFile(next(tmp_path.glob("*.whl"))).namelist())
    listed = subprocess.run(
        ["git", "ls-files", "server", "static", "calibration"], cwd=ROOT, check=True, capture_output=True, text=True
    )
    assert set(listed.stdout.split()) - names == set()
    assert not any(name.startswith("tests/") for name in names)
    assert "server/store/migrations/versions/0001_first_tables.py" in names
