"""The letters of a PDF: Bitstream Vera, which is embedded, so that every reader shows and prints the same."""

from __future__ import annotations

from functools import cache
from typing import cast

from reportlab.pdfbase.pdfmetrics import registerFont, stringWidth
from reportlab.pdfbase.ttfonts import TTFont

PLAIN, BOLD = "Vera", "VeraBd"
MM = 72.0 / 25.4
"""Points in a millimetre: a point is 1/72 in (ISO 32000-1, 8.3.2.3)."""


@cache
def _known() -> frozenset[int]:
    """Register the fonts; return the characters they have."""
    for name in (PLAIN, BOLD):
        registerFont(TTFont(name, f"{name}.ttf"))
    return frozenset(TTFont(PLAIN, f"{PLAIN}.ttf").face.charToGlyph)


def font(bold: bool = False) -> str:
    """Return the name of the font, ready for use."""
    _known()
    return BOLD if bold else PLAIN


def legible(text: str) -> str:
    """Return the text with a question mark for each character that the font does not have."""
    known = _known()
    return "".join(letter if ord(letter) in known else "?" for letter in text)


def width(text: str, size: float, bold: bool = False) -> float:
    """Return how wide a text of ``size`` mm is, mm."""
    return cast(float, stringWidth(legible(text), font(bold), size))


def fitted(text: str, size: float, room: float, bold: bool = False) -> str:
    """Return the text, cut with an ellipsis where it is wider than ``room`` mm."""
    if width(text, size, bold) <= room:
        return text
    while text and width(f"{text}…", size, bold) > room:
        text = text[:-1]
    return f"{text.rstrip()}…" if text else ""


def wrapped(text: str, size: float, room: float) -> list[str]:
    """Return the text broken into lines no wider than ``room`` mm; a single word that is wider is cut."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width(longer, size) <= room:
            lines[-1] = longer
        else:
            lines.append(fitted(word, size, room))
    return lines
