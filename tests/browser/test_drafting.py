"""The rack, the draft with what the rack and the checks say, and the work sheet, as a maker sees them."""

from __future__ import annotations

import re
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Open
from tests.browser.house import House
from tests.browser.test_pages import CONTRAST, TOO_SMALL, WITHOUT_NAME

pytestmark = [pytest.mark.browser, pytest.mark.usefixtures("quiet")]


def rack_of(house: House) -> dict[str, Any]:
    """Return the rack as the server has it."""
    found: dict[str, Any] = house.ask("GET", "/api/rack")
    return found


def sheet(house: House) -> str:
    """Return the address of the work sheet of the practice pouch."""
    thing = house.ask("POST", "/api/practice/start", {})["thing"]
    return f"/sheet/{house.ask('POST', '/api/patterns', {'thing': thing})['id']}"


def looks_right(page: Page) -> None:
    """Nothing scrolls sideways, every target is large, has a name, and can be read."""
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert page.evaluate(TOO_SMALL) == []
    assert page.evaluate(WITHOUT_NAME) == []
    assert page.evaluate(CONTRAST) == []


@pytest.mark.parametrize(("width", "height", "look"), [(1280, 800, "dark"), (390, 844, "light")])
def test_the_rack_and_the_sheet_look_right(house: House, open_page: Open, width: int, height: int, look: str) -> None:
    page = open_page("/rack", width, height, look=look)
    expect(page.locator(".rack-line").first).to_be_visible()
    looks_right(page)
    page = open_page(sheet(house), width, height, look=look)
    expect(page.locator(".sheet-step").first).to_be_visible()
    looks_right(page)


def test_a_rack_is_changed_and_saved(house: House, open_page: Open) -> None:
    page = open_page("/rack")
    expect(page.locator("#rack-words")).to_contain_text("starter rack")
    page.get_by_label("Leather 1: Name").fill("goat")
    page.get_by_label("Leather 1: From").fill("two")
    page.get_by_role("button", name="Save the rack").click()
    expect(page.locator('.wrong-here[data-for="leathers.0.low"]')).to_contain_text("two")
    expect(page.get_by_label("Leather 1: From")).to_be_focused()
    assert rack_of(house)["own"] is False
    page.get_by_label("Leather 1: From").fill("2 oz")
    page.get_by_label("Leather 1: To").fill("3 oz")
    page.get_by_label("Take away leather 2").click()
    page.get_by_role("button", name="Add a needle").click()
    page.keyboard.type("harness")
    page.get_by_label("Needle 5: Thread up to").fill("1.5")
    page.get_by_label("Needle 5: Stack up to").fill("1 1/4 in")
    page.get_by_role("button", name="Save the rack").click()
    expect(page.locator("#kept")).to_have_text("Your rack is saved.")
    found = rack_of(house)
    assert [leather["name"] for leather in found["leathers"]][:2] == ["goat", "bag leather"]
    assert found["needles"][-1] == {"name": "harness", "thread": "1.5", "stack": "1 1/4 in"}
    page.reload()
    expect(page.get_by_label("Leather 1: Name")).to_have_value("goat")
    expect(page.locator("#rack-words")).to_contain_text("your rack")


SHELVES = ("threads", "chisels", "punches", "needles", "hardware", "arm_span", "rates")


