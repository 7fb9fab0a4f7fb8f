"""The maker's rack, what the drafts take from it, and the work sheet."""

from __future__ import annotations

import time
from pathlib import Path
from typing import Any

import pytest

from server.leather import drafts
from tests.web.desk import MEASURES, Desk, open_desk

PARTS = (
    "leathers",
    "threads",
    "chisels",
    "punches",
    "needles",
    "hardware",
    "waiting",
    "currency",
    "arm_span",
    "rates",
)
FILLED = PARTS[:7] + PARTS[8:]

OWN: dict[str, Any] = {
    "leathers": [
        {"name": "side", "low": "4 oz", "high": "5 oz", "colour": "brown", "stretch": "3 %", "neutral": "0.4"},
        {"name": "belt", "low": "3.5", "high": "", "colour": "", "stretch": "", "neutral": ""},
    ],
    "threads": [
        {"name": "fine", "size": "0.6 mm", "colour": "natural"},
        {"name": "cord", "size": "1.2 mm", "colour": "natural"},
        {"name": "linen", "size": "277 tex", "colour": ""},
    ],
    "chisels": [{"pitch": "4 mm", "tines": "2, 6", "hole": "2.2 mm"}],
    "punches": [{"shape": "round", "width": "4 mm", "length": ""}],
    "needles": [{"name": "blunt", "thread": "1 mm", "stack": "6 mm"}],
    "arm_span": "48 in",
    "rates": {"leather": "1.50", "hour": "30", "waste_markup": "25 %", "profit": "0.1 %"},
}


def own(**changed: Any) -> dict[str, Any]:
    """Return a small rack of one's own, with some parts changed; rates that are not given are left empty."""
    return {**OWN, **changed}


def draft(desk: Desk, family: str = "belt-pouch", **measures: str) -> dict[str, Any]:
    """Return the draft of a family's usual measures, some of them changed."""
    typed = MEASURES | measures if family == "belt-pouch" else measures
    answer: dict[str, Any] = desk.post("/api/draft", {"family": family, "measures": typed})
    return answer


def test_a_starter_rack_stands_in_until_one_is_saved(desk: Desk) -> None:
    """The starter rack is complete, says that it is one, and can be saved as it is without a change of its numbers."""
    first = desk.get("/api/rack")
    assert first["own"] is False
    assert first["source"] == "common practice, no source; from memory, no source at hand"
    assert all(first[part] for part in FILLED)
    assert first["currency"] == ""
    saved = desk.put("/api/rack", {part: first[part] for part in PARTS})
    assert saved["own"] is True
    assert saved["understood"] == first["understood"]


def test_what_was_typed_comes_back_and_is_understood(desk: Desk, tmp_path: Path) -> None:
    """Words stay as they are typed, also over a restart; the numbers are in mm: 4-5 oz is 1.59 to 1.98 mm (1/64 in each)."""
    desk.put("/api/rack", own())
    desk.shop.close()
    again = open_desk(tmp_path / "data")
    answer = again.get("/api/rack")
    again.shop.close()
    assert [{name: line[name] for name in OWN["leathers"][0]} for line in answer["leathers"]] == OWN["leathers"]
    assert answer["rates"]["hour"] == "30"
    side, belt = answer["understood"]["leathers"]
    assert side["thickness_mm"] == pytest.approx(4.5 * 25.4 / 64)
    assert (side["neutral"], side["stretch"]) == (0.4, pytest.approx(0.03))
    assert (belt["thickness_mm"], belt["neutral"]) == (3.5, None)
    assert answer["understood"]["chisels"] == [{"name": "4 mm", "pitch_mm": 4.0, "tines": [6, 2], "hole_mm": 2.2}]
    # A round thread of 277 tex and 1.5 g/cm3: d = sqrt(4 tex / (1000 pi rho)) mm = 0.485 mm.
    linen = answer["understood"]["threads"][2]
    assert linen["tex"] == 277
    assert 0.4 < linen["diameter_mm"] < 0.7


