"""Paper read back by PDFium and pypdf, and measured: true to 0.02 mm, page sizes to 0.1 mm.

Paper sizes: ISO 216:2007 (A series); US letter and tabloid ANSI/ASME Y14.1, legal common practice, no source.
"""

from __future__ import annotations

import functools
import io
import itertools
import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pypdf
import pypdfium2 as pdfium
import pytest

from server.leather.drafts import families, get
from server.leather.piece import Piece
from server.output.paper import SIZES, Choices, Correction, correction, formats, roll
from server.output.paper_ink import PENS, Look
from server.output.paper_pages import Page, Title, pages
from server.output.paper_plan import Plan, plan
from server.output.pdf import pdf
from tests.reference.pdf_lines import Array, ReadPage, Stroke, distances, read_pdf

TRUE = 0.02
"""mm: what is promised of every line."""


@functools.cache
def printed(family: str, choices: Choices) -> tuple[Plan, tuple[Page, ...], list[ReadPage]]:
    pattern = get(family).draft({})
    made = plan(pattern.pieces, choices)
    drawn = pages(made, Title("A try", pattern.title))
    return made, drawn, read_pdf(pdf(drawn, "A try"))


ISO_216 = {"A0": (841, 1189), "A1": (594, 841), "A2": (420, 594), "A3": (297, 420), "A4": (210, 297), "A5": (148, 210)}
US_INCHES = {"letter": (8.5, 11), "legal": (8.5, 14), "tabloid": (11, 17)}
PAPERS = ISO_216 | {name: (w * 25.4, h * 25.4) for name, (w, h) in US_INCHES.items()}


@pytest.mark.parametrize("name", PAPERS)
@pytest.mark.parametrize("turn", ["portrait", "landscape"])
def test_every_page_has_the_size_of_its_paper(name: str, turn: str) -> None:
    drawn = pages(plan(get("key-fob").draft({}).pieces, Choices(SIZES[name], turn)), Title("x"))  # type: ignore[arg-type]
    found = pypdf.PdfReader(io.BytesIO(pdf(drawn, "x")))
    wide, high = PAPERS[name] if turn == "portrait" else PAPERS[name][::-1]
    for page in found.pages:
        assert float(page.mediabox.width) / 72 * 25.4 == pytest.approx(wide, abs=0.1)
        assert float(page.mediabox.height) / 72 * 25.4 == pytest.approx(high, abs=0.1)


def test_every_paper_is_tried() -> None:
    assert set(PAPERS) == set(SIZES)


def test_a_roll_is_as_wide_as_said_and_as_long_as_needed() -> None:
    made, _, read = printed("strap", Choices(roll(610.0)))
    assert [page.width for page in read] == pytest.approx([610.0] * len(read), abs=0.1)
    assert made.pages == 2
    strap = max(get("strap").draft({}).pieces, key=lambda piece: piece.box()[3] - piece.box()[1])
    left, top, _, bottom = strap.box()
    assert bottom - top < read[1].height < bottom - top + 60.0
    assert left < 0.0


def rules(page: ReadPage) -> list[Array]:
    """Where the ticks of each check rule stand along it, in mm from its start: of the lying rule, then of the upright."""
    found: dict[bool, Array] = {}
    for strokes in page.items().values():
        base = strokes[0]
        if len(strokes) != 39 or len(base.points) != 2:
            continue  # a base line, 21 ticks of 5 mm, 17 of a quarter inch
        upright = base.size[1] > base.size[0]
        along = np.array([stroke.points[0][int(upright)] for stroke in strokes[1:]])
        found[bool(upright)] = np.asarray(along - base.points[0][int(upright)])
    return [found[False], found[True]]


RULE_TICKS = np.concatenate((np.arange(21) * 5.0, np.arange(17) * 25.4 / 4.0))


@pytest.mark.parametrize("family", list(families()))
def test_every_page_carries_both_rules_true_in_mm_and_inches(family: str) -> None:
    _, _, read = printed(family, Choices())
    for page in read:
        for ticks in rules(page):
            assert np.abs(ticks - RULE_TICKS).max() < TRUE


Lie = tuple[Array, Array]
"""How a piece lies: a turn (2, 2) and a shift (2,), mm."""
TURNS = (np.eye(2), np.array([[0.0, -1.0], [1.0, 0.0]]))


def sheets(made: Plan, drawn: Sequence[Page], read: Sequence[ReadPage]) -> list[list[Stroke]]:
    """The strokes of all pages of each sheet, put together as the maker does: each page where its sheet goes on."""
    numbers = [i for i, sheet in enumerate(made.sheets) for _ in range(sheet.pages)]
    found: list[list[Stroke]] = [[] for _ in made.sheets]
    for number, page, there in zip(numbers, drawn[1:], read[1:], strict=True):
        shift = np.array(page.origin)
        found[number] += [Stroke(s.points + shift, s.closed, s.width, s.item) for s in there.strokes]
    return found


