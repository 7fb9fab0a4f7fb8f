"""Every route once with good input and with bad input, through the whole application."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

import pytest

from server.leather import drafts
from server.services.light.pictures import MODES
from server.services.pattern import drafting
from tests.web.desk import MEASURES, Desk, open_desk

THING = {"name": "Lamp", "family": "belt-pouch", "measures": MEASURES}
BENCH = {"name": "Garage", "width": 1280, "height": 720}

PAGES = [
    "/",
    "/draft",
    "/draft/1",
    "/bench/1",
    "/table/1",
    "/check",
    "/practice",
    "/light",
    "/help",
    "/rack",
    "/sheet/1",
]


def test_every_route_of_the_application_is_listed_here(desk: Desk) -> None:
    """A new route must be added to these tests: the list below is compared with the application's own."""
    rules = {(rule.rule, method) for rule in desk.app.url_map.iter_rules() for method in rule.methods or ()}
    asked = {(rule, method) for rule, method in rules if method not in ("HEAD", "OPTIONS")}
    assert asked == KNOWN


KNOWN = {
    ("/", "GET"),
    ("/draft", "GET"),
    ("/draft/<int:thing_id>", "GET"),
    ("/bench", "GET"),
    ("/bench/", "GET"),
    ("/bench/<int:bench_id>", "GET"),
    ("/table", "GET"),
    ("/table/", "GET"),
    ("/table/<int:layout_id>", "GET"),
    ("/check", "GET"),
    ("/practice", "GET"),
    ("/light", "GET"),
    ("/help", "GET"),
    ("/favicon.ico", "GET"),
    ("/static/<path:name>", "GET"),
    ("/api/state", "GET"),
    ("/api/events", "GET"),
    ("/api/light", "POST"),
    ("/api/light/move", "POST"),
    ("/api/window", "POST"),
    ("/api/window/take", "POST"),
    ("/api/families", "GET"),
    ("/api/families/<name>", "GET"),
    ("/api/draft", "POST"),
    ("/api/things", "GET"),
    ("/api/things", "POST"),
    ("/api/things/<int:number>", "GET"),
    ("/api/things/<int:number>", "PUT"),
    ("/api/patterns", "GET"),
    ("/api/patterns", "POST"),
    ("/api/patterns/<int:number>", "GET"),
    ("/api/patterns/<int:number>/file.svg", "GET"),
    ("/api/benches", "GET"),
    ("/api/benches", "POST"),
    ("/api/benches/<int:number>", "GET"),
    ("/api/benches/<int:number>", "PUT"),
    ("/api/benches/<int:number>/sightings", "PUT"),
    ("/api/benches/<int:number>/map", "GET"),
    ("/api/layouts", "GET"),
    ("/api/layouts", "POST"),
    ("/api/layouts/<int:number>", "GET"),
    ("/api/layouts/<int:number>", "PUT"),
    ("/api/check", "POST"),
    ("/api/practice/start", "POST"),
    ("/api/practice/sight", "POST"),
    ("/api/practice/read", "POST"),
    ("/api/practice/knock", "POST"),
    ("/api/practice/witness", "POST"),
    ("/api/light/witness", "POST"),
    ("/api/benches/import", "POST"),
    ("/api/benches/<int:number>/file.json", "GET"),
    ("/api/benches/<int:number>/insight", "GET"),
    ("/api/benches/<int:number>/witness", "PUT"),
    ("/api/benches/<int:number>/session", "POST"),
    ("/api/benches/<int:number>/sessions", "GET"),
    ("/rack", "GET"),
    ("/api/things/costs", "GET"),
    ("/api/rack", "GET"),
    ("/api/rack", "PUT"),
    ("/sheet/<int:pattern_id>", "GET"),
    ("/api/patterns/<int:number>/sheet", "GET"),
    ("/api/guard", "GET"),
    ("/api/guard", "POST"),
    ("/work", "GET"),
    ("/work/<int:number>", "GET"),
    ("/api/jobs", "GET"),
    ("/api/jobs", "POST"),
    ("/api/jobs/<int:number>", "GET"),
    ("/api/jobs/<int:number>", "PUT"),
    ("/api/jobs/<int:number>/drawing", "GET"),
    ("/api/jobs/<int:number>/go", "POST"),
    ("/api/jobs/<int:number>/end", "POST"),
    ("/api/jobs/<int:number>/light", "POST"),
    ("/api/jobs/<int:number>/unchecked", "POST"),
    ("/api/jobs/<int:number>/pace", "POST"),
    ("/api/layouts/<int:number>/strikes", "GET"),
    ("/api/alignment", "GET"),
    ("/api/alignment", "POST"),
    ("/api/alignment/aim", "POST"),
    ("/api/alignment/ask", "POST"),
    ("/api/alignment/carry", "POST"),
    ("/api/alignment/drop", "POST"),
    ("/api/alignment/end", "POST"),
    ("/api/alignment/fit", "POST"),
    ("/api/alignment/lay", "POST"),
    ("/api/alignment/point", "POST"),
    ("/api/alignment/push", "POST"),
    ("/api/benches/<int:number>", "DELETE"),
    ("/api/bin", "GET"),
    ("/api/bin/<int:number>", "DELETE"),
    ("/api/bin/<int:number>/back", "POST"),
    ("/api/compare/<int:old>/<int:new>", "GET"),
    ("/api/drawings", "GET"),
    ("/api/drawings", "POST"),
    ("/api/drawings/<int:number>", "DELETE"),
    ("/api/drawings/<int:number>", "GET"),
    ("/api/drawings/<int:number>", "PUT"),
    ("/api/drawings/<int:number>/keep", "POST"),
    ("/api/history", "GET"),
    ("/api/layouts/<int:number>", "DELETE"),
    ("/api/layouts/<int:number>/seeing", "GET"),
    ("/api/layouts/<int:number>/seeing", "PUT"),
    ("/api/layouts/<int:number>/seeing/keep", "POST"),
    ("/api/light/blackout", "POST"),
    ("/api/patterns/<int:number>", "DELETE"),
    ("/api/patterns/<int:number>/file.dxf", "GET"),
    ("/api/patterns/<int:number>/paper", "GET"),
    ("/api/patterns/<int:number>/paper/page-<int:which>.svg", "GET"),
    ("/api/patterns/<int:number>/paper/pages", "GET"),
    ("/api/patterns/<int:number>/paper/print.pdf", "GET"),
    ("/api/patterns/<int:number>/work-sheet.pdf", "GET"),
    ("/api/phones", "GET"),
    ("/api/phones", "POST"),
    ("/api/phones/<int:number>", "DELETE"),
    ("/api/phones/code", "DELETE"),
    ("/api/phones/code", "POST"),
    ("/api/practice/aim", "POST"),
    ("/api/practice/shift-leather", "POST"),
    ("/api/printers", "GET"),
    ("/api/printers", "POST"),
    ("/api/printers/forget", "POST"),
    ("/api/redo", "POST"),
    ("/api/spans/<int:layout>", "GET"),
    ("/api/spans/<int:layout>", "POST"),
    ("/api/spans/<int:layout>/end", "POST"),
    ("/api/spans/<int:layout>/go", "POST"),
    ("/api/spans/<int:layout>/meet", "POST"),
    ("/api/spans/<int:layout>/show", "POST"),
    ("/api/things/<int:number>", "DELETE"),
    ("/api/things/<int:number>/versions", "GET"),
    ("/api/undo", "POST"),
    ("/bin", "GET"),
    ("/compare/<int:old>/<int:new>", "GET"),
    ("/own", "GET"),
    ("/own/<int:number>", "GET"),
    ("/paper/<int:pattern_id>", "GET"),
    ("/phones", "GET"),
}


