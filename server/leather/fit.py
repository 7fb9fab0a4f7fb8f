"""How leather fits a thing: girth, depth, and the word for what is to spare. Millimetres."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from scipy.special import ellipe

from server.leather.norms import LOOSE_EASE, NEUTRAL_AXIS, SNUG_EASE

Shape = Literal["rectangle", "rounded", "ellipse", "round"]
Word = Literal["does not go in", "snug", "goes in", "loose"]


def close_allowance(thickness: float, leather: float) -> float:
    """Return the side allowance, mm, of a close fit: half the thing's thickness and one ply."""
    return thickness / 2.0 + leather


def easy_allowance(thickness: float) -> float:
    """Return the side allowance, mm, of an easy fit, in and out by hand: the thing's thickness."""
    return thickness


def side_allowance(thickness: float, leather: float) -> float:
    """Return the side allowance, mm, when the maker leaves it open: an easy fit, or where that does not go in, a close fit.

    A thing thinner than (pi / 2) t does not go into an easy fit, because the leather's own bend takes more than its
    thickness; a close fit always has 2 t - (pi / 2) t to spare.
    """
    easy = easy_allowance(thickness)
    goes_in = seam_to_seam(0.0, easy) >= girth_bound(0.0, thickness, leather)
    return easy if goes_in else close_allowance(thickness, leather)


def seam_to_seam(width: float, allowance: float) -> float:
    """Return the distance, mm, between the side stitch lines: W + 2 a."""
    return width + 2.0 * allowance


def girth_bound(width: float, thickness: float, leather: float, neutral: float = NEUTRAL_AXIS.value) -> float:
    """Return the least seam-to-seam width, mm, of a two-ply pocket that a W x T thing goes into.

    Half the girth of a W x T rectangle taken at the neutral axis, K t outside it: W + T + pi K t, with K = 0.5
    W + T + (pi / 2) t. Derived.
    """
    return width + thickness + math.pi * neutral * leather


def round_bound(diameter: float, leather: float, neutral: float = NEUTRAL_AXIS.value) -> float:
    """Return the least seam-to-seam width, mm, of a two-ply pocket for a round thing: pi (D + 2 K t) / 2. Derived."""
    return math.pi * (diameter + 2.0 * neutral * leather) / 2.0


@dataclass(frozen=True)
class Section:
    """The section of a thing, across: a shape W wide and T thick, mm; a rounded rectangle has corners of `radius`."""

    shape: Shape
    width: float
    thickness: float
    radius: float = 0.0

    @property
    def half_girth(self) -> float:
        """Half its outline, mm: W + T, less (4 - pi) r for round corners; pi D / 2; the ellipse by its complete integral."""
        if self.shape == "round":
            return math.pi * self.width / 2.0
        if self.shape == "ellipse":
            long, short = max(self.width, self.thickness) / 2.0, min(self.width, self.thickness) / 2.0
            return float(2.0 * long * ellipe(1.0 - (short / long) ** 2))
        corner = self.radius if self.shape == "rounded" else 0.0
        return self.width + self.thickness - (4.0 - math.pi) * corner

    def bound(self, leather: float, neutral: float = NEUTRAL_AXIS.value) -> float:
        """Return the least seam-to-seam width, mm, of a two-ply pocket it goes into.

        Half the outline taken K t outside it: for any convex shape P / 2 + pi K t (Steiner's formula for parallel curves).
        """
        return self.half_girth + math.pi * neutral * leather

    def formula(self, leather: float, neutral: float = NEUTRAL_AXIS.value) -> str:
        """Return how the bound comes about, with the values in it."""
        bend = math.pi * neutral
        total = f"{bend * leather:.1f} = {self.bound(leather, neutral):.1f} mm"
        tail = f"+ {bend:.3f} t"
        if self.shape == "round":
            return f"pi D / 2 {tail} = {self.half_girth:.1f} + {total}"
        if self.shape == "ellipse":
            return f"half the ellipse {self.width:.1f} x {self.thickness:.1f} {tail} = {self.half_girth:.1f} + {total}"
        if self.shape == "rounded":
            less = (4.0 - math.pi) * self.radius
            return f"W + T - 0.858 r {tail} = {self.width:.1f} + {self.thickness:.1f} - {less:.1f} + {total}"
        return f"W + T {tail} = {self.width:.1f} + {self.thickness:.1f} + {total}"


def depth_bound(height: float, thickness: float, leather: float, neutral: float = NEUTRAL_AXIS.value) -> float:
    """Return the least mouth-to-floor depth, mm, that covers `height` of a thing: H + T / 2 + (pi / 2) K t.

    Each ply runs down its face and round half the bottom to the floor seam. Derived, as the girth.
    """
    return height + thickness / 2.0 + math.pi / 2.0 * neutral * leather


def fit_word(spare: float, thickness: float) -> Word:
    """Return the word for `spare` mm of seam-to-seam width beyond the bound, for a thing `thickness` mm thick.

    Up to 3 mm is snug; more than the thickness (and than 6 mm) is loose, because then the thing can turn.
    """
    if spare < 0.0:
        return "does not go in"
    if spare <= SNUG_EASE.value:
        return "snug"
    return "loose" if spare > max(thickness, LOOSE_EASE.value) else "goes in"


def moulded_seam(width: float, leather: float, reach: float) -> float:
    """Return the seam-to-seam width, mm, round a thing that the front is moulded over: W + 2 t + 2 e.

    The walls stand on the back, one ply thick; `reach` is from the outside of a wall to the stitch line.
    """
    return width + 2.0 * leather + 2.0 * reach


def moulded_blank(
    width: float, thickness: float, leather: float, reach: float, neutral: float = NEUTRAL_AXIS.value
) -> float:
    """Return the flat seam-to-seam width, mm, of the front that is moulded: W + 2 T - 2 t + 2 pi K t + 2 e.

    Across: face W, two walls of T - t, four bends of a quarter turn about an edge (pi / 2 K t each), and the reach to the
    stitch line twice. Derived. What the leather stretches is to spare and is trimmed off.
    """
    return width + 2.0 * (thickness - leather) + 2.0 * math.pi * neutral * leather + 2.0 * reach
