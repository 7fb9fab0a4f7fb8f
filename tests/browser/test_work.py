"""Guided work in a real browser: a pouch from the first cut to the last stitch by keyboard alone, and where a blow's light lands."""

from __future__ import annotations

import re
from typing import Any

import numpy as np
import pytest
from playwright.sync_api import Page, expect

from server.geometry.placement import Placement
from server.leather import drafts
from tests.browser.conftest import Open
from tests.browser.house import House
from tests.browser.lines import spot
from tests.browser.test_main_job import settled
from tests.browser.truth import projector

pytestmark = [pytest.mark.browser, pytest.mark.usefixtures("quiet")]

SCREENS = [(1280, 800), (390, 844)]
MEASURED_STRIKE = 5
"""A row of six on a straight stretch, its first tine in an old hole."""


def at(page: Page, revision: int) -> None:
    """Wait until the page shows the job at this revision."""
    page.wait_for_selector(f'#work[data-revision="{revision}"]')


def begin(house: House, **wanted: Any) -> dict[str, Any]:
    """Lay the practice pouch, start a job on it, and go on without a check."""
    house.practice("marks", "block", lay=True)
    house.ask("POST", "/api/jobs", {"layout": 1, **wanted})
    return dict(house.ask("POST", "/api/jobs/1/unchecked", {}))


def test_a_pouch_from_the_first_cut_to_the_last_stitch_without_a_mouse(house: House, open_page: Open) -> None:
    house.practice("marks", "block", lay=True)
    light, page = open_page("/light", 1920, 1080), open_page("/work?layout=1")
    page.locator("#start-leather").press_sequentially("")
    expect(page.locator("#start-leather")).to_have_value("4-5 oz")
    page.locator("#start-copies").press("Enter")
    page.wait_for_url("**/work/1")
    expect(page.locator("#check-sentence")).to_have_text("Practice bench has not been checked today.")
    page.keyboard.press("PageDown")
    expect(page.locator("#next")).to_be_disabled()
    page.locator("#check-without").press("Enter")
    expect(page.locator("#step-title")).to_have_text("Cut the front")
    expect(page.locator("#unchecked")).to_contain_text("You work on unchecked")
    expect(light.locator("body")).to_have_attribute("data-mode", "layout")
    walk(house, page, light)
    expect(page.locator("#step-title")).to_have_text("Done")
    expect(page.locator("#next")).to_be_disabled()
    assert house.ask("GET", "/api/jobs/1")["done"] is True
    page.keyboard.press("PageUp")
    expect(page.locator("#step-title")).to_have_text("Sew")


def walk(house: House, page: Page, light: Page) -> None:
    """Press on to the end, with every key in turn and now and then in the projector window."""
    job = house.ask("GET", "/api/jobs/1")
    places = sum(max(1, step["strikes"]) for step in job["steps"])
    revision, keys = job["revision"], ("PageDown", " ", "ArrowRight", "ArrowDown")
    at(page, revision)
    for press in range(places):
        told = page.locator("#where").text_content() or ""
        if f"Strike {MEASURED_STRIKE} of" in told:
            measure_strike(house, light)
        window = light if press % 12 == 11 else page
        window.keyboard.press(keys[press % len(keys)])
        revision += 1
        at(page, revision)


def measure_strike(house: House, light: Page) -> None:
    """The present blow's tines must land within half a pixel of the pattern's holes."""
    job, laid = house.ask("GET", "/api/jobs/1"), house.ask("GET", "/api/layouts/1")["placements"]["front"]
    measures = house.ask("GET", "/api/patterns/1")["measures_mm"]
    front = drafts.get("belt-pouch").draft(measures).piece("front")
    numbers = [hole for hole, _ in job["strike"]["tines"]]
    holes = front.hole_points("pocket")[np.array(numbers) - 1]
    meant = Placement(laid["x"], laid["y"], laid["turn"], laid["mirror"]).apply(holes)
    true, height = projector(house), job["step"]["height_mm"]
    aims = true.aim(meant, height)
    picture = settled(light)
    lit = true.land(np.array([spot(picture, aim) for aim in aims]), height)
    off = np.hypot(*(lit - meant).T)
    half = np.hypot(*(true.land(aims + np.array([1.0, 0.0]), height) - true.land(aims, height)).T).mean() / 2
    print(
        f"\nstrike {job['strike']['number']}: {len(off)} tines within {off.max():.3f} mm, half a pixel is {half:.3f} mm"
    )
    assert len(off) == 6
    assert off.max() < half
    later = front.hole_points("pocket")[numbers[-1] + 12]
    dim = true.aim(Placement(laid["x"], laid["y"], laid["turn"], laid["mirror"]).apply([later]), height)[0].astype(int)
    bright = aims[1].astype(int)
    assert picture[bright[1] - 1 : bright[1] + 2, bright[0] - 1 : bright[0] + 2].max() > 0.95
    assert picture[dim[1] - 1 : dim[1] + 2, dim[0] - 1 : dim[0] + 2].max() < 0.6


