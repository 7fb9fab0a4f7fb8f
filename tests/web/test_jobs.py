"""Guided work: a job goes from place to place, keeps its place, asks for a check, and lights what is to be done."""

from __future__ import annotations

import math
import sqlite3
import threading
import time
from collections import Counter
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from server.geometry.free_place import hull, meets
from server.geometry.placement import Placement
from server.practice.workshop import PANEL
from server.services.work.step_card import SIDES
from server.store import clock
from tests.web.desk import Desk, open_desk

Job = dict[str, Any]
RULE = {"top": 300.0, "left": 300.0, "diagonal-up": 424.26}
LOOKS = {"bottom": (0.0, 1.0), "top": (0.0, -1.0), "left": (-1.0, 0.0), "right": (1.0, 0.0)}
"""Which way, on the table, it is to the maker who stands at that edge."""


@pytest.fixture
def at_table(desk: Desk) -> Desk:
    """The practice pouch laid on the calibrated practice bench, its job started, unchecked but let go on, and lit."""
    desk.layout(desk.practice("marks"))
    begin(desk, copies=2)
    return desk


def begin(desk: Desk, **wanted: Any) -> Job:
    """Start a job on the first layout, and light it."""
    job = desk.post("/api/jobs", {"layout": 1, **wanted})
    desk.post(f"/api/jobs/{job['id']}/unchecked", {})
    return post(desk, "light", number=job["id"])


def post(desk: Desk, what: str, body: Any = None, number: int = 1) -> Job:
    found: Job = desk.post(f"/api/jobs/{number}/{what}", body or {})
    return found


def job(desk: Desk, number: int = 1) -> Job:
    found: Job = desk.get(f"/api/jobs/{number}")
    return found


def go(desk: Desk, by: int = 1, times: int = 1) -> Job:
    """Press so often, each time on the job as it is then."""
    found = job(desk)
    for _ in range(times):
        found = post(desk, "go", {"by": by, "revision": found["revision"]})
    return found


def jump(desk: Desk, step: str) -> Job:
    return post(desk, "go", {"step": step, "revision": job(desk)["revision"]})


def kinds(desk: Desk) -> Counter[str]:
    """Count the light's lines by kind."""
    desk.window()
    frame = desk.frame()
    assert frame["sentence"] is None
    return Counter(stroke["kind"] for stroke in frame["strokes"])


def place(found: Job) -> tuple[int, str, int | None]:
    return found["copy"], found["step"]["name"], found["strike"] and found["strike"]["number"]


def test_a_job_goes_through_blows_steps_and_copies_to_its_end(at_table: Desk) -> None:
    found = job(at_table)
    assert place(found) == (1, "cut-front", None)
    assert (found["where"], found["progress"]) == ("Copy 1 of 2. Step 1 of 8.", 0.0)
    steps = {step["name"]: step["strikes"] for step in found["steps"]}
    blows = steps["prick"]
    assert {name for name, strikes in steps.items() if strikes} == {"prick"}
    assert blows > 20
    assert place(go(at_table, times=6)) == (1, "prick", 1)
    last = go(at_table, times=blows - 1)
    assert place(last) == (1, "prick", blows)
    assert place(go(at_table)) == (1, "sew", None)
    assert place(go(at_table)) == (2, "cut-front", None)
    jump(at_table, "sew")
    done = go(at_table)
    assert (done["done"], done["progress"], done["where"]) == (True, 1.0, None)
    assert at_table.get("/api/jobs")[0]["done"] is True
    assert at_table.get("/api/state")["next"]["href"] != "/work/1"
    again = go(at_table, by=-1)
    assert (again["done"], place(again)) == (False, (2, "sew", None))


def test_steps_for_all_copies_one_after_the_other(at_table: Desk) -> None:
    begin(at_table, copies=2, order="step", by_strike=False, name="Two at once")
    places = []
    for _ in range(4):
        found = job(at_table, 2)
        places.append(place(found))
        post(at_table, "go", {"by": 1, "revision": found["revision"]}, 2)
    assert [(copy, step) for copy, step, _ in places] == [
        (1, "cut-front"),
        (2, "cut-front"),
        (1, "cut-back"),
        (2, "cut-back"),
    ]


def test_a_press_that_comes_twice_counts_once(at_table: Desk) -> None:
    seen = job(at_table)["revision"]
    first = post(at_table, "go", {"by": 1, "revision": seen})
    second = post(at_table, "go", {"by": 1, "revision": seen})
    assert (first["moved"], second["moved"]) == (True, False)
    assert place(second) == place(first) == (1, "cut-back", None)
    assert second["revision"] == first["revision"]


