"""A pattern of the maker's own: brought as a file, chosen about, saved, laid, lit; and files that mean harm."""

from __future__ import annotations

import io
import itertools
import os
import re
import signal
import time
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from ezdxf.filemanagement import new
from werkzeug.test import TestResponse

from server.reading.warm import WarmReader
from tests.web.desk import Desk, open_desk

HEAD = '<svg xmlns="http://www.w3.org/2000/svg" {} viewBox="0 0 300 200" fill="none" stroke="#000">'
BODY = (
    '<g id="cut"><path d="M20 20H120V90H20z"/><rect x="60" y="30" width="20" height="5"/></g>'
    '<path stroke="blue" d="M24 24V86H116V24"/><text x="1" y="9">not to scale</text></svg>'
)
WALLET = (HEAD.format('width="300mm" height="200mm"') + BODY).encode()
NO_UNIT = (HEAD.format("") + BODY).encode()
BLUE = "|#0000ff|"


@pytest.fixture(scope="module")
def shared() -> Iterator[WarmReader]:
    """One warm process for the files of all tests, as one server has one."""
    reader = WarmReader()
    yield reader
    reader.close()


@pytest.fixture
def desk(desk: Desk, shared: WarmReader) -> Iterator[Desk]:
    """An application whose files are read by the shared process, which outlives it."""
    own, desk.shop.own.reader = desk.shop.own.reader, shared
    yield desk
    desk.shop.own.reader = own


def upload(desk: Desk, data: bytes, name: str = "wallet.svg", **headers: str | None) -> TestResponse:
    """Bring a file as the page does."""
    headers = {"Content_Type": "application/octet-stream", **headers}
    return desk.ask("POST", f"/api/drawings?name={name}", data, **headers)


def brought(desk: Desk, data: bytes = WALLET) -> dict[str, Any]:
    """Bring a file that can be read, and return what the page then has of it."""
    answer = upload(desk, data)
    assert answer.status_code == 201, answer.get_data(as_text=True)
    assert answer.json is not None
    found: dict[str, Any] = desk.get(f"/api/drawings/{answer.json['id']}")
    return found


def chosen(desk: Desk, drawing: dict[str, Any], **part: Any) -> dict[str, Any]:
    """Change some choices and return what follows; the drawing is brought up to date."""
    body = {"revision": drawing["revision"], "choices": drawing["choices"] | part}
    drawing |= desk.put(f"/api/drawings/{drawing['id']}", body)
    return drawing


def refused(answer: TestResponse, status: int = 422) -> str:
    """Return the one sentence of a refusal."""
    assert answer.status_code == status, answer.get_data(as_text=True)[:300]
    sentence = str(answer.json["error"]["sentence"]) if answer.json else ""
    assert sentence.endswith(".")
    assert "Traceback" not in sentence
    return sentence


def test_a_file_becomes_a_pattern_with_holes(desk: Desk) -> None:
    drawing = brought(desk)
    assert drawing["sheet"]["unit_known"]
    assert drawing["factor"] == 1.0
    assert drawing["sheet"]["dropped"] == ["1 text left out, such as 'not to scale'."]
    assert drawing["choices"]["looks"] == {"cut|#000000|": "cut", BLUE: "stitch"}
    assert [line["closed"] for line in drawing["sheet"]["lines"]] == [True, True, False]
    assert drawing["sheet"]["lines"][0]["points"][:4] == pytest.approx([20, 20, 120, 20], abs=0.05)
    draft = drawing["draft"]
    # sides of 62 mm and a bottom of 92 mm at 4 mm, corners in holes: 16 + 23 + 16 stitches
    assert draft["counts"]["holes"] == 56
    assert draft["pieces"][0]["box"] == pytest.approx([-50, 0, 50, 70])
    assert draft["cost"]["net_dm2"] == pytest.approx(0.69, abs=0.011)  # 100 x 70 mm, less the slot of 20 x 5


