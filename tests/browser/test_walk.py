"""The five-minute walk of README.md, walked: its words are those of the pages, its pictures are there, small, and none is left over."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Browser

from tests.browser.house import House
from tests.browser.walk import FOLDER, README, WALK, begin, sentences, text, written_in_readme

MOST_BYTES = 600_000


@pytest.mark.browser
def test_the_walk_of_the_readme_can_be_walked_word_by_word(browser: Browser, house: House) -> None:
    walker = begin(browser, house.address)
    said = text(list(sentences(walker)))
    walker.page.close()
    walker.light.close()
    assert written_in_readme() == said, "make it anew: python -m tests.browser.pictures"


def test_the_pictures_of_the_readme_are_those_of_the_walk() -> None:
    shown = re.findall(r"!\[[^\]]+\]\(static/pictures/([^)]+)\)", README.read_text())
    made = [station.shot.name for station in WALK if station.shot is not None]
    assert sorted(shown) == sorted(made) == sorted(one.name for one in FOLDER.iterdir())
    assert sum((FOLDER / name).stat().st_size for name in made) < MOST_BYTES
