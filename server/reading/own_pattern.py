"""A sheet and its assignment made into a pattern of the family "own": pieces, seams with holes, steps, and what to say."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from calibration.refusal import Refusal
from server.geometry.build import polyline
from server.geometry.path import Path
from server.geometry.region import thinned
from server.leather.drafts import parts, said, work
from server.leather.pattern import Dimension, Pattern, Seam, Sentence, Step
from server.leather.piece import Drawn, Label, Piece, Role
from server.leather.stitch import Ease, StitchLine, crowded, stitch_line
from server.reading.assignment import Assignment
from server.reading.drawn_holes import on_path, rows, through
from server.reading.pieces import Part, centres, gather
from server.reading.sheet import Array, Sheet, SheetLine

FAMILY = "own"
MOST_SEAMS = 300
MOST_HOLES = 6_000
MOST_POINTS = 20_000
"""Points of all that is cut, punched, folded and marked: more would keep the maker waiting at every step."""
THINNED_MM = 0.01
_FINE = 500
"""Points from which a line is thinned: such a line was traced or flattened, not drawn."""
_PLAIN: tuple[Role, ...] = ("slot", "fold", "mark")


@dataclass(frozen=True)
class _Wishes:
    """What the maker wants of the seams: mm, how many plies a seam goes through, and which of its stitches are eased."""

    pitch: float
    leather: float
    plies: int
    ease: Ease


@dataclass(frozen=True)
class _Made:
    """A piece with its seams and what is said of them."""

    piece: Piece
    seams: tuple[Seam, ...]
    sentences: tuple[Sentence, ...]


def to_pattern(
    sheet: Sheet,
    assignment: Assignment,
    pitch: float,
    *,
    leather: float = 2.0,
    plies: int = 2,
    title: str | None = None,
    ease: Ease = "whole",
) -> Pattern:
    """Make a pattern of a sheet whose unit is known.

    Args:
        sheet: as read, scaled if its file did not say its unit.
        assignment: what each look, or line, is for.
        pitch: mm between stitch holes; eased on each line so that a whole number fits.
        leather: mm, one ply.
        plies: how many plies the seams go through, for the thread.
        title: of the pattern; the file's name when left out.
        ease: "whole" eases all stitches between two corners or ends alike, "last" keeps the pitch and eases the last few.

    Each piece's origin is the middle of the top of its outline's box. A stitch line over holes that the file draws keeps
    those; any other is stepped off.

    Raises:
        Refusal: a unit that is not known yet, no closed cut line, or a number out of reason; the field is the input.

    """
    _check(sheet, pitch, leather, plies)
    wishes = _Wishes(pitch, leather, plies, ease)
    found, remarks = gather(sheet, assignment.of(sheet))
    _check_holes(found, pitch)
    several = len({part.outline.page for part in found}) > 1
    made = [_made(part, number, several, wishes) for number, part in enumerate(found, start=1)]
    _check_points([one.piece for one in made])
    warnings = [*remarks, *(drop.words for drop in sheet.dropped), *sheet.notes]
    sentences = [sentence for one in made for sentence in one.sentences]
    return Pattern(
        FAMILY,
        title or sheet.name,
        {"pitch": pitch, "leather": leather},
        tuple(one.piece for one in made),
        tuple(seam for one in made for seam in one.seams),
        tuple(step for one in made for step in _steps(one)),
        (*sentences, *(Sentence("warning", words) for words in warnings)),
        tuple(dimension for one in made for dimension in _dimensions(one.piece)),
    )


def origins(sheet: Sheet, assignment: Assignment) -> dict[str, tuple[float, float]]:
    """Return where on the sheet the origin of each piece of `to_pattern` lies, mm; nothing when they are on several pages."""
    found, _ = gather(sheet, assignment.of(sheet))
    if len({part.outline.page for part in found}) > 1:
        return {}
    return {f"piece-{number}": _origin(part) for number, part in enumerate(found, start=1)}


def _origin(part: Part) -> tuple[float, float]:
    left, top, right, _ = part.outline.box
    return float((left + right) / 2.0), float(top)


def _check(sheet: Sheet, pitch: float, leather: float, plies: int) -> None:
    if not sheet.unit_known:
        raise Refusal(sheet.question or "Say the unit of the file first.", field="unit")
    if not (math.isfinite(pitch) and 0.5 <= pitch <= 50.0):
        raise Refusal(f"The pitch is {pitch:.4g} mm: choose 0.5 to 50 mm.", field="pitch")
    if not (math.isfinite(leather) and 0.1 <= leather <= 20.0):
        raise Refusal(f"The leather is {leather:.4g} mm: choose 0.1 to 20 mm.", field="leather")
    if not 1 <= plies <= 10:
        raise Refusal(f"The seams go through {plies} plies: choose 1 to 10.", field="plies")


def _check_holes(found: Sequence[Part], pitch: float) -> None:
    """Refuse more stitching than a maker sews, before any of it is stepped off."""
    stitched = [line for part in found for line in part.of("stitch")]
    holes = sum(line.length for line in stitched) / pitch + sum(len(part.of("hole")) for part in found)
    if len(stitched) > MOST_SEAMS or holes > MOST_HOLES:
        what = f"{len(stitched)} stitch lines with some {holes:.0f} holes"
        most = f"{MOST_SEAMS} lines and {MOST_HOLES} holes are the most"
        raise Refusal(f"The pattern would have {what}: {most}; assign fewer lines to be stitched.", field="stitch")


def _made(part: Part, number: int, several: bool, wishes: _Wishes) -> _Made:
    origin = np.array(_origin(part))
    name = f"piece-{number}"
    title = f"Piece {number}" + (f" (page {part.outline.page})" if several else "")
    drawn = [_drawn("cut", part.outline, origin, "outline")]
    for role in _PLAIN:
        drawn += [_drawn(role, line, origin, f"{role}-{i}") for i, line in enumerate(part.of(role), start=1)]
    lines, sentences = _stitching(part, origin, name, title, wishes, drawn)
    seams = []
    for line, given in lines:
        seam_name = line.holes[0].seam
        seam = parts.seam(
            line, seam_name, f"{title}, {_title(seam_name)}", name, wishes.plies, wishes.plies * wishes.leather
        )
        seams.append(seam)
        sentences += _counted(seam, line, given, wishes.pitch)
    piece = Piece(name, title, tuple(drawn), tuple(h for line, _ in lines for h in line.holes), _labels(part, title))
    return _Made(piece, tuple(seams), tuple(sentences))


def _title(seam: str) -> str:
    return f"seam {seam.rpartition('-')[2]}"


def _path(line: SheetLine, origin: Array) -> Path:
    return polyline([(x, y) for x, y in (line.points - origin).tolist()], closed=line.closed)


def _drawn(role: Role, line: SheetLine, origin: Array, name: str) -> Drawn:
    """Return a line that is only drawn; a stitch line is never thinned, for its holes are stepped off on it."""
    thin = thinned(line.points, line.closed, THINNED_MM) if len(line.points) > _FINE else line.points
    return Drawn(role, _path(replace(line, points=thin), origin), name)


def _check_points(pieces: Sequence[Piece]) -> None:
    points = sum(len(drawn.path.segments) for piece in pieces for drawn in piece.drawn)
    if points > MOST_POINTS:
        sentence = (
            f"The lines that are cut, punched and marked have {points} points, more than {MOST_POINTS}: simplify the "
            "drawing where it is finer than leather can be cut, or leave lines out."
        )
        raise Refusal(sentence, field="cut")


def _stitching(
    part: Part, origin: Array, name: str, title: str, wishes: _Wishes, drawn: list[Drawn]
) -> tuple[list[tuple[StitchLine, bool]], list[Sentence]]:
    """Stitch lines with their holes, each with whether the file drew them; the lines are added to what is drawn."""
    holes = centres(part.of("hole")) - origin
    drawn_holes = len(holes)
    found: list[tuple[StitchLine, bool]] = []
    sentences: list[Sentence] = []
    for number, line in enumerate(part.of("stitch"), start=1):
        path, seam = _path(line, origin), f"{name}-seam-{number}"
        given, holes = on_path(path, holes, seam)
        try:
            stepped = given or stitch_line(path, wishes.pitch, seam, ease=wishes.ease)
            path = stepped.path
            found.append((stepped, given is not None))
        except Refusal as refusal:
            sentences.append(Sentence("warning", f"{title}, seam {number} has no holes. {refusal.sentence}"))
        drawn.append(Drawn("stitch", path, seam))
    for number, (row, closed) in enumerate(rows(holes), start=len(part.of("stitch")) + 1):
        seam = f"{name}-seam-{number}"
        line_through = through(row, closed, seam)
        drawn.append(Drawn("stitch", line_through.path, seam))
        found.append((line_through, True))
    alone = drawn_holes - sum(len(line.holes) for line, given in found if given)
    if alone:
        sentences.append(
            Sentence("warning", f"{title}: {alone} drawn holes belong to no row and were left out.", alone)
        )
    return found, sentences


def _counted(seam: Seam, line: StitchLine, given: bool, pitch: float) -> list[Sentence]:
    if given:
        steps = line.steps
        words = f"{seam.title}: {seam.holes} holes as drawn, {steps.min():.2f} to {steps.max():.2f} mm apart."
        return [Sentence("count", words, seam.holes)]
    near = crowded(line, pitch)
    found = [said.count(seam, pitch)]
    if near is not None:
        words = f"{seam.title}: holes {near[0] + 1} and {near[1] + 1} are only {near[2]:.2f} mm apart; leave one out."
        found.append(Sentence("warning", words, near[2]))
    return found


def _labels(part: Part, title: str) -> tuple[Label, ...]:
    left, top, right, bottom = part.outline.box
    width, height = right - left, bottom - top
    if min(width, height) < 8.0:
        return ()
    return (Label(title, 0.0, height / 2.0, parts.label_size(width / 2.0, height)),)


def _dimensions(piece: Piece) -> tuple[Dimension, ...]:
    points = piece.outline.flatten()
    (left, top), (right, bottom) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
    return (
        parts.dimension(piece.name, "cut width", (left, bottom), (right, bottom), 10.0),
        parts.dimension(piece.name, "cut height", (left, top), (left, bottom), 10.0),
    )


def _steps(made: _Made) -> list[Step]:
    piece, title = made.piece, made.piece.title[0].lower() + made.piece.title[1:]
    words = "Lay the leather grain side up and cut along the outline."
    found = [
        work.step(
            f"cut-{piece.name}", f"Cut {title}", words, piece.name, ("cut", "mark"), (), 1, work.KNIFE, work.BLADE
        )
    ]
    slots = _names(piece.drawn, "slot")
    if slots:
        words = f"Punch or cut {len(slots)} slots and openings as lit, before the holes are pricked."
        tools = ("punches", "knife")
        found.append(work.punch(piece.name, f"Punch {title}", words, slots, 1, tools, f"punch-{piece.name}"))
    if made.seams:
        holes = sum(seam.holes for seam in made.seams)
        words = f"Prick {holes} holes in {len(made.seams)} {'seam' if len(made.seams) == 1 else 'seams'}, each from its first lit hole on."
        found.append(work.prick(piece.name, words, made.seams, 1, f"prick-{piece.name}", f"Prick {title}"))
    return found


def _names(drawn: Sequence[Drawn], role: Role) -> list[str]:
    return [line.name for line in drawn if line.role == role]
