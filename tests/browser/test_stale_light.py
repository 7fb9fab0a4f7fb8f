"""No wrong picture in the light, not for one frame: whatever becomes of the server, the network, the computer or the window.

Each test looks at every frame that the window shows while something happens to it (see ``watching``).
"""

from __future__ import annotations

import signal
import time
from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Page, Route, expect

from tests.browser.conftest import Open
from tests.browser.house import House
from tests.browser.watching import WATCH, Seen, watched

pytestmark = pytest.mark.browser

WIDTH, HEIGHT = 640, 360
OLD_MS = 2500 + 300
"""The rule's two and a half seconds, and what a busy machine may take to look."""

ON_ITS_WAY_MS = 600
"""A beat sent just before the server stopped may still be on its way, and be heard that much later on a busy machine."""

Light = Callable[[str], None]


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    """One server for all tests here, each with a bench of its own."""
    with House(tmp_path_factory.mktemp("stale") / "data") as shared:
        yield shared


@pytest.fixture
def light(house: House) -> Light:
    """Tell the server what to show on a small bench, past any page."""
    bench = house.ask("POST", "/api/benches", {"name": "Small", "width": WIDTH, "height": HEIGHT})["id"]

    def show(mode: str) -> None:
        house.ask("POST", "/api/light", {"mode": mode, "bench": bench})

    return show


@pytest.fixture
def window(open_page: Open, light: Light) -> Page:
    """A projector window that shows crosses, and is watched."""
    light("crosses")
    page = open_page("/help", WIDTH, HEIGHT)
    page.add_init_script(WATCH)
    page.goto(page.url.replace("/help", "/light"))
    expect(page.locator("body")).to_have_attribute("data-picture", "fresh")
    page.wait_for_timeout(200)
    return page


def crosses(window: Page) -> str:
    """Return the picture of the crosses, which is in the light now."""
    last = watched(window)[-1]
    assert last.bright
    return last.picture


def wait_for(window: Page, what: str) -> None:
    expect(window.locator("body")).to_have_attribute("data-picture", what, timeout=12000)
    window.wait_for_timeout(150)


def assert_true(frames: list[Seen], old: str, since: float) -> None:
    """After ``since`` (ms) the old picture may only be seen dimmed, with the words that say so."""
    late = [seen for seen in frames if seen.at > since]
    assert late
    for seen in late:
        assert not (seen.bright and seen.picture == old), "an old picture is shown as if it were true"
        assert seen.said or seen.picture != old


def now() -> float:
    return time.time() * 1000


def test_a_killed_server_dims_the_light_and_another_run_lights_what_holds_then(
    house: House, light: Light, window: Page
) -> None:
    old, run = crosses(window), window.locator("body").get_attribute("data-run")
    house.kill()
    killed = now()
    window.wait_for_timeout(900)
    house.start()
    light("frame")
    wait_for(window, "fresh")
    frames = watched(window)
    assert_true(frames, old, killed + 600)
    assert any(seen.picture == old and seen.said for seen in frames), "the old picture was kept, dimmed"
    assert frames[-1].bright
    assert frames[-1].picture != old
    assert window.locator("body").get_attribute("data-run") != run


def test_a_network_that_goes_silent_dims_the_light_by_the_rule(house: House, light: Light, window: Page) -> None:
    old = crosses(window)
    assert house.process is not None
    house.process.send_signal(signal.SIGSTOP)
    stopped = now()
    try:
        window.wait_for_timeout(4200)
    finally:
        resumed = now()
        house.process.send_signal(signal.SIGCONT)
    light("frame")
    wait_for(window, "fresh")
    frames = watched(window)
    # once the server goes on, a beat may come before the change: until then the old picture is the true one again
    assert_true([seen for seen in frames if seen.at < resumed], old, stopped + OLD_MS + ON_ITS_WAY_MS)
    assert frames[-1].picture != old
    assert any(seen.bright and seen.at < stopped + 1500 for seen in frames), "a beat may be late without a dimmed light"


def test_a_computer_that_slept_shows_no_old_picture(light: Light, window: Page) -> None:
    """Frozen as a browser freezes a page, while elsewhere the light is told to show something else."""
    old = crosses(window)
    tools = window.context.new_cdp_session(window)
    tools.send("Page.setWebLifecycleState", {"state": "frozen"})
    slept = now()
    light("frame")
    time.sleep(1.5)
    tools.send("Page.setWebLifecycleState", {"state": "active"})
    wait_for(window, "fresh")
    frames = watched(window)
    assert_true(frames, old, slept + 100)
    assert frames[-1].bright
    window.evaluate("(() => { const now = Date.now; Date.now = () => now() + 3600e3; })()")
    window.wait_for_timeout(700)
    after = watched(window)
    assert any(seen.lit and not seen.bright and seen.said for seen in after), "the wall clock jumped, as after a sleep"
    assert after[-1].bright


