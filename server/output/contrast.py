"""How well a line of light shows on a leather, as a number.

Light of linear colour c (0 to 1 in red, green, blue) on a leather of reflectance r, with E lux of projector white and A lux of
room light on it, is seen as r (c E + A + E / 1000) / A: 1 is white paper in the room's light, which is what an eye in that
room calls white, and a projector's black is not quite black. The eye weighs the three parts as 0.2126, 0.7152 and 0.0722.

Sources: sRGB and relative luminance as WCAG 2.2 defines them (W3C 2023, "relative luminance", from memory), the ratio
(L1 + 0.05) / (L2 + 0.05) and its bounds of 3 to 1 likewise (success criterion 1.4.11); the contrast (L1 - L2) / L2 is
Weber's. Other vision is that of Vienot, Brettel and Mollon 1999, the difference of two colours that of CIE 1976 L*a*b*
(both from memory).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations
from types import MappingProxyType
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from server.output.line_styles import COLOURS, STYLES, WHITE
from server.output.scene import Kind

Array = NDArray[np.float64]

WEIGHTS = np.array([0.2126, 0.7152, 0.0722])
FLARE = 0.05
"""The share of white that WCAG adds to both sides: stray light, in the eye too. Here white is paper in the room's light, so
that dark leather is hard to light in a bright room and easy in a dark one."""
SHOWS_WELL, SHOWS = 3.0, 1.5
"""Ratios: well seen (WCAG's bound for signs that are not text), and hardly seen (our own choice, no source)."""
BLACK_LEVEL = 1000.0
"""A projector's black is this much darker than its white (common among lamps and panels, an assumption)."""
TOLD_APART = 20.0
"""Two colours whose distance in L*a*b* is this much are told apart at a glance (our own choice, no source)."""

Verdict = Literal["well", "faint", "lost"]

VISIONS: Mapping[str, Array] = MappingProxyType(
    {
        "usual": np.eye(3),
        "protan": np.array([[0.11238, 0.88762, 0.0], [0.11238, 0.88762, 0.0], [0.00401, -0.00401, 1.0]]),
        "deutan": np.array([[0.29275, 0.70725, 0.0], [0.29275, 0.70725, 0.0], [-0.02234, 0.02234, 1.0]]),
    }
)
"""What becomes of linear red, green, blue in an eye without the one or the other cone."""

_TO_XYZ = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])


def linear(colour: str) -> Array:
    """Return #rrggbb as linear red, green, blue, 0 to 1 (3,)."""
    coded = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)]) / 255.0
    return np.where(coded <= 0.04045, coded / 12.92, ((coded + 0.055) / 1.055) ** 2.4)


def coded(seen: Array) -> str:
    """Return linear red, green, blue (3,) as #rrggbb; what is brighter than 1 is 1."""
    low = np.clip(seen, 0.0, 1.0)
    shares = np.where(low <= 0.0031308, 12.92 * low, 1.055 * low ** (1 / 2.4) - 0.055)
    return "#" + "".join(f"{round(255 * share):02x}" for share in shares.tolist())


@dataclass(frozen=True)
class Surface:
    """A leather under light.

    Args:
        leather: its colour in white light, #rrggbb, where #ffffff is white paper.
        white_lux: the projector's white on it.
        room_lux: all other light on it.

    """

    leather: str
    white_lux: float
    room_lux: float

    def seen(self, colour: str | None) -> Array:
        """Return what is seen of light of that colour, None for none: linear (3,), 1 for white paper in the room's light."""
        thrown = np.zeros(3) if colour is None else linear(colour)
        lux = self.white_lux * (thrown + 1.0 / BLACK_LEVEL) + self.room_lux
        return np.asarray(linear(self.leather) * lux / self.room_lux)

    def looks(self, colour: str | None) -> str:
        """Return #rrggbb for a screen that shows the lines against the leather as they are seen beside each other."""
        return coded(0.9 * self.seen(colour) / float(WEIGHTS @ self.seen(WHITE)))


@dataclass(frozen=True)
class Contrast:
    """A line's luminance against the unlit leather: as a ratio with flare, and as Weber's contrast."""

    ratio: float
    weber: float

    @property
    def verdict(self) -> Verdict:
        """Return how it shows."""
        return "well" if self.ratio >= SHOWS_WELL else "faint" if self.ratio >= SHOWS else "lost"


def contrast(surface: Surface, colour: str) -> Contrast:
    """Return how light of that colour shows against the same leather unlit."""
    lit, unlit = (float(WEIGHTS @ surface.seen(c)) for c in (colour, None))
    return Contrast((lit + FLARE) / (unlit + FLARE), (lit - unlit) / unlit)


def apart(surface: Surface, one: str, other: str) -> float:
    """Return how far two colours look apart on the leather, to the vision that tells them apart worst: L*a*b* distance.

    The eye is taken to be used to the brightest light there, the projector's white on this leather.
    """
    bright = float(WEIGHTS @ surface.seen(WHITE))
    pairs = [(eye @ surface.seen(one), eye @ surface.seen(other)) for eye in VISIONS.values()]
    return min(float(np.linalg.norm(_lab(a, bright) - _lab(b, bright))) for a, b in pairs)


def _lab(seen: Array, bright: float) -> Array:
    """Return CIE 1976 L*a*b* (3,) of linear red, green, blue; white is D65 of luminance ``bright``."""
    share = _TO_XYZ @ seen / (_TO_XYZ.sum(axis=1) * bright)
    x, y, z = np.where(share > (6 / 29) ** 3, np.cbrt(np.maximum(share, 0.0)), share * (29 / 6) ** 2 / 3 + 4 / 29)
    return np.array([116 * y - 16, 500 * (x - y), 200 * (y - z)])


GROUPS: tuple[tuple[Kind, ...], ...] = (("cut", "hole"), ("slot", "fold"), ("stitch", "mark"))
"""Kinds that share a colour: each group's weights and dashes differ."""


def best(surface: Surface) -> dict[Kind, str]:
    """Return the colours that show best on a leather, #rrggbb by kind, still told apart by every colour vision.

    White gives most light on anything, so cut lines and holes get it. Of the pairs of the other colours whose members,
    and white, look ``TOLD_APART`` or more apart, that pair is taken whose weaker member has most contrast; where no pair
    is, the one that is told apart best.
    """
    others = sorted((c for c in COLOURS.values() if c != WHITE), key=lambda c: -contrast(surface, c).ratio)
    pairs = list(combinations(others, 2))
    gaps = {pair: min(apart(surface, *two) for two in combinations((WHITE, *pair), 2)) for pair in pairs}
    clear = [pair for pair in pairs if gaps[pair] >= TOLD_APART]
    chosen = (
        max(clear, key=lambda pair: contrast(surface, pair[1]).ratio)
        if clear
        else max(pairs, key=lambda pair: gaps[pair])
    )
    return {kind: colour for kinds, colour in zip(GROUPS, (WHITE, *chosen), strict=True) for kind in kinds}


def safe() -> dict[Kind, str]:
    """Return the colours that every kind has unless others are chosen, #rrggbb by kind."""
    return {kind: STYLES[kind].colour for kinds in GROUPS for kind in kinds}
