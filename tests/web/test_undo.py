"""Undo, the bin and the comparison of versions as the pages ask for them; the light follows."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import shapely
from werkzeug.test import TestResponse

from server.geometry.difference import STEP, farthest
from server.store import history
from tests.web.desk import MEASURES, Desk, open_desk


@pytest.fixture(autouse=True)
def no_waiting(monkeypatch: pytest.MonkeyPatch) -> None:
    """Changes that follow each other are changes of their own here."""
    monkeypatch.setattr(history, "TOGETHER_S", 0.0)


@pytest.fixture(scope="module")
def furnished(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A data folder with a calibrated practice bench and the pouch on it, to copy: calibrating takes its time."""
    folder = tmp_path_factory.mktemp("furnished")
    desk = open_desk(folder)
    desk.layout(desk.practice("marks", "block"))
    desk.shop.close()
    return folder


@pytest.fixture
def laid(furnished: Path, tmp_path: Path) -> Iterator[Desk]:
    """The furnished workshop with the pouch in the light."""
    desk = open_desk(Path(shutil.copytree(furnished, tmp_path / "data")))
    desk.window()
    desk.post("/api/light", {"mode": "layout", "layout": 1})
    yield desk
    desk.shop.close()


def asked(desk: Desk, of: str = "layout", number: int = 1) -> Any:
    return desk.get(f"/api/history?of={of}&id={number}")


def place(desk: Desk, x: float) -> None:
    desk.put("/api/layouts/1", {"placements": {"front": {"x": x, "y": 200}}})


def deleted(desk: Desk, path: str) -> dict[str, Any]:
    """Delete what is there, and return its bag."""
    return refused(desk.ask("DELETE", path), 200)


def refused(answer: TestResponse, status: int) -> dict[str, Any]:
    """Return what was answered with this status."""
    assert answer.status_code == status
    content: dict[str, Any] = answer.get_json()
    return content


def strokes(desk: Desk) -> Any:
    return desk.frame()["strokes"]


# ---- undo


def test_undo_and_redo_by_page_and_light(laid: Desk) -> None:
    """The layout, the light, the words on the buttons and the workshop's state go back and forth together."""
    begin, first = strokes(laid), laid.get("/api/layouts/1")["placements"]
    place(laid, 300)
    moved, heard = strokes(laid), laid.get("/api/state")["history"]
    assert moved != begin
    assert asked(laid)["undo"]["words"] == "moved front"
    answer = laid.post("/api/undo", {"of": "layout", "id": 1})
    assert answer["done"]["words"] == answer["redo"]["words"] == "moved front"
    assert answer["undo"] is None
    assert laid.get("/api/layouts/1")["placements"] == first
    assert strokes(laid) == begin
    assert laid.get("/api/state")["history"]["turned_at"] == answer["turned_at"] != heard["turned_at"]
    laid.post("/api/redo", {"of": "layout", "id": 1, "change": answer["redo"]["id"]})
    assert strokes(laid) == moved


def test_every_save_wakes_the_pages_once_it_is_written(desk: Desk) -> None:
    """Also saves of which no service tells anyone, such as the rack's: another window's button must know."""
    before = desk.shop.streams.version("state")
    rack = desk.get("/api/rack")
    desk.put("/api/rack", {name: rack[name] for name in PARTS})
    assert desk.shop.streams.version("state") > before
    assert asked(desk, "rack")["undo"]["words"].startswith(("added", "changed"))
    desk.post("/api/undo", {"of": "rack", "id": 1})
    assert desk.get("/api/rack")["own"] is False
    desk.post("/api/redo", {"of": "rack", "id": 1})
    assert desk.get("/api/rack")["own"] is True


PARTS = ("leathers", "threads", "chisels", "punches", "needles", "hardware", "waiting", "currency", "arm_span", "rates")


def test_words_say_what_was_changed(laid: Desk) -> None:
    changes: list[tuple[dict[str, Any], str]] = [
        ({"placements": {"front": {"x": 9, "y": 9}}}, "moved front"),
        ({"placements": {"front": {"x": 9, "y": 9, "turn": 30}}}, "turned front"),
        ({"placements": {"front": {"x": 9, "y": 9, "turn": 30, "mirror": True}}}, "mirrored front"),
        ({"placements": {"front": {"x": 1, "y": 1}, "back": {"x": 2, "y": 2}}}, "moved back and front"),
        ({"leather": "3 mm"}, "changed the leather to 3 mm"),
        ({"show": {"fold": False, "mark": False}}, "switched folds and marks off"),
        ({"name": "Monday"}, "renamed it Monday"),
        ({"step": None}, "showed all steps at once"),
    ]
    for change, words in changes:
        laid.put("/api/layouts/1", change)
        assert sorted(asked(laid)["undo"]["words"].split()) == sorted(words.split())
    assert len(asked(laid)["entries"]) == len(changes)


