"""Paper over HTTP: what can be chosen, the preview, the files, the printers, and what is refused."""

from __future__ import annotations

import io
import xml.etree.ElementTree as ET
from typing import Any
from urllib.parse import quote

import pypdf
import pytest
from ezdxf.filemanagement import read as read_dxf

from tests.web.desk import MEASURES, Desk


def refused(desk: Desk, method: str, path: str, body: Any = None) -> dict[str, Any]:
    """Return the sentence and the field of a refusal."""
    answer = desk.ask(method, path, body)
    assert answer.status_code == 422, answer.get_data(as_text=True)[:300]
    assert answer.json is not None
    return dict(answer.json["error"])


def saved(desk: Desk, family: str = "belt-pouch", name: str = "Pouch") -> int:
    measures = MEASURES if family == "belt-pouch" else {}
    thing = desk.post("/api/things", {"name": name, "family": family, "measures": measures})
    return int(desk.post("/api/patterns", {"thing": thing["id"]})["id"])


def pdf_of(desk: Desk, path: str) -> pypdf.PdfReader:
    answer = desk.ask("GET", path)
    assert (answer.status_code, answer.mimetype) == (200, "application/pdf")
    assert "attachment" in answer.headers["Content-Disposition"]
    return pypdf.PdfReader(io.BytesIO(answer.data))


def test_the_print_is_what_the_preview_shows(desk: Desk) -> None:
    number = saved(desk, "tool-roll", "Bench roll")
    offered = desk.get(f"/api/patterns/{number}/paper")
    assert [piece["name"] for piece in offered["pieces"]] == ["body", "pockets", "tie"]
    assert {size["name"] for size in offered["sizes"]} >= {"A4", "letter", "legal", "tabloid"}
    asked = "size=A3&turn=portrait&overlap=15+mm&pieces=body:1,tie:2"
    found = desk.get(f"/api/patterns/{number}/paper/pages?{asked}")
    read = pdf_of(desk, f"/api/patterns/{number}/paper/print.pdf?{asked}")
    assert found["page_count"] == len(found["pages"]) == len(read.pages)
    assert (found["turn"], found["correction"]) == ("portrait", "no correction")
    for page, there in zip(found["pages"], read.pages, strict=True):
        assert page["width_mm"] == pytest.approx(float(there.mediabox.width) / 72 * 25.4, abs=0.1)
        picture = desk.ask("GET", f"/api/patterns/{number}/paper/page-{page['number']}.svg?{asked}")
        assert picture.mimetype == "image/svg+xml"
        root = ET.fromstring(picture.get_data(as_text=True))  # noqa: S314 - our own answer
        assert root.get("width") == "297mm"
        text = " ".join("".join(root.itertext()).split())
        assert f"page {page['number']} of {len(read.pages)}" in text
        assert f"page {page['number']} of {len(read.pages)}" in there.extract_text()
    assert "Pockets" not in read.pages[1].extract_text()


def test_the_first_page_names_the_thing_its_measures_and_where_each_page_is(desk: Desk) -> None:
    number = saved(desk, name="Wallet for the wagon")
    first = pdf_of(desk, f"/api/patterns/{number}/paper/print.pdf").pages[0].extract_text()
    for words in ("Wallet for the wagon", "Width", "76.2 mm", "Which page is where", "Print at 100 %"):
        assert words in " ".join(first.split())


def test_the_work_sheet_says_every_step_cut_thread_and_blow(desk: Desk) -> None:
    number = saved(desk)
    sheet = desk.get(f"/api/patterns/{number}/sheet")
    read = pdf_of(desk, f"/api/patterns/{number}/work-sheet.pdf?size=letter")
    assert float(read.pages[0].mediabox.width) == pytest.approx(612.0)
    text = " ".join(" ".join(page.extract_text() for page in read.pages).split())
    for title in ("Cut list", "Thread", "Blows", "Measures"):
        assert title in text
    for i, step in enumerate(sheet["steps"], 1):
        assert f"{i}. {step['title']}" in text
        for strikes in step["strikes"]:
            assert f"{strikes['title']}: {len(strikes['words'])} blows for {strikes['holes']} holes" in text
            assert all(one["words"] in text for one in strikes["told"])
    for way in sheet["thread"]["routes"]:
        for piece in way["pieces"]:
            assert f"{piece['length'] / 10:.0f} cm" in text


