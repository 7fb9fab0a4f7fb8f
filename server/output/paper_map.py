"""The first page of a print: what it is, what to do, its measures, and the map of which page is where."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from server.geometry.path import Path
from server.geometry.placement import Placement
from server.geometry.segment import Arc, Line, Segment
from server.output.paper import STRIP_LEFT, STRIP_TOP
from server.output.paper_ink import Ink, Mark, Words, ink, outline_box, outlines
from server.output.paper_plan import Cell, Plan, Sheet
from server.output.paper_text import fitted, wrapped

LEAST_MAP = 55.0
"""mm: the map keeps at least this height; measures that leave less are cut short."""
APART = 8.0
"""mm between the sheets on the map."""
LARGEST_SCALE = 0.35
ROLL_PAGE = 220.0
"""mm: how long the first page of a roll is."""
TEXT, HEADING = 2.8, 5.2
"""mm: sizes of letters."""
LINE = 4.2
"""mm from line to line."""

Numbers = Sequence[Mapping[Cell, int]]


@dataclass
class _Sheet:
    """Where the next line goes, on a page ``width`` mm wide."""

    x: float
    y: float
    width: float
    marks: list[Mark]

    def say(self, text: str, size: float = TEXT, *, bold: bool = False) -> None:
        for words in wrapped(text, size * (1.08 if bold else 1.0), self.width):
            self.y += LINE * max(1.0, size / TEXT * 0.9)
            self.marks.append(Words(words, self.x, self.y, size, bold=bold))


def first_page(
    plan: Plan, numbers: Numbers, name: str, what: str, measures: Sequence[tuple[str, str]]
) -> tuple[list[Mark], float]:
    """Return the first page's marks, mm from the corner of what may be printed, and how much of the window they take."""
    window = plan.format.window
    height = ROLL_PAGE if plan.format.height is None else window.height
    bottom = STRIP_TOP + height
    text = _Sheet(STRIP_LEFT + 3.0, STRIP_TOP + 2.0, window.width - 6.0, [])
    text.say(name, HEADING, bold=True)
    for line in (what, *_instructions(plan)):
        if line:
            text.y += 0.8
            text.say(line)
    _measures(text, measures, bottom - LEAST_MAP)
    text.y += 1.5
    text.say("Which page is where", 3.4, bold=True)
    area = (text.x, text.y + 4.0, text.width, bottom - text.y - 6.0)
    return [*text.marks, *_map(plan, numbers, area)], height


def _instructions(plan: Plan) -> list[str]:
    joined = [sheet for sheet in plan.sheets if sheet.pages > 1]
    paper = "page" if plan.pages == 2 else "pages"
    said = [
        f"{plan.pages} pages of {plan.format.title}: this one and {plan.pages - 1} {paper} with pieces.",
        'Print at 100 % ("actual size"), not fit to page. Then measure both 100 mm rules of any page with a steel rule, '
        f"before you cut. {_correction(plan)}",
    ]
    if joined:
        said.append(
            "Pages that belong together: cut along the solid grey line, lay the edge on the dashed line of the page it "
            "names, until the halves of the diamonds and their letters meet. Then hold a steel rule to the long rules "
            "along the top and the left: they run on across the joints without a step."
        )
    return said


def _correction(plan: Plan) -> str:
    found = plan.format.correction
    if found.across == 1.0 and found.down == 1.0:
        return "No printer correction is applied."
    printer = f" for {found.printer}" if found.printer else ""
    return f"Corrected{printer}: {found.words}."


