"""The way through a job: which place comes next, and which came before. Pure; knows neither light nor store.

The places of a job stand in one row: every blow of every step of every copy, in the order in which they are worked. Going
on and back is going along that row, so one undoes the other.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Literal, get_args

Order = Literal["copy", "step"]
ORDERS: tuple[Order, ...] = get_args(Order)


@dataclass(frozen=True)
class Leg:
    """A step of the work, and into how many blows it is divided; 0 for a step that is shown whole."""

    step: str
    strikes: int = 0


@dataclass(frozen=True)
class Place:
    """Where the maker is: copy from 1, step by name, blow from 0 (None where the step is whole), or done."""

    copy: int
    step: str
    strike: int | None = None
    done: bool = False


@dataclass(frozen=True)
class JobPath:
    """All places of a job.

    Args:
        legs: the steps in order, at least one.
        copies: how many are made, at least one.
        order: "copy" to finish one copy before the next, "step" to take each step through all copies.

    """

    legs: Sequence[Leg]
    copies: int
    order: Order = "copy"

    @cached_property
    def places(self) -> tuple[Place, ...]:
        """Return every place in the order of the work."""
        numbers = range(1, self.copies + 1)
        by_copy = ((copy, leg) for copy in numbers for leg in self.legs)
        by_step = ((copy, leg) for leg in self.legs for copy in numbers)
        turns = by_copy if self.order == "copy" else by_step
        return tuple(Place(copy, leg.step, strike) for copy, leg in turns for strike in _strikes(leg))

    def go(self, place: Place, by: int) -> Place:
        """Return the place after (``by`` 1) or before (-1) this one.

        After the last one the job is done, there; before the first one there is none, so it stays.
        """
        here = self.nearest(place)
        if here.done:
            return Place(here.copy, here.step, here.strike) if by < 0 else here
        to = self.places.index(here) + by
        if to == len(self.places):
            return Place(here.copy, here.step, here.strike, done=True)
        return self.places[max(to, 0)]

    def begin(self, step: str, copy: int) -> Place:
        """Return the first place of a step of a copy."""
        return self.nearest(Place(copy, step, 0))

    def nearest(self, place: Place) -> Place:
        """Return the place itself where it still exists, else the nearest: the plan of blows may have changed since.

        A blow beyond the last is the last one; a step that is gone, or a copy too many, is the first place of its copy.
        """
        copy = min(max(place.copy, 1), self.copies)
        leg = next((leg for leg in self.legs if leg.step == place.step), None)
        if leg is None:
            return self.begin(self.legs[0].step, copy)
        strike = min(max(place.strike or 0, 0), leg.strikes - 1) if leg.strikes else None
        return Place(copy, leg.step, strike, place.done)

    def share(self, place: Place) -> float:
        """Return how much of the work lies behind, 0 to 1."""
        return 1.0 if place.done else self.places.index(self.nearest(place)) / len(self.places)

    def following(self, place: Place) -> Place | None:
        """Return the first place of the next step, of this copy or of another; None at the last step."""
        here = self.nearest(place)
        rest = self.places[self.places.index(Place(here.copy, here.step, here.strike)) + 1 :]
        return next((one for one in rest if (one.copy, one.step) != (here.copy, here.step)), None)


def _strikes(leg: Leg) -> Sequence[int | None]:
    return range(leg.strikes) if leg.strikes else (None,)
