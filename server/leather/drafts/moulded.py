"""A front that is moulded wet over the thing: its blank, what it must have beside it, and what is said of it. Millimetres."""

from __future__ import annotations

import math
from collections.abc import Mapping

from calibration.refusal import Refusal
from server.geometry.build import polyline, unfold
from server.geometry.path import Path
from server.leather.drafts import parts, work
from server.leather.fit import moulded_blank
from server.leather.pattern import Measure, Sentence, Step

REACH = 3.0
"""mm from the outside of a moulded wall to the stitch line; common practice, no source."""
_SIDES = ("side-allowance", "bottom-allowance")
_FLAT = 1.0
"""mm of flat rim between wall and stitch line at the least; common practice, no source."""


def front(family: str) -> Measure:
    """Return the choice between a flat front and a moulded one."""
    meaning = "Flat, or moulded wet over the thing so that it follows its shape."
    return parts.choice(family, "front", "Front", meaning, (("flat", "Flat"), ("moulded", "Moulded")))


def allowances(leather: float) -> dict[str, float]:
    """Return the side and bottom allowance when the maker leaves them open: one ply and the reach."""
    return dict.fromkeys(_SIDES, leather + REACH)


def blank(m: Mapping[str, float], rim: tuple[float, float]) -> tuple[float, float]:
    """Return half the width, and the height, of the front's blank; `rim` is what it has beside and below the stitch line."""
    stretch, below = 1.0 + m["stretch"] / 100.0, 0.5 * _across(m, 0.0, "bottom-allowance")
    across = 0.5 * _across(m, m["width"], "side-allowance")
    return across / stretch + rim[0], (m["height"] - m["stands-out"] + below) / stretch + rim[1]


def face(half_width: float, depth: float) -> Path:
    """Return where the thing's face lies under the front: its right half from the mouth down, mirrored."""
    return unfold(polyline([(half_width, 0.0), (half_width, depth), (0.0, depth)]).reversed())


def check_room(m: Mapping[str, float]) -> None:
    """Refuse allowances that leave no room for the moulded wall and a flat rim beside the stitch line."""
    least = m["leather"] + _FLAT
    for name in _SIDES:
        if m[name] < least:
            what = f"A moulded front needs one ply and {_FLAT:g} mm beside the thing, but has {m[name]:.4g} mm"
            raise Refusal(f"{what}; {least:.4g} mm is the least.", field=name)


def step() -> Step:
    """Return the step that moulds the front."""
    return work.step(
        "mould",
        "Mould the front",
        "Wrap the thing in film or use a block of its size. Soak the front in lukewarm water, press it over the thing with the lit "
        "lines on its middle and its edges and the mouth flush, work the foot flat with a bone folder, and let it dry for a day.",
        "front",
        ("mark",),
        ("centre", "thing"),
        1,
        ("water", "bone folder", "block", "clamps"),
        work.EYES,
        work.DRIED,
    )


def said(m: Mapping[str, float], size: tuple[float, float], rim: float) -> tuple[Sentence, ...]:
    """Return how the thing fits: snug, with the blank and its formula; and a warning where its corners have no room."""
    ply, reach, stretch = m["leather"], m["side-allowance"] - m["leather"], 1 + m["stretch"] / 100
    bends = 2.0 * math.pi * m["neutral"] * ply
    sum_ = f"{m['width']:.1f} + {2 * m['thickness']:.1f} - {2 * ply:.1f} + {bends:.1f} + {2 * reach:.1f}"
    result = f"({sum_}) / {stretch:.3f} + {2 * rim:.1f} = {2 * size[0]:.1f} mm"
    formula = f"(W + 2 T - 2 t + 2 pi K t + 2 e) / (1 + stretch) + 2 rim = {result}"
    taken = f"{m['stretch']:.3g} % of stretch taken off" if m["stretch"] else "no stretch taken off, none was measured"
    words = f"Snug, moulded to the thing with 0 mm to spare: the front's blank is {2 * size[0]:.1f} x {size[1]:.1f} mm with its "
    fit = Sentence("bound", f"{words}trimming allowance, {taken}.", 2 * size[0], formula)
    corner = _corner(m)
    return (fit,) if corner is None else (fit, corner)


def _across(m: Mapping[str, float], width: float, allowance: str) -> float:
    return moulded_blank(width, m["thickness"], m["leather"], m[allowance] - m["leather"], m["neutral"])


def _corner(m: Mapping[str, float]) -> Sentence | None:
    """A square corner of the thing, with its wall, inside the round corner of the seam: r - root 2 (r - a) is left beside it."""
    side, need = min(m[name] for name in _SIDES), m["leather"] + _FLAT
    over, root = m["corner-radius"] - side, math.sqrt(2.0)
    room = m["corner-radius"] - root * over
    if over <= 0.0 or room >= need:
        return None
    most = max((root * side - need) / (root - 1.0), 0.0)
    has = f"leave {room:.1f} mm beside" if room >= 0.0 else f"cut {-room:.1f} mm into"
    words = f"The seam's round corners {has} the thing's square ones, a moulded wall needs {need:.1f} mm beside them"
    formula = f"r - 1.414 (r - a) = {m['corner-radius']:.1f} - 1.414 x {over:.1f} = {room:.1f} mm"
    return Sentence(
        "warning", f"{words}: if they are square, {most:.1f} mm of corner radius is the most.", room, formula
    )