def test_choices_change_the_pattern_and_the_reading_stays(desk: Desk) -> None:
    drawing = brought(desk)
    sheet = drawing["sheet"]
    coarse = chosen(desk, drawing, pitch="8 mm")["draft"]["counts"]["holes"]
    assert 25 <= coarse <= 29
    assert chosen(desk, drawing, lines={"2": "fold"})["draft"]["counts"]["holes"] == 0
    assert chosen(desk, drawing, lines={}, looks=drawing["choices"]["looks"] | {BLUE: "mark"})["draft"]["seams"] == []
    wrong = chosen(desk, drawing, looks=drawing["choices"]["looks"] | {"cut|#000000|": "fold"})
    assert wrong["draft"] is None
    assert wrong["refusal"]["field"] == "cut"
    unread = chosen(desk, drawing, looks=drawing["proposal"]["looks"], leather="thick")
    assert unread["refusal"]["field"] == "leather"
    assert unread["choices"]["leather"] == "thick"
    assert desk.get(f"/api/drawings/{drawing['id']}")["sheet"] == sheet


def test_the_irons_pitch_can_be_kept(desk: Desk) -> None:
    """Sides of 62 mm at 4.5 mm: 14 stitches eased alike to 4.43 mm, or all at 4.5 mm but the last few."""
    drawing = brought(desk)
    drafts = [chosen(desk, drawing, pitch="4.5 mm", stepping=way)["draft"] for way in ("whole", "last")]
    assert drawing["choices"]["stepping"] == "last"
    places = [[float(y) for y in re.findall(r'cy="([-0-9.]+)"', draft["pieces"][0]["svg"])] for draft in drafts]
    downs = [[abs(a - b) for a, b in itertools.pairwise(column)][:14] for column in places]
    assert downs[0] == pytest.approx([62 / 14] * 14, abs=1e-3)
    assert downs[1][:11] == pytest.approx([4.5] * 11, abs=1e-3)
    assert downs[1][11:] == pytest.approx([(62 - 11 * 4.5) / 3] * 3, abs=1e-3)
    answer = desk.ask(
        "PUT",
        f"/api/drawings/{drawing['id']}",
        {"revision": drawing["revision"], "choices": drawing["choices"] | {"stepping": "none"}},
    )
    assert "whole, last" in refused(answer)


RACK: dict[str, Any] = {
    "leathers": [{"name": "side", "low": "2 mm", "high": "3 mm", "price": "2"}],
    "threads": [{"name": "fine", "size": "0.6 mm", "price": "0.5"}, {"name": "cord", "size": "0.9 mm"}],
    "chisels": [{"pitch": "5 mm", "tines": "4 2 1", "hole": "2.8 mm"}, {"pitch": "4 mm", "tines": "6 1", "hole": "2.5 mm"}],
    "punches": [], "needles": [], "arm_span": "1500 mm", "rates": {"hour": "30"},
}  # fmt: skip
MADE = {"leather": "side", "thread": "fine", "irons": "5 mm"}


