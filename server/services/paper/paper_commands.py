"""The command's verb that prints: a pattern file or a family, on paper of a size, as a PDF; and drafts by their ending."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path

from server.errors import Refusal
from server.geometry.svg_reading import read as read_drawing
from server.leather.pattern import Pattern
from server.output.dxf import pieces_dxf
from server.output.paper import Choices, Correction
from server.output.paper_pages import Title, pages
from server.output.paper_plan import Plan, plan
from server.output.pdf import pdf
from server.output.svg import pattern_svg
from server.services.files import write_whole
from server.services.paper.paper import corrected, printed
from server.services.paper.paper_choices import read_choices
from server.services.paper.paper_file import pieces_of


def as_file(pattern: Pattern, ending: str) -> bytes:
    """Return a pattern as the file that an ending asks for: .dxf, .pdf (A4), anything else SVG."""
    if ending.lower() == ".dxf":
        return pieces_dxf(pattern.pieces, pattern.title).encode()
    if ending.lower() == ".pdf":
        return pdf(printed(pattern, pattern.title, Choices())[1], pattern.title)
    return pattern_svg(pattern).encode()


def print_pages(given: argparse.Namespace, text_of: Callable[[Path], str], drafted: Callable[[str], Pattern]) -> str:
    """Write the print of a pattern file or of a family; return what to say of it.

    Args:
        given: the words of the command.
        text_of: reads a text file, or refuses.
        drafted: drafts a family with the measures given, or refuses.

    """
    if given.out.suffix.lower() != ".pdf":
        raise Refusal(f"The print {given.out.name} must end in .pdf.", field="out")
    choices = read_choices(_typed(given), corrected(given.measured) if given.measured else Correction())
    path = Path(given.pattern)
    if path.suffix.lower() == ".svg" or path.is_file():
        if given.measure:
            raise Refusal("A pattern file has its measures already: give --measure with a family.", field="measure")
        made = plan(pieces_of(read_drawing(text_of(path))), choices)
        drawn, name = pages(made, Title(path.stem)), path.stem
    else:
        pattern = drafted(given.pattern)
        name = pattern.title
        made, drawn = printed(pattern, name, choices)
    write_whole(given.out, pdf(drawn, name))
    return _told(made)


def _typed(given: argparse.Namespace) -> dict[str, str]:
    """The words of the command as choices: --paper roll:610mm is a roll of that width."""
    size, _, width = given.paper.partition(":")
    pieces = ",".join(one.replace("=", ":") for one in given.piece)
    typed = {"size": size, "roll": width, "turn": given.turn, "pieces": pieces}
    return typed | {name: getattr(given, name) for name in ("margin", "overlap") if getattr(given, name)}


def _told(made: Plan) -> str:
    joined = sum(sheet.pages > 1 for sheet in made.sheets)
    together = "" if not joined else f", {joined} of {len(made.sheets)} sheets put together from several"
    return (
        f"{made.pages} pages of {made.format.title}{together}; {made.format.correction.words}.\n"
        'Print at 100 % ("actual size") and measure the 100 mm rules before you cut.\n'
    )
