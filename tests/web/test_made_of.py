"""What a thing is made of and what it costs: chosen from the rack, filled in, kept, copied into the pattern, accounted."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest

from server.leather import drafts
from tests.web.desk import Desk, open_desk

EMPTY: dict[str, Any] = {"threads": [], "chisels": [], "punches": [], "needles": [], "arm_span": "1600 mm", "rates": {}}
SIDE = {"name": "side", "low": "2 mm", "high": "3 mm", "colour": "tan", "price": "2", "stretch": "4 %"}
STRIP = {"strip_angle": "90", "strip_radius": "5 mm", "strip_length": "9.5 mm"}
RACK: dict[str, Any] = {
    "leathers": [SIDE | STRIP, {"name": "soft", "low": "1 mm", "price": "9 a sq ft"}],
    "threads": [{"name": "fine", "size": "0.6 mm", "price": "0.5"}, {"name": "cord", "size": "1.2 mm"}],
    "chisels": [
        {"pitch": "5 mm", "tines": "4 2 1", "hole": "2.8 mm"},
        {"pitch": "4.8 mm", "tines": "6 1", "hole": "2.5 mm"},
    ],
    "punches": [{"shape": "round", "width": "5 mm"}],
    "needles": [{"name": "blunt", "thread": "1 mm", "stack": "12 mm"}],
    "hardware": [{"name": "snap", "price": "0.4"}],
    "waiting": {"tacky": "8 min", "drying": "1.5 days"},
    "currency": "$",
    "arm_span": "1500 mm",
    "rates": {"leather": "1", "thread": "0.2", "hour": "30"},
}
MADE = {"leather": "side", "thread": "fine", "irons": "5 mm"}
K = round((9.5 / (math.pi / 2) - 5.0) / 2.5, 3)
"""K of the strip, (BA / A - R) / t: the bend allowance formula of US Navy and FAA sheet metal, turned round."""


@pytest.fixture
def racked(desk: Desk) -> Desk:
    """A workshop whose maker has a small rack of their own."""
    desk.put("/api/rack", RACK)
    return desk


def draft(desk: Desk, family: str = "belt-pouch", **more: Any) -> dict[str, Any]:
    """Return the draft of a family's usual measures, the leather left open."""
    answer: dict[str, Any] = desk.post("/api/draft", {"family": family, "measures": {}} | more)
    return answer


def test_a_bent_strip_gives_k_and_every_family_takes_it(racked: Desk) -> None:
    """Thickness is the middle of the range; K comes from the strip; each says where it comes from."""
    leather = racked.get("/api/rack")["understood"]["leathers"][0]
    assert leather["neutral"] == K == 0.419
    for family in drafts.families():
        found = draft(racked, family, made_of=MADE)
        names = set(found["measures_mm"])
        assert {"leather", "neutral", "pitch"} <= names, family
        assert found["measures_mm"]["leather"] == 2.5
        assert found["measures_mm"]["neutral"] == K
        assert found["from_rack"]["leather"]["words"].startswith("from your rack: side")
        if "stretch" in names:
            assert found["measures_mm"]["stretch"] == pytest.approx(4.0)


def test_what_is_typed_stays(racked: Desk) -> None:
    """A typed thickness is used, and the rack's is only told."""
    found = draft(racked, measures={"leather": "8 oz", "pitch": "4.8"}, made_of=MADE)
    assert found["measures_mm"]["leather"] == pytest.approx(3.175)
    assert found["measures_mm"]["pitch"] == 4.8
    assert found["from_rack"]["leather"]["used"] is False
    assert found["from_rack"]["leather"]["value"] == 2.5
    assert found["from_rack"]["neutral"]["used"] is True


def test_nothing_chosen_fills_nothing(racked: Desk) -> None:
    """The family's own values stay, and nothing is said to come from the rack."""
    found = draft(racked)
    assert found["from_rack"] == {}
    assert found["made_of"] == {"leather": None, "thread": None, "irons": None}


