"""The verbs of the command line: each takes what was typed, does one thing, and returns what to print."""

from __future__ import annotations

import argparse
import json
import math
from collections.abc import Callable
from pathlib import Path
from types import MappingProxyType
from typing import Any, TextIO

import numpy as np

from calibration.adjust import adjust
from calibration.bench import Bench
from calibration.report import Report
from calibration.sightings import read as read_sightings
from server import units
from server.errors import Refusal
from server.geometry.placement import Placement
from server.geometry.svg_reading import read as read_drawing
from server.leather import drafts
from server.leather.pattern import Measure, Pattern
from server.leather.rack import starter
from server.output.frame_svg import frame_svg
from server.output.png import png
from server.output.projected import clipped, outside, project
from server.output.scene import of_drawing
from server.output.svg import pattern_svg
from server.services.bench.insight import Ask, insight
from server.services.files import write_whole as _write
from server.services.making import sewing
from server.services.paper import paper_commands
from server.services.pattern import drafting
from server.services.pattern.bring import bring

LARGEST_FILE = 16 * 2**20
"""Bytes: a larger file is refused unread."""


def draft(given: argparse.Namespace, _: TextIO) -> str:
    """Draft a pattern to a file or to the text returned; or list the families, or explain one."""
    if given.list:
        return "".join(f"{family.name}\t{family.title}\n" for family in drafts.families().values())
    if given.explain:
        return _explained(drafts.get(given.explain))
    if given.family is None:
        raise Refusal("Name a family to draft; hidelight draft --list shows them.")
    measures = drafting.read_measures(given.family, _named(given.measure))
    pattern = drafting.draft(given.family, measures)
    if given.out is None:
        return pattern_svg(pattern)
    _write(given.out, paper_commands.as_file(pattern, given.out.suffix))
    said = sewing.work(pattern, starter()).pattern.sentences
    return "".join(f"{sentence.words}\n" for sentence in said)


def print_file(given: argparse.Namespace, _: TextIO) -> str:
    """Write the pages of a pattern file, or of a family with its measures, as a PDF at true size."""

    def drafted(family: str) -> Pattern:
        return drafting.draft(family, drafting.read_measures(family, _named(given.measure)))

    return paper_commands.print_pages(given, _text, drafted)


def calibrate(given: argparse.Namespace, _: TextIO) -> str:
    """Adjust a sightings file, write the bench file, return the report."""
    sightings = read_sightings(_json(given.sightings))
    ask = Ask(units.leather(given.height, field="height"), units.length(given.tolerance, field="tolerance"))
    found = adjust(sightings)
    report = found.report.to_json()
    told = insight(found, sightings, ask)
    _write(given.out, json.dumps({**found.bench.to_json(), "report": report}, allow_nan=False).encode())
    if given.json:
        return json.dumps({**report, **told}, indent=1, allow_nan=False) + "\n"
    worst = found.report.worst
    return _told(found.report) + _advice(told, worst["sentence"] if worst else "")


def map_points(given: argparse.Namespace, lines: TextIO) -> str:
    """Map the points of the lines ``x,y`` between table and picture, one answer a line."""
    bench, height = Bench.from_json(_json(given.bench)), units.length(given.height, field="height")
    points = [_point(line, number) for number, line in enumerate(lines, 1) if line.strip()]
    if not points:
        return ""
    mapped = (bench.to_table if given.to == "table" else bench.to_picture)(np.array(points), height)
    if not np.isfinite(mapped).all():
        worst = int(np.flatnonzero(~np.isfinite(mapped).all(axis=1))[0])
        x, y = points[worst]
        raise Refusal(f"The point {x:g},{y:g} lies on the horizon of this bench and has no place; leave it out.")
    return "".join(f"{x:.6f},{y:.6f}\n" for x, y in mapped.tolist())


def project_file(given: argparse.Namespace, _: TextIO) -> str:
    """Draw a pattern file through a bench into a frame file, PNG or SVG by its ending."""
    kind = given.out.suffix.lower()
    if kind not in (".png", ".svg"):
        raise Refusal(f"The frame file {given.out.name} must end in .png or .svg.", field="out")
    bench = Bench.from_json(_json(given.bench))
    x, y = _place(given.at)
    scene = of_drawing(read_drawing(_text(given.pattern)))
    placed = Placement(x, y, _degrees(given.turn))
    picture = project(scene, bench, placed, units.leather(given.height, field="height"))
    lost = outside(picture, bench.picture)
    if lost == 1.0:
        raise Refusal(
            f"At {given.at} nothing of the pattern lies in the picture; hidelight map --to table shows where it is."
        )
    picture = clipped(picture, bench.picture)
    _write(given.out, png(picture, bench.picture) if kind == ".png" else frame_svg(picture, bench.picture).encode())
    return f"{100 * lost:.0f} % of the pattern lies outside the picture.\n" if lost else ""


