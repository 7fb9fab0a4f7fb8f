"""What the maker answers to the picture guard, kept with the bench."""

from __future__ import annotations

from typing import Any, Literal

from server.errors import Refusal
from server.services.bench import guard
from server.services.bench.warmth import WARM_MINUTES
from server.services.light.light import Light
from server.services.state import State
from server.services.times import minutes_before_now
from server.store import benches
from server.store.clock import now
from server.store.database import Database

Answer = Literal["yes", "no"]
ANSWERS: tuple[Answer, ...] = ("yes", "no")


class Guard:
    """The maker's verbs about the picture guard. A bench of None is the one in use."""

    def __init__(self, database: Database, light: Light, state: State) -> None:
        self._database, self._light, self._state = database, light, state

    def read(self, bench: int | None) -> list[dict[str, Any]]:
        """Return every item; those of a bench only when there is one. Refused (404) when the named one is not there."""
        number = bench or self._state.current().bench
        with self._database.reading() as session:
            record = None if number is None else benches.get(session, number)
        return guard.told(self._light.windows.size(), record)

    def answer(self, name: guard.Asked, answer: Answer, bench: int | None) -> list[dict[str, Any]]:
        """Keep an answer, and return every item.

        Raises:
            Refusal: there is no bench to keep it with (409), or the named one is not there (404).

        """
        number = bench or self._state.current().bench
        if number is None:
            raise Refusal("There is no bench yet: set one up first.", field="bench", status=409)
        with self._database.writing() as session:
            record = benches.get(session, number)
            warm = record.warm_since
            if name == "warm-up":
                warm = minutes_before_now(WARM_MINUTES if answer == "yes" else 0.0)
            answers = {**record.guard, name: {"answer": answer, "at": now()}}
            benches.answer(session, number, answers, warm)
        self._light.refresh()
        return self.read(number)