@pytest.mark.parametrize(
    ("part", "number", "column", "text"),
    [
        ("leathers", 0, "low", "4 stone"),
        ("leathers", 0, "high", "3 oz"),
        ("leathers", 1, "low", "90 mm"),
        ("leathers", 0, "stretch", "much"),
        ("leathers", 0, "neutral", "1.5"),
        ("leathers", 1, "name", ""),
        ("leathers", 1, "name", "side"),
        ("threads", 2, "size", "0 tex"),
        ("threads", 0, "size", "9 mm"),
        ("threads", 0, "size", "nan"),
        ("chisels", 0, "tines", "6 and 2"),
        ("chisels", 0, "tines", "0"),
        ("chisels", 0, "hole", "4 mm"),
        ("chisels", 0, "pitch", "0"),
        ("punches", 0, "shape", "star"),
        ("punches", 0, "width", "-1"),
        ("needles", 0, "stack", ""),
    ],
)
def test_refused_by_its_place(desk: Desk, part: str, number: int, column: str, text: str) -> None:
    """What is not understood is refused in one sentence that names the field, and nothing is saved."""
    lines = [dict(line) for line in OWN[part]]
    lines[number][column] = text
    answer = desk.ask("PUT", "/api/rack", own(**{part: lines}))
    assert answer.status_code == 422
    assert answer.json is not None
    error = answer.json["error"]
    assert error["field"] == f"{part}.{number}.{column}"
    assert error["sentence"].endswith(".")
    assert desk.get("/api/rack")["own"] is False


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"arm_span": "20 mm"}, "arm_span"),
        ({"rates": {"hour": "-1"}}, "rates.hour"),
        ({"rates": {"hour": "inf"}}, "rates.hour"),
        ({"rates": {"glory": "1"}}, "rates.glory"),
        ({"leathers": [{"name": "x", "grain": "up"}]}, "leathers.0.grain"),
        ({"leathers": [{"name": 7}]}, "leathers.0.name"),
        ({"threads": "none"}, "threads"),
        ({"hammers": []}, "hammers"),
    ],
)
def test_what_is_no_rack_is_refused(desk: Desk, changed: dict[str, Any], field: str) -> None:
    """Unknown keys and wrong kinds are refused by name."""
    answer = desk.ask("PUT", "/api/rack", own(**changed))
    assert answer.status_code == 422
    assert answer.json is not None
    assert answer.json["error"]["field"] == field


def test_a_draft_warns_where_the_rack_falls_short(desk: Desk) -> None:
    """No punch for the slot, no irons of the pitch, thread too thick for the holes, stack too thick for the needle."""
    desk.put("/api/rack", own())
    slot = draft(desk)["lacking"]
    assert any("No punch makes a slot of 9.5 x" in words for words in slot), slot
    assert any("No irons have a pitch of" in words for words in draft(desk, pitch="3 mm")["lacking"])
    body = {"family": "belt-pouch", "measures": MEASURES, "made_of": {"thread": "cord"}}
    assert any("cord of 1.20 mm is too thick" in words for words in desk.post("/api/draft", body)["lacking"])
    thick = draft(desk, leather="4 mm")["lacking"]
    assert any("stack of 8.0 mm is too thick" in words for words in thick), thick


def test_a_thread_that_is_not_there_is_refused(desk: Desk) -> None:
    """The refusal names the threads that are there."""
    answer = desk.ask(
        "POST", "/api/draft", {"family": "belt-pouch", "measures": MEASURES, "made_of": {"thread": "gold"}}
    )
    assert answer.status_code == 422
    assert answer.json is not None
    assert "linen 18/3" in answer.json["error"]["sentence"]