@pytest.mark.parametrize("path", PAGES)
def test_pages_carry_the_token(desk: Desk, path: str) -> None:
    desk.layout(desk.practice("marks"))
    answer = desk.ask("GET", path)
    assert answer.status_code == 200
    assert answer.mimetype == "text/html"
    assert f'content="{desk.token}"' in answer.get_data(as_text=True)


@pytest.mark.parametrize("path", ["/draft/7", "/bench/7", "/table/7", "/nowhere"])
def test_a_page_that_is_not_there_is_said_on_a_page(desk: Desk, path: str) -> None:
    answer = desk.ask("GET", path, Accept="text/html,application/xhtml+xml,*/*;q=0.8")
    assert answer.status_code == 404
    assert answer.mimetype == "text/html"
    assert desk.token not in answer.get_data(as_text=True)


def test_bench_and_table_without_a_number_go_to_what_is_in_use(desk: Desk) -> None:
    assert desk.ask("GET", "/bench").location == "/"
    assert desk.ask("GET", "/table/").location == "/"
    bench = desk.practice("marks")
    layout = desk.layout(bench)
    assert desk.ask("GET", "/bench").location == f"/bench/{bench}"
    assert desk.ask("GET", "/table").location == f"/table/{layout}"


@pytest.mark.parametrize(
    "path", ["/static/pages/home.html", "/static/css/../pages/home.html", "/static/../server/app.py"]
)
def test_templates_and_code_are_not_files_to_fetch(desk: Desk, path: str) -> None:
    assert desk.ask("GET", path).status_code == 404


def test_scripts_and_styles_are_sent(desk: Desk) -> None:
    script = desk.ask("GET", "/static/js/api.js")
    assert script.status_code == 200
    assert script.mimetype in ("text/javascript", "application/javascript")
    again = desk.ask("GET", "/static/js/api.js", If_None_Match=script.headers["ETag"])
    assert again.status_code == 304


def test_state_at_the_first_start(desk: Desk) -> None:
    state = desk.get("/api/state")
    assert state["first_start"] is True
    assert (state["bench"], state["thing"], state["layout"]) == (None, None, None)
    assert state["window"]["open"] is False
    assert state["next"]["action"] == "practice-start"