def test_scripts_that_hang_cannot_keep_an_old_picture_bright(house: House, light: Light, open_page: Open) -> None:
    """With the page's own looking switched off, the browser dims by itself."""
    light("crosses")
    page = open_page("/help", WIDTH, HEIGHT)
    page.add_init_script(
        "window.requestAnimationFrame = () => 0; const real = window.setTimeout;"
        "window.setTimeout = (act, ms, ...more) => (ms > 1200 ? 0 : real(act, ms, ...more));"
    )
    page.goto(page.url.replace("/help", "/light"))
    expect(page.locator("body")).to_have_attribute("data-picture", "fresh")
    page.wait_for_timeout(3600)
    opacity = "Number(getComputedStyle(document.querySelector('#picture')).opacity)"
    assert page.evaluate(opacity) == 1, "while the server beats, the handle is wound back"
    assert house.process is not None
    house.process.send_signal(signal.SIGSTOP)
    try:
        page.wait_for_timeout(3300)
        assert page.locator("body").get_attribute("data-picture") == "fresh", "no script has looked"
        assert page.evaluate(opacity) < 0.3
        assert page.evaluate("getComputedStyle(document.querySelector('#asleep')).opacity") == "1"
    finally:
        house.process.send_signal(signal.SIGCONT)


def test_a_window_offline_shows_no_old_picture(light: Light, window: Page) -> None:
    old = crosses(window)
    window.context.set_offline(True)
    cut = now()
    light("frame")
    window.wait_for_timeout(3600)
    window.context.set_offline(False)
    wait_for(window, "fresh")
    frames = watched(window)
    # A browser may keep a connection that is open already: then the new picture itself comes through.
    assert_true(frames, old, cut + OLD_MS + ON_ITS_WAY_MS)
    assert frames[-1].bright
    assert frames[-1].picture != old


def test_another_size_or_scale_empties_the_window_in_the_same_frame(window: Page) -> None:
    """The answer that confirms a size is held up, so that only the page's own rule keeps a wrong picture out."""
    old = crosses(window)

    def held_up(route: Route) -> None:
        time.sleep(0.4)
        route.continue_()

    window.route("**/api/window", held_up)
    tools = window.context.new_cdp_session(window)
    for width, height, ratio in (
        (800, 450, 1.0),
        (WIDTH, HEIGHT, 1.0),
        (512, 288, 1.25),
        (320, 180, 2.0),
        (640, 360, 1.0),
    ):
        view = {"width": width, "height": height, "deviceScaleFactor": ratio, "mobile": False}
        tools.send("Emulation.setDeviceMetricsOverride", view)
        window.wait_for_timeout(250)
        between = watched(window)
        changed = [
            seen
            for seen in between
            if seen.box == (round(width * ratio), round(height * ratio)) and seen.ratio == ratio
        ]
        assert changed
        assert not any(seen.lit for seen in changed), f"lines at {width} x {height} x {ratio} before it was confirmed"
        assert all(seen.size == seen.box for seen in changed)
        window.wait_for_timeout(900)
        settled = watched(window)[-1]
        assert (settled.lit > 0) == ((width, height, ratio) == (WIDTH, HEIGHT, 1.0)), (
            "a scale of its own is a zoom here"
        )
    assert settled.picture == old


def test_a_reload_and_a_second_window_show_the_truth_or_nothing(light: Light, window: Page, open_page: Open) -> None:
    old = crosses(window)
    second = open_page("/help", WIDTH, HEIGHT)
    second.add_init_script(WATCH)
    second.goto(window.url)
    expect(second.locator("#sentence")).to_contain_text("Another projector window has the light")
    light("frame")
    window.reload()
    wait_for(second, "fresh")
    expect(second.locator("#message")).to_be_hidden()
    expect(window.locator("#sentence")).to_contain_text("Another projector window has the light")
    lit = {seen.picture for page in (window, second) for seen in watched(page) if seen.lit}
    assert len(lit) == 1, "one picture, in one window"
    assert old not in lit
    window.locator("#take").click()
    wait_for(window, "fresh")
    expect(window.locator("#message")).to_be_hidden()
    expect(second.locator("#message")).to_be_visible()
    assert {seen.picture for seen in watched(window) if seen.lit} == lit
