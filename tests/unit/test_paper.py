"""Paper: sizes, corrections, how pieces are laid on sheets, what is refused, and the command that prints."""

from __future__ import annotations

import dataclasses
import itertools
import math
import xml.etree.ElementTree as ET
from pathlib import Path

import numpy as np
import pypdf
import pytest

from server.cli import main
from server.errors import Refusal
from server.geometry.build import rounded_rectangle
from server.geometry.segment import Arc
from server.leather.drafts import families, get
from server.leather.piece import Drawn, Label, Piece
from server.output.paper import SIZES, Choices, Correction, correction, formats, roll
from server.output.paper_joints import letters
from server.output.paper_pages import Title, pages
from server.output.paper_plan import BETWEEN, MOST_PAGES, plan
from server.output.paper_sheet import SheetStep, SheetTable, WorkSheet, work_sheet_pdf
from server.output.paper_svg import page_svg
from server.output.paper_text import fitted, width, wrapped
from server.output.pdf import curves, pdf
from server.services.paper.paper_choices import read_choices


def rectangle(name: str, wide: float, high: float) -> Piece:
    return Piece(name, name.title(), (Drawn("cut", rounded_rectangle(0.0, 0.0, wide, high, 2.0), "outline"),))


def test_pieces_that_fit_a_page_lie_whole_on_one_and_apart() -> None:
    for family in families():
        for size in ("A4", "A3", "letter"):
            made = plan(get(family).draft({}).pieces, Choices(SIZES[size]))
            window = made.format.window
            for sheet in made.sheets:
                for one, other in itertools.combinations([laid.box for laid in sheet.laid], 2):
                    gap = max(other[0] - one[2], one[0] - other[2], other[1] - one[3], one[1] - other[3])
                    assert gap >= BETWEEN - 1e-9
                if sheet.pages == 1:
                    assert all(
                        b[0] >= 0.0 and b[2] <= window.width and b[1] >= 0.0 and b[3] <= window.height
                        for b in (one.box for one in sheet.laid)
                    )
                else:
                    assert not any(max(one.width, one.height) < min(window.width, window.height) for one in sheet.laid)
            laid = sorted(one.piece.name for sheet in made.sheets for one in sheet.laid)
            assert laid == sorted(piece.name for piece in get(family).draft({}).pieces)


def test_every_page_of_a_sheet_is_needed_and_they_cover_it() -> None:
    for size in ("A4", "A5", "tabloid"):
        made = plan(get("tool-roll").draft({}).pieces, Choices(SIZES[size], overlap=12.0))
        window, (step_x, step_y) = made.format.window, made.step
        for sheet in made.sheets:
            boxes = [
                (c * step_x, r * step_y, c * step_x + window.width, r * step_y + window.height) for c, r in sheet.cells
            ]
            for page in boxes:
                assert any(_shared(page, one.box) > 0.0 for one in sheet.laid)
            for one in sheet.laid:
                x = np.linspace(one.box[0], one.box[2], 60)
                y = np.linspace(one.box[1], one.box[3], 60)
                covered = [((x[:, None] >= p[0]) & (x[:, None] <= p[2]) & (y >= p[1]) & (y <= p[3])) for p in boxes]
                assert np.any(covered, axis=0).all()


def _shared(a: tuple[float, ...], b: tuple[float, ...]) -> float:
    return max(0.0, min(a[2], b[2]) - max(a[0], b[0])) * max(0.0, min(a[3], b[3]) - max(a[1], b[1]))


def test_copies_and_choice_of_pieces() -> None:
    pieces = get("belt-pouch").draft({}).pieces
    made = plan(pieces, Choices(copies=(("front", 3),)))
    assert [laid.piece.name for sheet in made.sheets for laid in sheet.laid] == ["front"] * 3


@pytest.mark.parametrize(
    ("copies", "words"),
    [
        ((("lid", 1),), "There is no piece 'lid'"),
        ((("front", 0),), "No piece is chosen"),
        ((("front", 51),), "At most 50 copies"),
    ],
)
def test_a_choice_that_cannot_be_is_refused(copies: tuple[tuple[str, int], ...], words: str) -> None:
    with pytest.raises(Refusal, match=words) as refused:
        plan(get("belt-pouch").draft({}).pieces, Choices(copies=copies))
    assert refused.value.field == "pieces"


def test_a_strap_of_forty_metres_is_counted_and_one_of_a_hundred_refused() -> None:
    made = plan([rectangle("strap", 38.0, 40_000.0)], Choices(SIZES["A5"]))
    assert 40_000.0 / 200.0 < made.pages <= MOST_PAGES
    with pytest.raises(Refusal, match=r"This takes \d+ pages of A5, 148 x 210 mm: at most 400 are made") as refused:
        plan([rectangle("strap", 38.0, 100_000.0)], Choices(SIZES["A5"]))
    assert refused.value.field == "size"


