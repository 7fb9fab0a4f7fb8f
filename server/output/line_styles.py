"""How each kind of line looks in the light: colour, weight and dash together, so that no kind is told by colour alone.

White, yellow and sky blue are the legible ones on leather: on black they have a contrast of 21, 15.9 and 9.1 to 1 by the
relative luminance of WCAG 2.2; the yellow and the blue are those of Okabe and Ito's palette for all colour visions.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType

from server.output.scene import Kind

WHITE, YELLOW, SKY = "#ffffff", "#f0e442", "#56b4e9"


@dataclass(frozen=True)
class Style:
    """Colour (#rrggbb), weight in device pixels, and dash in device pixels (on, off, ...; empty is solid)."""

    colour: str
    width: float
    dash: tuple[float, ...] = ()


STYLES: MappingProxyType[Kind, Style] = MappingProxyType(
    {
        "cut": Style(WHITE, 2.0),
        "slot": Style(YELLOW, 2.0),
        "stitch": Style(SKY, 1.5, (6.0, 4.0)),
        "hole": Style(WHITE, 1.5),
        "fold": Style(YELLOW, 1.5, (12.0, 4.0, 2.0, 4.0)),
        "mark": Style(SKY, 1.0, (2.0, 4.0)),
        "cross": Style(WHITE, 1.0),
        "chosen": Style(YELLOW, 3.0),
        "check": Style(WHITE, 1.0),
        "frame": Style(WHITE, 1.0),
    }
)
