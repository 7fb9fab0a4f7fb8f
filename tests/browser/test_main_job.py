"""The main job in a real browser: draft, calibrate on the practice bench, lay, project; then measure the pouch in the light.

The projector window's screenshot is the picture. Each drawn line is found in it to a fraction of a pixel, traced along its
ray through the bench simulator (which shares no code with the program) to the leather, and compared in millimetres with
the draft where it was laid.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import pytest
from playwright.sync_api import Page, expect

from server.leather import drafts
from server.leather.pattern import Pattern
from server.practice.projector import TRUE
from tests.bench.simulator import Projector
from tests.browser.conftest import Open
from tests.browser.house import House
from tests.browser.lines import Array, brightness, offsets, spot

pytestmark = [pytest.mark.browser, pytest.mark.usefixtures("quiet")]

TYPED = {
    "width": "3 in",
    "height": "152.4 mm",
    "thickness": '1/2"',
    "stands-out": "2.54cm",
    "belt": "1 1/2 in",
    "leather": "6 oz",
}
TYPED_MM = {
    "width": 76.2,
    "height": 152.4,
    "thickness": 12.7,
    "stands-out": 25.4,
    "belt": 38.1,
    "leather": 6 * 25.4 / 64,
}
PLACE = {"x": 560.0, "y": 300.0, "turn": 24.0}
"""Where the test lays the front: origin mm, degrees clockwise; on the practice table's panel."""

WINDOWS = [(1920, 1080, 1.0), (1536, 864, 1.25)]


@dataclass(frozen=True)
class Seen:
    """How far the light lies from the draft, mm: worst and mean, and over how many places."""

    worst: float
    mean: float
    places: int


def truth() -> Projector:
    """The practice bench's true projector in the simulator's words."""
    bend, shift = TRUE.bend, TRUE.shift
    return Projector(
        TRUE.position, TRUE.throw, TRUE.picture, TRUE.yaw, TRUE.pitch, TRUE.roll, *shift, *bend, mirrored=TRUE.mirrored
    )


def lay(points: Array) -> Array:
    """Turn and move piece points (n, 2) to the table, mm."""
    turn = math.radians(PLACE["turn"])
    cos, sin = math.cos(turn), math.sin(turn)
    return np.asarray(points @ np.array([[cos, sin], [-sin, cos]]) + [PLACE["x"], PLACE["y"]])


def draft_in_the_page(page: Page) -> None:
    """Type the measures and save the thing."""
    for name, text in TYPED.items():
        page.locator(f"#measure-{name}").fill(text)
    page.locator("#thing-name").fill("Pocket lamp")
    expect(page.locator("#sentences")).to_contain_text("Seam to seam 101.6 mm")
    expect(page.locator("#sentences")).to_contain_text("91 holes")
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.locator("#kept")).to_have_text("Pocket lamp is saved.")


def calibrate_in_the_page(page: Page) -> None:
    """Take all sightings of the practice bench: marks, tape, and four crosses on a block."""
    for way, button in (
        ("Known marks", "Read all marks"),
        ("Tape only", "Measure all"),
        ("Lens and thickness", "Read four crosses"),
    ):
        page.get_by_text(way, exact=True).click()
        with page.expect_response("**/api/practice/sight") as answer:
            page.get_by_role("button", name=button).click()
        assert answer.value.ok
    expect(page.locator("#verdict")).to_contain_text("Only the better half is good")


def lay_in_the_page(page: Page) -> None:
    """Lay the pouch on the table and type where the front lies."""
    page.get_by_role("button", name="Lay it on the table").click()
    page.wait_for_url("**/table/*")
    for name, value in PLACE.items():
        page.locator(f"#lie-{name}").fill(str(value))
        with page.expect_response("**/api/layouts/*") as answer:
            page.locator(f"#lie-{name}").press("Enter")
        assert answer.value.ok
    # Turning goes about the piece's middle, so the origin is typed last.
    for name in ("x", "y"):
        page.locator(f"#lie-{name}").fill(str(PLACE[name]))
        page.locator(f"#lie-{name}").press("Enter")
    expect(page.locator("#saved")).to_have_text("Saved.")


