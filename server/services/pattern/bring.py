"""The command's verb for a pattern of the maker's own: a file read, told of, and written as a pattern."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import Any, TextIO

from server.errors import Refusal
from server.leather.pattern import Pattern
from server.output.svg import pattern_svg
from server.reading.formats import MOST_BYTES
from server.reading.proposing import propose
from server.reading.reader import read_file
from server.reading.sheet import Look, Sheet, extent
from server.services.files import write_whole
from server.services.pattern import own_choices

LONGEST_LISTED = 12
"""Lines that a listing names one by one: the longest, where a known length is most likely to be among them."""


def bring(given: argparse.Namespace, _: TextIO) -> str:
    """Read a file and write its pattern, or with ``--list`` tell what is in it.

    What is left out, and what else there is to say, is printed; on standard error when the pattern goes to standard output.
    """
    sheet = read_file(_bytes(given.file), given.file.name)
    choices = own_choices.first(sheet) | _given(sheet, given)
    choices["lines"] = _apart(sheet, choices["lines"], given.uses)
    choices["looks"] = choices["looks"] | _uses(sheet, given.uses)
    if given.list:
        return _listed(sheet, choices)
    pattern = own_choices.make(sheet, choices)
    text = pattern_svg(pattern)
    if given.out is None:
        sys.stderr.write(_told(pattern))
        return text
    write_whole(given.out, text.encode())
    return _told(pattern)


def _given(sheet: Sheet, given: argparse.Namespace) -> dict[str, Any]:
    """What was typed about size, stitches and title; what was not keeps its first value."""
    typed = {name: getattr(given, name) for name in ("unit", "pitch", "leather", "plies", "title")}
    known = {} if given.known is None else _known(sheet, given.known)
    return {name: value for name, value in typed.items() if value is not None} | known


def _known(sheet: Sheet, text: str) -> dict[str, Any]:
    line, equals, length = text.partition("=")
    number = _number(sheet, line)
    if not equals or number is None:
        raise Refusal(
            f"--known is {text[:40]!r}: write a line's number and its length, such as 3=100mm.", field="known"
        )
    return {"known": {"line": number, "across": "along"}, "length": length}


def _number(sheet: Sheet, text: str) -> int | None:
    """The place of a line that is counted from 1, or None for words that are no number."""
    if not (text.strip().isdecimal() and len(text) < 9):
        return None
    number = int(text) - 1
    if not 0 <= number < len(sheet.lines):
        raise Refusal(f"There is no line {number + 1}: the file has lines 1 to {len(sheet.lines)}.", field="line")
    return number


def _uses(sheet: Sheet, given: list[str]) -> dict[str, str]:
    """Choices for looks, by key."""
    pairs = [_pair(text) for text in given]
    return {look.key: use for what, use in pairs if _line(sheet, what) is None for look in _meant(sheet, what)}


def _apart(sheet: Sheet, proposed: dict[str, str], given: list[str]) -> dict[str, str]:
    """Choices for single lines; what was proposed for lines of a look that the maker chose gives way to that."""
    chosen = set(_uses(sheet, given))
    kept = {number: use for number, use in proposed.items() if sheet.lines[int(number)].look.key not in chosen}
    lines = ((_line(sheet, what), use) for what, use in map(_pair, given))
    return kept | {str(number): use for number, use in lines if number is not None}


def _pair(text: str) -> tuple[str, str]:
    what, equals, use = text.rpartition("=")
    if not equals or not what.strip():
        raise Refusal(f"--as is {text[:60]!r}: write a look and its use, such as 'look 1=cut'.", field="as")
    return what.strip(), use.strip()


def _line(sheet: Sheet, what: str) -> int | None:
    """The line's place when ``what`` names a single line."""
    word, _, number = what.partition(" ")
    return _number(sheet, number) if word == "line" else None


def _meant(sheet: Sheet, what: str) -> list[Look]:
    """The looks that go by a number of the list, a layer or a colour."""
    looks = sheet.looks
    word, _, number = what.partition(" ")
    if word == "look" and number.isdecimal() and 1 <= int(number) <= len(looks):
        return [looks[int(number) - 1]]
    found = [look for look in looks if what in (look.layer, look.colour, look.key)]
    if not found:
        raise Refusal(f"The file has no look {what[:60]!r}; hidelight bring FILE --list shows them.", field="as")
    return found


def _listed(sheet: Sheet, choices: dict[str, Any]) -> str:
    lines = [_size_words(sheet, choices), "", f"Looks ({len(sheet.lines)} lines):"]
    lines += [_look_words(sheet, number, look, choices) for number, look in enumerate(sheet.looks, 1)]
    lines += ["", "Why:", *_reasons(sheet), "", "The longest lines:"]
    longest = sorted(range(len(sheet.lines)), key=lambda i: -sheet.lines[i].length)[:LONGEST_LISTED]
    lines += [_line_words(sheet, i, choices) for i in sorted(longest)]
    told = [*(drop.words for drop in sheet.dropped), *sheet.notes]
    return "\n".join([*lines, *(["", "To know:", *(f"  {words}" for words in told)] if told else [])]) + "\n"


def _reasons(sheet: Sheet) -> list[str]:
    numbers = {look.key: number for number, look in enumerate(sheet.looks, 1)}
    return [f"  look {numbers[reason.key]}\t{reason.words}" for reason in propose(sheet).reasons]


def _size_words(sheet: Sheet, choices: dict[str, Any]) -> str:
    true = own_choices.scaled(sheet, choices)
    width, height = extent(true.lines)
    if not true.unit_known:
        return f"{sheet.question} Give --unit or --known."
    return f"{sheet.name}: {width:.1f} x {height:.1f} mm ({width / 25.4:.2f} x {height / 25.4:.2f} in)."


def _look_words(sheet: Sheet, number: int, look: Look, choices: dict[str, Any]) -> str:
    members = [i for i, line in enumerate(sheet.lines) if line.look == look]
    apart: dict[str, int] = {}
    for use in (choices["lines"].get(str(i)) for i in members):
        if use is not None:
            apart[use] = apart.get(use, 0) + 1
    also = "".join(f", {count} of them {use}" for use, count in apart.items())
    return f"  look {number}\t{choices['looks'][look.key]}{also}\t{_count(len(members))}\t{look.words}"


def _count(lines: int) -> str:
    return "1 line" if lines == 1 else f"{lines} lines"


def _line_words(sheet: Sheet, index: int, choices: dict[str, Any]) -> str:
    line = own_choices.scaled(sheet, choices).lines[index]
    left, top, right, bottom = line.box
    use = choices["lines"].get(str(index)) or choices["looks"][sheet.lines[index].look.key]
    shape = "closed" if line.closed else "open"
    size = f"{right - left:.1f} x {bottom - top:.1f} mm"
    return f"  line {index + 1}\t{use}\t{line.length:.1f} mm long\t{size}\t{shape}\tpage {line.page}"


def _told(pattern: Pattern) -> str:
    return "".join(f"{sentence.words}\n" for sentence in pattern.sentences)


def _bytes(path: Path) -> bytes:
    try:
        if not path.is_file():
            raise Refusal(f"{path} cannot be read (it is not a file); check the name.", field="file")
        with path.open("rb") as file:
            return file.read(MOST_BYTES + 1)
    except OSError as error:
        raise Refusal(f"{path} cannot be read ({error.strerror}); check the name.", field="file") from None
