"""What a step makes the maker wait for, and how long with one rack: glue to get tacky, a joint to hold, wet leather to dry."""

from __future__ import annotations

from typing import Any

from server.leather.norms_sewing import PRACTICE
from server.leather.pattern import Step, WaitKind
from server.leather.rack import Rack
from server.services.making.rack_words import written_time

_WORDS: dict[WaitKind, str] = {
    "tacky": "Leave the glue {time} until it is tacky before you join the faces",
    "joint": "Leave the joint {time} before you cut, punch or sew through it",
    "drying": "Leave it {time} to dry",
}


def waits(step: Step, rack: Rack) -> list[dict[str, Any]]:
    """Return each wait of a step: minutes, the sentence, and whether the maker set the time; else it is common practice."""
    return [_wait(kind, rack) for kind in step.waits]


def _wait(kind: WaitKind, rack: Rack) -> dict[str, Any]:
    minutes, own = rack.waiting.minutes(kind)
    source = f"from {rack.called}" if own else PRACTICE
    words = f"{_WORDS[kind].format(time=written_time(minutes))} ({source})."
    return {"kind": kind, "minutes": minutes, "own": own, "words": words}
