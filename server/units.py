"""Lengths as a maker writes them, turned into millimetres at the door and back again.

Sources: the inch is 25.4 mm exactly (NIST SP 811 appendix B.8, in line with ISO 80000-3);
the leather ounce is 1/64 inch of thickness (ASTM D1814).
"""

from __future__ import annotations

import math
import re
from fractions import Fraction
from typing import Literal

from calibration.refusal import Refusal

MM_PER_INCH = Fraction(127, 5)
MM_PER_OUNCE = MM_PER_INCH / 64
LONGEST_TEXT = 40

_MM_PER_UNIT = {
    **dict.fromkeys(("", "mm", "millimetre", "millimetres", "millimeter", "millimeters"), Fraction(1)),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter", "centimeters"), Fraction(10)),
    **dict.fromkeys(("in", "in.", "inch", "inches", '"', "″", "”", "''"), MM_PER_INCH),
}
_OUNCE_UNITS = ("oz", "oz.", "ounce", "ounces")
_VULGAR = dict(zip("¼½¾⅛⅜⅝⅞", ("1/4", "1/2", "3/4", "1/8", "3/8", "5/8", "7/8"), strict=True))
_NUMBER = re.compile(
    r"(?:(?P<whole>[0-9]+)(?: ?- ?| ))?(?P<top>[0-9]+) ?/ ?(?P<bottom>[0-9]+)"
    r"|(?P<plain>[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)"
)
_RANGE = re.compile(r"(?P<low>[0-9][0-9.,]*) ?(?:-|to) ?(?P<high>[0-9][0-9.,]*) ?(?P<unit>[a-z.]+)")


def length(text: str | float, *, field: str) -> float:
    """Return a length in mm from what a maker typed, such as ``3 1/2 in``, ``5 3/4"``, ``8.9cm`` or ``89``.

    Args:
        text: the words, or a bare number, which is in mm. A comma may stand for the decimal point.
        field: the name of the measure, for the sentence of a refusal.

    Raises:
        Refusal: anything that is not one finite length of zero or more with a known unit.

    """
    number, unit = _split(text, field)
    if unit in _OUNCE_UNITS:
        raise _refusal(text, field, "ounces are for leather thickness only; write mm, cm or in")
    if unit not in _MM_PER_UNIT:
        raise _refusal(text, field, f"the unit {unit[:12]!r} is not known; write mm, cm or in")
    return _finite(number * _MM_PER_UNIT[unit], text, field)


def leather(text: str | float, *, field: str) -> float:
    """Return a leather thickness in mm: any length, or ounces such as ``8 oz`` or ``4-5 oz`` (the mean of the two).

    One ounce is 1/64 inch, 0.396875 mm (ASTM D1814).

    Raises:
        Refusal: as ``length``; also a range whose second figure is not the larger.

    """
    tidy = _tidy(text) if isinstance(text, str) else ""
    low_high = _RANGE.fullmatch(tidy) if len(tidy) <= LONGEST_TEXT else None
    if low_high is not None:
        return _ounce_range(low_high, text, field)
    number, unit = _split(text, field)
    if unit in _OUNCE_UNITS:
        return _finite(number * MM_PER_OUNCE, text, field)
    return length(text, field=field)


def write_length(mm: float, unit: Literal["mm", "in"] = "mm") -> str:
    """Write a length for a maker to read: ``101.6 mm``; in inches the nearest 1/64 if it is within 0.005 mm of it."""
    if unit == "mm":
        return f"{_decimals(mm, 3)} mm"
    inches = mm / float(MM_PER_INCH)
    sixty_fourths = round(abs(inches) * 64)
    if abs(abs(inches) - sixty_fourths / 64) * float(MM_PER_INCH) > 0.005:
        return f"{_decimals(inches, 3)} in"
    whole, part = divmod(Fraction(sixty_fourths, 64), 1)
    words = " ".join(str(figure) for figure in (whole, part) if figure) or "0"
    return f"{'-' if inches < 0 and sixty_fourths else ''}{words} in"


def _decimals(value: float, places: int) -> str:
    written = f"{value:.{places}f}".rstrip("0").rstrip(".")
    return "0" if written == "-0" else written


def _tidy(text: str) -> str:
    """Lower case, single spaces, plain dashes, and vulgar fractions spelt out."""
    for sign, fraction in _VULGAR.items():
        text = text.replace(sign, f" {fraction}")
    return " ".join(text.lower().replace("–", "-").replace("⁄", "/").split())


def _split(text: str | float, field: str) -> tuple[Fraction, str]:
    """Return the number and the unit of a text; a bare number has the unit ''."""
    if isinstance(text, bool) or not isinstance(text, (str, int, float)):
        raise _refusal(text, field, "write a number with mm, cm or in")
    if not isinstance(text, str):
        return Fraction(_finite(text, text, field)), ""
    tidy = _tidy(text)
    if not tidy:
        raise Refusal(f"{field} is empty: write a length such as 89 mm or 3 1/2 in.", field=field)
    if len(tidy) > LONGEST_TEXT:
        raise _refusal(text, field, f"it is longer than {LONGEST_TEXT} characters")
    if tidy.startswith(("-", "+-")):
        raise _refusal(text, field, "a length cannot be negative; write it without the minus sign")
    return _parse(tidy, text, field)


def _parse(tidy: str, text: str, field: str) -> tuple[Fraction, str]:
    found = _NUMBER.match(tidy)
    if found is None or not found.group():
        raise _refusal(text, field, "it is not a length; write it like 89 mm, 3.5in or 3 1/2 in")
    unit = tidy[found.end() :].strip()
    if unit[:1].isdigit() or unit[:1] in ("/", ".", ",", "-"):
        raise _refusal(text, field, "the number cannot be read; write it like 89 mm, 3.5in or 3 1/2 in")
    return _value(found, text, field), unit


def _value(found: re.Match[str], text: str, field: str) -> Fraction:
    if found["plain"]:
        return Fraction(found["plain"].replace(",", ".").rstrip("."))
    top, bottom = int(found["top"]), int(found["bottom"])
    if bottom == 0:
        raise _refusal(text, field, "a fraction cannot have 0 below the line")
    if found["whole"] and top >= bottom:
        raise _refusal(text, field, f"{top}/{bottom} after a whole number must be less than one")
    return int(found["whole"] or 0) + Fraction(top, bottom)


def _ounce_range(found: re.Match[str], text: str | float, field: str) -> float:
    if found["unit"] not in _OUNCE_UNITS:
        raise _refusal(text, field, "a range is understood in ounces only, such as 4-5 oz")
    low, low_rest = _parse(found["low"], str(text), field)
    high, high_rest = _parse(found["high"], str(text), field)
    if low_rest or high_rest or not low < high:
        raise _refusal(text, field, "the second figure of the range must be the larger, such as 4-5 oz")
    return _finite((low + high) / 2 * MM_PER_OUNCE, text, field)


def _finite(mm: float | Fraction, text: object, field: str) -> float:
    if not math.isfinite(mm):
        raise _refusal(text, field, "it is not a finite number; write a length such as 89 mm")
    if mm < 0:
        raise _refusal(text, field, "a length cannot be negative; write it without the minus sign")
    return float(mm)


def _refusal(text: object, field: str, why: str) -> Refusal:
    shown = str(text)
    shown = shown if len(shown) <= LONGEST_TEXT else shown[:LONGEST_TEXT] + "…"
    verdict = why.removeprefix("it ") if why.startswith("it is ") else f"cannot be used: {why}"
    return Refusal(f"{field}: {shown!r} {verdict}.", field=field)
