"""Undo by keyboard across a restart, the bin, and two versions of a pattern, as a maker meets them on the pages."""

from __future__ import annotations

import re
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Open
from tests.browser.house import House
from tests.web.desk import MEASURES
from tests.web.process import until

pytestmark = [pytest.mark.browser, pytest.mark.usefixtures("quiet")]

DISABLED = re.compile("true")


@pytest.fixture
def furnished(house: House) -> House:
    """A workshop with a calibrated bench and a pouch on its table."""
    house.practice("marks", "block", lay=True)
    return house


def front(house: House) -> dict[str, Any]:
    found: dict[str, Any] = house.ask("GET", "/api/layouts/1")["placements"]["front"]
    return found


def transform(page: Page) -> str:
    return page.locator('.piece[data-piece="front"]').get_attribute("transform") or ""


def test_a_moved_piece_is_undone_by_key_and_redone_after_a_restart(
    furnished: House, open_page: Open, complaints: list[str]
) -> None:
    page, other = open_page("/table/1"), open_page("/table/1")
    undo, redo = page.locator("#undo"), page.locator("#redo")
    expect(undo).to_have_attribute("aria-disabled", DISABLED)
    begin, drawn = front(furnished), transform(page)
    piece = page.locator('.piece[data-piece="front"]')
    piece.focus()
    for _ in range(3):
        piece.press("Shift+ArrowRight")
    expect(undo).to_have_text("Undo: moved front")
    expect(other.locator("#undo")).to_have_text("Undo: moved front")
    there = pytest.approx(begin["x"] + 30)
    assert until(lambda: front(furnished)["x"] == there)
    moved = front(furnished)

    page.keyboard.press("Control+z")
    expect(page.locator("#said")).to_have_text("Undone: moved front.")
    expect(piece).to_have_attribute("transform", drawn)
    expect(other.locator('.piece[data-piece="front"]')).to_have_attribute("transform", drawn)
    expect(redo).to_have_text("Redo: moved front")
    assert front(furnished) == begin

    furnished.kill()
    furnished.start()
    expect(page.locator("#lost")).to_be_hidden(timeout=15000)
    page.keyboard.press("Control+Shift+z")
    expect(page.locator("#said")).to_have_text("Done again: moved front.")
    assert front(furnished) == moved
    expect(redo).to_have_attribute("aria-disabled", DISABLED)
    page.get_by_text("What was changed").click()
    expect(page.locator("#turns ol li").first).to_contain_text("moved front")

    leather = page.locator("#leather")
    leather.fill("3 mm")
    leather.press("Control+z")
    expect(undo).to_have_text("Undo: moved front")
    assert front(furnished) == moved, "inside a field the key belongs to the typing"
    complaints[:] = [text for text in complaints if "net::ERR_" not in text and "status of 403" not in text]


def test_a_deleted_layout_is_put_back(furnished: House, open_page: Open) -> None:
    page = open_page("/")
    page.get_by_label("Rename or delete Lamp pouch").click()
    page.locator(".shelf-line .more[open]").get_by_role("button", name="Rename").click()
    name = page.get_by_label("New name")
    expect(name).to_be_focused()
    name.fill("Night pouch")
    page.get_by_role("button", name="Keep").click()
    expect(page.locator("#layouts")).to_contain_text("Night pouch")
    page.get_by_label("Rename or delete Night pouch").click()
    page.locator(".shelf-line .more[open]").get_by_role("button", name="Delete").click()
    expect(page.locator("#layouts")).not_to_contain_text("Night pouch")
    expect(page.locator("#said")).to_contain_text("Night pouch is in the bin.")
    page.get_by_role("link", name="The bin").click()
    expect(page.locator(".bag")).to_have_count(1)
    page.get_by_role("button", name="Put Night pouch back").click()
    expect(page.locator("#nothing")).to_contain_text("The bin is empty.")
    assert [layout["name"] for layout in furnished.ask("GET", "/api/layouts")] == ["Night pouch"]
    furnished.ask("DELETE", "/api/layouts/1")
    page.on("dialog", lambda dialog: dialog.accept())
    page.get_by_role("button", name="Delete Night pouch for good").click()
    expect(page.locator(".bag")).to_have_count(0)
    assert furnished.ask("GET", "/api/bin") == []


def test_a_draft_is_undone_and_its_versions_compared(furnished: House, open_page: Open) -> None:
    wider = {"name": "Practice lamp", "family": "belt-pouch", "measures": MEASURES | {"width": "3 1/4 in"}}
    furnished.ask("PUT", "/api/things/1", wider)
    furnished.ask("POST", "/api/patterns", {"thing": 1})
    page = open_page("/draft/1")
    width = page.locator("#measure-width")
    expect(width).to_have_value("3 1/4 in")
    width.fill("5 in")
    page.locator("#undo").click()
    expect(page.locator("#said")).to_contain_text("not saved yet")
    expect(width).to_have_value("5 in")
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.locator("#kept")).to_contain_text("is saved")
    page.locator("#undo").click()
    expect(width).to_have_value(re.compile("^3( 1/4)? in$"))
    page.get_by_text("Saved versions").click()
    page.get_by_role("link", name="Compare version 2 with version 1").click()
    page.wait_for_url("**/compare/1/2")
    expect(page.locator("#worst")).to_contain_text(re.compile("3.1[78] mm apart"))
    expect(page.locator(".overlay .mark")).to_have_count(3)
    expect(page.locator("#measure-table")).to_contain_text("Width")
    dash = "e => getComputedStyle(e).strokeDasharray"
    assert page.locator('[data-piece="front"] .old path').first.evaluate(dash) != "none"
    assert page.locator('[data-piece="front"] .new path').first.evaluate(dash) == "none"