def test_a_brought_pattern_is_made_of_the_rack_too(desk: Desk) -> None:
    """What is left empty is filled in; it is kept before and after there is a thing, in the saved pattern, and it costs."""
    desk.put("/api/rack", RACK)
    drawing = brought(desk)
    typed = chosen(desk, drawing, made_of=MADE)["draft"]
    assert (typed["measures_mm"]["leather"], typed["measures_mm"]["pitch"]) == (2.0, 4.0)
    assert typed["thread"]["name"] == "fine"
    draft = chosen(desk, drawing, leather="", pitch="", costing={"copies": "2", "steps": {"piece-1-sew": "40"}})[
        "draft"
    ]
    assert draft["made_of"] == MADE
    assert (draft["measures_mm"]["leather"], draft["measures_mm"]["pitch"]) == (2.5, 5.0)
    assert draft["strikes"]["pitches_mm"] == [5.0]
    assert draft["cost"]["lines"][0]["each"] == 2.0
    assert draft["costing"]["copies"] == 2
    number = desk.post(f"/api/drawings/{drawing['id']}/keep", {"name": "Wallet"})["id"]
    thing = desk.get(f"/api/things/{number}")
    assert (thing["made_of"], thing["refusal"]) == (MADE, None)
    assert thing["costing"]["copies"] == "2"
    pattern = desk.post("/api/patterns", {"thing": number})
    desk.put("/api/rack", RACK | {"leathers": [], "threads": RACK["threads"][1:]})
    sheet = desk.get(f"/api/patterns/{pattern['id']}/sheet")
    assert (sheet["thread"]["name"], sheet["as_saved"]) == ("fine", True)
    assert sheet["leather"].startswith("side")
    assert sheet["cost"]["copies"] == 2


def test_thing_and_drawing_tell_the_same(desk: Desk) -> None:
    """Whichever of the two it is chosen at; what does not hang on the rack is refused, and nothing is kept of it."""
    desk.put("/api/rack", RACK)
    drawing = brought(desk)
    number = desk.post(f"/api/drawings/{drawing['id']}/keep", {"name": "Wallet"})["id"]
    chosen(desk, drawing, made_of=MADE)
    assert desk.get(f"/api/things/{number}")["made_of"] == MADE
    cord = MADE | {"thread": "cord"}
    desk.put(f"/api/things/{number}", {"name": "Wallet", "family": "own", "measures": {}, "made_of": cord})
    found = desk.get(f"/api/drawings/{drawing['id']}")
    assert found["choices"]["made_of"] == cord
    assert found["draft"]["thread"]["name"] == "cord"
    for part in ({"made_of": MADE | {"leather": "gold"}}, {"costing": {"copies": "none"}}):
        body = {"revision": found["revision"], "choices": found["choices"] | part}
        refused(desk.ask("PUT", f"/api/drawings/{drawing['id']}", body))
    assert desk.get(f"/api/drawings/{drawing['id']}")["choices"] == found["choices"]
    without = {name: said for name, said in found["choices"].items() if name != "made_of"}
    desk.put(f"/api/drawings/{drawing['id']}", {"revision": found["revision"], "choices": without})
    assert desk.get(f"/api/things/{number}")["made_of"] == cord


TWO = (
    (HEAD.format('width="300mm" height="200mm"') + '<g id="cut">{}</g></svg>')
    .format('<path d="M20 20H120V90H20z"/><path d="M40 100H100V130H40z"/>')
    .encode()
)


def test_pieces_lie_as_in_their_file_when_the_picture_holds_them(desk: Desk) -> None:
    """Two pieces one over the other, 80 mm apart by their tops; in a picture too low for that, in a row with 25 mm between."""
    drawing = brought(desk, TWO)
    thing = desk.post(f"/api/drawings/{drawing['id']}/keep", {"name": "Two"})["id"]
    pattern = desk.post("/api/patterns", {"thing": thing})["id"]
    lies = {}
    for name, height in (("high", 720), ("low", 80)):
        bench = desk.post("/api/benches", {"name": name, "width": 1280, "height": height})["id"]
        layout = desk.post("/api/layouts", {"pattern": pattern, "bench": bench})
        lies[name] = layout["placements"]
        assert layout["outside"] == {"piece-1": 0.0, "piece-2": 0.0} or name == "low"
    first, second = lies["high"]["piece-1"], lies["high"]["piece-2"]
    assert (second["x"] - first["x"], second["y"] - first["y"]) == pytest.approx((0.0, 80.0))
    first, second = lies["low"]["piece-1"], lies["low"]["piece-2"]
    assert second["x"] - first["x"] == pytest.approx(50 + 25 + 30, abs=0.11)