def test_what_a_thing_is_made_of_fills_measures_and_is_kept(house: House, open_page: Open) -> None:
    """The leather fills thickness, K of its strip and stretch unless typed; chosen once, it is there after a reload."""
    own = {part: rack_of(house)[part] for part in SHELVES}
    bent = {"strip_angle": "90", "strip_radius": "5 mm", "strip_length": "9.5 mm"}
    side = {"name": "side", "low": "2 mm", "high": "3 mm", "colour": "", "stretch": "4 %", **bent}
    rates = {**own["rates"], "hour": "30"}
    house.ask("PUT", "/api/rack", {**own, "leathers": [side], "rates": rates, "currency": "\u20ac"})
    page = open_page("/draft")
    page.locator('#families input[value="flap-pouch"]').check()
    expect(page.locator("#measure-closure")).to_be_visible()
    expect(page.locator("#picks[inert]")).to_have_count(0)
    page.locator("#pick-leather").select_option(label="side, 2.50 mm")
    # K = (9.5 / (pi / 2) - 5) / 2.5 = 0.419
    expect(page.locator("#measure-neutral")).to_have_attribute("placeholder", "0.42")
    expect(page.locator(".measure:has(#measure-leather) .from-rack")).to_contain_text("from your rack: side")
    expect(page.locator("#measure-stretch")).to_have_attribute("placeholder", "4")
    page.locator("#measure-leather").fill("2 mm")
    expect(page.locator(".measure:has(#measure-leather) .from-rack")).to_contain_text("As you typed it; 2.5")
    page.locator("#pick-irons").select_option(label="3.38 mm, 10, 6, 2, 1 tines")
    expect(page.locator("#measure-pitch")).to_have_attribute("placeholder", "3.38")
    page.locator("#cost summary").click()
    expect(page.get_by_label("Hardware 1: What")).to_have_value("snap")
    page.get_by_label("How many are made in one go").fill("3")
    page.get_by_label("Hardware 1: Price each").fill("0.50")
    expect(page.locator("#cost-details")).to_contain_text("3 x 1 x 0.50")
    expect(page.locator("#cost-line")).to_contain_text("3 copies for \u20ac")
    page.locator("#thing-name").fill("Phone pouch")
    page.locator("#save").click()
    expect(page.locator("#kept")).to_contain_text("Phone pouch")
    line = page.locator("#cost-line").inner_text()
    page.reload()
    expect(page.locator("#cost-line")).to_have_text(line)
    expect(page.locator("#pick-leather")).to_have_value("side")
    expect(page.locator("#pick-irons")).to_have_value("3.38 mm")
    page.locator("#cost summary").click()
    expect(page.get_by_label("Hardware 1: Price each")).to_have_value("0.50")
    home = open_page("/")
    expect(home.locator("#things .cost")).to_have_text(line)


def test_a_known_size_fills_the_measures(open_page: Open) -> None:
    page = open_page("/draft")
    page.locator('#families input[value="book-cover"]').check()
    page.locator("#pick-size").select_option(label="Paper A5")
    expect(page.locator("#measure-width")).to_have_value("148")
    expect(page.locator("#measure-height")).to_have_value("210")


def test_findings_are_listed_and_marked_where_they_are(open_page: Open) -> None:
    page = open_page("/draft")
    expect(page.locator("#cost-line")).to_contain_text("dm2")
    expect(page.locator("#findings")).to_be_hidden()
    page.locator("#measure-edge-margin").fill("2 mm")
    expect(page.locator("#findings-list li").first).to_contain_text("from the edge")
    expect(page.locator("#paper .finding").first).to_be_visible()
    expect(page.locator("#paper .finding text").first).to_have_text("1")
    ring, edge = page.locator("#paper .finding .ring").first.bounding_box(), page.locator("#paper").bounding_box()
    assert ring is not None
    assert edge is not None
    assert edge["x"] < ring["x"] < edge["x"] + edge["width"]
    assert edge["y"] < ring["y"] < edge["y"] + edge["height"]
    page.locator("#measure-edge-margin").fill("6 mm")
    expect(page.locator("#findings")).to_be_hidden()
    expect(page.locator("#paper .finding")).to_have_count(0)


def test_seams_thread_and_cost_open_on_demand(open_page: Open) -> None:
    page = open_page("/draft")
    expect(page.locator("#sewing-details")).to_be_hidden()
    page.locator("#sewing summary").click()
    expect(page.locator("#sewing-details tbody tr")).to_have_count(3)
    expect(page.locator("#sewing-details")).to_contain_text("Start in hole")
    expect(page.locator("#cost-line")).to_contain_text("no prices are set yet")
    page.locator("#cost summary").click()
    expect(page.locator("#cost-details")).to_contain_text("sq ft")
    expect(page.locator("#sentences .sum").first).to_be_visible()