def go_to(page: Page, light: Page, house: House, step: str, only: tuple[str, ...]) -> tuple[Array, float]:
    """Go to a step with these kinds of line only; return the light's picture and the height it is meant for, mm."""
    layout = house.ask("GET", "/api/layouts/1")
    title = next(found["title"] for found in layout["steps"] if found["name"] == step)
    steps = page.locator("details", has=page.locator("#steps"))
    if steps.get_attribute("open") is None:
        steps.locator("summary").click()
    page.locator("#steps button", has_text=title).click()
    for kind in ("cut", "slot", "stitch", "hole", "fold", "mark"):
        page.locator(f"#kinds input[name={kind}]").set_checked(kind in only)
    expect(page.locator("#step-title")).to_have_text(title)
    expect(page.locator("#saved")).to_have_text("Saved.")
    layout = house.ask("GET", "/api/layouts/1")
    assert layout["step"] == step
    assert {name: layout["placements"]["front"][name] for name in PLACE} == PLACE
    assert [kind for kind, shown in layout["show"].items() if shown] == list(only)
    return settled(light), float(layout["height"])


def settled(light: Page) -> Array:
    """Return the light's picture once it has stopped changing."""
    picture = brightness(light.screenshot())
    for _ in range(20):
        light.wait_for_timeout(200)
        before, picture = picture, brightness(light.screenshot())
        if np.array_equal(before, picture):
            break
    assert picture.shape == (1080, 1920)
    return picture


def seen(errors: list[float]) -> Seen:
    assert np.isfinite(errors).all(), f"{np.isnan(errors).sum()} of {len(errors)} places have no light"
    return Seen(max(errors), float(np.mean(errors)), len(errors))


def measure_line(picture: Array, points: Array, height: float) -> Seen:
    """Trace a closed line's light to the leather and measure it against the draft, (n, 2) mm as laid."""
    projector = truth()
    aims = projector.aim(dense(points), height)
    places, normals, off = offsets(picture, aims, closed=True)
    meant, lit = projector.land(places, height), projector.land(places + off[:, None] * normals, height)
    return seen(np.hypot(*(lit - meant).T).tolist())


def dense(points: Array, longest: float = 2.0) -> Array:
    """Cut a closed polyline's chords, mm: a straight line on the table is none in the picture."""
    ends = np.roll(points, -1, axis=0)
    parts = [
        start + (end - start) * np.linspace(0, 1, max(2, math.ceil(math.dist(start, end) / longest) + 1))[:-1, None]
        for start, end in zip(points, ends, strict=True)
    ]
    return np.concatenate(parts)


def measure_holes(picture: Array, holes: Array, height: float) -> Seen:
    """Trace the light of each hole to the leather and measure it against the draft, (n, 2) mm as laid."""
    projector = truth()
    aims = projector.aim(holes, height)
    lit = projector.land(np.array([spot(picture, aim) for aim in aims]), height)
    return seen(np.hypot(*(lit - holes).T).tolist())


def half_a_pixel(pattern: Pattern, height: float) -> float:
    """Half the width of a pixel where the pouch lies, mm."""
    projector = truth()
    aims = projector.aim(lay(pattern.pieces[0].outline.flatten()), height)
    steps = projector.land(aims + np.array([1.0, 0.0]), height) - projector.land(aims, height)
    return float(np.hypot(*steps.T).mean()) / 2


@pytest.mark.parametrize(("width", "height", "ratio"), WINDOWS)
def test_the_pouch_lies_within_half_a_pixel(
    house: House, open_page: Open, width: int, height: int, ratio: float
) -> None:
    page = open_page("/")
    page.get_by_role("button", name="Open the practice workshop").first.click()
    page.wait_for_url("**/practice")
    page.goto(house.address + "/draft")
    draft_in_the_page(page)
    drafted = page.url
    page.goto(house.address + "/bench")
    calibrate_in_the_page(page)
    light = open_page("/light", width, height, ratio)
    page.goto(drafted)
    lay_in_the_page(page)

    pattern = drafts.get("belt-pouch").draft(TYPED_MM)
    front = pattern.pieces[0]
    outline, high = go_to(page, light, house, "cut-front", ("cut",))
    cut = measure_line(outline, lay(front.outline.flatten()), high)
    slots_lit, higher = go_to(page, light, house, "slots", ("slot",))
    slots = [
        measure_line(slots_lit, lay(front.line(name).path.flatten()), higher) for name in ("slot-left", "slot-right")
    ]
    pricked, _ = go_to(page, light, house, "prick", ("hole",))
    every = np.array([(hole.x, hole.y) for hole in front.holes])
    holes = measure_holes(pricked, lay(every), higher)

    bound = half_a_pixel(pattern, higher)
    print(f"\nscale {ratio}: half a pixel is {bound:.3f} mm; outline {cut}; slots {slots}; holes {holes}")
    assert high == pytest.approx(TYPED_MM["leather"], abs=0.01)
    assert higher == pytest.approx(2 * TYPED_MM["leather"], abs=0.01)
    assert holes.places == len(front.holes) == 147
    assert cut.places > 100
    for found in (cut, *slots, holes):
        assert found.worst < bound