def refused(desk: Desk, method: str, path: str, body: dict[str, Any]) -> str:
    """Return the field that a refusal names; its sentence is whole."""
    answer = desk.ask(method, path, body)
    assert answer.status_code == 422, body
    assert answer.json is not None
    assert answer.json["error"]["sentence"].endswith(".")
    field: str = answer.json["error"]["field"]
    return field


def test_what_does_not_hang_there_is_refused_by_its_part(racked: Desk) -> None:
    """In drafts and in things, and nothing is saved."""
    for part, name in (("leather", "gold"), ("thread", "gold"), ("irons", "7 mm"), ("irons", "many")):
        body = {"family": "belt-pouch", "measures": {}, "made_of": {part: name}}
        assert refused(racked, "POST", "/api/draft", body) == f"made_of.{part}"
        assert refused(racked, "POST", "/api/things", body | {"name": "T"}) == f"made_of.{part}"
    assert racked.get("/api/things") == []


def save(desk: Desk, **more: Any) -> dict[str, Any]:
    """Save a belt pouch made of the side leather."""
    found: dict[str, Any] = desk.post(
        "/api/things", {"name": "Pouch", "family": "belt-pouch", "measures": {}, "made_of": MADE} | more
    )
    return found


def test_a_thing_keeps_what_it_is_made_of(racked: Desk, tmp_path: Path) -> None:
    """Also over a restart, and when it is saved again without a word about it."""
    number = save(racked, costing={"copies": "3"})["id"]
    racked.put(f"/api/things/{number}", {"name": "Other", "family": "belt-pouch", "measures": {"belt": "40"}})
    racked.shop.close()
    again = open_desk(tmp_path / "data")
    found = again.get(f"/api/things/{number}")
    again.shop.close()
    assert found["made_of"] == MADE
    assert found["costing"] == {"copies": "3"}
    assert found["name"] == "Other"


def test_a_pattern_keeps_the_leather_thread_and_irons_themselves(racked: Desk) -> None:
    """After the rack has lost them the saved pattern is still worked with them; the thing says what is gone."""
    number = save(racked)["id"]
    pattern = racked.post("/api/patterns", {"thing": number})
    assert pattern["measures_mm"]["leather"] == 2.5
    assert pattern["measures_mm"]["pitch"] == 5.0
    racked.put("/api/rack", RACK | {"leathers": [], "threads": RACK["threads"][1:], "chisels": RACK["chisels"][1:]})
    sheet = racked.get(f"/api/patterns/{pattern['id']}/sheet")
    assert sheet["thread"]["name"] == "fine"
    assert sheet["strikes"]["pitches_mm"] == [5.0]
    assert sheet["leather"] == "side, tan, drafted for 2.5 mm a ply"
    later = racked.post("/api/patterns", {"thing": number})
    assert later["measures_mm"]["leather"] != 2.5


def test_every_place_tells_the_same_blows_and_thread(racked: Desk) -> None:
    """Draft, saved pattern, sheet, table: one count of blows, one length of thread, the tools of the rack in each step."""
    number = save(racked)["id"]
    said = draft(racked, made_of=MADE)
    pattern = racked.post("/api/patterns", {"thing": number})
    sheet = racked.get(f"/api/patterns/{pattern['id']}/sheet")
    bench = racked.post("/api/benches", {"name": "Garage", "width": 1280, "height": 720})["id"]
    layout = racked.post("/api/layouts", {"pattern": pattern["id"], "bench": bench})
    blows = sum(len(seam["blows"]) for step in sheet["steps"] for seam in step["strikes"])
    assert blows == said["strikes"]["blows"] == pattern["counts"]["strikes"] == sheet["strikes"]["blows"]
    counted = [one["words"] for one in said["sentences"] if one["kind"] == "count"]
    assert any(words.startswith(f"{blows} blows with the irons of your rack") for words in counted)
    metres = f"{said['thread']['thread_mm'] / 1000:.2f} m of fine"
    assert any(words.startswith(metres) for words in counted)
    assert sum(seam["thread_mm"] for seam in said["seams"]) == pytest.approx(said["thread"]["thread_mm"])
    for place in (said, pattern, sheet, layout):
        tools = {tool for step in place["steps"] for tool in step["tools"]}
        assert "4-tine iron of 5 mm" in tools
        assert "fine, waxed" in tools
        assert "pricking irons" not in tools
        assert any("Thread: " in step["words"] for step in place["steps"])


