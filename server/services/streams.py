"""Open event streams: how many, what wakes them, and how they end.

A stream holds one of the server's threads for as long as it is open, so there is a cap well below their number, and
a heartbeat, because a client that has gone is only noticed by writing to it.
"""

from __future__ import annotations

import threading
import time
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal

from server.errors import Refusal

CAP = 24
"""Open streams at most; the server has 32 threads, and eight stay free for everything else."""

BEAT_S = 1.0
"""Seconds of silence before a heartbeat."""

LOOK_S = 0.2
"""Seconds between looks whether the client has hung up."""

Topic = Literal["state", "frame", "landing"]

BEAT = b"event: beat\ndata: {}\n\n"


@dataclass(frozen=True)
class Source:
    """What a stream sends: the event's name, its present data as JSON text, and whether the client has hung up."""

    topic: Topic
    data: Callable[[], str]
    gone: Callable[[], bool] = lambda: False


class Streams:
    """All open streams. ``touch`` wakes those of a topic; ``end`` ends every one."""

    def __init__(self, cap: int = CAP, beat: float = BEAT_S) -> None:
        self._cap, self._beat = cap, beat
        self._changed = threading.Condition()
        self._versions: Counter[Topic] = Counter()
        self._open = 0
        self._ended = False

    @property
    def count(self) -> int:
        """Return the number of open streams."""
        return self._open

    def version(self, topic: Topic) -> int:
        """Return how often the topic has changed."""
        return self._versions[topic]

    def touch(self, *topics: Topic) -> None:
        """Say that these topics have changed: their streams send the new data at once."""
        with self._changed:
            self._versions.update(topics)
            self._changed.notify_all()

    def end(self) -> None:
        """End every stream, and let no new one begin."""
        with self._changed:
            self._ended = True
            self._changed.notify_all()

    def enter(self) -> None:
        """Take a place among the open streams; give it back with ``leave``.

        Raises:
            Refusal: all places are taken (status 503).

        """
        with self._changed:
            if self._open >= self._cap or self._ended:
                sentence = (
                    f"{self._cap} Hidelight windows are open, which is the most: close one and load this page again."
                )
                raise Refusal(sentence, status=503)
            self._open += 1

    def leave(self) -> None:
        """Give a place back."""
        with self._changed:
            self._open -= 1

    def events(self, source: Source) -> Iterator[bytes]:
        """Yield server-sent events: the present data, then the new data after each change, and heartbeats between.

        Changes that follow each other faster than the client reads are passed over: only the newest is sent.
        """
        yield b"retry: 1000\n\n"
        seen = -1
        while (version := self._wait(source, seen)) is not None:
            if version == seen:
                yield BEAT
            else:
                seen = version
                yield f"event: {source.topic}\ndata: {source.data()}\n\n".encode()

    def _wait(self, source: Source, seen: int) -> int | None:
        """Return the topic's version: another one than ``seen``, or ``seen`` at the beat; None when the stream ends."""
        until = time.monotonic() + self._beat
        with self._changed:
            while not self._ended and not source.gone():
                left = until - time.monotonic()
                if self._versions[source.topic] != seen or left <= 0:
                    return self._versions[source.topic]
                self._changed.wait(min(left, LOOK_S))
            return None