def test_a_file_without_a_unit_is_asked_about(desk: Desk) -> None:
    drawing = brought(desk, NO_UNIT)
    assert drawing["draft"] is None
    assert drawing["refusal"]["field"] == "unit"
    assert not drawing["unit_known"]
    inch = chosen(desk, drawing, unit="in")
    assert inch["unit_known"]
    assert inch["factor"] == pytest.approx(96.0)
    outline = {"line": 0, "across": "width"}
    assert chosen(desk, drawing, known=outline, length="")["refusal"]["field"] == "length"
    by_line = chosen(desk, drawing, known=outline, length="4 in")
    assert by_line["draft"]["pieces"][0]["box"][2] == pytest.approx(50.8)
    x = drawing["sheet"]["lines"][0]["points"][0]
    points = {"points": [[x, 10.0], [x * 2, 10.0]]}  # 20 of the file's own units apart
    by_points = chosen(desk, drawing, known=points, length="20 mm")
    assert by_points["draft"]["pieces"][0]["box"][2] == pytest.approx(50.0, abs=0.2)
    same = {"points": [[1.0, 1.0], [1.0, 1.0]]}
    assert chosen(desk, drawing, known=same)["refusal"]["field"] == "known"


def test_an_own_pattern_is_laid_lit_and_worked_like_any_other(desk: Desk) -> None:
    drawing = chosen(desk, brought(desk), leather="5 oz", title="Card wallet")
    desk.window()
    bench = desk.practice("marks")
    thing = desk.post(f"/api/drawings/{drawing['id']}/keep", {"name": "Card wallet"})
    assert [one["family"] for one in desk.get("/api/things") if one["id"] == thing["id"]] == ["own"]
    pattern = desk.post("/api/patterns", {"thing": thing["id"]})
    layout = desk.post("/api/layouts", {"pattern": pattern["id"], "bench": bench})
    assert layout["leather"] == "5 oz"
    assert layout["warning"] is None
    assert [step["name"] for step in layout["steps"]] == ["cut-piece-1", "punch-piece-1", "prick-piece-1"]
    desk.post("/api/light", {"mode": "layout", "layout": layout["id"]})
    desk.put(f"/api/layouts/{layout['id']}", {"step": "prick-piece-1"})
    frame = desk.frame()
    holes = sum(stroke["kind"] == "hole" for stroke in frame["strokes"])
    assert frame["sentence"] is None
    assert holes == pattern["counts"]["holes"] > 40
    sheet = desk.get(f"/api/patterns/{pattern['id']}/sheet")
    assert sheet["as_saved"]
    assert [one["words"] for one in sheet["measures"]] == ["1.984 mm", "4 mm"]
    moved = desk.ask("GET", f"/draft/{thing['id']}")
    assert moved.status_code == 302
    assert moved.headers["Location"].endswith(f"/own/{drawing['id']}")
    assert desk.get("/api/state")["thing"]["family"] == "own"


def test_a_saved_pattern_stays_what_it_was(desk: Desk, tmp_path: Path) -> None:
    """Whatever is chosen later, and after a restart, the layout draws what was saved."""
    drawing = brought(desk)
    thing = desk.post(f"/api/drawings/{drawing['id']}/keep", {"name": "Wallet"})["id"]
    pattern = desk.post("/api/patterns", {"thing": thing})
    layout = desk.post("/api/layouts", {"pattern": pattern["id"], "bench": desk.practice("marks")})["id"]
    before = desk.get(f"/api/layouts/{layout}")
    chosen(desk, drawing, pitch="9 mm", lines={"0": "cut", "1": "ignore", "2": "fold"})
    again = desk.post("/api/patterns", {"thing": thing})
    assert again["counts"]["holes"] == 0
    assert pattern["counts"]["holes"] > 40
    anew = open_desk(tmp_path / "data")
    after = anew.get(f"/api/layouts/{layout}")
    assert after["warning"] is None
    assert after["pieces"] == before["pieces"]
    assert anew.get(f"/api/drawings/{drawing['id']}")["choices"]["pitch"] == "9 mm"
    anew.shop.close()


