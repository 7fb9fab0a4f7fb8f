"""Witness marks: a few marks left on the table, by which the light can tell the next day whether it moved.

A mark of the bench's *own* light is a pencil dot in the middle of a cross: it holds for the calibration it was drawn under. A
mark with a *known* place (a tape corner, a point of the mat) holds for any calibration that knows the table by known marks.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np

from calibration.arrays import Array
from calibration.bench import Bench
from calibration.sightings import Pair
from calibration.witness import Witness
from server.errors import Refusal
from server.services.bench.hand import HAND_MM, with_step
from server.services.bench.optics import optics
from server.store.records import BenchRecord, Document

FEWEST, MOST = 2, 26
"""So many marks a bench has; two show a shift, more than there are letters cannot be named."""

AFTER_CORRECTION = 2.0**0.5
"""Once a session has moved the light onto the marks, its own hand's error is in the next comparison too: factor on sigma."""

REDRAW = "These marks were drawn before the last calibration: draw them again under the light as it is now."


@dataclass(frozen=True)
class Mark:
    """A mark on the table.

    Args:
        name: its letter.
        place: (x, y) mm in the bench's frame.
        pixel: (x, y) px of its cross when it was drawn.
        own: drawn under this bench's own light.
        sigma: how surely a hand sees that the cross lies on it, mm.
        of: when the calibration was made under which it was drawn.

    """

    name: str
    place: Pair
    pixel: Pair
    own: bool
    sigma: float
    of: str


def refuse_uncalibrated(record: BenchRecord) -> None:
    """Refuse (409) a bench that is not calibrated."""
    if record.calibration is None:
        raise Refusal(f"{record.name} is not calibrated yet: take sightings first.", field="bench", status=409)


def own(record: BenchRecord, names: Sequence[str]) -> list[Document]:
    """Return marks where these crosses of the bench land now.

    Raises:
        Refusal: the bench is not calibrated (409), there is no such cross, or there are too few or too many.

    """
    refuse_uncalibrated(record)
    crosses = record.sightings["crosses"]
    unknown = next((name for name in names if name not in crosses), None)
    if unknown is not None:
        raise Refusal(f"There is no cross {unknown[:20]!r}: there is {', '.join(crosses)}.", field="names")
    _check_names(names, "names")
    pixels = np.array([crosses[name] for name in names], dtype=np.float64)
    return _marks(record, names, optics(record).to_table(pixels), pixels, own=True)


def known(record: BenchRecord, places: Mapping[str, Pair]) -> list[Document]:
    """Return marks at known places, mm in the bench's frame.

    Raises:
        Refusal: the bench is not calibrated (409), a place is not lit, or there are too few or too many.

    """
    refuse_uncalibrated(record)
    _check_names(list(places), "marks")
    at = np.array(list(places.values()), dtype=np.float64)
    pixels = optics(record).to_picture(at)
    _check_lit(record, dict(zip(places, pixels, strict=True)))
    return _marks(record, list(places), at, pixels, own=False)


def marks(record: BenchRecord) -> list[Mark]:
    """Return the marks of a bench, usable or not."""
    return [Mark(**{**mark, "place": tuple(mark["place"]), "pixel": tuple(mark["pixel"])}) for mark in record.witness]


def wanting(record: BenchRecord) -> str | None:
    """Return what keeps the marks from being used, or None."""
    found = marks(record)
    if record.calibration is None:
        return f"{record.name} is not calibrated yet: take sightings first."
    if not found:
        return f"{record.name} has no witness marks yet: draw a pencil dot in two to four crosses of light."
    anchored = record.calibration["frame"] == "positions"
    held = all(mark.of == record.calibrated_at or (anchored and not mark.own) for mark in found)
    return None if held else REDRAW


def usable(record: BenchRecord) -> list[Mark]:
    """Return the marks of a bench; refused (409) while they cannot be used."""
    sentence = wanting(record)
    if sentence is not None:
        raise Refusal(sentence, field="bench", status=409)
    return marks(record)


