"""What a step of the work makes the maker wait for: glue to get tacky, a joint to hold, wet leather to dry."""

from __future__ import annotations

import re
from typing import Any

from server.leather.norms_sewing import PRACTICE
from server.leather.pattern import Step
from server.leather.rack import Rack, WaitKind
from server.services.making.rack_words import written_time

_DRY = re.compile(r"\bdry\b")
_WORDS: dict[WaitKind, str] = {
    "tacky": "Leave the glue {time} until it is tacky before you join the faces",
    "joint": "Leave the joint {time} before you cut, punch or sew through it",
    "drying": "Leave it {time} to dry",
}


def kinds(step: Step) -> tuple[WaitKind, ...]:
    """Return what a step waits for: glue among its tools, or words that let it dry."""
    if "glue" in step.tools:
        return ("tacky", "joint")
    return ("drying",) if _DRY.search(step.words) else ()


def waits(step: Step, rack: Rack) -> list[dict[str, Any]]:
    """Return each wait of a step: minutes, the sentence, and whether the maker set the time; else it is common practice."""
    return [_wait(kind, rack) for kind in kinds(step)]


def _wait(kind: WaitKind, rack: Rack) -> dict[str, Any]:
    minutes, own = rack.waiting.minutes(kind)
    source = f"from {rack.called}" if own else PRACTICE
    words = f"{_WORDS[kind].format(time=written_time(minutes))} ({source})."
    return {"kind": kind, "minutes": minutes, "own": own, "words": words}