def test_two_windows_do_not_overwrite_each_other(desk: Desk) -> None:
    drawing = brought(desk)
    stale = {"revision": drawing["revision"], "choices": drawing["choices"] | {"pitch": "9 mm"}}
    chosen(desk, drawing, pitch="5 mm")
    assert "another window" in refused(desk.ask("PUT", f"/api/drawings/{drawing['id']}", stale), 409)
    assert desk.get(f"/api/drawings/{drawing['id']}")["choices"]["pitch"] == "5 mm"


def test_a_file_is_forgotten_unless_it_became_a_thing(desk: Desk) -> None:
    one, other = brought(desk)["id"], brought(desk)["id"]
    desk.post(f"/api/drawings/{one}/keep", {"name": "Wallet"})
    refused(desk.ask("DELETE", f"/api/drawings/{one}"), 409)
    assert desk.ask("DELETE", f"/api/drawings/{other}").status_code == 200
    assert [drawing["id"] for drawing in desk.get("/api/drawings")] == [one]
    refused(desk.ask("GET", f"/api/drawings/{other}"), 404)


@pytest.mark.parametrize(
    "part",
    [
        {"looks": {}},
        {"looks": {"cut|#000000|": "cut", BLUE: "glue"}},
        {"looks": {"cut|#000000|": "cut", BLUE: "stitch", "other": "cut"}},
        {"looks": {"cut|#000000|": 3}},
        {"lines": {"99": "cut"}},
        {"lines": {"-1": "cut"}},
        {"lines": {"\u0664": "cut"}},
        {"plies": 11},
        {"plies": "2"},
        {"known": {"line": 1, "across": "round"}},
        {"known": {"points": [[0, 0]]}},
        {"known": {"points": [[0, 0], [1]]}},
        {"known": {"points": [[0, 0], [1, "x"]]}},
        {"pitch": "4\nmm"},
        {"unknown": 1},
    ],
)
def test_choices_that_cannot_be_are_refused_and_not_kept(desk: Desk, part: dict[str, Any]) -> None:
    drawing = brought(desk)
    body = {"revision": drawing["revision"], "choices": drawing["choices"] | part}
    refused(desk.ask("PUT", f"/api/drawings/{drawing['id']}", body))
    assert desk.get(f"/api/drawings/{drawing['id']}")["choices"] == drawing["choices"]


def bomb() -> bytes:
    """A gzip bomb in SVG's packed form: 200 MB of blanks."""
    packer = zlib.compressobj(9, zlib.DEFLATED, 31)
    return packer.compress(b"<svg " + b" " * 200_000_000) + packer.flush()


HARMFUL = {
    "empty": b"",
    "a picture": b"\x89PNG\r\n\x1a\n" + bytes(200),
    "entities": b'<!DOCTYPE svg [<!ENTITY a "aaaaaaaa"><!ENTITY b "&a;&a;&a;&a;">]><svg>&b;</svg>',
    "a file of this computer": b'<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/passwd">]><svg><text>&x;</text></svg>',
    "a circle of use": HEAD.format("").encode() + b'<g id="a"><use href="#b"/></g><g id="b"><use href="#a"/></g></svg>',
    "no numbers": HEAD.format("").encode() + b'<path d="MnanNaNLinf 1e999"/></svg>',
    "nested": b"<svg>" + b"<g>" * 50_000,
    "only a script": HEAD.format("").encode() + b"<script>fetch('http://example.com')</script></svg>",
    "half a PDF": b"%PDF-1.7\n1 0 obj<</Type/Catalog/Pages 1 0 R>>endobj\ntrailer<</Root 1 0 R>>",
    "half a DXF": b"  0\nSECTION\n  2\nENTITIES\n  0\nLINE\n 10\nnan\n",
}