def predicted(found: Sequence[Mark], bench: Bench) -> dict[str, Pair]:
    """Return the picture px where the cross of each mark belongs, if nothing has moved since."""
    pixels = bench.to_picture(np.array([mark.place for mark in found], dtype=np.float64))
    return {mark.name: (float(u), float(v)) for mark, (u, v) in zip(found, pixels, strict=True)}


def sighted(record: BenchRecord, seen: Mapping[str, Pair]) -> list[Witness]:
    """Return the witness sightings, given where the crosses (px) lie on their marks.

    Raises:
        Refusal: no usable marks (409), a letter that is no mark, or fewer than two.

    """
    found = {mark.name: mark for mark in usable(record)}
    unknown = next((name for name in seen if name not in found), None)
    if unknown is not None:
        raise Refusal(f"There is no witness mark {unknown[:20]!r}: there is {', '.join(found)}.", field="seen")
    if len(seen) < FEWEST:
        raise Refusal(f"Look at {FEWEST} witness marks at least: one does not show a turn.", field="seen")
    return [Witness(name, found[name].place, at, found[name].sigma, found[name].own) for name, at in seen.items()]


def corrected(record: BenchRecord, bench: Bench) -> list[Document]:
    """Return the marks for the sessions after one that has moved the light onto them: seen less surely, see above."""
    found = marks(record)
    sure = sigmas(bench, np.array([mark.place for mark in found], dtype=np.float64)) * AFTER_CORRECTION
    return [asdict(mark) | {"sigma": round(float(sigma), 4)} for mark, sigma in zip(found, sure, strict=True)]


def sigmas(bench: Bench, places: Array) -> Array:
    """Return how surely a hand sees a cross on its mark at places (n, 2) mm, (n,) mm: the eye, and steps of whole pixels."""
    return np.array([with_step(HAND_MM, float(pixel)) for pixel in bench.pixel(places)])


def told(record: BenchRecord) -> dict[str, Any]:
    """Return the marks as pages show them: where each belongs now, and what keeps them from being used."""
    found, sentence = marks(record), wanting(record)
    at = predicted(found, optics(record)) if found and record.calibration is not None else {}
    shown = [
        {
            "name": m.name,
            "place": m.place,
            "pixel": m.pixel,
            "predicted": at.get(m.name),
            "own": m.own,
            "sigma": m.sigma,
        }
        for m in found
    ]
    return {"marks": shown, "usable": sentence is None, "sentence": sentence}


def check_inside(record: BenchRecord, pixels: Mapping[str, Pair], field: str) -> None:
    """Refuse a place outside the picture of a bench, naming ``field``."""
    width, height = record.picture
    for name, (u, v) in pixels.items():
        if not (0 <= u <= width and 0 <= v <= height):
            sentence = (
                f"Cross {name[:20]} must lie inside the picture of {width} x {height} pixels: move it back inside."
            )
            raise Refusal(sentence, field=field)


def _marks(record: BenchRecord, names: Sequence[str], places: Array, pixels: Array, *, own: bool) -> list[Document]:
    sure = sigmas(optics(record), places)
    return [
        {
            "name": name,
            "place": np.round(places[i], 6).tolist(),
            "pixel": np.round(pixels[i], 3).tolist(),
            "own": own,
            "sigma": round(float(sure[i]), 4),
            "of": record.calibrated_at,
        }
        for i, name in enumerate(names)
    ]


def _check_names(names: Sequence[str], field: str) -> None:
    if not FEWEST <= len(names) <= MOST:
        raise Refusal(f"There are {len(names)} witness marks: choose {FEWEST} to {MOST}.", field=field)
    double = next((name for name in names if names.count(name) > 1), None)
    if double is not None:
        raise Refusal(f"Witness mark {double} is named twice: name each once.", field=field)


def _check_lit(record: BenchRecord, pixels: Mapping[str, Array]) -> None:
    for name, at in pixels.items():
        if not ((at >= 0) & (at <= np.array(record.picture))).all():
            sentence = f"Mark {name} does not lie in the picture on the table: choose places that the light reaches."
            raise Refusal(sentence, field="marks")
