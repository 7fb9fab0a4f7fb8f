"""How each kind of line looks in the light: colour, weight and dash together, so that no kind is told by colour alone.

White, yellow and sky blue are the legible ones on leather: on black they have a contrast of 21, 15.9 and 9.1 to 1 by the
relative luminance of WCAG 2.2. The colours are those of the palette for all colour visions by Okabe and Ito (2008, from
memory), and white.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Literal

from server.output.scene import Kind

WHITE, YELLOW, SKY = "#ffffff", "#f0e442", "#56b4e9"
DIM = "#7d7d7d"
"""What is done or comes later, beside what is to be done now: 5.1 to 1 on black by the same measure."""

COLOURS: Mapping[str, str] = MappingProxyType(
    {
        "white": WHITE,
        "yellow": YELLOW,
        "sky": SKY,
        "orange": "#e69f00",
        "purple": "#cc79a7",
        "green": "#009e73",
        "vermilion": "#d55e00",
        "blue": "#0072b2",
    }
)
"""Colours a line may have, by name: white, and those of Okabe and Ito that give light (their black gives none)."""

CUT_PX = 2.0
"""Weight of the cut line in device px unless another is chosen, and the least it may have."""

LEAST_PX = 1.5
"""No line is lighter than this, device px: a thinner one breaks up into pixels."""

Unit = Literal["px", "mm"]


@dataclass(frozen=True)
class Style:
    """Colour (#rrggbb), weight in device pixels, and dash in device pixels (on, off, ...; empty is solid)."""

    colour: str
    width: float
    dash: tuple[float, ...] = ()


@dataclass(frozen=True)
class Look:
    """What a maker chooses about the lines of a pattern.

    Args:
        weight: of the cut line, in ``unit``; the others are heavier or lighter in proportion.
        unit: device px, or mm on the leather.
        colours: by kind, #rrggbb; a kind left out has its own.

    """

    weight: float = CUT_PX
    unit: Unit = "px"
    colours: Mapping[Kind, str] = field(default_factory=dict)

    def cut_px(self, pixel_mm: float) -> float:
        """Return the cut line's weight in device px where a pixel is ``pixel_mm`` wide; never under ``CUT_PX``."""
        return max(CUT_PX, self.weight if self.unit == "px" else self.weight / pixel_mm)

    def style(self, kind: Kind, pixel_mm: float = 1.0) -> Style:
        """Return how a kind of line looks where a pixel is ``pixel_mm`` wide: weight and dash grow together."""
        own, share = STYLES[kind], self.cut_px(pixel_mm) / CUT_PX
        colour = self.colours.get(kind, own.colour)
        return Style(colour, round(own.width * share, 2), tuple(round(part * share, 2) for part in own.dash))


STYLES: MappingProxyType[Kind, Style] = MappingProxyType(
    {
        "cut": Style(WHITE, CUT_PX),
        "slot": Style(YELLOW, 2.5, (18.0, 4.0)),
        "stitch": Style(SKY, LEAST_PX, (6.0, 4.0)),
        "hole": Style(WHITE, LEAST_PX),
        "fold": Style(YELLOW, LEAST_PX, (12.0, 4.0, 2.0, 4.0)),
        "mark": Style(SKY, LEAST_PX, (2.0, 4.0)),
        "cross": Style(WHITE, 1.0),
        "chosen": Style(YELLOW, 3.0),
        "check": Style(WHITE, 1.0),
        "frame": Style(WHITE, 1.0),
        "strike": Style(WHITE, 3.0),
        "register": Style(YELLOW, 2.0),
        "pricked": Style(DIM, 1.5),
        "later": Style(DIM, 1.0, (1.0, 1.5)),
        "card": Style(WHITE, 2.0),
    }
)
"""Every kind differs from every other in weight or dash."""