def test_each_warning_stands_on_the_draft_and_on_the_sheet_with_its_remedy(racked: Desk) -> None:
    """Slot without a punch, pitch without irons, thread too thick for the slit, stack too thick for the needle."""
    racked.put(
        "/api/rack",
        RACK | {"punches": [], "needles": [{"name": "short", "thread": "2 mm", "stack": "4 mm"}]},
    )
    wrong: dict[str, Any] = {"measures": {"leather": "3 mm", "pitch": "3 mm"}, "made_of": {"thread": "cord"}}
    lacking = draft(racked, **wrong)["lacking"]
    number = save(racked, **wrong)["id"]
    pattern = racked.post("/api/patterns", {"thing": number})["id"]
    assert racked.get(f"/api/patterns/{pattern}/sheet")["lacking"] == lacking
    for what, remedy in (
        ("No punch makes a slot", "cut it with a knife"),
        ("No irons have a pitch of", "prick hole by hole"),
        ("stack of 6.0 mm is too thick", "skive the seam"),
    ):
        assert any(what in text and remedy in text for text in lacking), (what, lacking)
    thick = draft(racked, made_of={"thread": "cord", "irons": "4.8 mm"}, measures={"leather": "1 mm"})["lacking"]
    assert not any("too thick" in text for text in thick if "stack" in text)
    racked.put("/api/rack", RACK | {"chisels": [{"pitch": "4 mm", "tines": "6 1", "hole": "1.5 mm"}]})
    thick = draft(racked, made_of={"thread": "cord"}, measures={"leather": "1 mm"})["lacking"]
    assert any("cord of 1.20 mm is too thick" in text and "at most 0.75 mm" in text for text in thick), thick


def test_the_price_is_that_of_the_chosen_leather_and_thread(racked: Desk) -> None:
    """2 a dm2 of the side, 0.5 a metre of the fine; without a choice the rates'; 9 a sq ft is 9 / 9.290304 a dm2."""
    chosen = {line["title"]: line for line in draft(racked, made_of=MADE)["cost"]["lines"]}
    assert (chosen["Leather"]["each"], chosen["Thread"]["each"]) == (2.0, 0.5)
    plain = {line["title"]: line for line in draft(racked)["cost"]["lines"]}
    assert (plain["Leather"]["each"], plain["Thread"]["each"]) == (1.0, 0.2)
    soft = draft(racked, made_of={"leather": "soft"})["cost"]["lines"][0]
    # 1 ft2 = 9.290304 dm2 (NIST SP 811, appendix B.8), so a price a dm2 is that of a sq ft divided by it.
    assert soft["each"] == pytest.approx(9.0 / 9.290304)


def test_hardware_is_proposed_counted_and_priced(racked: Desk) -> None:
    """A flap pouch asks for a snap at the rack's price; the maker's own list takes its place, an empty price the rack's."""
    found = draft(racked, "flap-pouch")
    assert found["costing"]["hardware"] == [{"name": "snap", "count": 1, "price": 0.4}]
    assert found["costing"]["proposed"] is True
    assert draft(racked, "flap-pouch", measures={"closure": "tuck"})["costing"]["hardware"] == []
    own = [{"name": "Snap", "count": "2", "price": ""}, {"name": "D ring", "count": "", "price": "1.10"}]
    typed = draft(racked, "flap-pouch", costing={"copies": "4", "hardware": own})
    bought = [(line["title"], line["quantity"], line["amount"]) for line in typed["cost"]["lines"][2:]]
    assert bought == [("Snap", 8, pytest.approx(3.2)), ("D ring", 4, pytest.approx(4.4))]
    assert draft(racked, "flap-pouch", costing={"hardware": []})["cost"]["lines"][2:] == []