def test_the_next_thing_to_do_follows_the_work(desk: Desk) -> None:
    bench = desk.practice()
    assert desk.get("/api/state")["next"]["href"] == f"/bench/{bench}"
    desk.post("/api/practice/sight", {"bench": bench, "way": "marks"})
    assert desk.get("/api/state")["next"]["href"] == "/check"
    readings = {"top": 300.0, "left": 300.0, "diagonal-up": 424.3}
    desk.post("/api/check", {"bench": bench, "size": 300, "readings": readings})
    assert desk.get("/api/state")["next"]["action"] == "lay"
    layout = desk.layout(bench)
    assert desk.get("/api/state")["next"]["href"] == f"/table/{layout}"
    desk.post("/api/practice/sight", {"bench": bench, "way": "marks", "replace": True})
    assert desk.get("/api/state")["next"]["href"] == "/check", "a new calibration wants a new check"


def test_a_real_bench_wants_its_window_first(desk: Desk) -> None:
    desk.post("/api/things", THING)
    assert desk.get("/api/state")["next"]["action"] == "add-bench"
    bench = desk.post("/api/benches", BENCH)["id"]
    assert desk.get("/api/state")["next"]["action"] == "open-light"
    desk.window(1920, 1080)
    assert "1920 x 1080" in desk.get("/api/state")["next"]["words"]
    desk.window(1280, 720)
    assert desk.get("/api/state")["next"]["href"] == f"/bench/{bench}"


@pytest.mark.parametrize("family", drafts.families())
def test_every_family_goes_from_its_defaults_to_the_light(desk: Desk, family: str) -> None:
    """Drafted with nothing filled in, saved, laid, and shown step by step."""
    bench = desk.practice("marks")
    desk.window()
    thing = desk.post("/api/things", {"name": "Usual", "family": family, "measures": {}})
    assert thing["refusal"] is None
    pattern = desk.post("/api/patterns", {"thing": thing["id"]})
    layout = desk.post("/api/layouts", {"pattern": pattern["id"], "bench": bench})
    assert layout["warning"] is None, "the saved measures draft the same pattern again"
    desk.post("/api/light", {"mode": "layout", "layout": layout["id"]})
    for step in layout["steps"]:
        shown = desk.put(f"/api/layouts/{layout['id']}", {"step": step["name"]})
        own = step["plies_under"] - len(step["others_mm"])
        assert shown["height"] == pytest.approx(layout["leather_mm"] * own + sum(step["others_mm"]))
        stage = desk.shop.light.stage
        assert stage.bench is not None
        assert MODES["layout"](stage, stage.bench).strokes, step["name"]
        assert desk.frame()["strokes"] or max(shown["outside"].values()) > 0, step["name"]


def test_families_give_their_measures(desk: Desk) -> None:
    assert {family["name"] for family in desk.get("/api/families")} == set(drafts.families())
    measures = desk.get("/api/families/belt-pouch")["measures"]
    assert {"width", "leather", "pitch"} <= {measure["name"] for measure in measures}
    assert all(measure["reference"] for measure in measures)


def test_a_draft_gives_the_published_pouch(desk: Desk) -> None:
    """Thing 3 x 6 x 1/2 in, 1 in standing out: seam to seam 4 in, overall 5 3/4 x 5 3/4 in (common practice, no source)."""
    drafted = desk.post("/api/draft", {"family": "belt-pouch", "measures": MEASURES})
    dimensions = {dimension["label"]: dimension["value_mm"] for dimension in drafted["dimensions"]}
    assert dimensions["seam to seam"] == pytest.approx(4 * 25.4)
    front = next(piece for piece in drafted["pieces"] if piece["name"] == "front")
    left, top, right, bottom = front["box"]
    assert (right - left, bottom - top) == pytest.approx((5.75 * 25.4, 5.75 * 25.4))
    assert drafted["counts"]["holes"] == front["svg"].count('data-role="hole"')
    assert desk.get("/api/things") == [], "a draft is not saved"


@pytest.mark.parametrize("text", ["3 in", '3"', "76.2", "76.2 mm", "7.62 cm", 76.2])
def test_a_draft_reads_what_makers_write(desk: Desk, text: str | float) -> None:
    drafted = desk.post("/api/draft", {"family": "belt-pouch", "measures": MEASURES | {"width": text}})
    assert drafted["measures_mm"]["width"] == pytest.approx(76.2)


@pytest.mark.parametrize("empty", ["", "  ", None])
def test_a_measure_left_empty_is_derived(desk: Desk, empty: str | None) -> None:
    drafted = desk.post("/api/draft", {"family": "belt-pouch", "measures": MEASURES | {"side-allowance": empty}})
    assert drafted["measures_mm"]["side-allowance"] > 0


def test_things_are_kept_as_typed(desk: Desk) -> None:
    saved = desk.post("/api/things", THING)
    assert saved["measures"] == MEASURES
    assert saved["refusal"] is None
    changed = desk.put(f"/api/things/{saved['id']}", THING | {"measures": MEASURES | {"width": "80 mm"}})
    assert changed["measures"]["width"] == "80 mm"
    assert desk.get(f"/api/things/{saved['id']}") == changed
    assert [thing["id"] for thing in desk.get("/api/things")] == [saved["id"]]


