"""A saved pattern made with one rack, and its blows: worked out once, and kept at hand while the light leads through it."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, TypeAlias

from server.leather.pattern import Pattern
from server.leather.rack import Rack
from server.services.making import sewing
from server.services.making.strikes import ShownStrike, strikes_of
from server.services.pattern import drafted
from server.store.records import PatternRecord

KEPT = 16
"""Patterns that are kept at hand."""

_Key: TypeAlias = tuple[Any, ...]
_kept: OrderedDict[_Key, Made] = OrderedDict()
_lock = threading.Lock()


@dataclass(frozen=True)
class Made:
    """A pattern with the tools and the thread of a rack, and the blows of each step that pricks, by step."""

    pattern: Pattern
    blows: Mapping[str, tuple[ShownStrike, ...]]


def made_with(record: PatternRecord, rack: Rack) -> Made:
    """Return a saved pattern as it is made with a rack.

    Raises:
        Refusal: the draft, or the reading room, no longer makes anything of it.

    """
    key = (record.id, record.made_at, record.family, record.svg, tuple(sorted(record.measures_mm.items())), rack)
    with _lock:
        if key in _kept:
            _kept.move_to_end(key)
            return _kept[key]
    made = _made(record, rack)
    with _lock:
        _kept[key] = made
        while len(_kept) > KEPT:
            _kept.popitem(last=False)
    return made


def _made(record: PatternRecord, rack: Rack) -> Made:
    pattern = sewing.work(drafted.of_pattern(record), rack).pattern
    every = {step.name: strikes_of(pattern, step, rack) for step in pattern.steps}
    return Made(pattern, {name: blows for name, blows in every.items() if blows})
