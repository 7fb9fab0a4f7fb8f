"""The projector window: how exactly it draws, and what it says when it cannot."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import Open
from tests.browser.house import House
from tests.browser.lines import Array, brightness, offsets, spot
from tests.browser.real_window import SCREEN, real_window

pytestmark = pytest.mark.browser

LOST = "Connection lost"


@pytest.fixture(scope="module")
def scaled(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    """A server whose light shows the edge of a picture of ``SCREEN``."""
    with House(tmp_path_factory.mktemp("scaled") / "data") as house:
        width, height = SCREEN
        bench = house.ask("POST", "/api/benches", {"name": "Screen", "width": width, "height": height})["id"]
        house.ask("POST", "/api/light", {"mode": "frame", "bench": bench})
        yield house


def lit(page: Page) -> bool:
    """Tell whether anything at all is lit in the canvas."""
    return bool(
        page.evaluate(
            """() => {
              const { width, height } = document.querySelector("canvas");
              const copy = new OffscreenCanvas(width, height).getContext("2d", { willReadFrequently: true });
              copy.drawImage(document.querySelector("canvas"), 0, 0);
              const pixels = copy.getImageData(0, 0, width, height).data;
              return pixels.some((value, i) => i % 4 < 3 && value > 0);
            }"""
        )
    )


def paint(page: Page, strokes: list[dict[str, object]], sentence: str | None = None) -> None:
    """Draw strokes with the page's own painter, as if the server had sent them."""
    page.evaluate(
        """async ([strokes, sentence]) => {
          const { paint } = await import("/static/js/light/paint.js");
          const context = document.querySelector("canvas").getContext("2d");
          paint(context, { version: 0, mode: "test", sentence, strokes, texts: [] });
        }""",
        [strokes, sentence],
    )


def stroke(points: list[float], width: float = 2.0, *, closed: bool = False) -> dict[str, object]:
    return {"kind": "cut", "colour": "#ffffff", "width": width, "dash": [], "closed": closed, "points": points}


@pytest.mark.parametrize("scale", [1.0, 1.25, 1.5, 2.0])
def test_lines_are_drawn_where_the_numbers_say(browser: Browser, scaled: House, scale: float) -> None:
    """In a real window on a screen of that display scale."""
    with real_window(browser, f"{scaled.address}/light", scale) as page:
        expect(page.locator("body")).to_have_attribute("data-connection", "there")
        expect(page.locator("#hand")).to_have_css("opacity", "0")
        expect(page.locator("body")).to_have_attribute("data-mode", "frame")
        assert_edge(brightness(page.screenshot()))
        assert_lines(page, scale)


def assert_edge(picture: Array) -> None:
    """The outermost pixels are all lit whole, the corners too, and nothing else is."""
    assert picture.shape == (1080, 1920)
    sides = (picture[0], picture[-1], picture[:, 0], picture[:, -1])
    assert min(float(side.min()) for side in sides) == 1.0
    assert picture[1:-1, 1:-1].max() == 0.0


def assert_lines(page: Page, scale: float) -> None:
    random = np.random.default_rng(4)
    strokes, lines = [], []
    for column in range(16):
        for row in range(9):
            middle = np.array([60 + column * 120, 60 + row * 120]) + random.uniform(-3, 3, 2)
            turn, weight = random.uniform(0, np.pi), random.choice([1.0, 1.5, 2.0, 3.0])
            arm = 40 * np.array([np.cos(turn), np.sin(turn)])
            lines.append(np.array([middle - arm, middle + arm]))
            strokes.append(stroke(lines[-1].ravel().tolist(), weight))
    paint(page, strokes)
    picture = brightness(page.screenshot())
    assert picture.shape == (1080, 1920)
    off = np.concatenate([offsets(picture, line, closed=False, step=8.0)[2][1:-1] for line in lines])
    assert np.isfinite(off).all()
    print(f"\nscale {scale}: {len(off)} places, mean {np.abs(off).mean():.4f} px, worst {np.abs(off).max():.4f} px")
    assert np.abs(off).mean() < 0.02
    assert np.abs(off).max() < 0.12
    assert abs(off.mean()) < 0.005, "every line lies to the same side: the picture is shifted"