def test_a_thing_that_cannot_be_drafted_is_kept_and_says_why(desk: Desk) -> None:
    saved = desk.post("/api/things", THING | {"measures": MEASURES | {"stands-out": "7 in"}})
    assert saved["refusal"]["sentence"]
    assert desk.ask("POST", "/api/patterns", {"thing": saved["id"]}).status_code == 422


def test_a_pattern_stays_as_it_was_saved(desk: Desk) -> None:
    thing = desk.post("/api/things", THING)["id"]
    saved = desk.post("/api/patterns", {"thing": thing})
    desk.put(f"/api/things/{thing}", THING | {"measures": MEASURES | {"width": "80 mm"}})
    kept = desk.get(f"/api/patterns/{saved['id']}")
    assert kept == saved
    assert kept["measures_mm"]["width"] == pytest.approx(76.2)
    assert [pattern["id"] for pattern in desk.get("/api/patterns")] == [saved["id"]]


def test_the_pattern_file_is_true_size_and_not_a_page(desk: Desk) -> None:
    desk.post("/api/things", THING)
    desk.post("/api/patterns", {"thing": 1})
    answer = desk.ask("GET", "/api/patterns/1/file.svg")
    assert answer.mimetype == "image/svg+xml"
    assert "attachment" in answer.headers["Content-Disposition"]
    root = answer.get_data(as_text=True).split("<svg", 1)[1].split(">", 1)[0]
    width, height = (root.split(f'{side}="')[1].split("mm")[0] for side in ("width", "height"))
    assert f'viewBox="0 0 {width} {height}"' in root


def test_a_pattern_drafts_the_same_from_its_saved_measures(desk: Desk) -> None:
    """What the light draws comes from the saved measures, derived ones included: they must give the same file."""
    desk.post("/api/things", THING)
    desk.post("/api/patterns", {"thing": 1})
    desk.post("/api/benches", BENCH)
    assert desk.post("/api/layouts", {"pattern": 1, "bench": 1})["warning"] is None
    drafted = drafting.draft("belt-pouch", desk.get("/api/patterns/1")["measures_mm"] | {"width": 77.0})
    assert drafting.document(drafted)["pieces"] != desk.get("/api/patterns/1")["pieces"]


def test_benches_are_made_renamed_and_listed(desk: Desk) -> None:
    made = desk.post("/api/benches", BENCH)
    assert made["picture"] == [1280, 720]
    assert made["calibrated"] is False
    assert len(made["sightings"]["crosses"]) == 20
    renamed = desk.put("/api/benches/1", BENCH | {"name": "Loft"})
    assert renamed["name"] == "Loft"
    assert [bench["name"] for bench in desk.get("/api/benches")] == ["Loft"]


def test_an_unsighted_bench_takes_another_picture_and_a_sighted_one_does_not(desk: Desk) -> None:
    desk.post("/api/benches", BENCH)
    larger = desk.put("/api/benches/1", BENCH | {"width": 1920, "height": 1080})
    assert max(x for x, _ in larger["sightings"]["crosses"].values()) > 1280
    desk.put("/api/benches/1/sightings", {"distances": [{"from": "A", "to": "B", "length": 300}]})
    answer = desk.ask("PUT", "/api/benches/1", BENCH)
    assert answer.status_code == 409
    assert desk.get("/api/benches/1")["picture"] == [1920, 1080]


def test_a_layout_starts_in_the_middle_and_keeps_what_is_changed(desk: Desk) -> None:
    layout = desk.layout(desk.practice("marks"))
    found = desk.get(f"/api/layouts/{layout}")
    assert set(found["placements"]) == {"front", "back"} == set(found["errors"])
    assert found["outside"] == {"front": 0.0, "back": 0.0}
    assert found["height"] == pytest.approx(found["leather_mm"] * found["steps"][0]["plies_under"])
    assert found["leather"] == "4-5 oz"
    change = {
        "name": "Second try",
        "leather": "2.5 mm",
        "step": None,
        "show": {"mark": False},
        "placements": {"front": {"x": 500.5, "y": 260, "turn": 370, "mirror": True}},
    }
    changed = desk.put(f"/api/layouts/{layout}", change)
    assert changed["placements"]["front"] == {"x": 500.5, "y": 260.0, "turn": 10.0, "mirror": True}
    assert changed["placements"]["back"] == found["placements"]["back"]
    assert (changed["name"], changed["leather_mm"], changed["step"]) == ("Second try", 2.5, None)
    assert changed["show"] == dict.fromkeys(found["show"], True) | {"mark": False}
    assert desk.get(f"/api/layouts/{layout}") == changed
    assert [one["id"] for one in desk.get("/api/layouts")] == [layout]


def test_a_layout_says_what_lies_outside_the_picture(desk: Desk) -> None:
    layout = desk.layout(desk.practice("marks"))
    changed = desk.put(f"/api/layouts/{layout}", {"placements": {"front": {"x": -60, "y": 300}}})
    assert changed["outside"]["front"] > 0.5
    assert changed["outside"]["back"] == 0.0


