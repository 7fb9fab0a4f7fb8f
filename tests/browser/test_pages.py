"""Every page: no complaint in the console, no policy violation, no sideways scrolling, large targets, names on everything."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Open
from tests.browser.house import House

pytestmark = [pytest.mark.browser, pytest.mark.usefixtures("quiet")]

PAGES = ["/", "/draft", "/draft/1", "/bench/1", "/table/1", "/work", "/check", "/practice", "/help", "/nowhere"]

TOO_SMALL = """() => {
  const seen = [...document.querySelectorAll("a, button, input, select, summary")].filter((e) => e.checkVisibility());
  const target = (e) => e.closest("label") ?? e;
  const inText = (e) => e.tagName === "A" && e.closest("p, dd") !== null;
  const unseen = (e) => e.classList.contains("skip");
  return seen.filter((e) => !inText(e) && !unseen(e)).map((e) => [e, target(e).getBoundingClientRect()])
    .filter(([, box]) => box.width > 0 && (box.height < 43.5 || box.width < 43.5))
    .map(([e, box]) => `${e.tagName} ${e.id || e.className} "${e.textContent.trim()}" ${box.width}x${box.height}`);
}"""

WITHOUT_NAME = """() => [...document.querySelectorAll("input, select, button, a[href]")].filter((e) => {
    const labels = e.labels ? [...e.labels].map((l) => l.textContent.trim()).join("") : "";
    return !(e.getAttribute("aria-label") || e.textContent.trim() || labels || e.title);
  }).map((e) => e.outerHTML.slice(0, 120))"""

CONTRAST = """() => {
  const light = (text) => {
    const linear = (v) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
    const [r, g, b] = text.match(/[\\d.]+/g).map((v) => linear(Number(v) / 255));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const ground = (e) => {
    for (let at = e; at; at = at.parentElement) {
      const colour = getComputedStyle(at).backgroundColor;
      if (colour.startsWith("rgb(")) return colour;
    }
    return getComputedStyle(document.body).backgroundColor;
  };
  const words = [...document.querySelectorAll("main *, header *")].filter((e) => e.checkVisibility() && !e.closest("svg, [disabled]") &&
    [...e.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim()));
  return words.map((e) => {
    const [a, b] = [light(getComputedStyle(e).color), light(ground(e))].sort((x, y) => y - x);
    return [(a + 0.05) / (b + 0.05), e.outerHTML.slice(0, 90)];
  }).filter(([ratio]) => ratio < 4.5).map(([ratio, html]) => `${ratio.toFixed(2)} ${html}`);
}"""


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    """A workshop with a calibrated bench and a pouch on its table, for tests that only look."""
    with House(tmp_path_factory.mktemp("shared") / "data") as house:
        house.practice("marks", "block", lay=True)
        yield house


@pytest.fixture
def address(shared: House) -> str:
    """These tests share one server."""
    return shared.address


def visit(page: Page, address: str) -> None:
    page.goto(address)
    page.wait_for_load_state("load")
    expect(page.locator("#lost")).to_be_hidden()
    page.wait_for_timeout(500)


@pytest.mark.parametrize(("width", "height"), [(1280, 800), (390, 844)])
@pytest.mark.parametrize("look", ["dark", "light"])
def test_every_page_is_sound(address: str, open_page: Open, width: int, height: int, look: str) -> None:
    page = open_page("/", width, height, look=look)
    for path in PAGES:
        visit(page, address + path)
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), f"{path} scrolls sideways"
        assert page.evaluate(WITHOUT_NAME) == [], path
        assert page.evaluate(TOO_SMALL) == [], path
        assert page.evaluate(CONTRAST) == [], path
        assert page.locator("h1:visible").count() == 1, path
        assert page.title().endswith("Hidelight")
        assert page.evaluate("document.documentElement.dataset.look") == look


def test_home_says_where_things_stand(open_page: Open) -> None:
    page = open_page("/")
    expect(page.locator("#card-bench")).to_contain_text(
        re.compile("Calibrated (just now|a minute ago|[0-9]+ minutes ago)")
    )
    expect(page.locator("#card-work")).to_contain_text("Practice lamp")
    expect(page.locator("#workshop [data-part=lamp]")).to_have_attribute("data-lit", "no")
    light = open_page("/light", 1920, 1080)
    expect(page.locator("#card-lamp")).to_contain_text("1920 × 1080")
    expect(page.locator("#workshop [data-part=lamp]")).to_have_attribute("data-lit", "yes")
    expect(page.locator("#next")).to_have_text("Check with a steel rule")
    light.close()
    expect(page.locator("#card-lamp")).to_contain_text("No projector window is open.")


def test_the_look_follows_the_system_until_it_is_chosen(open_page: Open) -> None:
    page = open_page("/help", look="light")
    assert page.evaluate("document.documentElement.dataset.look") == "light"
    page.emulate_media(color_scheme="dark")
    expect(page.locator("html")).to_have_attribute("data-look", "dark")
    page.locator("#look").click()
    page.reload()
    assert page.evaluate("document.documentElement.dataset.look") == "light"


def test_no_style_or_script_stands_in_the_pages(address: str, open_page: Open) -> None:
    page = open_page("/")
    for path in [*PAGES, "/light"]:
        source = page.request.get(address + path).text()
        assert " style=" not in source, path
        assert " onclick=" not in source, path
        assert "<script>" not in source, path


def test_a_policy_violation_would_be_noticed(open_page: Open, complaints: list[str]) -> None:
    page = open_page("/help")
    page.evaluate("document.body.insertAdjacentHTML('beforeend', '<p style=\"color: red\">no</p>')")
    page.wait_for_timeout(200)
    assert any("Content Security Policy" in complaint for complaint in complaints)
    complaints.clear()