def _measures(text: _Sheet, measures: Sequence[tuple[str, str]], bottom: float) -> None:
    """Put the measures in two columns (three on wide paper), as many as there is room for."""
    if not measures:
        return
    columns = max(1, int(text.width // 62.0))
    text.y += 1.5
    text.say("Measures", 3.4, bold=True)
    rows = max(0, min(-(-len(measures) // columns), int((bottom - text.y - 6.0) // LINE)))
    width = text.width / columns
    for i, (title, value) in enumerate(measures[: rows * columns]):
        x, y = text.x + i % columns * width, text.y + (i // columns + 1) * LINE
        text.marks.append(Words(fitted(title, TEXT, width - 24.0), x, y, TEXT, grey=0.25))
        text.marks.append(Words(fitted(value, TEXT, 22.0), x + width - 4.0, y, TEXT, "end"))
    text.y += rows * LINE
    if rows * columns < len(measures):
        text.say(f"and {len(measures) - rows * columns} more on the work sheet")


def _map(plan: Plan, numbers: Numbers, area: tuple[float, float, float, float]) -> list[Mark]:
    """Draw every sheet small, at one scale, in an area (left, top, width, height, mm)."""
    left, top, width, height = area
    scale, places = LARGEST_SCALE, list[tuple[float, float]]()
    while True:
        places, used = _shelved(plan, scale, width)
        if used <= height or scale < 1e-3:
            break
        scale *= 0.93
    found: list[Mark] = []
    for sheet, pages, (x, y) in zip(plan.sheets, numbers, places, strict=True):
        found += [_moved_scaled(mark, scale, left + x, top + y) for mark in _sheet_map(plan, sheet, pages, scale)]
    return found


def extent(plan: Plan, sheet: Sheet) -> tuple[float, float]:
    """Return width and height of all the windows of a sheet together, mm; of a single roll page, what it is long."""
    window, (step_x, step_y) = plan.format.window, plan.step
    full = (sheet.columns - 1) * step_x + window.width, (sheet.rows - 1) * step_y + window.height
    return (full[0], min(full[1], sheet.height)) if plan.format.height is None else full


def _shelved(plan: Plan, scale: float, width: float) -> tuple[list[tuple[float, float]], float]:
    """Places of the sheets on the map, line by line, and the height they take, mm."""
    x = y = tallest = 0.0
    places: list[tuple[float, float]] = []
    for sheet in plan.sheets:
        wide, high = (scale * side for side in extent(plan, sheet))
        if x > 0.0 and x + wide > width:
            x, y, tallest = 0.0, y + tallest + APART * min(1.0, 4.0 * scale), 0.0
        places.append((x, y))
        x, tallest = x + wide + APART * min(1.0, 4.0 * scale), max(tallest, high)
    over = 2.0 if any(scale * extent(plan, sheet)[0] > width for sheet in plan.sheets) else 1.0
    return places, (y + tallest) * over + (1e9 if over > 1.0 else 0.0)


def _sheet_map(plan: Plan, sheet: Sheet, pages: Mapping[Cell, int], scale: float) -> list[Mark]:
    """A sheet's pages as boxes with their numbers, and its pieces' outlines, in the sheet's mm."""
    window, (step_x, step_y) = plan.format.window, plan.step
    wide, high = extent(plan, sheet)
    found: list[Mark] = [ink("cut", *outlines(sheet.laid))]
    for (column, row), number in pages.items():
        x, y = column * step_x, row * step_y
        box = outline_box(x, y, min(x + window.width, wide), min(y + window.height, high))
        found.append(ink("map", box))
        middle, down = x + window.width / 2.0, box_height(box)
        size = min(5.0, 0.45 * scale * min(window.width, down)) / scale
        found.append(Words(str(number), middle, y + down / 2.0 + 0.36 * size, size, "middle", bold=True))
    return found


def box_height(box: Path) -> float:
    """Return how high a rectangle is, mm."""
    ys = [point[1] for point in box.knots]
    return max(ys) - min(ys)


def _moved_scaled(mark: Mark, scale: float, x: float, y: float) -> Mark:
    if isinstance(mark, Words):
        return replace(mark, x=mark.x * scale + x, y=mark.y * scale + y, size=mark.size * scale)
    left, top, right, bottom = mark.box
    box = (left * scale + x, top * scale + y, right * scale + x, bottom * scale + y)
    return Ink(mark.look, tuple(_scaled(path, scale, x, y) for path in mark.paths), box)


def _scaled(path: Path, scale: float, x: float, y: float) -> Path:
    def move(segment: Segment) -> Segment:
        if isinstance(segment, Line):
            (x0, y0), (x1, y1) = segment.start, segment.end
            return Line((x0 * scale + x, y0 * scale + y), (x1 * scale + x, y1 * scale + y))
        cx, cy = segment.centre
        return Arc((cx * scale + x, cy * scale + y), segment.radius * scale, segment.middle, segment.half)

    return Path(tuple(move(segment) for segment in path.segments), path.closed)


def moved(mark: Mark, x: float, y: float) -> Mark:
    """Return a mark moved by (x, y) mm."""
    if isinstance(mark, Words):
        return replace(mark, x=mark.x + x, y=mark.y + y)
    left, top, right, bottom = mark.box
    to = Placement(x, y)
    return Ink(
        mark.look, tuple(path.transformed(to) for path in mark.paths), (left + x, top + y, right + x, bottom + y)
    )