def test_presses_that_race_count_once(at_table: Desk) -> None:
    seen = job(at_table)["revision"]
    moved: list[bool] = []

    def press() -> None:
        moved.append(bool(at_table.shop.work.go(1, 1, seen)["moved"]))

    threads = [threading.Thread(target=press) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(moved) == [False] * 5 + [True]
    assert place(job(at_table)) == (1, "cut-back", None)


def test_at_the_beginning_back_changes_nothing(at_table: Desk) -> None:
    before = job(at_table)
    answer = post(at_table, "go", {"by": -1, "revision": before["revision"]})
    assert (answer["moved"], answer["revision"]) == (False, before["revision"])


def test_a_job_goes_on_where_it_stopped(tmp_path: Path) -> None:
    first = open_desk(tmp_path / "data")
    first.layout(first.practice("marks"))
    begin(first, copies=3)
    jump(first, "prick")
    stopped = go(first, times=4)
    first.shop.close()
    second = open_desk(tmp_path / "data")
    found = job(second)
    assert place(found) == place(stopped) == (1, "prick", 5)
    assert found["in_light"] is True
    assert kinds(second)["strike"] == sum(made for _, made in found["strike"]["tines"])
    second.shop.close()


def test_yesterdays_job_asks_for_a_check_first(at_table: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    assert job(at_table)["check"]["waived"] is True
    assert "unchecked" in job(at_table)["check"]["sentence"]
    tomorrow = "2099-01-01T00:00:00.000Z"
    with monkeypatch.context() as patched:
        patched.setattr(clock, "now", lambda: tomorrow)
        found = job(at_table)
        assert (found["check"]["passed"], found["check"]["href"]) == (False, "/bench/1#session")
        refused = at_table.ask("POST", "/api/jobs/1/go", {"by": 1, "revision": found["revision"]})
        assert refused.status_code == 409
        assert refused.json is not None
        assert "has not been checked today" in refused.json["error"]["sentence"]
        assert at_table.ask("POST", "/api/jobs/1/light", {}).status_code == 409
        at_table.shop.light.refresh()
        at_table.window()
        assert "has not been checked today" in at_table.frame()["sentence"]
        assert at_table.frame()["strokes"] == []


def test_a_check_of_today_lets_the_work_go_on(desk: Desk) -> None:
    desk.layout(desk.practice("marks"))
    started = desk.post("/api/jobs", {"layout": 1})
    assert started["check"] == {
        "good": False,
        "waived": False,
        "passed": False,
        "sentence": "Practice bench has not been checked today.",
        "href": "/bench/1#session",
    }
    desk.post("/api/check", {"bench": 1, "size": 300, "readings": RULE})
    assert job(desk)["check"]["good"] is True
    assert post(desk, "light")["in_light"] is True
    desk.post("/api/check", {"bench": 1, "size": 300, "readings": {"top": 320.0}})
    assert job(desk)["check"]["passed"] is False
    assert "not found good" in job(desk)["check"]["sentence"]
    desk.post("/api/check", {"bench": 1, "size": 300, "readings": RULE})
    desk.post("/api/practice/sight", {"bench": 1, "way": "tape", "replace": False})
    assert "calibrated anew" in job(desk)["check"]["sentence"]


def test_the_present_blow_is_bright_and_the_rest_is_dim(at_table: Desk) -> None:
    jump(at_table, "prick")
    for number in (1, 2, 40):
        found = go(at_table, times=number - job(at_table)["strike"]["number"])
        tines = found["strike"]["tines"]
        lit = kinds(at_table)
        assert found["strike"]["number"] == number
        assert lit["strike"] == sum(made for _, made in tines)
        assert lit["register"] == sum(not made for _, made in tines)
        assert lit["pricked"] + lit["strike"] + lit["later"] + lit["register"] == 147, "every hole is lit once"
        assert lit["hole"] == 0
    assert lit["pricked"] > 40


def test_blows_need_not_be_shown_one_by_one(at_table: Desk) -> None:
    jump(at_table, "prick")
    go(at_table, times=3)
    whole = at_table.put("/api/jobs/1", {"by_strike": False})
    assert (whole["step"]["name"], whole["strike"]) == ("prick", None)
    assert kinds(at_table)["hole"] == 147
    assert place(go(at_table)) == (1, "sew", None)
    go(at_table, by=-1)
    assert place(at_table.put("/api/jobs/1", {"by_strike": True})) == (1, "prick", 1)


def test_blows_follow_by_themselves_until_the_seam_ends(at_table: Desk) -> None:
    jump(at_table, "prick")
    going = at_table.shop.work
    seam = job(at_table)["strike"]
    beats = 0
    while going.beat(1):
        beats += 1
    reached = job(at_table)["strike"]
    assert beats == seam["seam_of"] - 1
    assert (reached["seam_number"], reached["number"]) == (1, seam["seam_of"] + 1), "the next seam is shown, and waits"
    while going.beat(1) or job(at_table)["strike"]["seam_number"] == 1:
        pass
    assert place(job(at_table)) == (1, "prick", job(at_table)["strike"]["of"]), "it never leaves the step by itself"
    assert going.beat(1) is False


def test_the_servers_clock_strikes_and_any_press_stops_it(at_table: Desk) -> None:
    jump(at_table, "prick")
    running = post(at_table, "pace", {"running": True, "rate": 240})
    assert (running["running"], running["rate"]) == (True, 240.0)
    assert at_table.get("/api/state")["job"]["running"] is True
    until = time.monotonic() + 5.0
    while job(at_table)["strike"]["number"] < 3 and time.monotonic() < until:
        time.sleep(0.02)
    found = job(at_table)
    assert found["strike"]["number"] >= 3
    assert found["running"] is True
    stopped = post(at_table, "go", {"by": -1, "revision": found["revision"]})
    assert stopped["running"] is False
    seen = job(at_table)["strike"]["number"]
    time.sleep(0.4)
    assert job(at_table)["strike"]["number"] == seen


NOT_SHOWN: list[tuple[str, Job]] = [
    ("/api/light", {"mode": "dark"}),
    ("/api/light", {"mode": "layout", "layout": 1}),
    ("/api/light/blackout", {"on": True}),
]


def test_nothing_goes_by_itself_that_the_light_does_not_show(at_table: Desk) -> None:
    jump(at_table, "prick")
    for path, wanted in NOT_SHOWN:
        post(at_table, "light")
        before = post(at_table, "pace", {"running": True, "rate": 5})
        at_table.post(path, wanted)
        assert at_table.shop.work.beat(1) is False
        assert (job(at_table)["running"], job(at_table)["revision"]) == (False, before["revision"])
        refused = at_table.ask("POST", "/api/jobs/1/pace", {"running": True})
        assert refused.status_code == 409


def test_a_step_without_blows_cannot_go_by_itself(at_table: Desk) -> None:
    refused = at_table.ask("POST", "/api/jobs/1/pace", {"running": True})
    assert refused.status_code == 409
    assert refused.json is not None
    assert refused.json["error"]["sentence"] == "This step has no blows that could follow by themselves."


def test_a_job_whose_layout_is_deleted_says_so_and_comes_back_with_it(at_table: Desk) -> None:
    before = go(at_table, times=2)
    assert at_table.ask("DELETE", "/api/layouts/1").status_code == 200
    found = job(at_table)
    assert "in the bin" in found["gone"]
    assert "step" not in found
    assert [one["gone"] is not None for one in at_table.get("/api/jobs")] == [True]
    assert at_table.ask("POST", "/api/jobs/1/go", {"by": 1, "revision": before["revision"]}).status_code == 409
    assert at_table.ask("GET", "/work/1").status_code == 200
    assert at_table.get("/api/state")["job"]["id"] == 1
    bag = at_table.get("/api/bin")[0]["id"]
    at_table.post(f"/api/bin/{bag}/back", {})
    assert place(job(at_table)) == place(before)


def test_a_job_outlives_its_layout(at_table: Desk, tmp_path: Path) -> None:
    at_table.ask("DELETE", "/api/layouts/1")
    assert at_table.ask("DELETE", f"/api/bin/{at_table.get('/api/bin')[0]['id']}").status_code == 200
    found = job(at_table)
    assert found["layout"] is None
    assert "no longer there" in found["gone"]
    with sqlite3.connect(tmp_path / "data" / "hidelight.db") as store:
        assert store.execute("SELECT name, copy FROM jobs").fetchall() == [(found["name"], 1)]


def test_a_job_can_be_ended_early_and_taken_up_again(at_table: Desk) -> None:
    before = go(at_table, times=3)
    assert post(at_table, "end", {"revision": before["revision"] - 1})["done"] is False
    ended = post(at_table, "end", {"revision": before["revision"]})
    assert ended["done"] is True
    lit = kinds(at_table)
    assert set(lit) == {"card"}, "only the card is left in the light"
    assert place(go(at_table, by=-1)) == place(before)


NO_START: list[tuple[Job, str]] = [
    ({}, "layout"),
    ({"layout": 9}, "layout"),
    ({"pattern": 1}, "layout"),
    ({"layout": 1, "copies": 0}, "copies"),
    ({"layout": 1, "copies": 201}, "copies"),
    ({"layout": 1, "leather": "thick"}, "leather"),
    ({"layout": 1, "side": "above"}, "side"),
    ({"layout": 1, "order": "random"}, "order"),
]


def test_what_a_job_cannot_start_from(at_table: Desk) -> None:
    for body, field in NO_START:
        refused = at_table.ask("POST", "/api/jobs", body)
        assert refused.status_code in (404, 422), body
        assert refused.json is not None
        assert refused.json["error"]["field"] == field
    assert len(at_table.get("/api/jobs")) == 1


def test_a_job_starts_from_a_pattern_with_its_leather_and_stands_where_the_maker_stood(at_table: Desk) -> None:
    at_table.put("/api/jobs/1", {"side": "left"})
    found = at_table.post("/api/jobs", {"pattern": 1, "bench": 1, "leather": "3 mm", "copies": 4, "name": "Four lamps"})
    assert (found["layout"], found["leather"], found["name"], found["side"]) == (2, "3 mm", "Four lamps", "left")
    assert found["step"]["height_mm"] == 3.0
    assert [one["name"] for one in at_table.get("/api/jobs")] == ["Four lamps", "Practice lamp on Practice bench"]


def test_copies_can_be_added_but_not_taken_from_under_the_hand(at_table: Desk) -> None:
    jump(at_table, "sew")
    go(at_table)
    refused = at_table.ask("PUT", "/api/jobs/1", {"copies": 1})
    assert refused.status_code == 422
    assert refused.json is not None
    assert refused.json["error"]["sentence"] == "Copy 2 is being made: give 2 copies or more."
    assert at_table.put("/api/jobs/1", {"copies": 5})["where"] == "Copy 2 of 5. Step 1 of 8."


def test_the_table_page_shows_single_blows_until_the_step_changes(at_table: Desk) -> None:
    at_table.put("/api/layouts/1", {"step": "prick"})
    found = at_table.get("/api/layouts/1/strikes")
    assert (found["step"], len(found["strikes"])) == ("prick", 60)
    at_table.post("/api/light", {"mode": "layout", "layout": 1, "strike": 5, "step": "prick"})
    lit = kinds(at_table)
    assert lit["strike"] == sum(found["strikes"][5]["made"])
    assert lit["card"] == 0
    at_table.put("/api/layouts/1", {"step": "sew"})
    assert kinds(at_table)["strike"] == 0
    assert kinds(at_table)["hole"] == 147
    at_table.post("/api/light", {"mode": "layout", "layout": 1, "strike": 5000, "step": "sew"})
    assert kinds(at_table)["hole"] == 147


def test_a_blow_of_one_step_is_not_taken_for_one_of_another(desk: Desk) -> None:
    bench = desk.practice("marks")
    thing = desk.post("/api/things", {"name": "Keys", "family": "gusset-pouch", "measures": {}})["id"]
    pattern = desk.post("/api/patterns", {"thing": thing})["id"]
    desk.post("/api/layouts", {"pattern": pattern, "bench": bench})
    desk.put("/api/layouts/1", {"step": "prick-front"})
    desk.post("/api/light", {"mode": "layout", "layout": 1, "strike": 3, "step": "prick-front"})
    assert kinds(desk)["strike"] > 0
    desk.put("/api/layouts/1", {"step": "prick-back"})
    lit = kinds(desk)
    assert lit["strike"] == 0
    assert lit["hole"] > 20


def mirror_the_mount(desk: Desk) -> None:
    """Hang the practice projector so that its picture is mirrored on the table."""
    truth = desk.shop.practice._truth
    truth._keep(replace(truth.now, projector=replace(truth.now.projector, mirrored=not truth.now.projector.mirrored)))


@pytest.mark.parametrize("mirrored", [False, True], ids=["plain mount", "mirrored mount"])
def test_the_card_lies_beside_the_leather_and_reads_right_for_the_maker(desk: Desk, mirrored: bool) -> None:
    if mirrored:
        desk.practice()
        mirror_the_mount(desk)
    desk.layout(desk.practice("marks"))
    begin(desk)
    panel = np.array([[PANEL.x, PANEL.y], [PANEL.x + PANEL.width, PANEL.y]])
    panel = np.vstack([panel, panel[::-1] + np.array([0.0, PANEL.height])])
    for side in SIDES:
        assert desk.put("/api/jobs/1", {"side": side})["card"]["letter_mm"] == 12.0
        drawn = desk.get("/api/jobs/1/drawing")
        meant = [np.reshape(points, (-1, 2)) for _, _, points in drawn["card"]]
        landed = [np.reshape(one["points"], (-1, 2)) for one in desk.landing()["strokes"] if one["kind"] == "card"]
        assert len(landed) == len(meant) > 100, "no letter is cut in two by the edge of the leather"
        for there, here in zip(landed, meant, strict=True):
            assert np.abs(there[[0, -1]] - here[[0, -1]]).max() < 1.0, (
                "the light lands where the letter is meant to lie"
            )
        everything = hull(np.concatenate(landed))
        assert not meets(everything, panel)
        assert not any(meets(everything, np.reshape(piece["points"], (-1, 2))) for piece in drawn["pieces"])
        reads_for(np.array(LOOKS[side]), landed, desk)


def reads_for(towards: np.ndarray[Any, Any], landed: list[np.ndarray[Any, Any]], desk: Desk) -> None:
    """Check letters as they land: "C" of "Cut the front" opens to the maker's right, and rows follow each other towards the maker."""
    right = np.array([towards[1], -towards[0]])
    assert job(desk)["step"]["title"].startswith("C")
    big_c, rule = landed[0], landed[-1]
    back, ends = big_c[len(big_c) // 2], big_c[[0, -1]].mean(axis=0)
    assert (ends - back) @ right > 3.0, "C opens to the right"
    assert (big_c[-1] - big_c[0]) @ towards > 8.0, "it is drawn from its far end to its near one"
    assert (rule[-1] - rule[0]) @ right > 100.0
    assert (rule.mean(axis=0) - big_c.mean(axis=0)) @ towards > 0.0, "the rule lies on the maker's side of the title"
    last = landed[-2]
    assert (last.mean(axis=0) - rule.mean(axis=0)) @ towards > 50.0, "and the words on the maker's side of the rule"


def test_the_card_waits_while_a_piece_is_moved_and_makes_room_for_it(at_table: Desk) -> None:
    drawn = at_table.get("/api/jobs/1/drawing")
    middle = np.reshape(drawn["card_box"], (-1, 2)).mean(axis=0)
    lie = {"x": float(middle[0]), "y": float(middle[1]) - 70.0, "turn": 0.0, "mirror": False}
    at_table.post("/api/light/move", {"layout": 1, "piece": "front", **lie})
    assert kinds(at_table)["card"] == 0, "a card in the way of a moving hand is worse than none"
    assert kinds(at_table)["cut"] == 1, "the piece is moved in the light all the same"
    at_table.put("/api/layouts/1", {"placements": {"front": lie}})
    assert kinds(at_table)["card"] > 0
    after = at_table.get("/api/jobs/1/drawing")
    front = next(np.reshape(piece["points"], (-1, 2)) for piece in after["pieces"] if piece["name"] == "front")
    assert not meets(np.reshape(after["card_box"], (-1, 2)), front)


def test_holes_of_a_blow_lie_where_the_pattern_has_them(at_table: Desk) -> None:
    jump(at_table, "prick")
    go(at_table, times=7)
    laid = at_table.get("/api/layouts/1")["placements"]["front"]
    at_table.put("/api/layouts/1", {"step": "prick"})
    strike = at_table.get("/api/layouts/1/strikes")["strikes"][7]
    meant = Placement(laid["x"], laid["y"], laid["turn"], laid["mirror"]).apply(strike["holes"])
    drawn = at_table.get("/api/jobs/1/drawing")["lines"]
    ticks = [np.reshape(points, (-1, 2)).mean(axis=0) for kind, _, points in drawn if kind == "strike"]
    new = [hole for hole, made in zip(meant, strike["made"], strict=True) if made]
    assert len(ticks) == len(new)
    assert max(min(math.dist(tick, hole) for tick in ticks) for hole in new) < 0.02
