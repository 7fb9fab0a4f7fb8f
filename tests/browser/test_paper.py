"""Paper as a maker meets it: from the draft to the print, choices that show at once, a printer measured, files taken away."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from pathlib import Path

import pypdf
import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Open
from tests.browser.house import House
from tests.browser.test_drafting import looks_right

pytestmark = [pytest.mark.browser, pytest.mark.usefixtures("quiet")]


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    """One server for these tests: each brings patterns and printers of its own."""
    with House(tmp_path_factory.mktemp("paper") / "data") as new:
        yield new


def printed(house: House, family: str = "tool-roll") -> str:
    """Return the address of a pattern's paper."""
    thing = house.ask("POST", "/api/things", {"name": "Bench roll", "family": family, "measures": {}})["id"]
    return f"/paper/{house.ask('POST', '/api/patterns', {'thing': thing})['id']}"


def pages_shown(page: Page) -> int:
    expect(page.locator("#preview-words")).to_contain_text("page")
    return page.locator("#pages img").count()


def taken(page: Page, link: str) -> bytes:
    with page.expect_download() as found:
        page.locator(link).click()
    return Path(found.value.path()).read_bytes()


@pytest.mark.parametrize(("width", "height", "look"), [(1280, 800, "dark"), (390, 844, "light")])
def test_the_page_looks_right(house: House, open_page: Open, width: int, height: int, look: str) -> None:
    page = open_page(printed(house), width, height, look=look)
    expect(page.locator("#preview-words")).to_contain_text("pages of A4")
    page.locator("#measuring summary").click()
    looks_right(page)
    page.get_by_label("Empty edge").fill("far")
    expect(page.locator('.wrong-here[data-for="margin"]')).to_contain_text("far")
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    if width > 1000:
        top = page.locator("#take-pdf").bounding_box()
        assert top is not None
        assert top["y"] + top["height"] < height


def test_from_the_draft_to_the_print_in_hand(open_page: Open) -> None:
    page = open_page("/draft")
    expect(page.locator("#save")).to_be_enabled()
    page.get_by_label("Name", exact=True).fill("Pouch for the wagon")
    page.get_by_role("button", name="Print it on paper").click()
    expect(page).to_have_url(re.compile(r"/paper/\d+$"))
    expect(page.locator("#paper-what")).to_contain_text("Pouch for the wagon")
    before = pages_shown(page)
    expect(page.locator("#pages img").nth(1)).to_have_js_property("complete", True)
    assert page.evaluate("[...document.querySelectorAll('#pages img')].every((i) => i.naturalWidth > 100)")
    page.locator("#size").select_option("A5")
    expect(page.locator("#preview-words")).to_contain_text("of A5")
    assert pages_shown(page) > before
    page.get_by_label("Copies of back").fill("0")
    expect(page.locator("#pages")).not_to_contain_text("Back")
    found = pypdf.PdfReader(io.BytesIO(taken(page, "#take-pdf")))
    assert len(found.pages) == pages_shown(page)
    box = found.pages[0].mediabox
    assert min(float(box.width), float(box.height)) == pytest.approx(148 / 25.4 * 72, abs=0.3)
    assert taken(page, "#take-sheet").startswith(b"%PDF")
    assert b"<svg" in taken(page, "#take-svg")[:200]
    assert b"SECTION" in taken(page, "#take-dxf")[:40]


def test_choices_that_cannot_be_are_said_by_their_field_and_nothing_is_printed(house: House, open_page: Open) -> None:
    page = open_page(printed(house, "key-fob"))
    expect(page.locator("#preview-words")).to_contain_text("2 pages of A4")
    page.get_by_label("Overlap").fill("99 mm")
    expect(page.locator('.wrong-here[data-for="overlap"]')).to_contain_text("The overlap is 99 mm")
    expect(page.locator("#pages")).to_have_attribute("data-stale", "yes")
    assert page.locator("#take-pdf").get_attribute("href") is None
    page.get_by_label("Overlap").fill("1/2 in")
    expect(page.locator("#pages")).to_have_attribute("data-stale", "no")
    page.locator("#size").select_option("roll")
    page.get_by_label("Roll width").fill("24 in")
    expect(page.locator("#preview-words")).to_contain_text("2 lengths of roll, 609.6 mm wide")
    expect(page.locator("#sheet-lies")).to_be_hidden()


def test_a_printer_is_measured_once_and_chosen_again(house: House, open_page: Open) -> None:
    page = open_page(printed(house, "key-fob"))
    page.locator("#measuring summary").click()
    page.get_by_label("Printer, paper and settings").fill("Study, plain paper")
    page.get_by_label("Rule across").fill("93")
    page.get_by_label("Rule down").fill("100.4")
    page.get_by_role("button", name="Keep these readings").click()
    expect(page.locator('.wrong-here[data-for="across"]')).to_contain_text("not fit to page")
    page.get_by_label("Rule across").fill("99.2")
    page.get_by_label("Rule down").press("Enter")
    expect(page.locator("#preview-words")).to_contain_text("+0.81 % across, -0.40 % down")
    page.reload()
    expect(page.locator("#preview-words")).to_contain_text("no correction")
    page.get_by_label("Correct the size for").select_option("Study, plain paper")
    expect(page.locator("#preview-words")).to_contain_text("+0.81 % across")
    page.locator("#measuring summary").click()
    page.get_by_role("button", name="Forget this printer").click()
    expect(page.locator("#preview-words")).to_contain_text("no correction")
    assert house.ask("GET", "/api/printers") == []