def test_the_map_covers_the_picture_and_agrees_with_the_report(desk: Desk) -> None:
    bench = desk.practice("marks")
    found = desk.get(f"/api/benches/{bench}/map?height=3")
    assert len(found["points"]) == len(found["error_mm"]) == found["columns"] * found["rows"]
    flat = desk.get(f"/api/benches/{bench}/map")
    error = desk.get(f"/api/benches/{bench}")["report"]["error"]
    assert flat["worst_mm"] == pytest.approx(error["worst_mm"], rel=1e-6)
    assert flat["median_mm"] == pytest.approx(error["median_mm"], rel=0.05)
    assert max(point[0] for point in flat["points"]) > max(point[0] for point in found["points"]), "higher is narrower"


WINDOW = {"window": "w", "width": 9, "height": 9, "ratio": 1, "fullscreen": True}

# one row a fault: method, path, body, status, the field that is named
BAD: list[tuple[str, str, Any, int, str | None]] = [
    ("GET", "/api/families/boots", None, 404, "family"),
    ("POST", "/api/draft", {"family": "boots", "measures": {}}, 404, "family"),
    ("POST", "/api/draft", {"family": "belt-pouch"}, 422, "measures"),
    ("POST", "/api/draft", {"family": "belt-pouch", "measures": []}, 422, "measures"),
    ("POST", "/api/draft", {"family": "belt-pouch", "measures": {"girth": "3 in"}}, 422, "girth"),
    ("POST", "/api/draft", {"family": "belt-pouch", "measures": {"width": "3 inn"}}, 422, "width"),
    ("POST", "/api/draft", {"family": "belt-pouch", "measures": {"width": True}}, 422, "width"),
    ("POST", "/api/draft", {"family": "belt-pouch", "measures": {"width": ["3"]}}, 422, "width"),
    ("POST", "/api/draft", {"family": "belt-pouch", "measures": {"width": "4 oz"}}, 422, "width"),
    ("POST", "/api/draft", {"family": "belt-pouch", "measures": MEASURES | {"width": "9 m"}}, 422, "width"),
    ("POST", "/api/draft", {"family": "belt-pouch", "measures": MEASURES | {"width": 5000}}, 422, "width"),
    ("POST", "/api/draft", {"family": "belt-pouch", "measures": {}, "save": True}, 422, "save"),
    ("GET", "/api/things/9", None, 404, "thing"),
    ("PUT", "/api/things/9", THING, 404, "thing"),
    ("POST", "/api/things", {**THING, "name": ""}, 422, "name"),
    ("POST", "/api/things", {**THING, "name": "a\nb"}, 422, "name"),
    ("POST", "/api/things", {**THING, "name": "x" * 121}, 422, "name"),
    ("POST", "/api/things", {**THING, "name": 7}, 422, "name"),
    ("POST", "/api/things", {**THING, "measures": {"width": "wide"}}, 422, "width"),
    ("POST", "/api/patterns", {"thing": 9}, 404, "thing"),
    ("POST", "/api/patterns", {"thing": "1"}, 422, "thing"),
    ("POST", "/api/patterns", {"thing": 1.5}, 422, "thing"),
    ("POST", "/api/patterns", {"thing": True}, 422, "thing"),
    ("GET", "/api/patterns/9", None, 404, "pattern"),
    ("GET", "/api/patterns/9/file.svg", None, 404, "pattern"),
    ("POST", "/api/benches", {"name": "G", "width": 1280}, 422, "height"),
    ("POST", "/api/benches", {"name": "G", "width": 10, "height": 720}, 422, "width"),
    ("POST", "/api/benches", {"name": "G", "width": 1280.5, "height": 720}, 422, "width"),
    ("PUT", "/api/benches/9", BENCH, 404, "bench"),
    ("GET", "/api/benches/9", None, 404, "bench"),
    ("GET", "/api/benches/9/map", None, 404, "bench"),
    ("GET", "/api/benches/2/map", None, 409, "bench"),
    ("GET", "/api/benches/1/map?height=tall", None, 422, "height"),
    ("GET", "/api/benches/1/map?height=nan", None, 422, "height"),
    ("GET", "/api/benches/1/map?height=-1", None, 422, "height"),
    ("PUT", "/api/benches/9/sightings", {}, 404, "bench"),
    ("PUT", "/api/benches/1/sightings", {"unit": "ell"}, 422, "unit"),
    ("PUT", "/api/benches/1/sightings", {"grid": [9, 9]}, 422, "grid"),
    ("PUT", "/api/benches/1/sightings", {"grid": [5, True]}, 422, "grid"),
    ("PUT", "/api/benches/1/sightings", {"crosses": {"A": [5000, 10]}}, 422, "crosses.A"),
    ("PUT", "/api/benches/1/sightings", {"crosses": {"A": [True, 10]}}, 422, "crosses.A"),
    ("PUT", "/api/benches/1/sightings", {"crosses": {"a!": [5, 10]}}, 422, "crosses"),
    ("PUT", "/api/benches/1/sightings", {"positions": {}}, 422, "positions"),
    ("PUT", "/api/benches/1/sightings", {"positions": [7]}, 422, "positions.0"),
    ("PUT", "/api/benches/1/sightings", {"positions": [{"spot": 1}]}, 422, "positions.0.spot"),
    ("PUT", "/api/benches/1/sightings", {"lens": [{"height": {}}]}, 422, "lens.0.height"),
    ("PUT", "/api/benches/1/sightings", {"distances": [{"length": "x" * 41}]}, 422, "distances.0.length"),
    ("PUT", "/api/benches/1/sightings", {"mirrored": "yes"}, 422, "mirrored"),
    ("PUT", "/api/benches/1/sightings", {"picture": {}}, 422, "picture"),
    ("POST", "/api/layouts", {"pattern": 9, "bench": 1}, 404, "pattern"),
    ("POST", "/api/layouts", {"pattern": 1, "bench": 9}, 404, "bench"),
    ("GET", "/api/layouts/9", None, 404, "layout"),
    ("PUT", "/api/layouts/9", {}, 404, "layout"),
    ("PUT", "/api/layouts/1", {"leather": "thick"}, 422, "leather"),
    ("PUT", "/api/layouts/1", {"leather": "0 mm"}, 422, "leather"),
    ("PUT", "/api/layouts/1", {"leather": "40 mm"}, 422, "leather"),
    ("PUT", "/api/layouts/1", {"step": "dye"}, 422, "step"),
    ("PUT", "/api/layouts/1", {"show": {"glitter": True}}, 422, "show"),
    ("PUT", "/api/layouts/1", {"show": {"cut": 1}}, 422, "show.cut"),
    ("PUT", "/api/layouts/1", {"placements": {"lid": {"x": 0, "y": 0}}}, 422, "placements"),
    ("PUT", "/api/layouts/1", {"placements": {"front": {"x": 0}}}, 422, "placements.front.y"),
    ("PUT", "/api/layouts/1", {"placements": {"front": {"x": 0, "y": 0, "z": 0}}}, 422, "placements.front.z"),
    ("PUT", "/api/layouts/1", {"placements": {"front": {"x": 1e9, "y": 0}}}, 422, "placements.front.x"),
    ("POST", "/api/light", {"mode": "disco"}, 422, "mode"),
    ("POST", "/api/light", {"mode": "layout"}, 422, "layout"),
    ("POST", "/api/light", {"mode": "crosses"}, 422, "bench"),
    ("POST", "/api/light", {"mode": "crosses", "bench": 9}, 404, "bench"),
    ("POST", "/api/light", {"mode": "layout", "layout": 9}, 404, "layout"),
    ("POST", "/api/light", {"mode": "layout", "layout": 2}, 409, "bench"),
    ("POST", "/api/light", {"mode": "check", "bench": 1, "size": 5}, 422, "size"),
    ("POST", "/api/light", {"mode": "check", "bench": 1, "size": 900}, 422, "size"),
    ("POST", "/api/light", {"mode": "check", "bench": 1, "height": -1}, 422, "height"),
    ("POST", "/api/light/move", {"layout": 1, "piece": "lid", "x": 0, "y": 0}, 404, "piece"),
    ("POST", "/api/light/move", {"layout": 1, "piece": "front", "x": "0", "y": 0}, 422, "x"),
    ("POST", "/api/light/move", {"layout": 1, "piece": "front", "x": 0, "y": 0, "turn": 1e9}, 422, "turn"),
    ("POST", "/api/light/move", {"layout": 1, "piece": "front", "x": 0, "y": 0, "mirror": 1}, 422, "mirror"),
    ("POST", "/api/window", {"window": "w", "width": 0, "height": 9, "ratio": 1, "fullscreen": True}, 422, "width"),
    ("POST", "/api/window", {"window": "w", "width": 9, "height": 9, "ratio": 0, "fullscreen": True}, 422, "ratio"),
    ("POST", "/api/window", {"window": "w!", "width": 9, "height": 9, "ratio": 1, "fullscreen": True}, 422, "window"),
    ("POST", "/api/window/take", {"window": "nobody"}, 409, "window"),
    ("GET", "/api/events", None, 422, "window"),
    ("GET", "/api/events?role=spy&window=w", None, 422, "role"),
    ("GET", "/api/events?role=page&window=a%20b", None, 422, "window"),
    ("POST", "/api/check", {"bench": 9, "size": 300, "readings": {}}, 404, "bench"),
    ("POST", "/api/check", {"bench": 2, "size": 300, "readings": {"top": 300}}, 409, "bench"),
    ("POST", "/api/check", {"bench": 1, "size": 300, "readings": {"girth": 300}}, 422, "readings"),
    ("POST", "/api/check", {"bench": 1, "size": 300, "readings": {"top": "three"}}, 422, "readings.top"),
    ("POST", "/api/check", {"bench": 1, "size": 300, "readings": {"top": -1}}, 422, "readings.top"),
    ("POST", "/api/check", {"bench": 1, "size": 900, "readings": {"top": 300}}, 422, "size"),
    ("POST", "/api/practice/start", {"now": True}, 422, "now"),
    ("POST", "/api/practice/sight", {"bench": 1, "way": "guess"}, 422, "way"),
    ("POST", "/api/practice/sight", {"bench": 2, "way": "marks"}, 409, "bench"),
    ("POST", "/api/practice/sight", {"bench": 9, "way": "marks"}, 404, "bench"),
    ("POST", "/api/practice/read", {"size": 300}, 409, "size"),
    ("POST", "/api/benches", BENCH | {"tolerance": 0}, 422, "tolerance"),
    ("POST", "/api/benches", BENCH | {"tolerance": "wide"}, 422, "tolerance"),
    ("POST", "/api/benches", BENCH | {"table_width": 3}, 422, "table_width"),
    ("PUT", "/api/benches/1", {"table_depth": True}, 422, "table_depth"),
    ("PUT", "/api/benches/1", {"tolerance": [0.5]}, 422, "tolerance"),
    ("PUT", "/api/benches/1", {"name": None}, 422, "name"),
    ("PUT", "/api/benches/1", {"width": 1280}, 409, "width"),
    ("PUT", "/api/benches/1", {"depth": 1}, 422, "depth"),
    ("PUT", "/api/benches/9", {"tolerance": 1}, 404, "bench"),
    ("GET", "/api/benches/9/file.json", None, 404, "bench"),
    ("GET", "/api/benches/2/file.json", None, 409, "bench"),
    ("POST", "/api/benches/import", {"file": {}}, 422, "name"),
    ("POST", "/api/benches/import", {"name": "G"}, 422, "file"),
    ("POST", "/api/benches/import", {"name": "G", "file": []}, 422, "file"),
    ("POST", "/api/benches/import", {"name": "G", "file": {"kind": "spoon"}}, 422, "file"),
    ("GET", "/api/benches/9/insight", None, 404, "bench"),
    ("GET", "/api/benches/1/insight?height=-1", None, 422, "height"),
    ("GET", "/api/benches/1/insight?tolerance=0", None, 422, "tolerance"),
    ("GET", "/api/benches/1/insight?tolerance=nan", None, 422, "tolerance"),
    ("GET", "/api/benches/1/insight?layout=9", None, 404, "layout"),
    ("GET", "/api/benches/1/insight?layout=2", None, 409, "layout"),
    ("GET", "/api/benches/1/insight?layout=two", None, 422, "layout"),
    ("PUT", "/api/benches/9/witness", {"names": ["A", "B"], "own": True}, 404, "bench"),
    ("PUT", "/api/benches/2/witness", {"names": ["A", "B"], "own": True}, 409, "bench"),
    ("PUT", "/api/benches/1/witness", {"names": ["A", "B"]}, 422, "own"),
    ("PUT", "/api/benches/1/witness", {"names": ["A"], "own": True}, 422, "names"),
    ("PUT", "/api/benches/1/witness", {"names": ["A", "A"], "own": True}, 422, "names"),
    ("PUT", "/api/benches/1/witness", {"names": ["A", "Z"], "own": True}, 422, "names"),
    ("PUT", "/api/benches/1/witness", {"names": "AB", "own": True}, 422, "names"),
    ("PUT", "/api/benches/1/witness", {"names": ["A"] * 101, "own": True}, 422, "names"),
    ("PUT", "/api/benches/1/witness", {"names": ["A", "B"], "own": False}, 422, "names"),
    ("PUT", "/api/benches/1/witness", {"marks": [{"name": "A", "place": [1, 2]}], "own": False}, 422, "marks"),
    ("PUT", "/api/benches/1/witness", {"marks": [{"name": "A", "place": [1]}], "own": False}, 422, "marks.0.place"),
    ("PUT", "/api/benches/1/witness", {"marks": [{"name": "a", "place": [1, 2]}], "own": False}, 422, "marks"),
    (
        "PUT",
        "/api/benches/1/witness",
        {"marks": [{"name": "A", "place": ["x", 2]}], "own": False},
        422,
        "marks.0.place",
    ),
    (
        "PUT",
        "/api/benches/1/witness",
        {"marks": [{"name": "A", "place": [1e9, 2]}], "own": False},
        422,
        "marks.0.place",
    ),
    (
        "PUT",
        "/api/benches/1/witness",
        {"marks": [{"name": c, "place": [9e3, 2]} for c in "AB"], "own": False},
        422,
        "marks",
    ),
    ("PUT", "/api/benches/1/witness", {"marks": [{"name": "A", "place": [99, 99]}] * 2, "own": False}, 422, "marks"),
    ("POST", "/api/benches/9/session", {"seen": {}}, 404, "bench"),
    ("POST", "/api/benches/1/session", {"seen": {"A": [1, 2], "B": [1, 2]}}, 409, "bench"),
    ("POST", "/api/benches/1/session", {"seen": {"A": [1]}}, 422, "seen.A"),
    ("POST", "/api/benches/1/session", {"seen": {"A": ["1", 2]}}, 422, "seen.A"),
    ("POST", "/api/benches/1/session", {}, 422, "seen"),
    ("GET", "/api/benches/9/sessions", None, 404, "bench"),
    ("POST", "/api/light", {"mode": "witness"}, 422, "bench"),
    ("POST", "/api/light", {"mode": "witness", "bench": 1}, 409, "bench"),
    ("POST", "/api/light", {"mode": "witness", "bench": 2}, 409, "bench"),
    ("POST", "/api/light", {"mode": "witness", "bench": 1, "pixels": [1, 2]}, 422, "pixels"),
    ("POST", "/api/light", {"mode": "pixels"}, 422, "bench"),
    ("POST", "/api/light/witness", {"name": "A"}, 422, "pixel"),
    ("POST", "/api/light/witness", {"name": "A", "pixel": [1, True]}, 422, "pixel"),
    ("POST", "/api/guard", {"name": "full-screen", "answer": "yes"}, 422, "name"),
    ("POST", "/api/guard", {"name": "overscan", "answer": "maybe"}, 422, "answer"),
    ("POST", "/api/guard", {"name": "overscan", "answer": "yes", "bench": 9}, 404, "bench"),
    ("GET", "/api/guard?bench=9", None, 404, "bench"),
    ("GET", "/api/guard?bench=x", None, 422, "bench"),
    ("POST", "/api/window", WINDOW | {"screen": {"width": 9}}, 422, "screen.height"),
    ("POST", "/api/window", WINDOW | {"screen": [9, 9]}, 422, "screen"),
    ("POST", "/api/window", WINDOW | {"scale": 0}, 422, "scale"),
    ("POST", "/api/practice/knock", {"how": "hard"}, 422, "how"),
    ("POST", "/api/practice/knock", {}, 422, "how"),
    ("POST", "/api/practice/witness", {"bench": 1}, 409, "bench"),
    ("POST", "/api/practice/witness", {"bench": 2}, 409, "bench"),
    ("POST", "/api/practice/witness", {"bench": 9}, 404, "bench"),
    ("PUT", "/api/layouts/1", {"leather": 0}, 422, "leather"),
    ("PUT", "/api/layouts/1", {"leather": True}, 422, "leather"),
]


