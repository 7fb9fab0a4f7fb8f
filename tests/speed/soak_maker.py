"""A maker at work in eight windows, without rest: drags, steps, strikes, drafts, checks, reloads."""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Callable

from playwright.sync_api import Browser, Page

from tests.browser.house import House

PLACES = {
    "light": "/light",
    "waiting": "/light",
    "practice": "/practice",
    "table": "/table/1",
    "work": "/work/1",
    "bench": "/bench/1",
    "draft": "/draft/1",
}
PROJECTORS = ("light", "waiting")
MARKS = ["A", "E", "P", "T"]
PAUSE_MS = 120


class Maker:
    """Eight windows of a workshop under way, and the hands in them. Two projector windows: the second one waits."""

    def __init__(self, house: House, browser: Browser) -> None:
        self._house = house
        _furnish(house)
        self.windows = {name: _window(browser, house.address + path, name) for name, path in PLACES.items()}
        self.windows["phone"] = _phone(house, browser)
        self.done: Counter[str] = Counter()
        acts: list[Callable[[], None]] = [self.drag, self.table_steps, self.strikes, self.phone, self.draft, self.check]
        self._acts = itertools.cycle([*acts, self.session, self.undo, self.look, self.reload])
        self._widths = itertools.cycle(("3 in", "80", "85 mm", "3 1/4 in"))
        self._reloads = itertools.cycle(("waiting", "bench", "draft"))

    def act(self) -> None:
        """Do the next thing of the round."""
        act = next(self._acts)
        act()
        self.done[act.__name__.replace("_", " ")] += 1

    def drag(self) -> None:
        """Drag the front about on the table page and back."""
        page = self._front("table")
        self._house.ask("POST", "/api/light", {"mode": "layout", "layout": 1})
        box = page.locator('#stage .piece[data-piece="front"]').first.bounding_box()
        assert box is not None
        x, y = box["x"] + box["width"] / 2.0, box["y"] + box["height"] / 2.0
        page.mouse.move(x, y)
        page.mouse.down()
        for step in (*range(1, 25), *range(23, -1, -1)):
            page.mouse.move(x + 2 * step, y + step)
            page.wait_for_timeout(16)
        page.mouse.up()
        page.wait_for_timeout(PAUSE_MS)

    def table_steps(self) -> None:
        """Go three steps on, and back again, on the table page."""
        page = self._front("table")
        for key in ("PageDown",) * 3 + ("PageUp",) * 3:
            page.keyboard.press(key)
            page.wait_for_timeout(PAUSE_MS)

    def strikes(self) -> None:
        """Press on twelve times on the work page; a finished job begins again."""
        page = self._front("work")
        job = self._house.ask("POST", "/api/jobs/1/light", {})
        if job["done"]:
            self._house.ask("POST", "/api/jobs/1/go", {"step": job["steps"][0]["name"], "revision": job["revision"]})
        for _ in range(12):
            page.keyboard.press("PageDown")
            page.wait_for_timeout(PAUSE_MS)

    def phone(self) -> None:
        """Go on once from the phone."""
        page = self._front("phone")
        if page.locator("#on").is_enabled():
            page.locator("#on").click()
        page.wait_for_timeout(PAUSE_MS)

    def draft(self) -> None:
        """Change a measure and let the drawing follow."""
        page = self._front("draft")
        with page.expect_response("**/api/draft"):
            page.locator("#measure-width").fill(next(self._widths))
        page.wait_for_timeout(PAUSE_MS)

    def check(self) -> None:
        """Light the check figure and read it with the practice rule."""
        self._house.ask("POST", "/api/light", {"mode": "check", "bench": 1, "size": 300})
        self.windows["practice"].wait_for_timeout(PAUSE_MS)
        self._house.ask("POST", "/api/practice/read", {"size": 300})

    def session(self) -> None:
        """Hold the bench against its witness marks."""
        self._house.ask("POST", "/api/light", {"mode": "witness", "bench": 1})
        seen = self._house.ask("POST", "/api/practice/witness", {"bench": 1})["seen"]
        self._house.ask("POST", "/api/benches/1/session", {"seen": seen})

    def undo(self) -> None:
        """Take the drag back, and give it again."""
        page = self._front("table")
        for key in ("Control+z", "Control+Shift+z"):
            page.keyboard.press(key)
            page.wait_for_timeout(2 * PAUSE_MS)

    def look(self) -> None:
        """Show the pattern again, and glance at the practice table."""
        self._house.ask("POST", "/api/light", {"mode": "layout", "layout": 1})
        self._front("practice").wait_for_timeout(3 * PAUSE_MS)

    def reload(self) -> None:
        """Load one of three windows again; the others stay open from beginning to end."""
        page = self._front(next(self._reloads))
        page.reload(wait_until="load")
        page.wait_for_timeout(2 * PAUSE_MS)

    def _front(self, name: str) -> Page:
        self.windows[name].bring_to_front()
        return self.windows[name]


def _furnish(house: House) -> None:
    """Calibrate the practice bench, draw its witness marks, lay the pouch, start a job of five copies."""
    house.practice("marks", "block", lay=True)
    house.ask("PUT", "/api/benches/1/witness", {"names": MARKS, "own": True})
    house.ask("POST", "/api/jobs", {"layout": 1, "copies": 5})
    house.ask("POST", "/api/jobs/1/unchecked", {})


def _window(browser: Browser, address: str, name: str) -> Page:
    size = (1920, 1080) if name in PROJECTORS else (1280, 800)
    page = browser.new_page(viewport={"width": size[0], "height": size[1]})
    page.goto(address)
    page.wait_for_timeout(500)
    return page


def _phone(house: House, browser: Browser) -> Page:
    """Pair a phone and return its window."""
    house.ask("POST", "/api/phones", {"on": True})
    page = browser.new_page(viewport={"width": 390, "height": 844})
    page.goto(house.ask("POST", "/api/phones/code", {"in_light": False})["url"])
    page.locator("#on").click()
    page.locator("#back").wait_for()
    return page