def test_a_roll_is_one_length_as_long_as_a_page_can_be_and_goes_on_after_it() -> None:
    assert plan([rectangle("strap", 38.0, 4_000.0)], Choices(roll(300.0))).pages == 2
    long = plan([rectangle("strap", 38.0, 12_000.0)], Choices(roll(300.0)))
    drawn = pages(long, Title("x"))
    assert long.sheets[0].rows == 3
    assert all(page.height <= 5000.0 for page in drawn)
    assert sum(page.height for page in drawn[1:]) > 12_000.0


@pytest.mark.parametrize("wide", [149.0, 5001.0, math.nan, math.inf])
def test_a_roll_out_of_reason_is_refused(wide: float) -> None:
    with pytest.raises(Refusal, match="The roll is"):
        roll(wide)


@pytest.mark.parametrize(
    ("name", "value"), [("margin", -1.0), ("margin", 60.0), ("overlap", math.nan), ("overlap", 51.0)]
)
def test_margins_and_overlaps_out_of_reason_are_refused(name: str, value: float) -> None:
    with pytest.raises(Refusal, match=f"The {name} is") as refused:
        Choices(margin=value) if name == "margin" else Choices(overlap=value)
    assert refused.value.field == name


def test_a_margin_that_leaves_no_room_for_the_rules_is_refused() -> None:
    with pytest.raises(Refusal, match="A margin of 30 mm leaves no room for the check rules on A5"):
        formats(Choices(SIZES["A5"], margin=30.0))


def test_a_correction_is_what_makes_the_rule_true_and_goes_on_from_the_one_before() -> None:
    first = correction(99.0, 101.0)
    assert (first.across * 99.0, first.down * 101.0) == pytest.approx((100.0, 100.0))
    second = correction(99.9, 100.0, "den", first)
    assert (second.across, second.down) == pytest.approx((first.across * 100.0 / 99.9, first.down))
    assert Correction().words == "no correction"


@pytest.mark.parametrize(
    ("across", "down", "field"),
    [(94.0, 100.0, "across"), (100.0, 105.1, "down"), (math.nan, 100.0, "across"), (0.0, 100.0, "across")],
)
def test_more_than_five_percent_is_a_page_fitted_to_the_paper(across: float, down: float, field: str) -> None:
    with pytest.raises(Refusal, match='print at 100 % \\("actual size"\\), not fit to page') as refused:
        correction(across, down)
    assert refused.value.field == field


def test_corrections_on_top_of_each_other_stay_within_five_percent() -> None:
    with pytest.raises(Refusal, match="more than 5 % off"):
        correction(97.0, 100.0, "den", correction(96.0, 100.0))


def test_joining_letters() -> None:
    assert [letters(n) for n in (0, 25, 26, 27, 701, 702)] == ["A", "Z", "AA", "AB", "ZZ", "AAA"]


@pytest.mark.parametrize("radius", [0.4, 3.0, 38.0, 400.0, 5000.0])
def test_curves_stay_within_a_thousandth_of_their_arc(radius: float) -> None:
    arc = Arc((10.0, -3.0), radius, (0.6, 0.8), 2.0)
    start, worst = arc.start, 0.0
    for first, second, end in curves(arc):
        for t in (0.1, 0.2, 0.35, 0.5, 0.65, 0.8, 0.9):
            share = ((1 - t) ** 3, 3 * (1 - t) ** 2 * t, 3 * (1 - t) * t**2, t**3)
            x = sum(s * p[0] for s, p in zip(share, (start, first, second, end), strict=True))
            y = sum(s * p[1] for s, p in zip(share, (start, first, second, end), strict=True))
            worst = max(worst, abs(math.hypot(x - 10.0, y + 3.0) - radius))
        start = end
    assert worst < 0.001
    assert math.dist(start, arc.end) < 1e-9


def test_words_are_broken_and_cut_to_their_room() -> None:
    text = "Pages that belong together are laid one on the other"
    assert all(width(line, 3.0) <= 40.0 for line in wrapped(text, 3.0, 40.0))
    assert " ".join(wrapped(text, 3.0, 40.0)) == text
    assert width(fitted(text, 3.0, 20.0), 3.0) <= 20.0
    assert fitted(text, 3.0, 20.0).endswith("…")


HOSTILE = '<script>alert("x")</script> & \U0001f600 — Ж'