@pytest.mark.parametrize("what", HARMFUL)
def test_harmful_files_get_one_sentence(desk: Desk, what: str) -> None:
    begun = time.monotonic()
    refused(upload(desk, HARMFUL[what], "x.svg"))
    assert time.monotonic() - begun < 6.0
    assert desk.get("/api/drawings") == []


def test_a_bomb_and_a_file_too_large_are_refused(desk: Desk) -> None:
    refused(upload(desk, bomb()))
    assert "8 MiB" in refused(upload(desk, bytes(8 * 2**20 + 1)), 413)
    body = {"name": "x" * 2_000_000}
    assert "1 MiB" in refused(desk.ask("POST", "/api/drawings/1/keep", body), 413)  # the limit of every other address


def test_names_of_files_do_no_harm(desk: Desk) -> None:
    name = "..%2F..%2Fetc%2F%3Cimg%20src=x%3E%0A" + "n" * 500 + ".svg"
    answer = upload(desk, WALLET, name)
    assert answer.status_code == 201
    assert answer.json is not None
    assert len(answer.json["name"]) <= 120
    assert "\n" not in answer.json["name"]
    pattern_of = desk.post(f"/api/drawings/{answer.json['id']}/keep", {"name": "Wallet"})["id"]
    pattern = desk.post("/api/patterns", {"thing": pattern_of})["id"]
    assert b"<img" not in desk.ask("GET", f"/api/patterns/{pattern}/file.svg").data


def test_only_our_own_page_may_bring_a_file(desk: Desk) -> None:
    for headers in ({"X_Hidelight_Token": "x"}, {"Origin": "http://evil.example"}, {"X_Hidelight_Token": None}):
        refused(upload(desk, WALLET, **headers), 403)
    assert desk.get("/api/drawings") == []


def test_a_thing_made_of_a_file_is_not_drafted(desk: Desk) -> None:
    thing = desk.post(f"/api/drawings/{brought(desk)['id']}/keep", {"name": "Wallet"})["id"]
    other = {"name": "Wallet", "family": "belt-pouch", "measures": {}}
    refused(desk.ask("PUT", f"/api/things/{thing}", other))
    refused(desk.ask("POST", "/api/things", {"name": "x", "family": "own", "measures": {}}))
    assert desk.get(f"/api/things/{thing}")["refusal"] is None


@pytest.mark.skipif(not hasattr(os, "fork"), reason="a system that cannot fork reads each file in a new process")
def test_a_killed_reader_is_replaced(tmp_path: Path) -> None:
    desk = open_desk(tmp_path / "other")
    brought(desk)
    first = desk.shop.own.reader.number()
    assert first is not None
    os.kill(first, signal.SIGKILL)
    brought(desk)
    second = desk.shop.own.reader.number()
    assert second is not None
    assert second != first
    desk.shop.close()
    with pytest.raises(ProcessLookupError):
        os.kill(second, 0)


def test_other_kinds_of_file_come_the_same_way(desk: Desk) -> None:
    drawing = new(units=4)  # mm
    drawing.layers.add("CUT")
    square = [(0, 0), (80, 0), (80, 50), (0, 50)]
    drawing.modelspace().add_lwpolyline(square, close=True, dxfattribs={"layer": "CUT"})
    text = io.StringIO()
    drawing.write(text)
    found = brought(desk, text.getvalue().encode())
    assert found["kind"] == "dxf"
    assert found["draft"]["pieces"][0]["box"] == pytest.approx([-40, 0, 40, 50])
    pages = Path(__file__).parents[1] / "reference" / "files" / "cairo-pages.pdf"
    several = brought(desk, pages.read_bytes())
    assert len(several["sheet"]["pages"]) > 1
    assert {line["page"] for line in several["sheet"]["lines"]} == {
        page["number"] for page in several["sheet"]["pages"]
    }
