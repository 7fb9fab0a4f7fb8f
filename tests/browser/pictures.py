"""Walks the five-minute walk of README.md through the running program, and writes its words and its pictures.

``python -m tests.browser.pictures``. ``test_walk`` fails when the words of the pages have changed since.
"""

from __future__ import annotations

import io
import sys
import tempfile
from pathlib import Path

import numpy as np
from PIL import Image
from playwright.sync_api import Page, sync_playwright

from tests.browser.house import CHROMIUM_OPTIONS, House, chromium
from tests.browser.walk import (
    BEGIN,
    END,
    FOLDER,
    README,
    SCREEN,
    Shot,
    Walker,
    begin,
    sentences,
    text,
    written_in_readme,
)

COLOURS = 96
MARGIN_PX = 60
SETTLED_MS = 900


def shoot(walker: Walker, shot: Shot) -> None:
    """Take a picture and write it with few colours."""
    walker.page.wait_for_timeout(SETTLED_MS)
    if shot.light:
        picture = lit(opened(walker.light.screenshot()))
    elif shot.beside is not None:
        picture = beside(walker, shot)
    else:
        picture = opened(part(walker.page, shot.part))
    few = picture.quantize(COLOURS, method=Image.Quantize.MEDIANCUT, dither=Image.Dither.NONE)
    few.save(FOLDER / shot.name, optimize=True)


def beside(walker: Walker, shot: Shot) -> Image.Image:
    """Return a picture of a second page, so that the maker's stays where it is."""
    origin = "/".join(walker.page.url.split("/")[:3])
    page = walker.page.context.browser.new_page(  # type: ignore[union-attr]
        viewport={"width": SCREEN[0], "height": 1060}, color_scheme="dark"
    )
    page.goto(f"{origin}{shot.beside}")
    if shot.press is not None:
        page.locator(f'label:has(input[value="{shot.press}"])').last.click()
    page.wait_for_timeout(SETTLED_MS)
    picture = opened(part(page, shot.part))
    page.close()
    return picture


def part(page: Page, selector: str | None) -> bytes:
    """Return the PNG of a page or of a part of it."""
    return page.screenshot() if selector is None else page.locator(selector).screenshot()


def opened(png: bytes) -> Image.Image:
    """Return a PNG as a picture."""
    return Image.open(io.BytesIO(png)).convert("RGB")


def lit(picture: Image.Image) -> Image.Image:
    """Return the part of the projector's picture in which there is light, with some dark around it."""
    rows, columns = np.nonzero(np.asarray(picture).max(axis=2) > 30)
    left, top = max(int(columns.min()) - MARGIN_PX, 0), max(int(rows.min()) - MARGIN_PX, 0)
    return picture.crop((left, top, int(columns.max()) + MARGIN_PX, int(rows.max()) + MARGIN_PX))


def main() -> int:
    """Walk and write; return the exit status."""
    path = chromium()
    if path is None:
        print("Chromium is not installed: install it with apt-get install chromium.", file=sys.stderr)
        return 2
    with (
        tempfile.TemporaryDirectory() as folder,
        House(Path(folder) / "data") as house,
        sync_playwright() as playwright,
    ):
        browser = playwright.chromium.launch(executable_path=path, args=list(CHROMIUM_OPTIONS))
        said = list(sentences(begin(browser, house.address), shoot))
        browser.close()
    README.write_text(README.read_text().replace(f"{BEGIN}\n{written_in_readme()}{END}", f"{BEGIN}\n{text(said)}{END}"))
    return 0


if __name__ == "__main__":
    sys.exit(main())
