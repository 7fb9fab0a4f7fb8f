"""Fixtures: one Chromium for all, a server with an empty data folder for each test, and windows that must not complain."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Error, Page, sync_playwright

from tests.browser.house import CHROMIUM_OPTIONS, House, chromium

Open = Callable[..., Page]

EXPECTED_NOISE = "Failed to load resource: the server responded with a status of 4"
"""What Chromium itself writes for every refusal; the refusal is shown on the page, and that is what tests look at."""


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """The system's Chromium, headless."""
    path = chromium()
    if path is None:
        missing = "Chromium is not installed, so the pages cannot be tried: install it with apt-get install chromium."
        if os.environ.get("CI"):
            pytest.fail(missing)
        pytest.skip(missing)
    with sync_playwright() as playwright:
        running = playwright.chromium.launch(executable_path=path, args=list(CHROMIUM_OPTIONS))
        yield running
        running.close()


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    """A server on an empty data folder."""
    with House(tmp_path / "data") as new:
        yield new


@pytest.fixture
def address(house: House) -> str:
    """Where the pages of this test are; a module whose tests change nothing shares one server by overriding this."""
    return house.address


@pytest.fixture
def complaints() -> list[str]:
    """What the windows of this test have written to their consoles as errors or warnings."""
    return []


@pytest.fixture
def open_page(browser: Browser, address: str, complaints: list[str]) -> Iterator[Open]:
    """Open a page of the server in a context of its own: ``open_page("/light", 1920, 1080, ratio=1.25)``."""
    contexts: list[BrowserContext] = []

    def heard(message: ConsoleMessage) -> None:
        if message.type in ("error", "warning") and not message.text.startswith(EXPECTED_NOISE):
            complaints.append(f"{message.type}: {message.text}")

    def broke(error: Error) -> None:
        complaints.append(f"exception: {error}")

    def open_one(path: str, width: int = 1280, height: int = 800, ratio: float = 1.0, look: str = "dark") -> Page:
        context = browser.new_context(
            viewport={"width": width, "height": height},
            device_scale_factor=ratio,
            color_scheme="light" if look == "light" else "dark",
        )
        contexts.append(context)
        context.set_default_timeout(8000)
        page = context.new_page()
        page.on("console", heard)
        page.on("pageerror", broke)
        page.goto(address + path)
        return page

    yield open_one
    for context in contexts:
        context.close()


@pytest.fixture
def quiet(complaints: list[str]) -> Iterator[None]:
    """Fail the test if any of its windows wrote an error, a warning or a policy violation to its console."""
    yield
    assert complaints == []