def test_a_thread_too_thick_is_said(open_page: Open) -> None:
    page = open_page("/draft")
    page.locator("#pick-thread").select_option(label="heavy thread, 1.00 mm")
    page.locator("#measure-pitch").fill("3 mm")
    expect(page.locator('#sentences li[data-kind="warning"]').first).to_contain_text(
        "heavy thread of 1.00 mm is too thick"
    )
    page.locator("#pick-thread").select_option(value="")
    expect(page.locator("#sentences")).not_to_contain_text("is too thick for the")


def test_every_family_has_its_drawing_and_figures(house: House, open_page: Open) -> None:
    page = open_page("/draft")
    for family in house.ask("GET", "/api/families"):
        page.locator(f'#families input[value="{family["name"]}"]').check()
        expect(page.locator("#family-title")).to_have_text(family["title"])
        expect(page.locator("#paper .role-cut").first).to_be_attached()
        expect(page.locator("#refused")).to_be_empty()
        expect(page.locator("#picks[inert]")).to_have_count(0)
        expect(page.locator(".measure")).to_have_count(
            len(house.ask("GET", f"/api/families/{family['name']}")["measures"])
        )
        expect(page.locator(".measure:not(:has(> .figure :is(.shaft, .sketch-lit)))")).to_have_count(0)


def test_the_drawing_turns_to_the_piece_whose_measure_is_typed(open_page: Open) -> None:
    """A measure that lies on another piece shows that piece while it has the focus; a long piece lies along the paper."""
    page = open_page("/draft")
    page.locator('#families input[value="sheath"]').check()
    expect(page.locator('#paper [data-piece="sheath"]')).to_be_attached()
    page.locator('[name="welt-width"]').focus()
    expect(page.locator('#paper [data-piece="welt"] .measure-line[data-lit="yes"]')).to_have_count(1)
    page.locator('[name="leather"]').focus()
    expect(page.locator('#paper [data-piece="sheath"]')).to_be_attached()
    expect(page.locator('#paper [data-piece="welt"]')).to_have_count(0)
    page.locator('#families input[value="strap"]').check()
    strap = page.locator('#paper [data-piece="strap"] .role-cut')
    expect(strap).to_be_attached()
    box = strap.bounding_box()
    assert box is not None
    assert box["width"] > 10 * box["height"]


def test_the_work_sheet_shows_each_step_and_prints_without_the_bar(house: House, open_page: Open) -> None:
    page = open_page(sheet(house))
    steps = page.locator(".sheet-step")
    expect(steps.first).to_be_visible()
    assert steps.count() == len(house.ask("GET", "/api/patterns/1/sheet")["steps"])
    prick = steps.filter(has_text=re.compile("blows for")).first
    assert prick.locator(".blows li").count() > 5
    assert prick.locator(".blow-bar").count() > 5
    expect(page.locator(".cut-list").first).to_contain_text("Front")
    expect(page.locator('.sheet-step[data-step="glue"] .wait').first).to_contain_text("common practice")
    expect(page.locator(".sheet-step .way").first).to_contain_text("Start in hole")
    first = steps.first.locator(".lit")
    assert first.locator('[data-role="hole"]').count() == 0
    assert first.locator('[data-role="cut"]').count() == 1
    page.emulate_media(media="print")
    expect(page.locator("header.bar")).to_be_hidden()
    expect(page.locator("#print")).to_be_hidden()
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"
    for paper in ("A4", "Letter"):
        printed = page.pdf(format=paper)
        assert 3 <= len(re.findall(rb"/Type\s*/Page\b", printed)) <= 8


def test_draft_and_table_lead_to_the_work_sheet(house: House, open_page: Open) -> None:
    page = open_page("/draft")
    expect(page.locator("#cost-line")).to_contain_text("dm2")
    page.locator("#work-sheet").click()
    page.wait_for_url("**/sheet/1")
    expect(page.locator(".sheet-step").first).to_be_visible()
    bench = house.ask("POST", "/api/benches", {"name": "Garage", "width": 1280, "height": 720})["id"]
    layout = house.ask("POST", "/api/layouts", {"pattern": 1, "bench": bench})["id"]
    page.goto(f"{house.address}/table/{layout}")
    page.locator("#to-sheet").click()
    page.wait_for_url("**/sheet/1")
