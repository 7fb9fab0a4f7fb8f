"""What a maker's hands do on the pages: type, nudge, drag, turn the page; and that nothing typed is lost."""

from __future__ import annotations

import re
from typing import Any

import pytest
from playwright.sync_api import FloatRect, Page, Route, expect

from tests.browser.conftest import Open
from tests.browser.house import House
from tests.browser.lines import brightness

pytestmark = [pytest.mark.browser, pytest.mark.usefixtures("quiet")]


@pytest.fixture
def furnished(house: House) -> House:
    """A workshop with a calibrated bench and a pouch on its table."""
    house.practice("marks", "block", lay=True)
    return house


def crosses(house: House) -> dict[str, list[float]]:
    found: dict[str, list[float]] = house.ask("GET", "/api/benches/1")["sightings"]["crosses"]
    return found


def front(house: House) -> dict[str, Any]:
    found: dict[str, Any] = house.ask("GET", "/api/layouts/1")["placements"]["front"]
    return found


# ---- first page


def test_a_first_start_offers_the_practice_workshop(open_page: Open) -> None:
    page = open_page("/")
    expect(page.locator("#start-practice")).to_be_visible()
    expect(page.locator("#card-lamp")).to_contain_text("No projector window is open.")
    page.locator("#start-practice").click()
    page.wait_for_url("**/practice")
    expect(page.locator("#walk li").first).to_have_attribute("data-done", "yes")
    expect(page.locator("#walk [data-now=yes]")).to_contain_text("See the crooked square.")


def test_a_bench_is_set_up_for_the_open_window(house: House, open_page: Open) -> None:
    page = open_page("/")
    page.get_by_role("button", name="Set up a bench").click()
    page.locator("#bench-name").fill("Garage")
    page.locator("#bench-width").fill("wide")
    page.get_by_role("button", name="Make this bench").click()
    expect(page.locator('.wrong-here[data-for="width"]')).not_to_be_empty()
    expect(page.locator("#bench-name")).to_have_value("Garage")
    page.locator("#bench-width").fill("")
    open_page("/light", 1280, 720)
    expect(page.locator("#bench-width")).to_have_value("1280")
    expect(page.locator("#bench-height")).to_have_value("720")
    page.get_by_role("button", name="Make this bench").click()
    page.wait_for_url("**/bench/1")
    expect(page.locator("h1")).to_have_text("Garage")
    assert house.ask("GET", "/api/benches/1")["picture"] == [1280, 720]


# ---- draft


def test_the_drawing_follows_and_an_error_stands_by_its_field(open_page: Open) -> None:
    page = open_page("/draft")
    numbers = page.locator("#paper .measure-line text")
    expect(numbers.filter(has_text=re.compile("^101.6$"))).to_have_count(1)
    page.locator("#measure-width").fill("4 in")
    expect(numbers.filter(has_text=re.compile("^127$"))).to_have_count(1)
    expect(page.locator("#sentences")).to_contain_text("Seam to seam 127.0 mm")
    page.locator("#measure-side-allowance").fill("1 mm")
    wrong = page.locator('.wrong-here[data-for="side-allowance"]')
    expect(wrong).to_contain_text("cannot go in")
    expect(page.locator("#measure-side-allowance")).to_have_attribute("aria-invalid", "true")
    expect(numbers.filter(has_text=re.compile("^127$"))).to_have_count(1)
    expect(page.locator("#measure-width")).to_have_value("4 in")
    page.locator("#measure-side-allowance").fill("")
    expect(wrong).to_be_empty()


def test_what_was_typed_and_not_saved_survives_a_reload(open_page: Open) -> None:
    page = open_page("/draft")
    page.locator("#measure-width").fill("not a length")
    page.locator("#thing-name").fill("Whetstone")
    expect(page.locator('.wrong-here[data-for="width"]')).to_contain_text("not a length")
    page.reload()
    expect(page.locator("#restored")).to_be_visible()
    expect(page.locator("#measure-width")).to_have_value("not a length")
    expect(page.locator("#thing-name")).to_have_value("Whetstone")
    page.get_by_role("button", name="Start afresh").click()
    expect(page.locator("#measure-width")).to_have_value("")


