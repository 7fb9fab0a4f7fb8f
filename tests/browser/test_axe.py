"""axe-core over every page, in both looks, on a desk's screen and a phone's: no violation of WCAG 2.2 AA that it can see.

axe-core comes with ``axe-playwright-python`` (Mozilla Public License 2.0). The pages' own policy forbids foreign scripts, so these windows,
and only these, do without it.
"""

from __future__ import annotations

from collections.abc import Iterator
from importlib.resources import files
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.furnished import PAGES, furnish
from tests.browser.house import House

pytestmark = pytest.mark.browser

AXE = (files("axe_playwright_python") / "axe.min.js").read_text()
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
RUN = """async ([tags]) => {
  const found = await axe.run(document, { runOnly: { type: "tag", values: tags }, resultTypes: ["violations"] });
  return found.violations.flatMap((rule) => rule.nodes.map((node) =>
    `${rule.id}: ${node.html.slice(0, 160)} | ${(node.any[0] ?? node.all[0] ?? node.none[0]).message.slice(0, 160)}`));
}"""
OPENED = """() => document.querySelectorAll("main details, .turns details").forEach((e) => { if (!e.name) e.open = true; })"""


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    """A workshop with something in every room."""
    with House(tmp_path_factory.mktemp("axe") / "data") as house:
        furnish(house)
        yield house


@pytest.fixture
def window(browser: Browser) -> Iterator[Any]:
    """Open a window of a size and a look."""
    contexts = []

    def opened(width: int, height: int, look: str) -> Page:
        scheme: Any = look
        context = browser.new_context(
            viewport={"width": width, "height": height}, color_scheme=scheme, reduced_motion="reduce", bypass_csp=True
        )
        contexts.append(context)
        page = context.new_page()
        page.add_init_script(AXE)
        return page

    yield opened
    for context in contexts:
        context.close()


def violations(page: Page, address: str) -> list[str]:
    """Return what axe-core finds on a page with all its folded parts open."""
    page.goto(address)
    page.locator("h1:visible").first.wait_for()
    page.wait_for_timeout(350)
    page.evaluate(OPENED)
    page.wait_for_timeout(50)
    found: list[str] = page.evaluate(RUN, [TAGS])
    return found


@pytest.mark.parametrize("look", ["dark", "light"])
def test_every_page_on_a_desk(shared: House, window: Any, look: str) -> None:
    page = window(1280, 800, look)
    found = {path: violations(page, shared.address + path) for path in PAGES}
    assert {path: rows for path, rows in found.items() if rows} == {}


@pytest.mark.parametrize("look", ["dark", "light"])
def test_pages_on_a_phone(shared: House, window: Any, look: str) -> None:
    page = window(390, 844, look)
    found = {path: violations(page, shared.address + path) for path in PAGES[look == "light" :: 2]}
    assert {path: rows for path, rows in found.items() if rows} == {}


def test_a_violation_would_be_noticed(shared: House, window: Any) -> None:
    page = window(1280, 800, "dark")
    page.goto(shared.address + "/bin")
    page.evaluate("document.querySelector('main').append(document.createElement('button'))")
    assert any(row.startswith("button-name") for row in page.evaluate(RUN, [TAGS]))