def test_the_work_is_one_screen(house: House, open_page: Open) -> None:
    job = begin(house, copies=3)
    pages = [open_page("/work/1", width, height) for width, height in SCREENS]
    for step in job["steps"]:
        job = house.ask("POST", "/api/jobs/1/go", {"step": step["name"], "revision": job["revision"]})
        for page, (width, height) in zip(pages, SCREENS, strict=True):
            at(page, job["revision"])
            fits_its_screen(page, width, height, step["name"])


def fits_its_screen(page: Page, width: int, height: int, step: str) -> None:
    """Nothing scrolls, and what one needs is seen."""
    size = page.evaluate("[document.documentElement.scrollHeight, document.documentElement.scrollWidth]")
    assert size == [height, width], f"{step}: the page scrolls"
    for name in ("#next", "#back", "#step-title", "#view svg"):
        box = page.locator(name).bounding_box()
        assert box is not None
        assert box["y"] + box["height"] <= height, f"{step}: {name} is cut off"
    if width > 1000:
        inner = page.locator("#step-part").evaluate("part => [part.scrollHeight, part.clientHeight]")
        assert inner[0] <= inner[1], f"{step}: its words do not fit"


def test_two_pages_agree_and_the_blows_go_by_themselves(house: House, open_page: Open) -> None:
    job = begin(house, copies=2)
    first, second, home = open_page("/work/1"), open_page("/work/1"), open_page("/")
    expect(home.locator("#jobs")).to_contain_text("Copy 1 of 2. Step 1 of 8. Cut the front")
    expect(first.locator("#pace-part")).to_be_hidden()
    house.ask("POST", "/api/jobs/1/go", {"step": "prick", "revision": job["revision"]})
    for page in (first, second):
        expect(page.locator("#where")).to_have_text("Copy 1 of 2 · Step 7 of 8 · Strike 1 of 60")
    first.locator("#rate").fill("2")
    first.locator("#pace").click()
    expect(first.locator("#pace-words")).to_have_text("Give 5 to 240 strikes a minute.")
    first.locator("#rate").fill("120")
    first.locator("#pace").click()
    expect(second.locator("#pace")).to_have_text("Pause")
    expect(second.locator("#where")).to_contain_text(re.compile(r"Strike ([3-9]|[1-5]\d) of 60"))
    second.locator("#pace").click()
    expect(first.locator("#pace")).to_have_text("By itself")
    reached = house.ask("GET", "/api/jobs/1")["where"]
    expect(home.locator("#jobs")).to_contain_text(reached)


def test_the_table_page_goes_strike_by_strike_too(house: House, open_page: Open) -> None:
    house.practice("marks", "block", lay=True)
    light, page = open_page("/light", 1920, 1080), open_page("/table/1")
    expect(page.locator("#strikes-part")).to_be_hidden()
    page.locator("summary", has_text="All steps").click()
    page.locator("#steps button", has_text="Prick the holes").click()
    page.locator("#strikes-on").check()
    expect(page.locator("#strike-said")).to_contain_text("Strike 1 of 60. Pocket seam")
    page.locator("#strike-next").click()
    expect(page.locator("#strike-said")).to_contain_text("Strike 2 of 60")
    shown = house.ask("GET", "/api/state")["light"]
    assert (shown["strike"], shown["step"], shown["job"]) == (1, "prick", None)
    expect(light.locator("body")).to_have_attribute("data-mode", "layout")
    page.locator("#step-next").click()
    expect(page.locator("#step-title")).to_have_text("Sew")
    expect(page.locator("#strikes-part")).to_be_hidden()
    page.locator("#guided").click()
    page.wait_for_url("**/work?layout=1")
