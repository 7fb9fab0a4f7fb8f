"""What a newcomer stumbles over: the pair that was chosen, rubbish in a field, a verdict that no longer stands, a lost server."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Open
from tests.browser.house import House

pytestmark = [pytest.mark.browser, pytest.mark.usefixtures("quiet")]


def tape(house: House, open_page: Open) -> Page:
    """Open the tape panel of a practice bench without sightings."""
    house.practice()
    page = open_page("/bench/1")
    page.get_by_text("Tape only", exact=True).click()
    expect(page.locator("#panel-tape")).to_contain_text("Worth measuring next")
    return page


@pytest.mark.parametrize("by", ["button", "Enter"])
def test_a_length_is_filed_under_the_pair_that_was_chosen(house: House, open_page: Open, by: str) -> None:
    page = tape(house, open_page)
    page.get_by_label("From cross").first.select_option("B")
    page.get_by_label("To cross").first.select_option("G")
    page.locator("#tape-length").fill("411")
    if by == "Enter":
        page.keyboard.press("Enter")
    else:
        page.locator(".ask button").click()
    expect(page.locator("#panel-tape td.pair")).to_have_text("B – G")
    expect(page.locator("#saved")).to_have_text("All sightings are saved.")
    kept = house.ask("GET", "/api/benches/1")["sightings"]["distances"]
    assert [(d["from"], d["to"], d["length"]) for d in kept] == [("B", "G", 411)]


def test_what_cannot_be_added_says_why_and_an_emptied_length_stays(house: House, open_page: Open) -> None:
    page = tape(house, open_page)
    wrong = page.locator("#panel-tape > .stack > .wrong-here")
    page.locator(".ask button").click()
    expect(wrong).to_contain_text("Type the length")
    page.get_by_label("From cross").first.select_option("B")
    page.get_by_label("To cross").first.select_option("B")
    page.locator("#tape-length").fill("411")
    page.locator(".ask button").click()
    expect(wrong).to_contain_text("Both ends are cross B")
    page.get_by_label("To cross").first.select_option("G")
    expect(wrong).to_be_empty()
    page.locator(".ask button").click()
    row = page.get_by_label("Length from B to G")
    row.fill("")
    row.press("Tab")
    expect(page.locator("#panel-tape td .wrong-here")).to_contain_text("No length yet")
    expect(page.locator("#saved")).to_have_text("All sightings are saved.")
    row.fill("412")
    row.press("Tab")
    expect(page.locator("#panel-tape td .wrong-here")).to_be_empty()
    page.get_by_label("Remove the distance B to G").click()
    expect(page.locator("#panel-tape td.pair")).to_have_count(0)


def test_a_length_that_is_none_is_refused_at_its_row(house: House, open_page: Open) -> None:
    house.practice("tape")
    page = open_page("/bench/1#calibrate")
    expect(page.locator("#panel-tape")).to_contain_text("Worth measuring next")
    length = page.get_by_label("Length from A to D")
    length.fill("a lot")
    length.press("Tab")
    row = page.locator("#panel-tape tr", has=length)
    expect(row.locator(".wrong-here")).to_contain_text("a lot")
    expect(length).to_have_attribute("aria-invalid", "true")
    expect(page.locator("#panel-tape")).to_contain_text("One length below is not understood")
    expect(page.locator("#panel-tape")).not_to_contain_text("Enough for a good fit")


def test_the_other_unit_and_back_leaves_the_figures(house: House, open_page: Open) -> None:
    page = tape(house, open_page)
    for length in ("1328", "411.25"):
        page.locator("#tape-length").fill(length)
        page.keyboard.press("Enter")
    fields = page.locator("#panel-tape td input")
    expect(fields).to_have_count(2)
    page.get_by_text("inches", exact=True).click()
    expect(fields.first).to_have_value("52.2835")
    page.get_by_text("millimetres", exact=True).click()
    expect(fields.first).to_have_value("1328")
    expect(fields.nth(1)).to_have_value("411.25")


def test_what_the_lens_costs_is_held_against_the_tolerance(house: House, open_page: Open) -> None:
    house.practice("marks")
    page = open_page("/bench/1#lens")
    expect(page.locator(".lens-enough")).to_contain_text("Not enough yet")
    page.get_by_role("button", name="Read four crosses on a block for me").click()
    expect(page.locator(".lens-enough")).to_contain_text("Enough: that is less than half")


def test_only_what_meets_the_tolerance_is_called_good(house: House, open_page: Open) -> None:
    house.practice("marks", "tape", "block")
    page = open_page("/bench/1#calibrate")
    report = house.ask("GET", "/api/benches/1")["report"]["error"]
    said = {
        report["worst_mm"] + 0.1: "Good: the worst place too",
        (report["median_mm"] + report["worst_mm"]) / 2: "Only the better half is good",
        report["median_mm"] - 0.05: "Not good yet",
    }
    for tolerance, words in said.items():
        page.locator("#tolerance").fill(f"{tolerance:.2f}")
        page.locator("#tolerance").press("Tab")
        expect(page.locator("#verdict")).to_contain_text(words)


def test_a_changed_or_refused_reading_takes_the_verdict_away(house: House, open_page: Open) -> None:
    house.practice("marks", "block")
    page = open_page("/check")
    page.get_by_role("button", name="Read the practice rule for me").click()
    verdict = page.locator(".verdict")
    expect(verdict).to_contain_text("It holds.")
    page.locator("#height").fill("high")
    expect(verdict).to_have_count(0)
    page.locator("#judge").click()
    expect(page.locator("#height-wrong")).not_to_be_empty()
    page.locator("#height").fill("0")
    page.locator("#judge").click()
    expect(verdict).to_contain_text("It holds.")
    page.locator("#read-top").fill("300 or so")
    expect(verdict).to_have_count(0)
    page.locator("#judge").click()
    expect(page.locator("#readings-wrong")).to_contain_text("not a number")
    expect(verdict).to_have_count(0)


def test_that_it_does_not_answer_is_taken_back(house: House, open_page: Open, complaints: list[str]) -> None:
    page = tape(house, open_page)
    house.kill()
    page.locator("#tape-length").fill("1328")
    page.keyboard.press("Enter")
    expect(page.locator("#said")).to_contain_text("does not answer")
    expect(page.locator("#saved")).to_have_text("Not saved.")
    expect(page.locator("#lost")).to_be_visible()
    house.start()
    expect(page.locator("#lost")).to_be_hidden(timeout=12000)
    expect(page.locator("#said")).not_to_contain_text("does not answer", timeout=1500)
    expect(page.locator("#saved")).to_have_text("All sightings are saved.")
    assert len(house.ask("GET", "/api/benches/1")["sightings"]["distances"]) == 1
    complaints[:] = [text for text in complaints if "net::ERR_" not in text and "status of 403" not in text]


def test_the_table_names_its_bench_and_a_window_that_does_not_fit(house: House, open_page: Open) -> None:
    house.practice("marks", "block", lay=True)
    open_page("/light", 1280, 720)
    page = open_page("/table/1")
    expect(page.locator("#layout-bench")).to_contain_text("Bench: Practice")
    expect(page.locator("#light-words")).to_contain_text("This window is 1280 x 720 pixels")


def test_an_uncalibrated_bench_says_why_nothing_is_lit(house: House, open_page: Open) -> None:
    house.practice(lay=True)
    page = open_page("/table/1")
    page.get_by_role("button", name="Show it in the light").click()
    expect(page.locator("#light-words")).to_contain_text("not calibrated")
    expect(page.locator("#said")).to_contain_text("not calibrated")


def test_a_bare_number_out_of_range_and_the_millimetres_of_other_words(open_page: Open) -> None:
    page = open_page("/draft")
    width = page.locator("#measure-width")
    understood = page.locator(".measure", has=width).locator(".understood")
    width.fill("2 5/8 in")
    expect(understood).to_have_text("= 66.68 mm")
    width.fill("3")
    wrong = page.locator('.wrong-here[data-for="width"]')
    expect(wrong).to_contain_text("for inches write 3 in")
    expect(understood).to_be_empty()
    width.fill("3 in")
    expect(wrong).to_be_empty()
    expect(understood).to_have_text("= 76.2 mm")


def test_the_walk_leads_to_the_lamps_own_draft(house: House, open_page: Open) -> None:
    house.practice("marks", "block")
    house.ask("POST", "/api/things", {"name": "Whetstone", "family": "belt-pouch", "measures": {"width": "80"}})
    page = open_page("/practice")
    page.get_by_role("link", name="Open the belt lamp's draft").click()
    expect(page.locator("#thing-name")).to_have_value("Practice lamp")


def test_the_numbers_of_the_rule_stay_on_it_and_out_of_the_caption(house: House, open_page: Open) -> None:
    house.practice("marks", "block")
    page = open_page("/practice")
    page.get_by_text("Check figure", exact=True).click()
    expect(page.locator(".light-text").first).to_be_visible()
    steel = page.locator(".rule .steel").bounding_box()
    last = page.locator(".rule text.last").bounding_box()
    assert steel is not None
    assert last is not None
    assert last["x"] + last["width"] <= steel["x"] + steel["width"]
    assert page.evaluate(CAPTIONS_HIT) == []


CAPTIONS_HIT = """() => {
  const seen = [...document.querySelectorAll('.rule text.hundred')].filter(
    (t) => getComputedStyle(t).visibility === 'visible');
  const hit = (a, b) => a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
  const boxes = [...document.querySelectorAll('.light-text')].map((t) => t.getBoundingClientRect());
  return seen.filter((t) => boxes.some((b) => hit(t.getBoundingClientRect(), b))).map((t) => t.textContent);
}"""
