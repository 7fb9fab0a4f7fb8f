"""What a maker asks of a print, in words from a page or a command line, made into choices."""

from __future__ import annotations

from collections.abc import Mapping

from server import units
from server.errors import Refusal
from server.output.paper import SIZES, TURNS, Choices, Correction, PaperSize, roll

ROLL = "roll"
NAMES = ("size", "roll", "turn", "margin", "overlap", "pieces", "printer")
"""What can be asked."""

_BY_LOWER = {name.lower(): size for name, size in SIZES.items()}


def read_choices(typed: Mapping[str, str], correction: Correction | None = None) -> Choices:
    """Return the choices that the words make; what is left out or empty is as usual.

    Args:
        typed: size ("A4", "letter", "roll"), roll (its width), turn, margin, overlap (lengths), pieces ("front:2,back").
        correction: of the printer.

    Raises:
        Refusal: a word that is not understood, or a number out of range; the field is the choice.

    """
    unknown = next((name for name in typed if name not in NAMES), None)
    if unknown is not None:
        raise Refusal(f"{unknown[:40]!r} cannot be chosen: give {', '.join(NAMES)}.", field=unknown[:40])
    given = {name: words.strip() for name, words in typed.items() if words.strip()}
    usual = Choices()
    turn = next((turn for turn in TURNS if turn == given.get("turn", usual.turn)), None)
    if turn is None:
        raise Refusal(f"The page cannot lie {given['turn'][:40]!r}: choose {', '.join(TURNS)}.", field="turn")
    return Choices(
        read_size(given.get("size", usual.size.name), given.get("roll")),
        turn,
        units.length(given["margin"], field="margin") if "margin" in given else usual.margin,
        units.length(given["overlap"], field="overlap") if "overlap" in given else usual.overlap,
        _read_pieces(given.get("pieces", "")),
        correction or Correction(),
    )


def read_size(name: str, roll_width: str | None = None) -> PaperSize:
    """Return the paper of a name; a roll also needs its width in words.

    Raises:
        Refusal: no such paper, or a width that is not understood or out of range.

    """
    if name.lower() == ROLL:
        if not roll_width:
            raise Refusal("A roll needs its width, such as 610 mm or 24 in.", field="roll")
        return roll(units.length(roll_width, field="roll"))
    found = _BY_LOWER.get(name.lower())
    if found is None:
        raise Refusal(f"There is no paper {name[:40]!r}: choose {', '.join(SIZES)} or {ROLL}.", field="size")
    return found


def _read_pieces(text: str) -> tuple[tuple[str, int], ...]:
    """Read "front:2,back": names of pieces, each with how many."""
    counts: dict[str, int] = {}
    for part in filter(None, (part.strip() for part in text.split(","))):
        name, _, many = part.partition(":")
        if not (many or "1").isascii() or not (many or "1").isdigit() or len(many) > 4:
            raise Refusal(f"{part[:40]!r} is not a piece and a number: write front:2.", field="pieces")
        counts[name] = counts.get(name, 0) + int(many or "1")
    return tuple(counts.items())
