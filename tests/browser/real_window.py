"""A real browser window on a screen of a real scale and at a real zoom: nothing of it is emulated by the page's tools."""

from __future__ import annotations

import json
import math
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import Browser, Page

from tests.browser.house import CHROMIUM_OPTIONS, chromium

SCREEN = (1920, 1080)
ZOOM_STEP = 1.2
"""Chromium keeps its zoom as a power of this."""


@contextmanager
def real_window(browser: Browser, address: str, scale: float = 1.0, zoom: float = 1.0) -> Iterator[Page]:
    """Open an address full screen on a screen of ``SCREEN`` device px, at a display scale and a browser zoom.

    Args:
        browser: any running browser of the test; it only lends its tools.
        address: what to open.
        scale: device px a screen px, as set in a system's display settings.
        zoom: the browser's own zoom, as Ctrl and + set it; 1 for none.

    """
    width, height = (round(side / scale) for side in SCREEN)
    with tempfile.TemporaryDirectory() as folder:
        _set_zoom(Path(folder), zoom)
        context = browser.browser_type.launch_persistent_context(
            folder,
            executable_path=chromium(),
            no_viewport=True,
            args=[
                *CHROMIUM_OPTIONS,
                "--kiosk",
                f"--screen-info={{{SCREEN[0]}x{SCREEN[1]} devicePixelRatio={scale:g}}}",
                f"--window-size={width},{height}",
            ],
        )
        try:
            page = context.pages[0]
            page.goto(address)
            yield page
        finally:
            context.close()


def _set_zoom(profile: Path, zoom: float) -> None:
    """Write the zoom into the profile, where the browser's own settings keep it."""
    level = math.log(zoom) / math.log(ZOOM_STEP)
    (profile / "Default").mkdir()
    settings = {"partition": {"default_zoom_level": {"x": level}}}
    (profile / "Default" / "Preferences").write_text(json.dumps(settings))
