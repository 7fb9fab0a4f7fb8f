"""Makes the picture of README.md from the running program, so that it cannot go stale: ``python -m tests.browser.pictures``."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

from tests.browser.house import CHROMIUM_OPTIONS, House, chromium
from tests.web.process import ROOT

FOLDER = ROOT / "static" / "pictures"


def practice_table(page: Page, house: House) -> None:
    """Show the calibrated check figure landing on the practice table."""
    bench = house.practice("marks", "block")
    house.ask("POST", "/api/light", {"mode": "check", "bench": bench, "size": 300})
    page.goto(f"{house.address}/practice")
    page.wait_for_timeout(1500)
    page.screenshot(path=FOLDER / "practice-table.png")


def main() -> int:
    """Make it; return the exit status."""
    path = chromium()
    if path is None:
        print("Chromium is not installed: install it with apt-get install chromium.", file=sys.stderr)
        return 2
    FOLDER.mkdir(exist_ok=True)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=list(CHROMIUM_OPTIONS))
        with tempfile.TemporaryDirectory() as folder:
            house = House(Path(folder))
            house.start()
            practice_table(browser.new_page(viewport={"width": 1280, "height": 1060}, color_scheme="dark"), house)
            house.kill()
        browser.close()
    return 0


if __name__ == "__main__":
    sys.exit(main())
