"""The last answer to each question, so that a drag does not make again what it does not change."""

from __future__ import annotations

from collections.abc import Callable
from typing import Generic, TypeVar

Value = TypeVar("Value")

MOST = 64
"""Answers kept."""


class Latest(Generic[Value]):
    """Keeps the last answer under each name, with what it was made of."""

    def __init__(self) -> None:
        self._kept: dict[str, tuple[tuple[object, ...], tuple[object, ...], Value]] = {}

    def get(self, name: str, same: tuple[object, ...], equal: tuple[object, ...], make: Callable[[], Value]) -> Value:
        """Return the last answer under ``name``, or make it anew.

        Args:
            name: of the question.
            same: what must be the very same objects as last time.
            equal: what must be equal.
            make: makes the answer of these.

        """
        kept = self._kept.get(name)
        if kept and kept[1] == equal and all(a is b for a, b in zip(kept[0], same, strict=True)):
            return kept[2]
        answer = make()
        if len(self._kept) >= MOST:
            self._kept.clear()
        self._kept[name] = (same, equal, answer)
        return answer