def test_thread_comes_in_pieces_no_longer_than_an_arm_span(desk: Desk) -> None:
    """Each piece is within the arm-span of the rack, and a longer span needs no more thread."""
    short = desk.put("/api/rack", own(arm_span="700 mm")) and draft(desk)["thread"]
    pieces = [piece["length"] for route in short["routes"] for piece in route["pieces"]]
    assert len(pieces) > 3
    assert max(pieces) <= 700.0
    assert draft(desk)["cost"]["lines"][1]["quantity"] == pytest.approx(sum(pieces) / 1000.0)
    desk.put("/api/rack", own(arm_span="900 cm"))
    whole = draft(desk)["thread"]
    assert [len(route["pieces"]) for route in whole["routes"]] == [1] * len(whole["routes"])
    assert whole["thread_mm"] < sum(pieces)


def test_blows_follow_the_irons_on_the_rack(desk: Desk) -> None:
    """With a single tine only, every hole is a blow; with wide rows there are fewer."""
    desk.put("/api/rack", own(chisels=[{"pitch": "4 mm", "tines": "1", "hole": "2 mm"}]))
    single = draft(desk)
    assert single["strikes"]["irons"] == [[1, single["counts"]["holes"]]]
    desk.put("/api/rack", own(chisels=[{"pitch": "4 mm", "tines": "6 2 1", "hole": "2 mm"}]))
    wide = draft(desk)
    assert wide["strikes"]["blows"] < single["strikes"]["blows"] / 2
    assert wide["cost"]["minutes"] < single["cost"]["minutes"]


def test_cost_adds_up(desk: Desk) -> None:
    """1.50 a dm2 on the leather bought (net and 25 %), 30 an hour, 0.1 % on top; 1 sq ft = 9.290304 dm2 (NIST SP 811)."""
    desk.put("/api/rack", own())
    cost = draft(desk)["cost"]
    assert cost["bought_dm2"] == pytest.approx(1.25 * cost["net_dm2"])
    assert cost["waste_share"] == pytest.approx(0.2)
    assert cost["bought_sqft"] == pytest.approx(cost["bought_dm2"] / 9.290304)
    assert cost["materials"] == pytest.approx(1.5 * cost["bought_dm2"])
    assert cost["minutes"] == pytest.approx(sum(work["minutes"] for work in cost["work"]))
    assert cost["price"] == pytest.approx((cost["materials"] + cost["minutes"] / 2.0) * 1.001)
    front = 2 * 73.0 * 146.0 / 10_000
    assert front < cost["net_dm2"] < 3 * front


def test_findings_have_a_place_on_their_piece(desk: Desk) -> None:
    """A margin under the least is found: where it is, what is wrong, what to do; a sound draft has none."""
    assert draft(desk)["findings"] == []
    found = draft(desk, **{"edge-margin": "2 mm"})["findings"]
    assert {one["kind"] for one in found} >= {"margin"}
    boxes = {piece["name"]: piece["box"] for piece in draft(desk, **{"edge-margin": "2 mm"})["pieces"]}
    for one in found:
        left, top, right, bottom = boxes[one["piece"]]
        assert left <= one["place"][0] <= right
        assert top <= one["place"][1] <= bottom
        assert one["sentence"].endswith(".")
        assert one["remedy"].endswith(".")


def test_a_piece_larger_than_the_picture_is_found_on_a_calibrated_bench_only(desk: Desk) -> None:
    """The practice bench shows about 1.2 m by 0.7 m: a strap of 1.5 m does not fit, a pouch does."""
    assert not [one for one in draft(desk, "strap", size="1500 mm")["findings"] if "picture" in one["kind"]]
    desk.practice("marks", "block")
    assert [one["kind"] for one in draft(desk, "strap", size="1500 mm")["findings"]] == ["larger than the picture"]
    assert draft(desk)["findings"] == []