def lies(piece: Piece, strokes: Sequence[Stroke]) -> list[Lie]:
    """Every way in which a piece may lie so that its outline is one of the closed cut lines."""
    outline = piece.outline.flatten(0.001)
    found: list[Lie] = []
    for turn in TURNS:
        turned = outline @ turn.T
        size, middle = np.ptp(turned, axis=0), (turned.min(axis=0) + turned.max(axis=0)) / 2.0
        for stroke in of_look("cut", strokes):
            if np.abs(size - stroke.size).max() < 0.05:
                found.append((turn, stroke.middle - middle))
    return found


def of_look(look: Look, strokes: Sequence[Stroke]) -> list[Stroke]:
    return [stroke for stroke in strokes if stroke.closed and abs(stroke.width - PENS[look].width) < 0.005]


def worst_of_piece(piece: Piece, strokes: Sequence[Stroke], lie: Lie) -> float:
    """The farthest that any line or hole of a piece is from where it belongs, mm, measured both ways."""
    turn, shift = lie
    worst = []
    for drawn in piece.drawn:
        exact = drawn.path.flatten(0.001) @ turn.T + shift
        like = [_apart(exact, drawn.path.closed, stroke) for stroke in _like(exact, strokes)]
        worst.append(min(like, default=math.inf))
    rings = np.array([stroke.middle for stroke in of_look("hole", strokes)]).reshape(-1, 2)
    for hole in piece.holes:
        worst.append(float(np.hypot(*(rings - (turn @ (hole.x, hole.y) + shift)).T).min()))
    return max(worst)


def _like(exact: Array, strokes: Sequence[Stroke]) -> list[Stroke]:
    """The strokes whose box is that of a line, to 0.05 mm."""
    size, middle = np.ptp(exact, axis=0), (exact.min(axis=0) + exact.max(axis=0)) / 2.0
    return [s for s in strokes if max(np.abs(size - s.size).max(), np.abs(middle - s.middle).max()) < 0.05]


def _apart(exact: Array, closed: bool, stroke: Stroke) -> float:
    there, back = distances(stroke.points, stroke.closed, exact), distances(exact, closed, stroke.points)
    return float(max(there.max(), back.max()))


def measured(family: str, choices: Choices, scale: tuple[float, float] = (1.0, 1.0)) -> float:
    """The worst of every piece of a family on paper, mm, after a printer that is off by `scale`; infinite if one is missing."""
    made, drawn, read = printed(family, choices)
    put_down = [replace(page, strokes=tuple(_scaled(s, scale) for s in page.strokes)) for page in read]
    worst = 0.0
    for piece in get(family).draft({}).pieces:
        found = [worst_of_piece(piece, one, lie) for one in sheets(made, drawn, put_down) for lie in lies(piece, one)]
        worst = max(worst, min(found, default=math.inf))
    return worst


def _scaled(stroke: Stroke, scale: tuple[float, float]) -> Stroke:
    return replace(stroke, points=stroke.points * scale)


@pytest.mark.parametrize("family", list(families()))
def test_outlines_lines_and_holes_are_true(family: str) -> None:
    assert measured(family, Choices()) < TRUE


def test_pages_of_one_sheet_show_the_same_at_their_joints() -> None:
    for family in ("tool-roll", "strap", "book-cover"):
        made, drawn, read = printed(family, Choices())
        sheet_of = dict(enumerate((i for i, sheet in enumerate(made.sheets) for _ in range(sheet.pages)), 2))
        joints = 0
        for one, other in itertools.combinations(range(1, len(read)), 2):
            if sheet_of[one + 1] != sheet_of[other + 1]:
                continue
            shift = np.array(drawn[other].origin) - np.array(drawn[one].origin)
            mine, theirs = _diamonds(read[one]), _diamonds(read[other])
            gaps = [np.hypot(*(theirs + shift - place).T).min() for place in mine] if len(theirs) else []
            shared = [gap for gap in gaps if gap < 2.0]
            joints += len(shared)
            assert all(gap < TRUE for gap in shared)
        expected = sum((c - 1, r) in s.cells for s in made.sheets for c, r in s.cells)
        expected += sum((c, r - 1) in s.cells for s in made.sheets for c, r in s.cells)
        assert joints >= 2 * expected >= 4


def _diamonds(page: ReadPage) -> Array:
    """Middles of the joining marks: closed, four corners, 8 mm both ways."""
    found = [s.middle for s in of_look("joint", page.strokes) if np.allclose(s.size, 8.0, atol=0.01)]
    return np.array(found).reshape(-1, 2)


def test_a_diamond_has_its_middle_on_the_edge_that_is_cut_on_both_pages() -> None:
    _, drawn, read = printed("book-cover", Choices())
    for one, other in itertools.pairwise(range(1, len(read))):
        margin, left = 7.0, drawn[other].window[0]
        cut = margin + left
        laid_on = margin + left + drawn[other].origin[0] - drawn[one].origin[0]
        assert np.abs(_diamonds(read[other])[:, 0] - cut).min() < TRUE
        assert np.abs(_diamonds(read[one])[:, 0] - laid_on).min() < TRUE


