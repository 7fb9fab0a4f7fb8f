"""The pages by keyboard alone, on a small laptop without scrolling, and under a thumb."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Open
from tests.browser.furnished import PAGES, furnish
from tests.browser.house import House

pytestmark = [pytest.mark.browser, pytest.mark.usefixtures("quiet")]

IN_VIEW = {
    "/": ["#next", "#workshop"],
    "/draft": ["#paper", "#lay", "#save"],
    "/draft/1": ["#paper", "#lay", "#measure-width"],
    "/bench/1#calibrate": ["#picture", "#window-ways button, #window-ways a"],
    "/table/1": ["#stage", "#step-next", "#light-ways button"],
    "/work/1": ["#view", "#next", "#back", "#step-title", "#light-switch"],
    "/check": ["#light-ways button", "#judge", "#readings"],
    "/practice": ["#table-top", "#modes", "#walk li"],
}
"""Page by page: its drawing, and what the maker came to press."""

KEY = """(e) => e.id || e.dataset.piece || [e.tagName, e.name, e.value,
  e.getAttribute("href"), e.getAttribute("aria-label"), e.textContent.trim()].join()"""
"""What an element is known by, also after the page has drawn it anew."""

FOCUS = """([e, key]) => {
  window.walked ??= new Set();
  if (!e || e === document.body) return null;
  const style = getComputedStyle(e), box = e.getBoundingClientRect();
  const mark = e.closest("label") ?? e;
  const ring = (s) => s.outlineStyle !== "none" && parseFloat(s.outlineWidth) >= 2;
  const drawn = e instanceof SVGElement && [...e.querySelectorAll("*")].some((part) => getComputedStyle(part).strokeDasharray !== "none");
  window.walked.add(key(e));
  if (e.type === "radio") window.walked.add(`radio ${e.name}`);
  return { what: `${e.tagName} #${e.id} ${e.className.baseVal ?? e.className} ${e.textContent.trim().slice(0, 30)}`,
    seen: ring(style) || ring(getComputedStyle(mark)) || drawn, big: box.width * box.height > 0 };
}"""

MISSED = """([key]) => [...document.querySelectorAll("a[href], button, input, select, textarea, summary, [tabindex='0']")]
  .filter((e) => e.checkVisibility({ visibilityProperty: true }) && !e.disabled && e.tabIndex >= 0 && !window.walked.has(key(e)))
  .filter((e) => !(e.type === "radio" && window.walked.has(`radio ${e.name}`)))
  .map((e) => e.outerHTML.slice(0, 120))"""


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    """A workshop with something in every room."""
    with House(tmp_path_factory.mktemp("reach") / "data") as house:
        furnish(house)
        yield house


@pytest.fixture
def address(shared: House) -> str:
    """These tests share one server."""
    return shared.address


def visit(page: Page, address: str) -> None:
    page.goto(address)
    page.locator("h1:visible").first.wait_for()
    page.wait_for_timeout(400)


def walk(page: Page) -> list[dict[str, Any]]:
    """Press Tab until the focus leaves the page; return where it was."""
    found: list[dict[str, Any]] = []
    for _ in range(400):
        page.keyboard.press("Tab")
        here = page.evaluate(f"({FOCUS})([document.activeElement, {KEY}])")
        if here is None:
            return found
        found.append(here)
    raise AssertionError("the focus never leaves the page")


@pytest.mark.parametrize("path", ["/", "/draft/1", "/bench/1", "/table/1", "/work/1", "/check", "/own/1", "/paper/1"])
def test_tab_reaches_everything_and_shows_where_it_is(address: str, open_page: Open, path: str) -> None:
    page = open_page("/help")
    visit(page, address + path)
    found = walk(page)
    assert found[0]["what"].startswith("A # skip"), "the first stop is the way past the bar"
    assert [here["what"] for here in found if not here["seen"]] == []
    assert page.evaluate(f"({MISSED})([{KEY}])") == []


def test_the_way_past_the_bar_leads_into_the_work(open_page: Open) -> None:
    page = open_page("/check")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    assert page.evaluate("document.querySelector('main').contains(document.activeElement)")


def test_the_main_view_needs_no_scrolling_on_a_small_laptop(address: str, open_page: Open) -> None:
    page = open_page("/help")
    for path, wanted in IN_VIEW.items():
        visit(page, address + path)
        for selector in wanted:
            expect(page.locator(selector).first, f"{path} {selector}").to_be_in_viewport(ratio=0.95)


def test_on_a_phone_nothing_runs_over_and_the_rooms_are_told_apart(address: str, open_page: Open) -> None:
    page = open_page("/help", 390, 844)
    for path in PAGES:
        visit(page, address + path)
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), path
    words = page.locator(".ways a span")
    boxes = [box for box in (words.nth(i).bounding_box() for i in range(words.count())) if box is not None]
    assert len(boxes) == words.count() == 8
    gaps = [after["x"] - before["x"] - before["width"] for before, after in pairwise(boxes)]
    assert min(gaps) >= 3, gaps


def test_inches_everywhere_when_the_maker_wants_them(shared: House, open_page: Open) -> None:
    page = open_page("/draft/1")
    expect(page.locator("#sentences")).to_contain_text("101.6 mm")
    expect(page.get_by_role("button", name="Lengths in mm: change to inches")).to_be_visible()
    page.locator("#unit-swap").click()
    expect(page.locator("#sentences")).to_contain_text("Seam to seam 4 in")
    expect(page.locator("#paper")).to_contain_text("5 3/4")
    page.locator("#measure-width").fill("2 1/2")
    expect(page.locator("#sentences")).to_contain_text("Seam to seam 3 1/2 in")
    page.goto(shared.address + "/table/1")
    expect(page.locator("#step-light")).to_contain_text("in above the table")
    expect(page.locator("#sure")).to_contain_text(" in of its place")
    across = page.locator("#lie-x")
    across.fill("20")
    across.press("Enter")
    expect(page.locator("#saved")).to_have_text("Saved.")
    assert shared.ask("GET", "/api/layouts/1")["placements"]["front"]["x"] == pytest.approx(508.0)
    page.locator("#unit-swap").click()
    expect(page.locator("#lie-x")).to_have_value("508")
