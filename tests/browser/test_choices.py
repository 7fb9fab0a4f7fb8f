"""The choices beside the measures: minutes of a step, how holes are stepped, and what a brought pattern is made of."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Open
from tests.browser.house import House

pytestmark = [pytest.mark.browser]

TWO = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="200mm" viewBox="0 0 300 200" fill="none" stroke="#000">'
    '<g id="cut"><path d="M20 20H120V90H20z"/></g><path stroke="blue" d="M24 24V86H116V24"/></svg>'
)


def test_minutes_and_stepping_are_chosen_beside_the_draft(open_page: Open) -> None:
    page = open_page("/draft")
    page.locator("#cost > summary").click()
    field = page.locator(".step-minutes input").first
    grey = field.get_attribute("placeholder")
    field.fill("90")
    title = page.locator(".step-minutes label").first.inner_text()
    expect(page.locator("#cost-details tr", has_text=title)).to_contain_text("90 min as set")
    expect(field).to_be_focused()
    field.fill("soon")
    expect(page.locator(".step-minutes .wrong-here").first).to_contain_text("'soon' cannot be used")
    field.fill("")
    expect(page.locator("#cost-details tr", has_text=title)).not_to_contain_text("as set")
    assert field.get_attribute("placeholder") == grey
    page.locator('[name="stepping"]').select_option("last")
    expect(page.locator("#sentences")).to_contain_text("mm exactly")


def test_a_brought_pattern_takes_leather_and_thread_from_the_rack(open_page: Open, house: House) -> None:
    page = open_page("/own")
    page.locator('input[type="file"]').set_input_files(
        {"name": "two.svg", "mimeType": "image/svg+xml", "buffer": TWO.encode()}
    )
    page.wait_for_url("**/own/*")
    page.locator("#pick-irons").select_option(index=1)
    expect(page.locator("#pitch")).to_have_value("")
    expect(page.locator("#pitch")).to_have_attribute("placeholder", "2.7 mm")
    page.locator("#pick-thread").select_option(index=1)
    name = page.locator("#pick-thread").input_value()
    expect(page.locator("#sewing-details")).to_contain_text(name)
    page.locator("#cost > summary").click()
    page.locator("#costing-copies").fill("3")
    expect(page.locator("#cost-details")).to_contain_text("3 x ")
    page.locator("#title").fill("Two")
    page.locator("#save").click()
    expect(page.locator("#kept")).to_contain_text("Two")
    page.reload()
    expect(page.locator("#pick-thread")).to_have_value(name)
    expect(page.locator("#costing-copies")).to_have_value("3")
    thing = house.ask("GET", "/api/things")[0]
    assert thing["made_of"]["thread"] == name
