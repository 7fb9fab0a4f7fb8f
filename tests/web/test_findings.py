"""Each thing a good maker stops at before cutting, provoked as a maker would: by measures, or by a file of their own."""

from __future__ import annotations

from typing import Any

import pytest

from server.leather.drafts import families
from tests.web.desk import Desk
from tests.web.test_own import brought, chosen

HEAD = '<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="200mm" viewBox="0 0 200 200" fill="none" stroke="#000">'
BOARD = '<path id="cut" d="M20 20H120V120H20z"/>'
SLOT = '<rect x="60" y="60" width="20" height="8" stroke="green"/>'
SEAM = '<path stroke="blue" d="{}"/>'
FOLD = '<path stroke="red" d="{}"/>'
ROLES = {"|#0000ff|": "stitch", "|#ff0000|": "fold", "|#008000|": "slot"}


def brought_findings(desk: Desk, body: str) -> list[dict[str, Any]]:
    """Bring a file of lines by colour, say what they are for, and return what is found on it."""
    drawing = brought(desk, f"{HEAD}{BOARD}{body}</svg>".encode())
    looks = {key: ROLES.get(key, choice) for key, choice in drawing["choices"]["looks"].items()}
    draft = chosen(desk, drawing, looks=looks)["draft"]
    found: list[dict[str, Any]] = draft["findings"]
    return found


@pytest.mark.parametrize(
    ("kind", "family", "measures"),
    [
        ("margin", "belt-pouch", {"slot-gap": "4.4 mm"}),
        ("neck", "belt-pouch", {"slot-gap": "4.4 mm"}),
        ("slot edge", "sheath", {"strap-width": "10 mm"}),
        ("thin welt", "sheath", {"spine": "6 mm", "leather": "3.2 mm", "welt": "3.2 mm"}),
    ],
)
def test_measures_that_a_maker_would_mend(desk: Desk, kind: str, family: str, measures: dict[str, str]) -> None:
    draft = desk.post("/api/draft", {"family": family, "measures": measures})
    lies_on(draft, kind)
    assert desk.post("/api/draft", {"family": family, "measures": {}})["findings"] == []


def test_a_piece_larger_than_the_picture_of_the_bench_in_use(desk: Desk) -> None:
    """Only a calibrated bench has a picture to compare with: a belt for a waist of 1.2 m is longer than 1.2 m of light."""
    wide = {"family": "strap", "measures": {"size": "1200 mm"}}
    assert not any(one["kind"].startswith("larger") for one in desk.post("/api/draft", wide)["findings"])
    desk.practice("marks")
    lies_on(desk.post("/api/draft", wide), "larger than the picture")


def lies_on(draft: dict[str, Any], kind: str) -> None:
    """Hold the finding to its piece's box, its sentence and its remedy."""
    boxes = {piece["name"]: piece["box"] for piece in draft["pieces"]}
    found = [one for one in draft["findings"] if one["kind"] == kind]
    assert found, kind
    for one in found:
        left, top, right, bottom = boxes[one["piece"]]
        assert left <= one["place"][0] <= right, one
        assert top <= one["place"][1] <= bottom, one
        assert one["sentence"].endswith("."), one
        assert one["remedy"].endswith("."), one
        assert any(character.isdigit() for character in one["sentence"]), one


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        ("margin", SEAM.format("M21 30V110")),
        ("outside", SLOT + SEAM.format("M40 64H100")),
        ("fold", SEAM.format("M40 100H100") + FOLD.format("M30 100.4H110")),
        ("slot edge", '<rect x="60" y="21" width="20" height="8" stroke="green"/>'),
        ("neck", SLOT + SEAM.format("M40 69H100")),
        ("crossing", SLOT + SEAM.format("M40 64H100")),
    ],
)
def test_a_file_that_a_maker_would_mend(desk: Desk, kind: str, body: str) -> None:
    found = {one["kind"]: one for one in brought_findings(desk, body)}
    assert kind in found
    assert found[kind]["sentence"].endswith(".")
    assert found[kind]["remedy"].endswith(".")


def test_a_sound_file_has_no_findings(desk: Desk) -> None:
    assert brought_findings(desk, SLOT + SEAM.format("M30 30V110H110V30")) == []


def test_no_draft_sews_lines_that_do_not_match(desk: Desk) -> None:
    """Mates take the master's count, and one that is longer says so on purpose (eased): the finding is for patterns that do not."""
    pairs = 0
    for name in families():
        draft = desk.post("/api/draft", {"family": name, "measures": {}})
        seams = {seam["name"]: seam for seam in draft["seams"]}
        for seam in seams.values():
            if seam["mate"]:
                pairs += 1
                master = seams[seam["mate"]]
                assert seam["holes"] == master["holes"]
                assert abs(seam["length_mm"] - seam["eased_mm"] - master["length_mm"]) <= 0.05 * master["length_mm"]
        assert not [one for one in draft["findings"] if one["kind"] == "mating"]
    assert pairs > 10