@pytest.mark.parametrize(("family", "size"), [("strap", "A4"), ("tool-roll", "A5"), ("book-cover", "A5")])
def test_the_rules_across_the_joints_run_on_from_page_to_page(family: str, size: str) -> None:
    """On every page of a sheet on which such a rule shows, its tick of so many mm lies at the same place of the sheet."""
    made, drawn, read = printed(family, Choices(SIZES[size]))
    seen = 0
    for page, there in zip(drawn[1:], read[1:], strict=True):
        shift = np.array(page.origin) - (7.0 + 8.0, 7.0 + 14.0)  # the margin and the strips of the page
        for rule in there.items().values():
            if rule[0].closed or abs(rule[0].width - PENS["rule"].width) > 0.005:
                continue  # a hole has the same width, but begins with its ring
            upright = int(rule[0].size[1] > rule[0].size[0])
            ticks = np.array([stroke.points[0] + shift for stroke in rule[1:]])
            if len(rule) == 39:
                continue  # the page's own rules
            start = round((ticks[0, upright] - 10.0) / 100.0) * 100.0
            assert np.abs(ticks[:, upright] - (10.0 + start + 10.0 * np.arange(len(ticks)))).max() < TRUE
            assert np.abs(ticks[:, 1 - upright] - 7.0).max() < TRUE
            seen += 1
    along = sum((c == 0) * (s.rows > 1) + (r == 0) * (s.columns > 1) for s in made.sheets for c, r in s.cells)
    assert seen >= along > 0


OFF = Choices(correction=correction(99.2, 100.6, "the study printer"))


def test_the_correction_is_applied_across_and_down_each_for_itself() -> None:
    _, _, read = printed("belt-pouch", OFF)
    for page in read:
        lying, upright = rules(page)
        assert np.abs(lying * 0.992 - RULE_TICKS).max() < TRUE
        assert np.abs(upright * 1.006 - RULE_TICKS).max() < TRUE
        assert abs(lying[20] - 100.0) > 0.5


def test_a_printer_that_is_off_prints_a_corrected_page_true() -> None:
    """The printer is simulated: what it puts down is the file's place times what its rules measured."""
    assert measured("round-case", OFF, (0.992, 1.006)) < TRUE


def test_the_page_says_what_is_corrected_and_nothing_leaves_the_printable_part() -> None:
    made, _, read = printed("belt-pouch", OFF)
    assert "Corrected for the study printer: +0.81 % across, -0.60 % down." in " ".join(read[0].text.split())
    for page in read:
        assert "+0.81 % across, -0.60 % down" in page.text
    for side in (correction(95.3, 95.3), correction(104.9, 104.9), Correction()):
        for form in formats(Choices(correction=side)):
            window = form.window
            assert form.height is not None
            assert (window.width + 8.0) * side.across == pytest.approx(form.width - 14.0)
            assert (window.height + 14.0) * side.down == pytest.approx(form.height - 14.0)
    assert made.pages == len(read)


def test_a_rule_is_true_where_the_ink_falls() -> None:
    """Rendered by PDFium at 1200 dpi: the middle of the ink of the ticks at 0 and 100 mm."""
    _, drawn, _ = printed("key-fob", Choices())
    document = pdfium.PdfDocument(pdf(drawn, "x"))
    per_mm = 1200 / 25.4
    picture = document[1].render(scale=1200 / 72, grayscale=True).to_numpy().squeeze()
    document.close()
    row = round((7.0 + 9.0 - 1.9) * per_mm)
    ink = 255.0 - picture[row - 4 : row + 4].mean(axis=0).astype(np.float64)

    def middle(at: float) -> float:
        x = np.arange(round((at - 1.0) * per_mm), round((at + 1.0) * per_mm))
        return float((ink[x] * (x + 0.5)).sum() / ink[x].sum()) / per_mm

    start = 7.0 + 8.0
    assert middle(start + 100.0) - middle(start) == pytest.approx(100.0, abs=TRUE)
    assert middle(start) == pytest.approx(start, abs=TRUE)


def test_the_file_asks_not_to_be_scaled_embeds_its_letters_and_is_the_same_each_time() -> None:
    _, drawn, _ = printed("belt-pouch", Choices())
    data = pdf(drawn, "Pouch")
    assert data == pdf(drawn, "Pouch")
    found = pypdf.PdfReader(io.BytesIO(data))
    assert found.root_object["/ViewerPreferences"]["/PrintScaling"] == "/None"  # type: ignore[index]
    fonts = [font.get_object() for page in found.pages for font in page["/Resources"]["/Font"].values()]  # type: ignore[index]
    assert fonts
    for font in fonts:
        assert "/FontFile2" in font["/FontDescriptor"], font["/BaseFont"]