@pytest.fixture(scope="module")
def furnished(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    """Bench 1 practice and calibrated, bench 2 not calibrated, a layout on each, the light on layout 1.

    One for all refusals: a refusal changes nothing, so the next one finds everything as it was.
    """
    desk = open_desk(tmp_path_factory.mktemp("data"))
    desk.layout(desk.practice("marks"))
    desk.post("/api/benches", BENCH)
    desk.post("/api/layouts", {"pattern": 1, "bench": 2})
    desk.post("/api/light", {"mode": "layout", "layout": 1})
    yield desk
    desk.shop.close()


@pytest.mark.parametrize(("method", "path", "body", "status", "field"), BAD)
def test_bad_input_is_refused_in_one_sentence(
    furnished: Desk, method: str, path: str, body: Any, status: int, field: str | None
) -> None:
    before = everything(furnished)
    answer = furnished.ask(method, path, body)
    assert answer.status_code == status, answer.get_data(as_text=True)
    assert_error_shape(answer.json)
    assert answer.json is not None
    assert answer.json["error"]["field"] == field
    assert everything(furnished) == before, "a refusal must change nothing"


def everything(desk: Desk) -> list[Any]:
    """Return all that is saved and shown."""
    lists = [desk.get(f"/api/{name}") for name in ("state", "things", "patterns", "benches", "layouts")]
    kept = [desk.get(path) for path in ("/api/layouts/1", "/api/benches/1", "/api/benches/1/sessions", "/api/guard")]
    return [*lists, *kept, desk.shop.light.stage.moves, desk.shop.light.stage.nudges]


def assert_error_shape(content: Any) -> None:
    """The one shape of every error: a sentence for a person, and the field it is about."""
    assert set(content) == {"error"}
    assert set(content["error"]) == {"sentence", "field"}
    sentence, field = content["error"]["sentence"], content["error"]["field"]
    assert isinstance(sentence, str)
    assert sentence[0].isupper() or not sentence[0].isalpha() or sentence.split()[0].split(".")[0].islower()
    assert sentence.endswith((".", "!"))
    assert "\n" not in sentence
    assert "Traceback" not in sentence
    assert field is None or (isinstance(field, str) and field)


@pytest.mark.parametrize(("method", "path", "status"), [("GET", "/api/nothing", 404), ("PATCH", "/api/things/1", 405)])
def test_the_framework_s_own_refusals_have_the_same_shape(desk: Desk, method: str, path: str, status: int) -> None:
    answer = desk.ask(method, path)
    assert answer.status_code == status
    assert_error_shape(answer.json)


def test_what_may_be_asked_instead_is_said(desk: Desk) -> None:
    """RFC 9110, 15.5.6: an answer 405 names the methods that are allowed."""
    assert {"GET", "PUT"} <= set(desk.ask("PATCH", "/api/things/1").headers["Allow"].split(", "))


def test_our_own_bugs_are_said_without_details(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken() -> dict[str, Any]:
        raise RuntimeError("secret detail")

    monkeypatch.setattr(desk.shop.state, "read", broken)
    answer = desk.ask("GET", "/api/state")
    assert answer.status_code == 500
    assert_error_shape(answer.json)
    assert "secret" not in answer.get_data(as_text=True)


def test_a_number_that_is_not_finite_is_never_sent(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(desk.shop.state, "read", lambda: {"value": math.nan})
    assert desk.ask("GET", "/api/state").status_code == 500
