"""Fixtures: an application on a fresh data folder, and a real server in a process of its own."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.web.desk import Desk, open_desk
from tests.web.process import Process, started


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Desk]:
    """An application on a fresh data folder."""
    monkeypatch.delenv("HIDELIGHT_DATABASE", raising=False)
    opened = open_desk(tmp_path / "data")
    yield opened
    opened.shop.close()


@pytest.fixture(scope="module")
def process(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Process]:
    """A real server in a process of its own, shared by a module's tests."""
    with started(tmp_path_factory.mktemp("data")) as running:
        yield running