def test_the_dxf_is_sent_in_millimetres(desk: Desk) -> None:
    answer = desk.ask("GET", f"/api/patterns/{saved(desk)}/file.dxf")
    assert answer.mimetype == "image/vnd.dxf"
    assert read_dxf(io.StringIO(answer.get_data(as_text=True))).header["$INSUNITS"] == 4


def test_a_printer_is_measured_used_measured_again_and_forgotten(desk: Desk) -> None:
    number, name = saved(desk), "Study, thick paper & tray 2"
    first = desk.post("/api/printers", {"name": name, "across": "99.2", "down": "100.4 mm"})
    assert [(p["name"], p["across_mm"], p["words"]) for p in first] == [(name, 99.2, "+0.81 % across, -0.40 % down")]
    asked = f"printer={quote(name)}"
    text = pdf_of(desk, f"/api/patterns/{number}/paper/print.pdf?{asked}").pages[0].extract_text()
    assert f"Corrected for {name}: +0.81 % across, -0.40 % down." in " ".join(text.split())
    again = desk.post("/api/printers", {"name": name, "across": 99.9, "down": 100, "corrected": True})
    assert again[0]["words"] == "+0.91 % across, -0.40 % down"
    assert desk.get(f"/api/patterns/{number}/paper")["printers"] == again == desk.get("/api/printers")
    assert desk.post("/api/printers/forget", {"name": name}) == []
    assert refused(desk, "GET", f"/api/patterns/{number}/paper/pages?{asked}")["field"] == "printer"


WRONG_READINGS: list[tuple[dict[str, Any], str]] = [
    ({"name": "den", "across": 94, "down": 100}, "across"),
    ({"name": "den", "across": 100, "down": "4 in 3"}, "down"),
    ({"name": "", "across": 100, "down": 100}, "name"),
    ({"name": "x" * 61, "across": 100, "down": 100}, "name"),
    ({"name": "den", "across": 97, "down": 100, "corrected": True}, "printer"),
    ({"name": "den", "across": True, "down": 100}, "across"),
    ({"name": "den", "across": 100, "down": 100, "more": 1}, "more"),
]


def test_readings_that_cannot_be_are_refused_and_not_kept(desk: Desk) -> None:
    for given, field in WRONG_READINGS:
        assert refused(desk, "POST", "/api/printers", given)["field"] == field
    assert desk.get("/api/printers") == []


def test_no_more_printers_than_a_workshop_has(desk: Desk) -> None:
    for i in range(30):
        desk.post("/api/printers", {"name": f"printer {i}", "across": 100, "down": 100})
    assert (
        "forget one first"
        in refused(desk, "POST", "/api/printers", {"name": "31", "across": 100, "down": 100})["sentence"]
    )


HOSTILE = [
    ("size=A9", "size"),
    ("size=A4&size=A3", "size"),
    ("size=roll&roll=1e9", "roll"),
    ("margin=1e400", "margin"),
    ("overlap=nan", "overlap"),
    ("turn=%00", "turn"),
    ("pieces=lid:1", "pieces"),
    ("pieces=front:51", "pieces"),
    ("printer=nobody", "printer"),
    ("pieces=" + "a" * 5000, "pieces"),
    ("more=1", "more"),
]


def test_hostile_choices_are_refused_in_one_sentence(desk: Desk) -> None:
    number = saved(desk)
    for asked, field in HOSTILE:
        for what in ("pages", "print.pdf", "page-1.svg"):
            error = refused(desk, "GET", f"/api/patterns/{number}/paper/{what}?{asked}")
            assert error["field"] == field
            assert "\n" not in error["sentence"]


def test_what_is_not_there_is_not_there(desk: Desk) -> None:
    number = saved(desk)
    for path in (
        "/api/patterns/99/paper",
        "/api/patterns/99/file.dxf",
        f"/api/patterns/{number}/paper/page-44.svg",
        "/paper/99",
    ):
        assert desk.ask("GET", path).status_code == 404
    assert desk.ask("POST", "/api/printers/forget", {"name": "nobody"}).status_code == 422
    assert desk.ask("GET", f"/paper/{number}").status_code == 200
