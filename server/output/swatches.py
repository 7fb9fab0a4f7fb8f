"""Usual colours of leather, as they look in white light beside white paper.

Every value is our own estimate of a finished, smooth leather in that colour, no measurement: a maker's own leather may be
lighter or darker, so the nearest is chosen by eye.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

SWATCHES: Mapping[str, str] = MappingProxyType(
    {
        "natural": "#e3c9a8",
        "tan": "#b98150",
        "russet": "#9a5a32",
        "brown": "#5f3a24",
        "oxblood": "#4d1a1c",
        "red": "#9c2723",
        "green": "#2f4a35",
        "navy": "#1c2740",
        "grey": "#7d7a76",
        "black": "#211f1e",
        "white": "#efebe3",
    }
)
"""Colour (#rrggbb, where #ffffff is white paper) by name."""

USUAL = "natural"
"""Vegetable-tanned leather as it comes is what most patterns are cut from."""