def test_copies_share_the_setting_up(racked: Desk) -> None:
    """Four copies: four times the materials; setting up once a step, so the time is less than four times."""
    one, four = (draft(racked, costing={"copies": count})["cost"] for count in ("", "4"))
    assert four["materials"] == pytest.approx(4 * one["materials"])
    setting_up = 2.0 * len(one["work"])
    assert four["minutes"] == pytest.approx(4 * (one["minutes"] - setting_up) + setting_up)
    assert four["price"] == pytest.approx(four["materials"] + four["minutes"] / 60 * 30)
    assert four["each"] == pytest.approx(four["price"] / 4)
    assert f"4 copies for ${four['price']:.2f}, ${four['each']:.2f} each" in four["words"]


NO_COSTING: list[tuple[dict[str, Any], str]] = [
    ({"copies": "0"}, "costing.copies"),
    ({"copies": "some"}, "costing.copies"),
    ({"hardware": [{"name": "snap", "count": "-1"}]}, "costing.hardware.0.count"),
    ({"hardware": [{"name": "snap"}, {"name": "ring", "price": "dear"}]}, "costing.hardware.1.price"),
    ({"hardware": [{"count": "2"}]}, "costing.hardware.0.name"),
    ({"hardware": [{"name": "snap", "colour": "red"}]}, "costing.hardware.0.colour"),
    ({"glory": "1"}, "costing.glory"),
]


def test_costing_that_is_not_understood_is_refused_by_its_field(racked: Desk) -> None:
    """In drafts and in things."""
    for costing, field in NO_COSTING:
        body = {"family": "belt-pouch", "measures": {}, "costing": costing}
        assert refused(racked, "POST", "/api/draft", body) == field
        assert refused(racked, "POST", "/api/things", body | {"name": "T"}) == field


def test_the_list_has_one_line_for_each_thing(racked: Desk) -> None:
    """As the draft says it; a thing that cannot be drafted has none."""
    good = save(racked, costing={"copies": "2"})["id"]
    bad = racked.post(
        "/api/things", {"name": "B", "family": "belt-pouch", "measures": {"leather": "6 mm", "thickness": "1"}}
    )
    costs = racked.get("/api/things/costs")
    assert costs[str(good)] == draft(racked, made_of=MADE, costing={"copies": "2"})["cost"]["words"]
    assert (str(bad["id"]) in costs) == (bad["refusal"] is None)
    racked.put("/api/rack", RACK | {"rates": {}, "leathers": RACK["leathers"][:0], "threads": []})
    assert "price" not in racked.get("/api/things/costs")[str(good)]


def test_waiting_is_the_makers_or_common_practice(racked: Desk) -> None:
    """Tacky after 8 min by the rack; how long a joint takes nobody said, so it is common practice."""
    number = save(racked)["id"]
    pattern = racked.post("/api/patterns", {"thing": number})["id"]
    steps = {step["name"]: step for step in racked.get(f"/api/patterns/{pattern}/sheet")["steps"]}
    tacky, joint = steps["glue"]["waits"]
    assert "8 min" in tacky["words"]
    assert "from your rack" in tacky["words"]
    assert joint["own"] is False
    assert "common practice, no source" in joint["words"]
    assert racked.get("/api/rack")["understood"]["waiting"]["drying"]["minutes"] == 2160.0


NO_RACK: list[tuple[dict[str, Any], str]] = [
    ({"waiting": {"tacky": "soon"}}, "waiting.tacky"),
    ({"waiting": {"joint": "3 weeks"}}, "waiting.joint"),
    ({"waiting": {"joint": "30 days"}}, "waiting.joint"),
    ({"currency": "dollars and cents"}, "currency"),
    ({"hardware": [{"name": "snap", "price": "dear"}]}, "hardware.0.price"),
    ({"hardware": [{"name": "snap"}, {"name": "snap"}]}, "hardware.1.name"),
    ({"leathers": [SIDE | {"strip_angle": "90"}]}, "leathers.0.strip_radius"),
    ({"leathers": [SIDE | STRIP | {"strip_length": "30 mm"}]}, "leathers.0.strip_length"),
    ({"leathers": [SIDE | STRIP | {"neutral": "0.6"}]}, "leathers.0.neutral"),
    ({"leathers": [SIDE | {"price": "9 a hide"}]}, "leathers.0.price"),
]