def test_saved_is_shown_only_when_it_is_saved(house: House, open_page: Open, complaints: list[str]) -> None:
    page = open_page("/draft")
    page.locator("#measure-width").fill("80")
    page.locator("#thing-name").fill("Whetstone")
    asked: list[Route] = []
    page.route("**/api/things", lambda route: asked.append(route))
    with page.expect_request("**/api/things"):
        page.locator("#save").click()
    expect(page.locator("#kept")).to_have_text("Saving…")
    asked.pop().abort()
    expect(page.locator("#said")).to_contain_text("does not answer")
    expect(page.locator("#kept")).to_have_text("Not saved yet.")
    assert house.ask("GET", "/api/things") == []
    page.unroute("**/api/things")
    page.locator("#save").click()
    expect(page.locator("#kept")).to_have_text("Whetstone is saved.")
    assert house.ask("GET", "/api/things")[0]["measures"] == {"width": "80"}
    complaints[:] = [text for text in complaints if "net::ERR_FAILED" not in text]


def test_the_focus_shows_where_a_measure_is_taken(open_page: Open) -> None:
    page = open_page("/draft")
    line = page.locator('.measure-line[data-measure="side-allowance"]')
    expect(line).to_have_attribute("data-lit", "no")
    page.locator("#measure-side-allowance").focus()
    expect(line).to_have_attribute("data-lit", "yes")
    for figure in page.locator(".measure").all():
        expect(figure.locator("svg.figure")).to_have_count(1)


# ---- bench


def test_arrow_keys_nudge_a_cross_in_the_light(furnished: House, open_page: Open) -> None:
    page = open_page("/bench/1#calibrate")
    page.get_by_text("Known marks", exact=True).click()
    page.get_by_role("button", name="Choose cross H").click()
    x, y = crosses(furnished)["H"]
    page.locator(".pad").focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Shift+ArrowDown")
    page.keyboard.press("Alt+ArrowLeft")
    expect(page.locator(".nudging")).to_contain_text(f"pixel {x + 0.9:.1f}, {y + 10:.1f}")
    expect(page.locator("#saved")).to_have_text("All sightings are saved.")
    assert crosses(furnished)["H"] == pytest.approx([x + 0.9, y + 10.0])
    state = furnished.ask("GET", "/api/state")
    assert state["light"]["mode"] == "crosses"
    assert state["light"]["selected"] == "H"


def test_a_half_typed_place_is_kept(house: House, open_page: Open) -> None:
    house.practice()
    page = open_page("/bench/1")
    page.get_by_label("Cross B: how far across").fill("12 1/4 in")
    page.keyboard.press("Tab")
    expect(page.locator("#saved")).to_have_text("All sightings are saved.")
    expect(page.locator("#verdict")).to_contain_text("Still wanted")
    page.reload()
    expect(page.get_by_label("Cross B: how far across")).to_have_value("12 1/4 in")


def test_tape_proposes_and_the_fit_grows(house: House, open_page: Open) -> None:
    house.practice()
    page = open_page("/bench/1")
    page.get_by_text("Tape only", exact=True).click()
    expect(page.locator(".ask-pair")).to_be_visible()
    expect(page.locator("#panel-tape")).to_contain_text("Worth measuring next: A to T")
    expect(page.locator(".sketch .wanted")).to_have_count(1)
    page.locator("#tape-length").fill("52 1/2 in")
    page.keyboard.press("Enter")
    expect(page.locator("#panel-tape td.pair")).to_have_text("A – T")
    expect(page.locator("#tape-length")).to_be_focused()
    page.get_by_role("button", name="Measure all distances for me").click()
    expect(page.locator("#verdict")).to_contain_text("One pixel is")
    expect(page.locator("#panel-tape .amount").first).to_contain_text("mm")


def test_a_slip_of_the_tape_is_named(house: House, open_page: Open) -> None:
    house.practice("tape")
    page = open_page("/bench/1#calibrate")
    expect(page.locator("#panel-tape")).to_be_visible()
    length = page.get_by_label("Length from A to D")
    length.fill(str(round(float(length.input_value()) + 10, 1)))
    length.press("Enter")
    expect(page.locator("#verdict")).to_contain_text("A to D")
    row = page.locator("#panel-tape tr", has=page.get_by_label("Length from A to D"))
    expect(row.locator(".again")).to_have_text("measure again")