@pytest.mark.parametrize("family", sorted(drafts.families()))
def test_every_family_answers_whole(desk: Desk, family: str) -> None:
    """Seams, thread, tools and cost of each family go together, and the answer comes at once."""
    begun = time.perf_counter()
    answer = draft(desk, family)
    assert time.perf_counter() - begun < 2.0
    sewn = {seam["name"] for seam in answer["seams"] if not seam["mate"]}
    assert {name for route in answer["thread"]["routes"] for name in route["seams"]} == sewn
    assert [seam["strikes"] for seam in answer["seams"]] == [
        sum(blows for _, blows in seam["irons"]) for seam in answer["seams"]
    ]
    assert all(one["tools"] or one["warnings"] for one in answer["tools"] if "slot" not in one["what"])
    assert len(answer["cost"]["work"]) == len(answer["steps"])
    assert (answer["thread"]["name"] is None) == (not sewn)


def test_a_family_offers_its_sizes(desk: Desk) -> None:
    """ISO 216: A5 is 148 x 210 mm; choosing a preset fills in measures that the family has."""
    found = desk.get("/api/families/book-cover")
    names = {measure["name"] for measure in found["measures"]}
    a5 = next(preset for preset in found["presets"] if preset["name"] == "a5")
    assert (a5["measures"]["width"], a5["measures"]["height"]) == (148.0, 210.0)
    assert all(set(preset["measures"]) <= names for preset in found["presets"])
    assert desk.get("/api/families/belt-pouch")["presets"] == []


def sheet_of(desk: Desk, family: str, **measures: str) -> dict[str, Any]:
    """Save a thing and its pattern, and return the pattern's work sheet."""
    thing = desk.post("/api/things", {"name": "Trial", "family": family, "measures": measures})["id"]
    pattern = desk.post("/api/patterns", {"thing": thing})["id"]
    found: dict[str, Any] = desk.get(f"/api/patterns/{pattern}/sheet")
    return found


@pytest.mark.parametrize("family", sorted(drafts.families()))
def test_the_sheet_shows_each_step_with_its_own_lines_only(desk: Desk, family: str) -> None:
    """Each step's drawing holds the roles that the light shows for it and no others; every seam is pricked once and sewn once."""
    found = sheet_of(desk, family)
    assert found["as_saved"] is True
    for step in found["steps"]:
        roles = {part.split('"')[0] for part in step["svg"].split('data-role="')[1:]}
        assert roles <= set(step["roles"]), step["name"]
        assert 'data-role="cut"' in step["outline"]
        plies = step["plies_under"] - len(step["others_mm"])
        assert step["height_mm"] == pytest.approx(plies * _leather(desk, found) + sum(step["others_mm"]))
    pricked = [seam["seam"] for step in found["steps"] for seam in step["strikes"]]
    seams = draft(desk, family)["seams"]
    assert sorted(pricked) == sorted(seam["name"] for seam in seams)
    sewn = [name for step in found["steps"] for name in step["sews"]]
    assert sorted(sewn) == sorted(seam["name"] for seam in seams if not seam["mate"])
    assert all(measure["words"] for measure in found["measures"])


def _leather(desk: Desk, found: dict[str, Any]) -> float:
    mm: float = desk.get(f"/api/patterns/{found['id']}")["measures_mm"]["leather"]
    return mm


def test_the_sheet_plans_the_blows_of_the_pouch(desk: Desk) -> None:
    """As many blows in words as the strikes say, in the steps that prick; the sewing step names its seams."""
    found = sheet_of(desk, "belt-pouch", **MEASURES)
    words = [blow for step in found["steps"] for seam in step["strikes"] for blow in seam["words"]]
    assert len(words) == found["strikes"]["blows"]
    assert {name for step in found["steps"] for name in step["sews"]} == {"pocket", "ring-left", "ring-right"}
    assert {measure["name"]: measure["words"] for measure in found["measures"]}["width"] == "76.2 mm"


def test_a_sheet_that_is_not_there(desk: Desk) -> None:
    """Neither the page nor its content."""
    assert desk.ask("GET", "/api/patterns/9/sheet").status_code == 404
    assert desk.ask("GET", "/sheet/9").status_code == 404
