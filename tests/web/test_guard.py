"""The picture guard: what a window's report gives away, and what only an eye can tell."""

from __future__ import annotations

from typing import Any

import pytest

from server.services.bench import guard
from server.services.light.chequer import patches
from server.services.light.windows import WindowSize
from tests.web.desk import Desk

BENCH = {"name": "Garage", "width": 1920, "height": 1080}

# one row a set-up: device px, ratio, full screen, screen in CSS px, pinch -> state of zoom and of scaling
REPORTS: list[tuple[Any, ...]] = [
    (1920, 1.0, True, (1920, 1080), 1.0, "good", "good"),
    (1920, 1.25, True, (1536, 864), 1.0, "good", "good"),
    (1920, 2.0, True, (960, 540), 1.0, "good", "good"),
    (1920, 1.1, True, (1920, 1080), 1.0, "bad", "good"),
    (1920, 0.9, True, (1920, 1080), 1.0, "bad", "good"),
    (1920, 1.375, True, (1536, 864), 1.0, "bad", "good"),
    (1920, 1.0, True, (1920, 1080), 1.3, "bad", "good"),
    (1920, 1.1, True, (1745, 982), 1.0, "good", "bad"),
    (1920, 1.0, True, None, 1.0, "ask", "good"),
    (1600, 1.25, False, (1536, 864), 1.0, "ask", "ask"),
]


def states(desk: Desk) -> dict[str, str]:
    """Return the state of every item."""
    return {item["name"]: item["state"] for item in desk.get("/api/guard")}


@pytest.mark.parametrize(("width", "ratio", "full", "screen", "scale", "zoom", "scaling"), REPORTS)
def test_zoom_and_scaling_are_told_apart(
    width: int, ratio: float, full: bool, screen: tuple[int, int] | None, scale: float, zoom: str, scaling: str
) -> None:
    size = WindowSize(width, 1080, ratio, fullscreen=full, screen=screen, scale=scale)
    found = {item.name: item for item in guard.items(size, None)}
    assert (found["zoom"].state, found["scaling"].state) == (zoom, scaling)
    assert found["full-screen"].state == ("good" if full else "bad")


def test_a_scaled_display_is_said_and_is_fine() -> None:
    size = WindowSize(1920, 1080, 1.25, fullscreen=True, screen=(1536, 864))
    scaling = next(item for item in guard.items(size, None) if item.name == "scaling")
    assert "125 %" in scaling.words
    assert scaling.remedy is None


def test_the_size_of_the_zoom_is_said() -> None:
    size = WindowSize(1920, 1080, 1.1, fullscreen=True, screen=(1920, 1080))
    zoom = next(item for item in guard.items(size, None) if item.name == "zoom")
    assert "110 %" in zoom.words
    assert zoom.remedy is not None


def test_without_window_and_bench_nothing_is_claimed(desk: Desk) -> None:
    found = desk.get("/api/guard")
    assert {item["state"] for item in found} == {"ask"}
    assert [item["name"] for item in found] == ["full-screen", "native-size", "zoom", "scaling"]
    assert desk.ask("POST", "/api/guard", {"name": "overscan", "answer": "yes"}).status_code == 409


def test_every_item_has_words_a_drawing_and_a_way_out(desk: Desk) -> None:
    desk.post("/api/benches", BENCH)
    desk.window(1280, 720)
    for name in guard.ASKED:
        desk.post("/api/guard", {"name": name, "answer": "no"})
    found = desk.get("/api/guard")
    names = ["full-screen", "native-size", "zoom", "scaling", "overscan", "keystone", "mirror", "warm-up"]
    assert [item["name"] for item in found] == names == [item["figure"] for item in found]
    for item in found:
        assert item["words"].endswith(".")
        assert item["title"]
        if item["state"] == "bad":
            assert item["remedy"].endswith(".")
        if item["name"] in guard.ASKED:
            assert item["question"].endswith("?")
            assert item["light"] in (None, "frame", "pixels", "crosses")
    assert [item["state"] for item in found[4:]] == ["bad"] * 4
    assert desk.get("/api/state")["guard"] == {"bad": 5, "ask": 1}, "the zoom cannot be told without the screen's size"


def test_a_picture_of_another_size_is_named_on_both_sides(desk: Desk) -> None:
    desk.post("/api/benches", BENCH)
    desk.window(1280, 720)
    item = next(item for item in desk.get("/api/guard") if item["name"] == "native-size")
    assert item["state"] == "bad"
    assert "1280 x 720" in item["words"]
    assert "1920 x 1080" in item["words"]
    desk.window(1920, 1080)
    assert states(desk)["native-size"] == "good"


