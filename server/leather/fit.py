"""How a flat pocket fits a thing. Millimetres."""

from __future__ import annotations

import math

from server.leather.norms import NEUTRAL_AXIS


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