@pytest.mark.usefixtures("furnished")
def test_the_error_picture_has_numbers_and_a_legend(open_page: Open) -> None:
    page = open_page("/bench/1")
    page.get_by_role("link", name="How sure, where").click()
    expect(page.locator(".heat text")).to_have_count(20)
    assert all(0.05 < float(text) < 3 for text in page.locator(".heat text").all_text_contents())
    expect(page.locator(".heat-legend li")).to_have_count(6)


# ---- table


def test_a_drag_moves_the_light_at_once_and_is_saved_when_it_ends(furnished: House, open_page: Open) -> None:
    light = open_page("/light", 1920, 1080)
    page = open_page("/table/1")
    expect(light.locator("body")).to_have_attribute("data-mode", "layout")
    before, frame = front(furnished), int(light.locator("body").get_attribute("data-version") or 0)
    box = page.locator('.piece[data-piece="front"] .grip').bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 60, y + 20, steps=6)
    expect(light.locator("body")).not_to_have_attribute("data-version", str(frame))
    assert front(furnished) == before, "nothing is saved while the hand still drags"
    page.mouse.up()
    expect(page.locator("#saved")).to_have_text("Saved.")
    after = front(furnished)
    scale = page.evaluate("document.querySelector('.table-drawing').getScreenCTM().a")
    assert after["x"] - before["x"] == pytest.approx(60 / scale, abs=0.2)
    assert after["y"] - before["y"] == pytest.approx(20 / scale, abs=0.2)


def test_keys_move_turn_and_mirror_a_piece(furnished: House, open_page: Open) -> None:
    page = open_page("/table/1")
    before = front(furnished)
    page.locator('.piece[data-piece="front"]').focus()
    for key in ("ArrowRight", "Shift+ArrowRight", "Alt+ArrowDown"):
        page.keyboard.press(key)
    expect(page.locator("#saved")).to_have_text("Saved.")
    page.wait_for_timeout(200)
    moved = front(furnished)
    assert (moved["x"], moved["y"]) == (pytest.approx(before["x"] + 11), pytest.approx(before["y"] + 0.1))
    page.keyboard.press("]")
    page.keyboard.press("m")
    expect(page.locator("#saved")).to_have_text("Saved.")
    page.wait_for_timeout(200)
    assert (front(furnished)["turn"], front(furnished)["mirror"]) == (1.0, True)


def at_rest(page: Page, selector: str) -> FloatRect:
    """Return where something stands once the page has stopped moving it."""
    box = page.locator(selector).bounding_box()
    for _ in range(40):
        page.wait_for_timeout(150)
        before, box = box, page.locator(selector).bounding_box()
        if box is not None and box == before:
            return box
    raise AssertionError(f"{selector} does not come to rest")


def test_the_handle_turns_a_piece_about_its_middle(furnished: House, open_page: Open) -> None:
    page = open_page("/table/1")
    expect(page.locator("#step-count")).to_have_text("Step 1 of 8")
    knob = at_rest(page, ".turn-handle .knob")
    piece = at_rest(page, '.piece[data-piece="front"] .grip')
    middle = (piece["x"] + piece["width"] / 2, piece["y"] + piece["height"] / 2)
    page.mouse.move(knob["x"] + knob["width"] / 2, knob["y"] + knob["height"] / 2)
    page.mouse.down()
    page.mouse.move(middle[0] + 100, middle[1], steps=8)
    page.mouse.up()
    expect(page.locator("#saved")).to_have_text("Saved.")
    assert front(furnished)["turn"] == pytest.approx(90, abs=0.6)
    turned = page.locator('.piece[data-piece="front"] .grip').bounding_box()
    assert turned is not None
    assert turned["x"] + turned["width"] / 2 == pytest.approx(middle[0], abs=1)
    assert turned["y"] + turned["height"] / 2 == pytest.approx(middle[1], abs=1)


def step(page: Page, number: int) -> None:
    expect(page.locator("#step-count")).to_have_text(f"Step {number} of 8")
    expect(page.locator("#saved")).to_have_text("Saved.")


