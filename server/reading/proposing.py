"""A first assignment for the maker to look over: by the layer's name, else by dashes, else by shape; each with its reason."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from server.reading.assignment import Assignment, Choice
from server.reading.layer_words import role_called
from server.reading.shapes import Guess, guesses
from server.reading.sheet import Look, Sheet

_PLURAL = {"cut": "cut lines", "slot": "slots", "stitch": "stitch lines", "hole": "stitch holes", "fold": "fold lines",
           "mark": "marks", "ignore": "left out"}  # fmt: skip


@dataclass(frozen=True)
class Reason:
    """Why a look (or some of its lines) was proposed as what it was.

    Attributes:
        key: of the look.
        choice: what its lines are proposed as.
        words: the sentence.
        lines: the lines meant where they are not all of the look, else empty.

    """

    key: str
    choice: Choice
    words: str
    lines: tuple[int, ...] = ()


@dataclass(frozen=True)
class Proposal:
    """An assignment of every look, and the reasons."""

    assignment: Assignment
    reasons: tuple[Reason, ...]


def propose(sheet: Sheet) -> Proposal:
    """Return what each look of a sheet is most likely for."""
    shaped = guesses(sheet)
    looks: dict[str, Choice] = {}
    lines: dict[int, Choice] = {}
    reasons: list[Reason] = []
    for look in sheet.looks:
        members = [i for i, line in enumerate(sheet.lines) if line.look == look]
        choice, why = _of_look(look, [shaped[i] for i in members])
        looks[look.key] = choice
        reasons.append(Reason(look.key, choice, _sentence(choice, why)))
        if role_called(look.layer) is None:
            apart = _exceptions(members, shaped, choice)
            for (other, reason), which in apart.items():
                lines.update(dict.fromkeys(which, other))
                words = f"{len(which)} of them are taken for {_PLURAL[other]}: {reason}."
                reasons.append(Reason(look.key, other, words, tuple(which)))
    return Proposal(Assignment(looks, lines), tuple(reasons))


def _of_look(look: Look, shaped: list[Guess]) -> tuple[Choice, str]:
    called = role_called(look.layer)
    if called is not None:
        return called[0], f"their layer's name says {called[1]!r}"
    counts = Counter(guess.choice for guess in shaped)
    likely: Choice = counts.most_common(1)[0][0]
    if look.dash and likely not in ("ignore", "hole", "fold"):
        if len(look.dash) >= 4:
            return "fold", "they are drawn in dashes and dots"
        return "stitch", "they are dashed"
    if counts["cut"]:
        likely = "cut"
    return likely, next(guess.why for guess in shaped if guess.choice == likely)


def _exceptions(members: list[int], shaped: list[Guess], choice: Choice) -> dict[tuple[Choice, str], list[int]]:
    """Lines of a look whose shape speaks for something else; a ring inside a cut is a slot anyway."""
    found: dict[tuple[Choice, str], list[int]] = {}
    for i in members:
        guess = shaped[i]
        strong = guess.choice in ("hole", "ignore") or choice == "cut"
        if guess.choice != choice and strong:
            found.setdefault((guess.choice, guess.why), []).append(i)
    return found


def _sentence(choice: Choice, why: str) -> str:
    return f"Taken for {_PLURAL[choice]}: {why}."