def test_the_rack_refuses_by_the_field(racked: Desk) -> None:
    """One sentence at the place."""
    for changed, field in NO_RACK:
        assert refused(racked, "PUT", "/api/rack", RACK | changed) == field


def test_a_rack_saved_before_hardware_and_strips_still_serves(desk: Desk) -> None:
    """Columns and parts that were not there then are empty."""
    desk.put("/api/rack", {**EMPTY, "leathers": [{"name": "old", "low": "2 mm"}]})
    found = desk.get("/api/rack")
    assert found["leathers"][0]["strip_angle"] == ""
    assert found["hardware"] == []
    assert found["waiting"] == {"tacky": "", "joint": "", "drying": ""}


def test_the_minutes_of_one_step_are_the_makers_own(racked: Desk) -> None:
    """7.5 minutes at 30 an hour; three copies take three times as long; the other steps stay as they are reckoned."""
    usual = draft(racked)["cost"]
    name = usual["work"][1]["step"]
    found = draft(racked, costing={"steps": {name: "7,5"}})
    assert found["costing"]["steps"] == {name: 7.5}
    changed = [a["step"] for a, b in zip(found["cost"]["work"], usual["work"], strict=True) if a != b]
    assert changed == [name]
    assert found["cost"]["work"][1] | {"title": ""} == {
        "step": name, "title": "", "minutes": 7.5, "each": 7.5, "formula": "7.5 min as set",
    }  # fmt: skip
    off = 7.5 - usual["work"][1]["minutes"]
    assert found["cost"]["cost"] - usual["cost"] == pytest.approx(off / 60 * 30)
    many = draft(racked, costing={"copies": "3", "steps": {name: "7.5"}})["cost"]["work"][1]
    assert (many["minutes"], many["each"], many["formula"]) == (22.5, 7.5, "3 x 7.5 min as set")


def test_minutes_are_kept_with_the_thing_and_reach_list_and_sheet(racked: Desk) -> None:
    """Ten hours for a step are told in the list and on the sheet; saved again without a word, they stay."""
    step = draft(racked)["cost"]["work"][0]["step"]
    number = save(racked, costing={"copies": "", "steps": {step: "600", "prick": ""}})["id"]
    assert racked.get(f"/api/things/{number}")["costing"] == {"copies": "", "steps": {step: "600"}}
    racked.put(f"/api/things/{number}", {"name": "Pouch", "family": "belt-pouch", "measures": {}})
    pattern = racked.post("/api/patterns", {"thing": number})
    sheet = racked.get(f"/api/patterns/{pattern['id']}/sheet")["cost"]
    assert sheet["work"][0]["minutes"] == 600.0
    assert sheet["minutes"] == pytest.approx(sum(one["minutes"] for one in sheet["work"]))
    hours, minutes = divmod(round(sheet["minutes"]), 60)
    assert f"{hours} h {minutes} min" in sheet["amounts"]
    usual = sheet["cost"] - (600.0 - draft(racked, made_of=MADE)["cost"]["work"][0]["minutes"]) / 60 * 30
    assert usual == pytest.approx(draft(racked, made_of=MADE)["cost"]["cost"])
    assert sheet["words"] == racked.get("/api/things/costs")[str(number)]


@pytest.mark.parametrize("minutes", ["-1", "an hour", "6001", "nan"])
def test_minutes_that_cannot_be_are_refused_at_their_step(racked: Desk, minutes: str) -> None:
    body = {"family": "belt-pouch", "measures": {}, "costing": {"steps": {"prick": minutes}}}
    assert refused(racked, "POST", "/api/draft", body) == "costing.steps.prick"
    assert refused(racked, "POST", "/api/things", body | {"name": "T"}) == "costing.steps.prick"


def test_a_step_goes_by_its_name(racked: Desk) -> None:
    body = {"family": "belt-pouch", "measures": {}, "costing": {"steps": {"<b>": "1"}}}
    assert refused(racked, "POST", "/api/draft", body) == "costing.steps"