def test_words_from_outside_stay_words_on_paper_and_in_the_preview(tmp_path: Path) -> None:
    front = dataclasses.replace(
        rectangle("front", 60.0, 40.0), title=HOSTILE, labels=(Label(HOSTILE, 30.0, 20.0, 3.0),)
    )
    drawn = pages(plan([front], Choices()), Title(HOSTILE, HOSTILE, [(HOSTILE, HOSTILE)] * 60))
    for page in drawn:
        root = ET.fromstring(page_svg(page))  # noqa: S314 - our own text
        assert not [e for e in root.iter() if e.tag.endswith("script")]
    (tmp_path / "x.pdf").write_bytes(pdf(drawn, HOSTILE))
    step = SheetStep(HOSTILE, HOSTILE, HOSTILE, HOSTILE, HOSTILE, front, front, [(HOSTILE, [HOSTILE])])
    sheet = WorkSheet(HOSTILE, HOSTILE, [HOSTILE], [SheetTable(HOSTILE, ("A", "B"), [(HOSTILE, HOSTILE)])], [step])
    (tmp_path / "y.pdf").write_bytes(work_sheet_pdf(sheet))
    assert work_sheet_pdf(sheet) == work_sheet_pdf(sheet)
    for name in ("x.pdf", "y.pdf"):
        text = "".join(page.extract_text() for page in pypdf.PdfReader(tmp_path / name).pages)
        assert "<script>" in text


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"size": "B4"}, "size"),
        ({"size": "roll"}, "roll"),
        ({"size": "roll", "roll": "5 mm"}, "roll"),
        ({"turn": "upside"}, "turn"),
        ({"margin": "wide"}, "margin"),
        ({"overlap": "-3 mm"}, "overlap"),
        ({"pieces": "front:two"}, "pieces"),
        ({"pieces": "front:99999"}, "pieces"),
        ({"colour": "red"}, "colour"),
    ],
)
def test_words_that_are_no_choice_are_refused_by_field(typed: dict[str, str], field: str) -> None:
    with pytest.raises(Refusal) as refused:
        read_choices(typed)
    assert refused.value.field == field


def test_choices_in_words() -> None:
    found = read_choices(
        {"size": "a3", "turn": "landscape", "margin": "1/4 in", "overlap": "1.5 cm", "pieces": "front:2, back"}
    )
    assert (found.size.name, found.turn) == ("A3", "landscape")
    assert (found.margin, found.overlap) == pytest.approx((6.35, 15.0))
    assert found.copies == (("front", 2), ("back", 1))


def test_the_command_prints_a_family_and_a_pattern_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out, svg = tmp_path / "out.pdf", tmp_path / "case.svg"
    words = ["print", "round-case", "--paper", "letter", "--overlap", "1/2 in", "--landscape", "--out", str(out)]
    assert main(words) == 0
    assert "pages of US letter" in capsys.readouterr().out
    assert float(pypdf.PdfReader(out).pages[0].mediabox.width) == pytest.approx(792.0)
    assert main(["draft", "round-case", "--out", str(svg)]) == 0
    words = [
        "print",
        str(svg),
        "--paper",
        "roll:24 in",
        "--piece",
        "base=4",
        "--measured",
        "99.5,100",
        "--out",
        str(out),
    ]
    assert main(words) == 0
    assert "+0.50 % across, +0.00 % down" in capsys.readouterr().out
    assert "Base" in pypdf.PdfReader(out).pages[1].extract_text()


def test_a_draft_is_written_as_its_ending_says(tmp_path: Path) -> None:
    heads = {}
    for ending in ("svg", "dxf", "pdf"):
        path = tmp_path / f"fob.{ending}"
        assert main(["draft", "key-fob", "--out", str(path)]) == 0
        heads[ending] = path.read_bytes()[:30].lstrip()
    assert heads["svg"].startswith(b"<?xml")
    assert heads["dxf"].startswith(b"0\nSECTION")
    assert heads["pdf"].startswith(b"%PDF-")


@pytest.mark.parametrize(
    "words",
    [
        ["nope"],
        ["key-fob", "--paper", "A9"],
        ["key-fob", "--measured", "80,100"],
        ["key-fob", "--measured", "99.2"],
        ["key-fob", "--measure", "length=1 parsec"],
        ["key-fob", "--piece", "lid"],
        ["nothere.svg"],
    ],
)
def test_the_command_refuses_in_one_sentence(
    words: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out.pdf"
    assert main(["print", *words, "--out", str(out)]) == 2
    said = capsys.readouterr()
    assert len(said.err.strip().splitlines()) == 1
    assert "Traceback" not in said.err
    assert not out.exists()


def test_the_print_must_be_a_pdf(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["print", "key-fob", "--out", str(tmp_path / "x.png")]) == 2
    assert "must end in .pdf" in capsys.readouterr().err
