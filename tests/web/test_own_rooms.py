"""A pattern of the maker's own in every room that takes a pattern: sheet, paper, comparison, jobs, spans, alignment, bin."""

from __future__ import annotations

from typing import Any

import pytest

from tests.web.desk import Desk
from tests.web.test_own import WALLET, brought, chosen

PAGES = (
    "/sheet/{pattern}",
    "/paper/{pattern}",
    "/table/{layout}",
    "/work/{job}",
    "/compare/{pattern}/{later}",
    "/own/{drawing}",
)
ANSWERS = (
    "/api/patterns/{pattern}",
    "/api/patterns/{pattern}/sheet",
    "/api/patterns/{pattern}/paper",
    "/api/patterns/{pattern}/paper/pages",
    "/api/compare/{pattern}/{later}",
    "/api/things/{thing}/versions",
    "/api/things/{thing}",
    "/api/things/costs",
    "/api/jobs/{job}",
    "/api/jobs/{job}/drawing",
    "/api/layouts/{layout}",
    "/api/layouts/{layout}/strikes",
    "/api/layouts/{layout}/seeing",
    "/api/spans/{layout}",
    "/api/state",
    "/api/bin",
)
FILES = {
    "/api/patterns/{pattern}/file.svg": b"<svg",
    "/api/patterns/{pattern}/file.dxf": b"  0\n",
    "/api/patterns/{pattern}/paper/print.pdf": b"%PDF",
    "/api/patterns/{pattern}/work-sheet.pdf": b"%PDF",
    "/api/patterns/{pattern}/paper/page-1.svg": b"<svg",
}


@pytest.fixture
def made(desk: Desk) -> dict[str, Any]:
    """A wallet of a file, saved twice, laid on the practice bench and begun."""
    drawing = chosen(desk, brought(desk, WALLET), leather="5 oz", title="Card wallet")
    desk.window()
    bench = desk.practice("marks")
    thing = desk.post(f"/api/drawings/{drawing['id']}/keep", {"name": "Card wallet"})["id"]
    pattern = desk.post("/api/patterns", {"thing": thing})["id"]
    chosen(desk, drawing, pitch="5 mm")
    later = desk.post("/api/patterns", {"thing": thing})["id"]
    layout = desk.post("/api/layouts", {"pattern": pattern, "bench": bench})["id"]
    job = desk.post("/api/jobs", {"layout": layout})["id"]
    return {"drawing": drawing["id"], "thing": thing, "pattern": pattern, "later": later, "layout": layout, "job": job}


def test_every_room_takes_a_pattern_of_the_maker_s_own(desk: Desk, made: dict[str, Any]) -> None:
    for path in PAGES:
        answer = desk.ask("GET", path.format(**made), Accept="text/html")
        assert answer.status_code == 200, path
    said = {path: desk.get(path.format(**made)) for path in ANSWERS}
    assert str(made["thing"]) in said["/api/things/costs"]
    assert len(said["/api/things/{thing}/versions"]) >= 2
    for path, begins in FILES.items():
        data = desk.ask("GET", path.format(**made)).data
        assert begins in data[:400], (path, data[:200])
    differences = said["/api/compare/{pattern}/{later}"]
    assert "pitch" in str(differences)

    walked(desk, made["job"])
    led(desk, made["layout"])


def walked(desk: Desk, number: int) -> None:
    """Work a job step by step to its end."""
    desk.put(f"/api/jobs/{number}", {"by_strike": False})
    desk.post(f"/api/jobs/{number}/unchecked", {})
    steps: list[str] = []
    now = desk.get(f"/api/jobs/{number}")
    while not now["done"] and len(steps) < 20:
        steps.append(now["step"]["name"])
        now = desk.post(f"/api/jobs/{number}/go", {"by": 1, "revision": now["revision"]})
    assert steps == ["cut-piece-1", "punch-piece-1", "prick-piece-1"]


def led(desk: Desk, layout: int) -> None:
    """Push the leather against a piece, and plan it span by span: the light is long enough for it, and says so."""
    piece = desk.get(f"/api/layouts/{layout}")["pieces"][0]["name"]
    desk.post("/api/alignment/push", {"layout": layout, "piece": piece})
    desk.post("/api/alignment/end", {})
    answer = desk.ask("POST", f"/api/spans/{layout}", {"piece": piece})
    assert answer.status_code == 422
    assert answer.json is not None
    assert answer.json["error"]["sentence"].endswith(".")
