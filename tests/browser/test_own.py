"""A pattern of the maker's own, from the file to the table, as a maker sees it and with the keyboard alone."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Open
from tests.browser.house import House
from tests.browser.test_drafting import looks_right

pytestmark = [pytest.mark.browser, pytest.mark.usefixtures("quiet")]

WALLET = """<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 130" fill="none" stroke="#000">
<g id="cut"><path d="M20 20H120V110H20z"/><rect x="54" y="34" width="32" height="5"/></g>
<path stroke="#1060c0" stroke-dasharray="2 1" d="M24 50V106H116V50"/><path d="M20 44H120" stroke="#d02020"/>
<g id="engrave"><path d="M150 60h40"/></g><text x="150" y="50">do not scale</text></svg>"""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A drawing of 100 by 90 of its own units, which it does not name."""
    path = tmp_path / "wallet.svg"
    path.write_text(WALLET)
    return path


def press(page: Page, x: float, y: float) -> None:
    """Press the picture at a place of the file's own drawing."""
    at = page.evaluate(
        """([x, y]) => {
          const root = document.querySelector(".sheet-drawing");
          const scale = 25.4 / 96; // the file's unit is taken for a pixel until it is known
          const at = new DOMPoint(x * scale, y * scale).matrixTransform(root.getScreenCTM());
          return [at.x, at.y];
        }""",
        [x, y],
    )
    page.mouse.click(at[0], at[1])


def test_from_a_file_to_the_table(house: House, open_page: Open, file: Path) -> None:
    bench = house.ask("POST", "/api/practice/start", {})["bench"]
    house.ask("POST", "/api/practice/sight", {"bench": bench, "way": "marks", "replace": True})
    page = open_page("/")
    page.get_by_role("link", name="Bring a file").click()
    page.locator("#file").set_input_files({"name": "x.svg", "mimeType": "image/svg+xml", "buffer": b"<svg"})
    expect(page.locator("#file-wrong")).to_contain_text("not well-formed", timeout=15_000)
    looks_right(page)
    page.locator("#file").set_input_files(file)
    expect(page.locator(".look-row")).to_have_count(4)
    expect(page.locator("#left-out")).to_contain_text("do not scale")
    expect(page.get_by_label("What #1060c0, dashed is for")).to_have_value("stitch")
    expect(page.locator("#size")).to_contain_text("does not say its unit")
    expect(page.get_by_role("button", name="Lay it on the table")).to_be_disabled()
    looks_right(page)

    page.locator('#size input[value="points"]').check()
    expect(page.locator("#picking")).to_contain_text("first of two points")
    press(page, 20, 20)
    press(page, 120, 20)
    page.locator("#length").fill("four inches")
    expect(page.locator('.wrong-here[data-for="length"]')).to_contain_text("four inches")
    page.locator("#length").fill("4 in")
    expect(page.locator("#size")).to_contain_text("6.80 x 3.60 in")

    press(page, 70, 34)  # the slot's upper edge
    expect(page.locator("#line-which")).to_have_value("1")
    expect(page.locator("#picking")).to_contain_text("Line 2: cut")
    page.get_by_label("It is for").select_option("slot")
    expect(page.locator(".look-row").first).to_contain_text("1 line of it chosen apart: slot.")
    page.get_by_label("Pitch").fill("3/16 in")
    page.locator("#leather").fill("4-5 oz")
    page.locator('#views input[value="pattern"]').check()
    expect(page.locator("#pattern-paper .role-hole")).not_to_have_count(0)
    expect(page.locator("#pattern-paper")).to_contain_text("101.6")
    expect(page.locator("#sentences")).to_contain_text("seam 1")
    page.get_by_label("Name").fill("Card wallet")
    looks_right(page)
    page.get_by_role("button", name="Lay it on the table").click()
    page.wait_for_url(re.compile(r"/table/\d+$"))
    expect(page.locator("body")).to_contain_text("Card wallet")
    expect(page.locator(".table-drawing .role-hole")).not_to_have_count(0)
    layout = house.ask("GET", f"/api/layouts/{page.url.rsplit('/', 1)[1]}")
    assert layout["leather"] == "4-5 oz"
    assert [piece["name"] for piece in layout["pieces"]] == ["piece-1"]

    page.goto(f"{house.address}/draft/{layout['thing']}")  # what a thing is opened by leads to its file again
    expect(page.locator("#length")).to_have_value("4 in")
    expect(page.get_by_label("Pitch")).to_have_value("3/16 in")
    expect(page.locator("#title")).to_have_value("Card wallet")


def test_the_keyboard_alone_is_enough(open_page: Open, file: Path) -> None:
    """On a phone's width, in the light look: the list of lines stands in for pressing the picture."""
    page = open_page("/own", 390, 844, look="light")
    looks_right(page)
    page.locator("#file").set_input_files(file)
    expect(page.locator(".look-row")).to_have_count(4)
    page.locator('#size input[value="unit"]').focus()
    page.keyboard.press("ArrowRight")
    expect(page.locator("#known")).to_be_visible()
    page.locator("#known").focus()
    page.keyboard.press("Home")
    page.keyboard.press("ArrowDown")
    page.locator("#across").select_option("width")
    page.locator("#length").focus()
    page.keyboard.type("100 mm")
    expect(page.locator("#size")).to_contain_text("The drawing is 170 x 90 mm")
    page.locator("#line-which").focus()
    page.keyboard.type("4")
    page.get_by_label("It is for").select_option("mark")
    expect(page.locator("#kept")).to_have_text("Choices are kept.")
    page.get_by_role("button", name="As proposed").press("Enter")
    expect(page.get_by_label("It is for")).to_have_value("")
    looks_right(page)
    page.reload()
    expect(page.locator("#length")).to_have_value("100 mm")
