"""How the light is seen: a piece lit whole with an exact edge, what blinks and runs, blackout, and the panel that chooses."""

from __future__ import annotations

import time
from collections.abc import Iterator

import numpy as np
import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Open
from tests.browser.house import House
from tests.browser.lines import Array, along, brightness

pytestmark = pytest.mark.browser

PATH = "/api/layouts/1/seeing"
LINES_OFF = dict.fromkeys(("stitch", "hole", "fold", "mark"), False)
RADIUS, FINE = 6, 0.25

LISTEN = """
const Real = window.EventSource;
window.EventSource = class extends Real {
  constructor(path) {
    super(path);
    this.addEventListener("frame", (event) => (window.lastFrame = JSON.parse(event.data)));
  }
};
"""
"""Keeps the numbers that the server sent last."""


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    """One server for all tests here, with the practice pouch laid out."""
    with House(tmp_path_factory.mktemp("seeing") / "data") as shared:
        shared.practice("marks", "block", lay=True)
        shared.ask("PUT", "/api/layouts/1", {"step": None, "show": LINES_OFF})
        yield shared


@pytest.fixture
def lit(house: House, open_page: Open) -> Page:
    """A projector window that shows the cut lines and slots of the pouch."""
    page = open_page("/help", 1920, 1080)
    page.add_init_script(LISTEN)
    page.goto(f"{house.address}/light")
    house.ask("POST", "/api/light", {"mode": "layout", "layout": 1})
    expect(page.locator("body")).to_have_attribute("data-mode", "layout")
    return page


def until(page: Page, truth: str) -> None:
    """Wait until the numbers sent last are such: JavaScript about ``f``, the frame; the page itself allows no eval."""
    late = time.monotonic() + 8
    while not page.evaluate(f"(({{ lastFrame: f }}) => Boolean(f && ({truth})))(window)"):
        assert time.monotonic() < late, truth
        page.wait_for_timeout(40)


def pictures(page: Page, count: int, every: int) -> list[Array]:
    """Return the brightness of so many screenshots, ``every`` ms apart."""
    found = []
    for _ in range(count):
        page.wait_for_timeout(every)
        found.append(brightness(page.screenshot()))
    return found


def edge_offsets(picture: Array, ring: Array) -> Array:
    """Return how far the edge of a lit area lies from a closed ring (n, 2) px, at places along it.

    The light summed along the normal grows by as much as the edge moves outwards, because a pixel is lit by how much of it
    is covered.
    """
    places, normals = along(ring, closed=True, step=7.0)
    reach = np.arange(-RADIUS, RADIUS, FINE) + FINE / 2
    light = sampled(picture, places[:, None] + reach[None, :, None] * normals[:, None])
    return np.asarray((light.sum(axis=1) * FINE - RADIUS) * np.sign(light[:, 0] - light[:, -1]))


def sampled(picture: Array, at: Array) -> Array:
    """Return the brightness at places (..., 2) px, between pixel centres by bilinear weights."""
    low = np.floor(at - 0.5).astype(int)
    x, y = np.moveaxis(low, -1, 0)
    u, v = np.moveaxis(at - 0.5 - low, -1, 0)
    upper = picture[y, x] * (1 - u) + picture[y, x + 1] * u
    lower = picture[y + 1, x] * (1 - u) + picture[y + 1, x + 1] * u
    return np.asarray(upper * (1 - v) + lower * v)


@pytest.mark.usefixtures("quiet")
def test_a_lit_piece_has_its_edge_where_the_numbers_say_and_dark_slots(house: House, lit: Page) -> None:
    house.ask("PUT", PATH, {"fill": True})
    until(lit, "f.areas.length === 2")
    (picture,) = pictures(lit, 1, 300)
    areas = lit.evaluate("window.lastFrame.areas")
    rings = [np.array(ring).reshape(-1, 2) for area in areas for ring in area["rings"]]
    off = np.concatenate([edge_offsets(picture, ring) for ring in rings])
    straight = np.abs(off)
    print(f"\n{len(off)} places on {len(rings)} edges: mean {straight.mean():.4f} px, worst {straight.max():.4f} px")
    assert straight.mean() < 0.03
    assert np.quantile(straight, 0.95) < 0.1
    assert straight.max() < 0.25, "small corners are rounder than a normal sees"
    outline, slot = rings[0], rings[1]
    assert sampled(picture, slot.mean(axis=0)[None]).max() == 0.0
    assert sampled(picture, outline.mean(axis=0)[None]).min() == 1.0
    house.ask("PUT", PATH, {"fill": False})