VERBS: MappingProxyType[str, Callable[[argparse.Namespace, TextIO], str]] = MappingProxyType(
    {
        "draft": draft,
        "bring": bring,
        "print": print_file,
        "calibrate": calibrate,
        "map": map_points,
        "project": project_file,
    }
)


def _explained(family: drafts.Family) -> str:
    lines = [f"{family.title}: {family.summary}", *(_measure_words(measure) for measure in family.measures)]
    return "\n".join(lines) + "\n"


def _measure_words(measure: Measure) -> str:
    if measure.unit == "choice":
        names = ", ".join(name for name, _ in measure.choices)
        usual = "" if measure.default is None else f", usually {measure.choices[int(measure.default)][0]}"
        return f"  {measure.name}  one of {names}{usual}. {measure.meaning}"
    unit = {"length": " mm", "leather": " mm", "percent": " %"}.get(measure.unit, "")
    usual = "worked out when left empty" if measure.default is None else f"usually {measure.default:g}{unit}"
    return f"  {measure.name}  {measure.low:g} to {measure.high:g}{unit}, {usual}. {measure.meaning}"


def _named(given: list[str]) -> dict[str, str]:
    named: dict[str, str] = {}
    for words in given:
        name, equals, value = words.partition("=")
        if not equals or not name:
            raise Refusal(f"{words!r} is not a measure; write it as --measure width=89mm.", field="measure")
        named[name.strip()] = value
    return named


def _told(report: Report) -> str:
    error = report.error
    lines = [
        f"Lines will lie within {error['median_mm']:.2f} mm (95 %) in the middle of the range, {error['worst_mm']:.2f} mm "
        f"at worst, at ({error['worst_at'][0]:.0f}, {error['worst_at'][1]:.0f}); a pixel is {error['pixel_mm']:.2f} mm."
    ]
    lines += [f"  {one.kind} {' to '.join(one.names)}: {one.residual_mm:+.2f} mm".rstrip() for one in report.sightings]
    lines += [held["words"] for held in report.held] + list(report.warnings)
    lines.append(report.worst["sentence"] if report.worst else "No sighting stands out.")
    return "\n".join(lines) + "\n"


def _advice(told: dict[str, Any], said: str) -> str:
    lines = [told[key]["sentence"] for key in ("mistake", "next") if told[key] is not None]
    lines = [line for line in lines if line != said]
    if told["met"]:
        lines.append(f"The tolerance of {told['tolerance_mm']:g} mm is met over the whole picture.")
    return "".join(f"{line}\n" for line in lines)


def _point(line: str, number: int) -> tuple[float, float]:
    try:
        x, y = (float(part) for part in line.split(","))
    except ValueError:
        raise Refusal(f"Line {number} is {line.strip()[:40]!r}; write a point as x,y.") from None
    if not (math.isfinite(x) and math.isfinite(y)):
        raise Refusal(f"Line {number} is {line.strip()[:40]!r}; the numbers must be finite.")
    return x, y


def _place(text: str) -> tuple[float, float]:
    parts = text.split(",")
    if len(parts) != 2:
        raise Refusal(f"--at is {text[:40]!r}; write a place as X,Y.", field="at")
    x, y = (_signed(part.strip()) for part in parts)
    return x, y


def _signed(text: str) -> float:
    return -units.length(text[1:], field="at") if text.startswith("-") else units.length(text, field="at")


def _degrees(text: str) -> float:
    try:
        turn = float(text)
    except ValueError:
        turn = math.nan
    if not math.isfinite(turn):
        raise Refusal(f"--turn is {text[:40]!r}; write degrees, such as 90.", field="turn")
    return turn


def _json(path: Path) -> dict[str, Any]:
    try:
        found = json.loads(_text(path), parse_constant=_no_constant)
    except (ValueError, RecursionError) as error:
        if isinstance(error, Refusal):
            raise
        raise Refusal(f"{path} is not JSON ({str(error)[:80]}); check it near there.") from None
    if not isinstance(found, dict):
        raise Refusal(f"{path} holds {type(found).__name__} where an object is needed.")
    return found


def _no_constant(word: str) -> float:
    raise Refusal(f"The file holds {word} where a number belongs; give a finite number.")


def _text(path: Path) -> str:
    try:
        if not path.is_file():
            raise Refusal(f"{path} cannot be read (it is not a file); check the name.")
        if path.stat().st_size > LARGEST_FILE:
            raise Refusal(f"{path} is larger than {LARGEST_FILE // 2**20} MiB; it cannot be a file of this kind.")
        return path.read_text(encoding="utf-8")
    except OSError as error:
        raise Refusal(f"{path} cannot be read ({error.strerror}); check the name.") from None
    except UnicodeDecodeError:
        raise Refusal(f"{path} is not text; check that it is the right file.") from None
