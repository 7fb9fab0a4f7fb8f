"""What the scripts say stands in one folder, so that a translator needs no other."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

STATIC = Path(__file__).parents[2] / "static"
SCRIPTS = sorted(path for path in (STATIC / "js").rglob("*.js") if "words" not in path.parts)
COMMENT = re.compile(r"/\*.*?\*/|^\s*//.*?$|(?<=\s)// .*?$", re.DOTALL | re.MULTILINE)
SENTENCE = re.compile(r"""(["'`])([A-Z][a-z]+(?: [a-zA-Z]+){1,}[^"'`\n]*)\1""")
"""A capital, then words: what a person would read. Names of classes, events and keys are not written so."""

FOR_US = re.compile(r"\bthrow new Error\(|Segoe UI")
"""What only one who mends the program reads, and the name of a typeface."""


def sentences(text: str) -> list[str]:
    """Return what looks like English for the maker in the text of a script."""
    lines = (line for line in COMMENT.sub("", text).splitlines() if not FOR_US.search(line))
    return [found.group(2) for line in lines for found in SENTENCE.finditer(line)]


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: str(path.relative_to(STATIC)))
def test_no_script_outside_the_words_speaks(path: Path) -> None:
    assert sentences(path.read_text()) == []


def test_a_sentence_would_be_noticed() -> None:
    assert sentences('say("The bench is gone.");') == ["The bench is gone."]
    assert sentences('throw new Error("The page has no bench");\n// "Only a comment"') == []


def test_every_words_file_is_short() -> None:
    long = [path.name for path in (STATIC / "js" / "words").glob("*.js") if len(path.read_text().splitlines()) >= 400]
    assert long == []
