"""What several families hold their measures to, each refused in one sentence."""

from __future__ import annotations

import math
from collections.abc import Mapping

from calibration.refusal import Refusal
from server.leather.fit import Section


def check_stands_out(m: Mapping[str, float], share: float, holder: str) -> None:
    """Refuse a thing that stands out by more than a share of its height: the holder would not hold it."""
    most = share * m["height"]
    if m["stands-out"] > most:
        what = f"{m['stands-out']:.4g} mm is to stand out of a height of {m['height']:.4g} mm"
        raise Refusal(
            f"The {holder} would hold too little: {what}; let at most {most:.4g} mm stand out.", field="stands-out"
        )


def check_girth(m: Mapping[str, float], section: Section, seam_to_seam: float) -> None:
    """Refuse a two-ply pocket that a thing of that section cannot go into, and name the allowance that lets it."""
    bound = section.bound(m["leather"], m["neutral"])
    short = bound - seam_to_seam
    if short > 0.0:
        enough = math.ceil(10.0 * (m["side-allowance"] + short / 2.0)) / 10.0
        what = f"The thing cannot go in: seam to seam is {seam_to_seam:.1f} mm, {short:.1f} mm short of the {bound:.1f} mm its girth needs"
        raise Refusal(f"{what}; a side allowance of {enough:.1f} mm is enough.", field="side-allowance")


def check_corner(radius: float, most: float) -> None:
    """Refuse a corner radius that is larger than the seam it lies in has room for."""
    if radius > most:
        raise Refusal(
            f"A corner radius of {radius:.4g} mm is too large; {most:.4g} mm is the most.", field="corner-radius"
        )