def test_what_an_eye_saw_is_kept_with_the_bench(desk: Desk) -> None:
    first = desk.post("/api/benches", BENCH)["id"]
    assert states(desk)["overscan"] == "ask"
    answered = desk.post("/api/guard", {"name": "overscan", "answer": "yes"})
    item = next(item for item in answered if item["name"] == "overscan")
    assert (item["state"], item["answer"], item["remedy"]) == ("good", "yes", None)
    assert item["answered_at"].endswith("Z")
    second = desk.post("/api/benches", BENCH | {"name": "Loft"})["id"]
    assert states(desk)["overscan"] == "ask", "another projector, another eye"
    desk.post("/api/guard", {"name": "overscan", "answer": "no", "bench": second})
    assert states(desk)["overscan"] == "bad"
    of_first = {item["name"]: item["state"] for item in desk.get(f"/api/guard?bench={first}")}
    assert of_first["overscan"] == "good"
    desk.post("/api/guard", {"name": "overscan", "answer": "yes", "bench": second})
    assert states(desk)["overscan"] == "good", "the last answer counts"


def test_a_mirror_is_seen_in_the_calibration_by_known_marks(desk: Desk) -> None:
    bench = desk.practice("tape")
    assert states(desk)["mirror"] == "ask", "distances are the same in a mirror"
    desk.post("/api/practice/sight", {"bench": bench, "way": "marks", "replace": True})
    assert states(desk)["mirror"] == "good"
    rows = desk.get(f"/api/benches/{bench}")["sightings"]["positions"]
    flipped = [row | {"at": [-row["at"][0], row["at"][1]]} for row in rows]
    assert desk.put(f"/api/benches/{bench}/sightings", {"positions": flipped})["report"] is not None
    assert states(desk)["mirror"] == "bad"


def test_warmth_runs_by_the_clock(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    desk.post("/api/benches", BENCH)
    monkeypatch.setattr("server.store.clock.now", lambda: "2099-01-02T12:00:00.000Z")
    monkeypatch.setattr("server.services.bench.answers.now", lambda: "2099-01-02T12:00:00.000Z")
    assert states(desk)["warm-up"] == "ask"
    desk.post("/api/guard", {"name": "warm-up", "answer": "no"})
    assert states(desk)["warm-up"] == "bad"
    monkeypatch.setattr("server.store.clock.now", lambda: "2099-01-02T12:20:00.000Z")
    assert states(desk)["warm-up"] == "good"
    monkeypatch.setattr("server.store.clock.now", lambda: "2099-01-03T12:00:00.000Z")
    assert states(desk)["warm-up"] == "ask"
    desk.post("/api/guard", {"name": "warm-up", "answer": "yes"})
    assert states(desk)["warm-up"] == "good"


@pytest.mark.parametrize("picture", [(1920, 1080), (1280, 720), (1024, 768), (3840, 2160), (800, 1280), (64, 64)])
def test_patches_lie_in_the_corners_and_the_middle(picture: tuple[int, int]) -> None:
    found = patches(picture)
    assert len(found) == 5
    width, height = picture
    assert {(x, y) for x, y, _, _ in found[:4]} == {
        (x, y) for x in (0, width - found[0][2]) for y in (0, height - found[0][3])
    }
    for x, y, w, h in found:
        assert 0 <= x <= x + w <= width
        assert 0 <= y <= y + h <= height
        assert w == h >= 8
    x, y, w, h = found[4]
    assert abs(x + w / 2 - width / 2) <= 1
    assert abs(y + h / 2 - height / 2) <= 1


def test_the_light_shows_single_pixels_and_nothing_else(desk: Desk) -> None:
    desk.practice("marks")
    desk.window()
    assert desk.frame()["chequer"] == []
    desk.post("/api/light", {"mode": "pixels", "bench": 1})
    frame = desk.frame()
    assert frame["chequer"] == [list(patch) for patch in patches((1920, 1080))]
    assert (frame["strokes"], frame["texts"], frame["sentence"]) == ([], [], None)
    landed = desk.landing()["patches"]
    assert len(landed) == 5
    assert all(len(patch) > 8 and len(patch) % 2 == 0 for patch in landed)
    desk.window(1280, 720)
    assert desk.frame()["chequer"] == [], "no pixels where the window does not fit"
    desk.post("/api/light", {"mode": "frame", "bench": 1})
    assert desk.landing()["patches"] == []


def test_the_light_shows_single_pixels_before_calibration(desk: Desk) -> None:
    desk.post("/api/benches", {"name": "Small", "width": 1280, "height": 720})
    desk.window(1280, 720)
    desk.post("/api/light", {"mode": "pixels", "bench": 1})
    assert len(desk.frame()["chequer"]) == 5