def test_a_session_correction_is_undone_whole(laid: Desk) -> None:
    """The calibration goes back, and with it the entry that says it was corrected; redo brings both again."""
    laid.put("/api/benches/1/witness", {"names": ["A", "E", "P", "T"], "own": True})
    before = laid.get("/api/benches/1")
    seen = {mark["name"]: [mark["predicted"][0] + 3, mark["predicted"][1]] for mark in before["witness"]["marks"]}
    assert laid.post("/api/benches/1/session", {"seen": seen})["decision"] == "shifted"
    after = laid.get("/api/benches/1")
    assert after["corrected_at"] is not None
    laid.post("/api/undo", {"of": "bench", "id": 1})
    again = laid.get("/api/benches/1")
    for name in ("corrected_at", "witness", "calibrated_at", "report", "error_mm", "stale"):
        assert again[name] == before[name]
    laid.post("/api/redo", {"of": "bench", "id": 1})
    assert laid.get("/api/benches/1")["corrected_at"] == after["corrected_at"]


def test_sightings_taken_back_make_the_light_say_so(laid: Desk) -> None:
    """With the last sightings gone the bench is not calibrated: no line may stay in the light."""
    while asked(laid, "bench")["undo"]:
        laid.post("/api/undo", {"of": "bench", "id": 1})
    assert laid.get("/api/benches/1")["calibrated"] is False
    assert strokes(laid) == []
    assert "not calibrated" in laid.frame()["sentence"]


@pytest.mark.parametrize(
    ("body", "status", "field"),
    [
        ({"of": "layout", "id": 77}, 404, "id"),
        ({"of": "light", "id": 1}, 404, "of"),
        ({"of": "layout", "id": 1}, 409, "change"),
        ({"of": "layout"}, 422, "id"),
        ({"of": "layout", "id": 1, "all": True}, 422, "all"),
    ],
)
def test_what_cannot_be_undone_is_refused(laid: Desk, body: dict[str, Any], status: int, field: str) -> None:
    answer = laid.ask("POST", "/api/undo", body)
    assert refused(answer, status)["error"]["field"] == field


# ---- the bin


def test_a_deleted_layout_leaves_the_light_dark_and_can_be_put_back(laid: Desk) -> None:
    place(laid, 300)
    was = laid.get("/api/layouts/1")
    bag = deleted(laid, "/api/layouts/1")
    assert laid.get("/api/layouts") == []
    assert (laid.frame()["strokes"], laid.frame()["mode"]) == ([], "dark")
    assert f"{was['name']} is in the bin" in laid.frame()["sentence"]
    assert laid.get("/api/state")["layout"] is None
    assert laid.ask("GET", "/api/layouts/1").status_code == 404
    assert laid.ask("PUT", "/api/layouts/1", {"name": "x"}).status_code == 404
    assert laid.ask("POST", "/api/undo", {"of": "layout", "id": 1}).status_code == 404
    assert [found["name"] for found in laid.get("/api/bin")] == [was["name"]]
    laid.post(f"/api/bin/{bag['id']}/back", {})
    assert laid.get("/api/layouts/1") == was
    assert laid.get("/api/bin") == []
    assert laid.frame()["mode"] == "dark", "light comes back only when it is asked for"
    laid.post("/api/undo", {"of": "layout", "id": 1})
    assert laid.get("/api/layouts/1")["placements"] != was["placements"]


def test_what_hangs_on_a_thing_goes_and_comes_with_it(laid: Desk) -> None:
    before = [laid.get(f"/api/{name}") for name in ("things", "patterns", "layouts")]
    bag = deleted(laid, "/api/things/1")
    assert (bag["hangs"]["patterns"], bag["hangs"]["layouts"]) == (1, 1)
    assert [laid.get(f"/api/{name}") for name in ("things", "patterns", "layouts")] == [[], [], []]
    assert len(laid.get("/api/benches")) == 1
    laid.post(f"/api/bin/{bag['id']}/back", {})
    assert [laid.get(f"/api/{name}") for name in ("things", "patterns", "layouts")] == before


def test_what_hangs_on_two_waits_for_both(laid: Desk) -> None:
    """A layout hangs on its pattern and on its bench: it is back when both are."""
    thing, bench = (deleted(laid, f"/api/{name}/1")["id"] for name in ("things", "benches"))
    laid.post(f"/api/bin/{thing}/back", {})
    assert (len(laid.get("/api/things")), laid.get("/api/layouts")) == (1, [])
    laid.post(f"/api/bin/{bench}/back", {})
    assert len(laid.get("/api/layouts")) == 1
    layout = deleted(laid, "/api/layouts/1")["id"]
    laid.ask("DELETE", "/api/things/1")
    answer = refused(laid.ask("POST", f"/api/bin/{layout}/back", {}), 409)
    assert "put that back first" in answer["error"]["sentence"]