@pytest.mark.parametrize("zoom", [0.9, 1.1])
def test_a_zoomed_browser_is_refused_in_the_light(browser: Browser, scaled: House, zoom: float) -> None:
    """The window has as many device pixels as the picture, so only the zoom tells that its pixels are not true."""
    with real_window(browser, f"{scaled.address}/light", zoom=zoom) as page:
        expect(page.locator("#sentence")).to_contain_text(f"shows this window at {100 * zoom:.0f} %")
        expect(page.locator("#sentence")).to_contain_text("Ctrl and 0")
        size = page.evaluate("(({ width, height }) => [width, height])(document.querySelector('#picture'))")
        assert tuple(size) == SCREEN
        assert not lit(page)


@pytest.mark.usefixtures("quiet")
def test_short_ticks_are_drawn_where_the_numbers_say(open_page: Open) -> None:
    page = open_page("/light", 1920, 1080)
    expect(page.locator("body")).to_have_attribute("data-connection", "there")
    random = np.random.default_rng(5)
    middles = np.array([[30.0 + 20 * (i % 90), 30 + 20 * (i // 90)] for i in range(900)]) + random.uniform(
        -1, 1, (900, 2)
    )
    turns = random.uniform(0, np.pi, 900)
    arms = 1.6 * np.column_stack([np.cos(turns), np.sin(turns)])
    paint(page, [stroke(np.concatenate([m - a, m + a]).tolist(), 1.5) for m, a in zip(middles, arms, strict=True)])
    picture = brightness(page.screenshot())
    off = np.hypot(*(np.array([spot(picture, middle, 4.0) for middle in middles]) - middles).T)
    print(f"\n{len(off)} ticks, mean {off.mean():.4f} px, worst {off.max():.4f} px")
    assert off.mean() < 0.06
    assert off.max() < 0.2


@pytest.mark.usefixtures("quiet")
def test_a_frame_with_a_sentence_draws_no_line_whatever_it_carries(open_page: Open) -> None:
    page = open_page("/light", 640, 360)
    expect(page.locator("body")).to_have_attribute("data-connection", "there")
    paint(page, [stroke([10.0, 10.0, 300.0, 200.0])])
    assert lit(page)
    paint(page, [stroke([10.0, 10.0, 300.0, 200.0])], "The window does not fit.")
    assert not lit(page)


@pytest.mark.usefixtures("quiet")
def test_crosses_fill_whole_pixels(house: House, open_page: Open) -> None:
    bench = house.practice()
    page = open_page("/light", 1920, 1080)
    house.ask("POST", "/api/light", {"mode": "crosses", "bench": bench})
    expect(page.locator("body")).to_have_attribute("data-mode", "crosses")
    a = house.ask("GET", f"/api/benches/{bench}")["sightings"]["crosses"]["A"]
    picture = brightness(page.screenshot())
    row, column = int(a[1]), int(a[0])
    assert picture[row, column - 10 : column + 10].min() == 1.0
    assert picture[row - 1, column - 10 : column - 1].max() == 0.0
    assert picture[row + 1, column - 10 : column - 1].max() == 0.0


@pytest.mark.usefixtures("quiet")
def test_dark_is_black_and_shows_no_scroll_bar(house: House, open_page: Open) -> None:
    house.practice()
    page = open_page("/light", 1920, 1080)
    expect(page.locator("body")).to_have_attribute("data-mode", "dark")
    page.wait_for_timeout(400)
    assert brightness(page.screenshot()).max() == 0.0
    assert page.evaluate("getComputedStyle(document.body).cursor") == "none"


@pytest.mark.usefixtures("quiet")
def test_a_window_of_another_size_says_so_in_the_light_and_shows_no_line(house: House, open_page: Open) -> None:
    bench = house.practice("marks")
    page = open_page("/light", 1280, 720)
    house.ask("POST", "/api/light", {"mode": "check", "bench": bench, "size": 300})
    expect(page.locator("#sentence")).to_contain_text("1280 x 720")
    expect(page.locator("#sentence")).to_contain_text("1920 x 1080")
    expect(page.locator("#sentence")).to_be_visible()
    assert not lit(page)
    page.set_viewport_size({"width": 1920, "height": 1080})
    expect(page.locator("#message")).to_be_hidden()
    assert lit(page)


@pytest.mark.usefixtures("quiet")
def test_a_window_of_another_scale_counts_its_device_pixels(house: House, open_page: Open) -> None:
    house.practice()
    open_page("/light", 1280, 720, ratio=1.5)
    home = open_page("/")
    expect(home.locator("#card-lamp")).to_contain_text("1920 × 1080")


@pytest.mark.usefixtures("quiet")
def test_an_uncalibrated_bench_shows_no_pattern(house: House, open_page: Open) -> None:
    house.practice("marks", lay=True)
    page = open_page("/light", 1920, 1080)
    house.ask("POST", "/api/light", {"mode": "layout", "layout": 1})
    expect(page.locator("body")).to_have_attribute("data-mode", "layout")
    assert lit(page)
    house.ask("PUT", "/api/benches/1/sightings", {"positions": []})
    expect(page.locator("#sentence")).to_contain_text("not calibrated")
    assert not lit(page)


def test_a_lost_connection_dims_the_last_picture_and_comes_back_by_itself(house: House, open_page: Open) -> None:
    bench = house.practice("marks")
    page = open_page("/light", 1920, 1080)
    house.ask("POST", "/api/light", {"mode": "check", "bench": bench, "size": 300})
    expect(page.locator("body")).to_have_attribute("data-mode", "check")
    page.wait_for_timeout(300)
    before = brightness(page.screenshot())[:900]
    house.kill()
    expect(page.locator("#lost")).to_contain_text(LOST)
    expect(page.locator("#lost")).to_be_visible()
    assert page.locator("body").get_attribute("data-connection") == "lost"
    after = brightness(page.screenshot())[:900]
    assert before.max() == 1.0
    assert 0.1 < after.max() < 0.5, "the last picture is kept, but dimmed"
    assert (after[before == 0.0] == 0.0).all()
    house.start()
    expect(page.locator("#lost")).to_be_hidden(timeout=12000)
    page.wait_for_timeout(300)
    assert np.array_equal(brightness(page.screenshot())[:900], before), "the light shows again what it showed"
    house.ask("POST", "/api/light", {"mode": "dark"})
    expect(page.locator("body")).to_have_attribute("data-mode", "dark")
    assert not lit(page)


@pytest.mark.usefixtures("quiet")
def test_a_second_window_waits_and_can_take_the_light(house: House, open_page: Open) -> None:
    bench = house.practice()
    first = open_page("/light", 1920, 1080)
    house.ask("POST", "/api/light", {"mode": "crosses", "bench": bench})
    expect(first.locator("body")).to_have_attribute("data-mode", "crosses")
    second = open_page("/light", 1920, 1080)
    expect(second.locator("#sentence")).to_contain_text("Another projector window has the light")
    assert not lit(second)
    second.locator("#take").click()
    expect(second.locator("#message")).to_be_hidden()
    assert lit(second)
    expect(first.locator("#sentence")).to_contain_text("Another projector window has the light")
    assert not lit(first)
    second.close()
    expect(first.locator("#message")).to_be_hidden()
    assert lit(first)


@pytest.mark.usefixtures("quiet")
def test_the_cursor_and_its_button_show_only_while_a_hand_moves(house: House, open_page: Open) -> None:
    house.practice()
    page = open_page("/light", 1920, 1080)
    expect(page.locator("#hand")).to_have_css("opacity", "0")
    page.mouse.move(400, 400)
    page.mouse.move(420, 410)
    expect(page.locator("#hand")).to_have_css("opacity", "1")
    expect(page.locator("#hint")).to_contain_text("1920 × 1080")
    expect(page.locator("#hand")).to_have_css("opacity", "0")


DEVICE_PIXELS = [
    # reported by the browser, CSS box, ratio, what counts
    ((1920, 1080), (1536, 864), 1.25, (1920, 1080)),
    ((1536, 864), (1536, 864), 1.25, (1920, 1080)),
    (None, (1536, 864), 1.25, (1920, 1080)),
    ((1366, 768), (1241.818, 698.182), 1.1, (1366, 768)),
    ((1367, 768), (1241.818, 698.182), 1.1, (1367, 768)),
    ((3840, 2160), (3840, 2160), 1.0, (3840, 2160)),
    ((1280, 720), (2560, 1440), 0.5, (1280, 720)),
]


@pytest.mark.usefixtures("quiet")
def test_device_pixels(open_page: Open) -> None:
    page = open_page("/light", 640, 360)
    for reported, css, ratio, counts in DEVICE_PIXELS:
        found = page.evaluate(
            """async ([reported, css, ratio]) => {
              const { devicePixels } = await import("/static/js/light/device-pixels.js");
              const size = (pair) => pair && { width: pair[0], height: pair[1] };
              return devicePixels(size(reported), size(css), ratio);
            }""",
            [reported, css, ratio],
        )
        assert (found["width"], found["height"]) == counts