@pytest.mark.usefixtures("quiet")
def test_one_kind_blinks_and_a_dot_runs_along_the_lines(house: House, lit: Page) -> None:
    house.ask("PUT", PATH, {"blink": "slot"})
    until(lit, "f.blink === 'slot'")
    counts = [int((picture > 0.3).sum()) for picture in pictures(lit, 12, 60)]
    slots = [np.array(s["points"]).reshape(-1, 2) for s in lit.evaluate("lastFrame.strokes") if s["kind"] == "slot"]
    assert max(counts) - min(counts) > 100, "with and without the slots"
    assert min(counts) > 500, "the other lines stay"
    assert slots
    house.ask("PUT", PATH, {"blink": None, "runner": True})
    until(lit, "f.runner && !f.blink")
    first, second = pictures(lit, 2, 500)
    moved = np.argwhere(np.abs(first - second) > 0.5)[:, ::-1] + 0.5
    lines = np.concatenate(
        [along(np.array(s["points"]).reshape(-1, 2), True, 2.0)[0] for s in lit.evaluate("lastFrame.strokes")]
    )
    assert len(moved) > 60
    assert max(float(np.hypot(*(lines - place).T).min()) for place in moved[::7]) < 11.0, "only along the lines"
    house.ask("PUT", PATH, {"runner": False})
    until(lit, "!f.runner")
    still, again = pictures(lit, 2, 300)
    assert np.array_equal(still, again)


@pytest.mark.usefixtures("quiet")
def test_the_blackout_key_works_in_the_light_and_on_the_table(house: House, lit: Page, open_page: Open) -> None:
    (before,) = pictures(lit, 1, 300)
    table = open_page("/table/1")
    button = table.locator("#blackout button")
    expect(button).to_have_attribute("aria-pressed", "false")
    lit.keyboard.press("b")
    expect(lit.locator("body")).to_have_attribute("data-mode", "black")
    expect(button).to_have_attribute("aria-pressed", "true")
    assert pictures(lit, 1, 200)[0].max() == 0.0
    assert house.ask("GET", "/api/state")["light"]["blackout"] is True
    table.locator("#leather").click()
    table.keyboard.type(".")
    expect(button).to_have_attribute("aria-pressed", "true")
    table.keyboard.press("Backspace")
    table.locator("#layout-name").click()
    table.keyboard.press(".")
    expect(lit.locator("body")).to_have_attribute("data-mode", "layout")
    assert np.array_equal(pictures(lit, 1, 300)[0], before), "the light comes back as it was"


@pytest.mark.usefixtures("quiet")
def test_the_panel_tells_the_contrast_and_what_is_chosen_shows(house: House, lit: Page, open_page: Open) -> None:
    table = open_page("/table/1")
    panel = table.locator("#seeing")
    cut = panel.locator("tr[data-kind=cut]")
    dim = float(cut.locator("strong").inner_text().split(" ")[0])
    panel.get_by_text("Bright", exact=True).click()
    expect(cut.locator("strong")).not_to_have_text(f"{dim:g} : 1")
    panel.get_by_text("Oxblood", exact=True).click()
    expect(cut).to_have_attribute("data-verdict", "faint")
    expect(panel.locator(".note.mind")).to_contain_text("darker")
    panel.get_by_label("Colour of Cut", exact=True).select_option("orange")
    until(lit, "f.strokes.some((s) => s.kind === 'cut' && s.colour === '#e69f00')")
    panel.get_by_role("button", name="Take the best colours").click()
    until(lit, "f.strokes.some((s) => s.kind === 'cut' && s.colour === '#ffffff')")
    expect(panel).to_contain_text("These are the best colours")
    weight = panel.get_by_label("Weight of the cut line")
    weight.fill("half a pixel")
    weight.press("Tab")
    expect(panel.locator("[data-for=weight]")).to_contain_text("such as 2 px, 1 mm")
    weight.fill("3 px")
    weight.press("Tab")
    until(lit, "f.strokes.some((s) => s.kind === 'cut' && s.width === 3)")
    panel.get_by_label("Light the whole piece").check()
    until(lit, "f.areas.length === 2")
    panel.get_by_role("button", name="Keep for all oxblood leather").click()
    expect(table.locator("#said")).to_contain_text("Kept for all oxblood leather")
    assert house.ask("GET", PATH)["kept"] == ["oxblood"]