def test_a_page_turner_takes_the_next_step(furnished: House, open_page: Open) -> None:
    page = open_page("/table/1")
    expect(page.locator("#step-count")).to_have_text("Step 1 of 8")
    page.keyboard.press("PageDown")
    step(page, 2)
    page.keyboard.press("Space")
    step(page, 3)
    page.keyboard.press("PageUp")
    step(page, 2)
    assert furnished.ask("GET", "/api/layouts/1")["step"] == "cut-back"
    page.locator("#leather").fill("3 mm")
    page.locator("#leather").press("Space")
    step(page, 2)
    page.locator("#leather").fill("")
    page.locator("#leather").press("Enter")
    expect(page.locator('.wrong-here[data-for="leather"]')).not_to_be_empty()
    page.locator("#leather").fill("8 oz")
    page.locator("#leather").press("Enter")
    expect(page.locator("#step-light")).to_contain_text("3.2 mm above the table")
    expect(page.locator('.wrong-here[data-for="leather"]')).to_be_empty()


def test_all_lines_at_once_and_a_piece_outside_the_picture(furnished: House, open_page: Open) -> None:
    page = open_page("/table/1")
    page.get_by_text("All steps").click()
    page.get_by_role("button", name="All lines at once").click()
    expect(page.locator("#step-title")).to_have_text("All lines at once")
    expect(page.locator("#saved")).to_have_text("Saved.")
    assert furnished.ask("GET", "/api/layouts/1")["step"] is None
    page.keyboard.press("PageDown")
    expect(page.locator("#step-count")).to_have_text("Step 1 of 8")
    expect(page.locator("#outside")).to_be_empty()
    page.locator("#lie-x").fill("0")
    page.locator("#lie-x").press("Enter")
    expect(page.locator("#outside")).to_contain_text("% of this piece lies outside the picture")


@pytest.mark.usefixtures("furnished")
def test_switching_a_kind_off_takes_its_lines_out_of_the_light(open_page: Open) -> None:
    light = open_page("/light", 1920, 1080)
    page = open_page("/table/1")
    expect(light.locator("body")).to_have_attribute("data-mode", "layout")
    page.locator("#kinds input[name=mark]").uncheck()
    expect(page.locator("#saved")).to_have_text("Saved.")
    light.wait_for_timeout(300)
    with_cut = brightness(light.screenshot()).sum()
    page.locator("#kinds input[name=cut]").uncheck()
    expect(page.locator("#saved")).to_have_text("Saved.")
    light.wait_for_timeout(300)
    assert with_cut > 100
    assert brightness(light.screenshot()).sum() == 0


# ---- practice and check


def test_the_practice_square_is_crooked_first_and_300_mm_afterwards(house: House, open_page: Open) -> None:
    house.practice()
    page = open_page("/practice")
    page.get_by_text("Check figure", exact=True).click()
    top = page.locator("#readings tr", has_text="top").locator("td")
    expect(top).to_be_visible()
    assert abs(float(top.inner_text().split()[0]) - 300) > 3
    for way in ("marks", "block"):
        house.ask("POST", "/api/practice/sight", {"bench": 1, "way": way, "replace": False})
    for name in ("top", "bottom", "left", "right"):
        reading = page.locator("#readings tr", has_text=name).locator("td")
        expect(reading).to_have_text(re.compile(r"(299\.[6-9]|300\.[0-4]) mm"))


@pytest.mark.usefixtures("furnished")
def test_the_check_holds_and_a_wrong_reading_does_not(open_page: Open) -> None:
    page = open_page("/check")
    page.get_by_role("button", name="Read the practice rule for me").click()
    expect(page.locator(".verdict h3")).to_have_text("It holds.")
    page.locator("#read-top").fill("306")
    page.locator("#judge").click()
    expect(page.locator(".verdict h3")).to_have_text("It does not hold.")
    page.locator("#read-top").fill("three hundred")
    page.locator("#judge").click()
    expect(page.locator("#readings-wrong")).to_contain_text("not a number")


def test_a_lost_server_is_said_and_nothing_typed_is_lost(
    furnished: House, open_page: Open, complaints: list[str]
) -> None:
    page = open_page("/draft")
    page.locator("#measure-width").fill("3 in")
    furnished.kill()
    expect(page.locator("#lost")).to_contain_text("connection to Hidelight is lost")
    furnished.start()
    expect(page.locator("#lost")).to_be_hidden(timeout=12000)
    expect(page.locator("#measure-width")).to_have_value("3 in")
    page.locator("#thing-name").fill("Kept")
    page.locator("#save").click()
    expect(page.locator("#kept")).to_have_text("Kept is saved.")
    complaints[:] = [text for text in complaints if "net::ERR_" not in text and "status of 403" not in text]
