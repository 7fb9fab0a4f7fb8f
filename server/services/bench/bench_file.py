"""The bench file: a calibration with what belongs to its bench, to be kept elsewhere or taken to another computer."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

import numpy as np

from calibration.arrays import Array
from calibration.bench import Bench
from server.errors import Refusal
from server.services.bench.witness import MOST
from server.store.benches import TOLERANCE_MM, Made
from server.store.records import BenchRecord, Document

TOLERANCES_MM = (0.05, 10.0)
"""The tolerances that can be chosen, mm at 95 %: below the pixel's share of the error none can be met."""

TABLE_MM = (50.0, 20_000.0)
"""The smallest and the largest side of a table, mm."""

PICTURE_PX = (64, 16_384)
"""The smallest and the largest side of a picture, px."""

_WORST_MM, _FARTHEST_MM = 1000.0, 1e6
_DAMAGED = "The bench file is damaged ({reason}): take another copy, or calibrate the bench here."


def name_of(record: BenchRecord) -> str:
    """Return the name of a bench's file, plain letters only."""
    plain = re.sub(r"[^a-z0-9]+", "-", record.name.lower()).strip("-")
    return f"{plain or 'bench'}-{record.id}.json"


def write(record: BenchRecord) -> dict[str, Any]:
    """Return the file of a calibrated bench: what ``hidelight map`` and ``project`` read, and what belongs to the bench."""
    marks = [{key: value for key, value in mark.items() if key != "of"} for mark in record.witness]
    belongings = {
        "name": record.name,
        "table_width": record.table[0],
        "table_depth": record.table[1],
        "tolerance": record.tolerance,
        "witness": marks,
    }
    return {**(record.calibration or {}), "report": record.report, "bench": belongings}


def report(document: Document) -> dict[str, Any]:
    """Return what of the file's report still holds without its sightings: whether it was trusted, and its unit weight."""
    given = document.get("report")
    if not isinstance(given, Mapping):
        return {}
    sigma0, trusted = given.get("sigma0"), given.get("trusted")
    kept: dict[str, Any] = {"trusted": trusted} if isinstance(trusted, bool) else {}
    return kept | ({"sigma0": sigma0} if _number(sigma0, 0.0, 1e6) else {})


def read(name: str, document: Document) -> tuple[Bench, Made, list[Document]]:
    """Return the optics, the make and the witness marks (without their time) of a bench file.

    Raises:
        Refusal: not a bench file, a newer one, damaged, or of a bench that was not calibrated.

    """
    bench = _optics(document)
    if bench.frame == "nominal":
        raise Refusal(
            "The bench of this file was not calibrated: calibrate it, then take the file again.", field="file"
        )
    if not all(PICTURE_PX[0] <= side <= PICTURE_PX[1] for side in bench.picture):
        raise _damaged(f"its picture is {bench.picture[0]} x {bench.picture[1]} pixels")
    _check_optics(bench)
    given = document.get("bench", {})
    if not isinstance(given, Mapping):
        raise _damaged("bench is no object")
    sides = (_side(given, "table_width"), _side(given, "table_depth"))
    tolerance = given.get("tolerance", TOLERANCE_MM)
    if not _number(tolerance, *TOLERANCES_MM):
        raise _damaged("tolerance is not a length that can be chosen")
    return bench, Made(name, bench.picture, sides, float(tolerance)), _marks(given.get("witness", []))


def _optics(document: Document) -> Bench:
    if not isinstance(document.get("version"), int | None):
        raise _damaged("its version is no number")
    if not all(_numbers_only(document.get(key, [])) for key in ("plane", "lens", "position", "covariance")):
        raise _damaged("a number in it is no number")
    try:
        with np.errstate(all="ignore"):
            return Bench.from_json(document)
    except Refusal as refusal:
        raise Refusal(refusal.sentence, field="file") from refusal


def _numbers_only(value: Any) -> bool:
    if isinstance(value, Mapping | list):
        return all(_numbers_only(part) for part in (value.values() if isinstance(value, Mapping) else value))
    return isinstance(value, int | float) and not isinstance(value, bool)


def _check_optics(bench: Bench) -> None:
    """Refuse optics that give the picture no place on a table, or a covariance that is none."""
    try:
        with np.errstate(all="ignore"):
            places = bench.grid(9, 6)
            error = bench.error95(places)
            values = np.linalg.eigvalsh(_correlations(bench.covariance))
    except (Refusal, np.linalg.LinAlgError) as reason:
        raise _damaged("its picture has no place on the table") from reason
    if not np.isfinite(places).all() or np.abs(places).max() > _FARTHEST_MM:
        raise _damaged("its picture has no place on the table")
    if not np.isfinite(error).all() or error.max() > _WORST_MM or values.min() < -1e-6:
        raise _damaged("its covariance is none")


def _correlations(covariance: Array) -> Array:
    if (np.diag(covariance) < 0).any() or not np.allclose(covariance, covariance.T, rtol=1e-6, atol=1e-12):
        raise np.linalg.LinAlgError
    scale = np.sqrt(np.maximum(np.diag(covariance), 1e-300))
    return np.asarray(covariance / np.outer(scale, scale))


def _side(given: Mapping[str, Any], key: str) -> float | None:
    side = given.get(key)
    if side is not None and not _number(side, *TABLE_MM):
        raise _damaged(f"{key} is not a length")
    return None if side is None else float(side)


def _marks(given: Any) -> list[Document]:
    if not isinstance(given, list) or len(given) > MOST or not all(_is_mark(mark) for mark in given):
        raise _damaged("its witness marks cannot be read")
    names = [mark["name"] for mark in given]
    if len(set(names)) < len(names):
        raise _damaged("a witness mark stands twice in it")
    return given


def _is_mark(mark: Any) -> bool:
    if not isinstance(mark, dict) or set(mark) != {"name", "place", "pixel", "own", "sigma"}:
        return False
    pairs = all(
        isinstance(pair, list) and len(pair) == 2 and all(_number(part, -1e6, 1e6) for part in pair)
        for pair in (mark["place"], mark["pixel"])
    )
    named = isinstance(mark["name"], str) and re.fullmatch("[A-Z]", mark["name"]) is not None
    return pairs and named and isinstance(mark["own"], bool) and _number(mark["sigma"], 1e-3, 100.0)


def _number(value: Any, low: float, high: float) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and low <= value <= high


def _damaged(reason: str) -> Refusal:
    return Refusal(_DAMAGED.format(reason=reason), field="file")
