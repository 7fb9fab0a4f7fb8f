"""Letters of single strokes, drawn as lines so that a bench puts them on the table at true size and the right way round.

The alphabet is our own. Each glyph stands on a grid of whole numbers: x from 0 to its width, y from 0 (foot of a descender) over
2 (the line it stands on) and 6 (top of a small letter) to 8 (top of a capital). ``GLYPHS`` gives its width and its strokes, each
stroke as x, y, x, y, ... in single figures.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

LINE_AT, CAPITAL_AT = 2, 8
"""Grid rows: what letters stand on, and the top of a capital."""
BETWEEN, BLANK = 1.6, 2.4
"""Grid columns: free between two letters, and the width of a blank."""
LEADING = 1.75
"""From line to line, in heights of a capital."""

GLYPHS: MappingProxyType[str, tuple[int, str]] = MappingProxyType(
    {
        "A": (4, "022842 1535"),
        "B": (4, "02083847463505 3544433202"),
        "C": (4, "4738180703123243"),
        "D": (4, "02082846442202"),
        "E": (4, "48080242 0535"),
        "F": (4, "480802 0535"),
        "G": (4, "47381807031232434525"),
        "H": (4, "0208 4248 0545"),
        "I": (2, "1218 0222 0828"),
        "J": (4, "4843321203"),
        "K": (4, "0208 480542"),
        "L": (4, "080242"),
        "M": (4, "0208254842"),
        "N": (4, "02084248"),
        "O": (4, "120307183847433212"),
        "P": (4, "02083847463505"),
        "Q": (4, "120307183847433212 2442"),
        "R": (4, "02083847463505 2542"),
        "S": (4, "473818070615354443321203"),
        "T": (4, "0848 2822"),
        "U": (4, "080312324348"),
        "V": (4, "082248"),
        "W": (4, "0812253248"),
        "X": (4, "0248 0842"),
        "Y": (4, "082548 2522"),
        "Z": (4, "08480242"),
        "a": (3, "3526160503122233 3632"),
        "b": (3, "0802 0516263533221203"),
        "c": (3, "3526160503122233"),
        "d": (3, "3832 3526160503122233"),
        "e": (3, "04343526160503122233"),
        "f": (2, "281712 0626"),
        "g": (3, "3526160503122233 3631201001"),
        "h": (3, "0802 0516263532"),
        "i": (0, "0602 0807"),
        "j": (1, "161100 1817"),
        "k": (3, "0802 360432"),
        "l": (1, "080312"),
        "m": (4, "0602 05162522 25364542"),
        "n": (3, "0602 0516263532"),
        "o": (3, "120305162635332212"),
        "p": (3, "0600 0516263533221203"),
        "q": (3, "3630 3526160503122233"),
        "r": (2, "0602 051626"),
        "s": (3, "3616051424332202"),
        "t": (2, "181322 0626"),
        "u": (3, "0603122233 3632"),
        "v": (4, "062246"),
        "w": (4, "0612253246"),
        "x": (3, "0236 0632"),
        "y": (3, "0603122233 3631201001"),
        "z": (3, "06360232"),
        "0": (3, "120307182837332212"),
        "1": (2, "071812 0222"),
        "2": (3, "07182837360232"),
        "3": (3, "07182837362515 253433221203"),
        "4": (3, "22280434"),
        "5": (3, "3808052534332202"),
        "6": (3, "3728180703122233342505"),
        "7": (3, "083812"),
        "8": (3, "15060718283736251504031222333425"),
        "9": (3, "3515060718283733221203"),
        ".": (0, "0203"),
        ",": (1, "131201"),
        ":": (0, "0203 0506"),
        ";": (1, "1516 131201"),
        "-": (2, "0424"),
        "/": (3, "0138"),
        "(": (1, "18070312"),
        ")": (1, "08171302"),
        "'": (0, "0807"),
        '"': (1, "0807 1817"),
        "!": (0, "0804 0302"),
        "?": (3, "07182837362524 2322"),
        "+": (2, "1315 0424"),
        "=": (2, "0323 0525"),
        "%": (3, "0238 0708181707 2232332322"),
    }
)
UNKNOWN = (3, "0208383202")
"""An open box stands for a letter that the alphabet has not."""
LIKE = MappingProxyType({"–": "-", "—": "-", "’": "'", "‘": "'", "“": '"', "”": '"', "×": "x", "·": ".", "&": "+"})
"""Signs that are drawn as another."""


def width(text: str, size: float) -> float:
    """Return how wide a line of words is, mm, with capitals ``size`` mm high."""
    unit = _unit(size)
    columns = sum(_columns(letter) + BETWEEN for letter in _plain(text))
    return max(0.0, columns - BETWEEN) * unit


def strokes(text: str, x: float, y: float, size: float) -> tuple[Array, ...]:
    """Return a line of words as polylines (n, 2) mm, x right and y down.

    Args:
        text: the words; what the alphabet has not is drawn as its plain letter or as a box.
        x: where the first letter begins, mm.
        y: the line that the letters stand on, mm.
        size: height of a capital, mm.

    """
    return tuple(_written(text, x, y, size))


def wrapped(text: str, size: float, widest: float) -> tuple[str, ...]:
    """Return the text in lines no wider than ``widest`` mm; a single word that is wider keeps a line of its own."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width(longer, size) <= widest:
            lines[-1] = longer
        else:
            lines.append(word)
    return tuple(lines)


def _written(text: str, x: float, y: float, size: float) -> Iterator[Array]:
    unit, pen = _unit(size), x
    for letter in _plain(text):
        for stroke in _strokes(letter):
            yield np.column_stack([pen + stroke[:, 0] * unit, y - (stroke[:, 1] - LINE_AT) * unit])
        pen += (_columns(letter) + BETWEEN) * unit


def _unit(size: float) -> float:
    return size / (CAPITAL_AT - LINE_AT)


def _columns(letter: str) -> float:
    return BLANK if letter == " " else GLYPHS.get(letter, UNKNOWN)[0]


def _strokes(letter: str) -> list[Array]:
    drawn = "" if letter == " " else GLYPHS.get(letter, UNKNOWN)[1]
    return [np.array([int(figure) for figure in stroke], dtype=np.float64).reshape(-1, 2) for stroke in drawn.split()]


def _plain(text: str) -> str:
    """Return the text with each sign as the alphabet has it: accents dropped, like for like."""
    spread = unicodedata.normalize("NFKD", "".join(LIKE.get(sign, sign) for sign in text))
    return "".join(sign for sign in spread if not unicodedata.combining(sign))