def test_emptying_deletes_for_good_and_nothing_else(laid: Desk) -> None:
    """With the thing go its pattern, its layout and their histories; the bench stays. Numbers are never given again."""
    place(laid, 300)
    other = laid.post("/api/things", {"name": "Other", "family": "belt-pouch", "measures": MEASURES})["id"]
    laid.ask("DELETE", "/api/layouts/1")
    bag = deleted(laid, "/api/things/1")["id"]
    assert laid.ask("DELETE", f"/api/bin/{bag}").status_code == 200
    assert laid.get("/api/bin") == [], "the layout's own bag held something that is gone"
    assert [thing["id"] for thing in laid.get("/api/things")] == [other]
    with laid.shop.database.reading() as session:
        assert history.entries(session, ("layout", 1)) == []
    assert len(laid.get("/api/benches")) == 1
    assert laid.ask("DELETE", f"/api/bin/{bag}").status_code == 404
    pattern = laid.post("/api/patterns", {"thing": other})["id"]
    assert (pattern, laid.post("/api/layouts", {"pattern": pattern, "bench": 1})["id"]) == (2, 2)


def test_the_practice_workshop_starts_anew_when_it_was_deleted(laid: Desk) -> None:
    laid.ask("DELETE", "/api/things/1")
    laid.ask("DELETE", "/api/benches/1")
    state = laid.get("/api/state")
    assert (state["thing"], state["bench"], state["first_start"]) == (None, None, True)
    assert laid.post("/api/practice/start", {}) == {"bench": 2, "thing": 2}


@pytest.mark.parametrize("path", ["things/9", "patterns/9", "layouts/9", "benches/9", "bin/9"])
def test_what_is_not_there_cannot_be_deleted(desk: Desk, path: str) -> None:
    assert refused(desk.ask("DELETE", f"/api/{path}"), 404)["error"]["sentence"]


def test_deleting_needs_the_token(laid: Desk) -> None:
    assert laid.ask("DELETE", "/api/layouts/1", X_Hidelight_Token=None).status_code == 403
    assert len(laid.get("/api/layouts")) == 1


# ---- versions


def box(width: float, height: float) -> np.ndarray[Any, Any]:
    return np.array([(0, 0), (width, 0), (width, height), (0, height)], dtype=float)


def test_how_far_two_outlines_lie_apart() -> None:
    """By hand: rectangles; and a box against itself with a corner cut away, whose farthest place is 30 mm from the cut."""
    assert farthest([box(100, 50)], [box(100, 50)]).distance == 0
    found = farthest([box(100, 50)], [box(107, 50)])
    assert found.distance == pytest.approx(7)
    assert {found.start[0], found.end[0]} == {100, 107}
    notched = np.array([(0, 0), (100, 0), (100, 20), (60, 20), (60, 50), (0, 50)], dtype=float)
    assert farthest([box(100, 50)], [notched]).distance == pytest.approx(30)


def test_the_distance_agrees_with_geos() -> None:
    """GEOS's own Hausdorff distance, which looks at densified corners only and names no place."""
    chance = np.random.default_rng(7)
    for _ in range(5):
        rings = [shapely.convex_hull(shapely.MultiPoint(chance.uniform(0, 200, (12, 2)))).exterior for _ in range(2)]
        ours = farthest([rings[0].coords[:-1]], [rings[1].coords[:-1]])
        theirs = shapely.hausdorff_distance(rings[0], rings[1], densify=0.002)
        assert ours.distance == pytest.approx(theirs, abs=STEP)
        assert np.hypot(*np.subtract(ours.start, ours.end)) == pytest.approx(ours.distance)


def test_two_versions_of_a_pattern(laid: Desk) -> None:
    """A thing 1/4 in wider has its outline 1/8 in farther out on each side: 3.175 mm."""
    laid.put("/api/things/1", {"name": "Wider", "family": "belt-pouch", "measures": MEASURES | {"width": "3 1/4 in"}})
    laid.post("/api/patterns", {"thing": 1})
    found = laid.get("/api/compare/1/2")
    assert [measure["name"] for measure in found["measures"]] == ["width"]
    assert (found["measures"][0]["old"], found["measures"][0]["new"]) == pytest.approx((76.2, 82.55))
    front = found["pieces"][0]
    assert front["apart"]["mm"] == pytest.approx(3.175, abs=0.01)
    assert np.hypot(*np.subtract(front["apart"]["from"], front["apart"]["to"])) == pytest.approx(3.175, abs=0.01)
    assert front["new"]["area_mm2"] > front["old"]["area_mm2"]
    drafted = laid.get("/api/patterns/2")["counts"]["holes"]
    assert sum(len(piece["new"]["holes"]) for piece in found["pieces"]) == drafted
    versions = laid.get("/api/things/1/versions")
    assert [(one["number"], one["changed"], one["same"]) for one in versions] == [(2, ["Width"], False), (1, [], False)]
    assert laid.get("/api/compare/2/2")["worst_mm"] == 0
    laid.ask("DELETE", "/api/patterns/1")
    assert laid.ask("GET", "/api/compare/1/2").status_code == 404
    assert [one["number"] for one in laid.get("/api/things/1/versions")] == [1]


def test_the_pages_of_the_bin_and_of_two_versions(laid: Desk) -> None:
    assert laid.ask("GET", "/bin").status_code == 200
    assert laid.ask("GET", "/compare/1/1").status_code == 200
    assert laid.ask("GET", "/compare/1/9").status_code == 404
