"""The maker's own rack: leathers, threads, rows of tines, punches and needles. Millimetres.

`starter` is a generic rack of common sizes for a first start; none of its numbers is from a catalogue.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, TypeVar

from calibration.refusal import Refusal
from server.leather.norms import LINEN_DENSITY, NEUTRAL_AXIS
from server.leather.norms_sewing import ARM_SPAN, DRYING, GLUE_CURE, GLUE_OPEN, MEMORY, PRACTICE
from server.leather.pattern import WaitKind
from server.leather.thread import diameter_of_tex

PunchShape = Literal["round", "oblong", "corner"]
Item = TypeVar("Item", "Leather", "Thread")

_USUAL_WAITS = {"tacky": GLUE_OPEN, "joint": GLUE_CURE, "drying": DRYING}


@dataclass(frozen=True)
class Leather:
    """A leather.

    Attributes:
        name: as the maker calls it.
        low: least thickness, mm.
        high: greatest thickness, mm.
        colour: in words.
        stretch: share it gives across its lines of tightness, measured on a strip; None when not measured.
        neutral: K, measured on a bent strip; None when not measured.
        price: of a dm2, in the maker's money; None where the rates say it for all leathers.

    """

    name: str
    low: float
    high: float
    colour: str = ""
    stretch: float | None = None
    neutral: float | None = None
    price: float | None = None

    def __post_init__(self) -> None:
        _hold(0.0 < self.low <= self.high <= 20.0, f"{self.name} of {self.low:g} to {self.high:g} mm is no leather")
        _hold(self.stretch is None or 0.0 <= self.stretch < 1.0, f"{self.name} stretches by a share from 0 to 1")
        _hold(self.neutral is None or 0.0 <= self.neutral <= 1.0, f"K of {self.name} lies from 0 to 1")

    @property
    def thickness(self) -> float:
        """Middle of its range, mm."""
        return (self.low + self.high) / 2.0

    @property
    def k(self) -> float:
        """The K to draft with: the measured one, or one half until a strip has been measured."""
        return NEUTRAL_AXIS.value if self.neutral is None else self.neutral


@dataclass(frozen=True)
class Thread:
    """A thread.

    Attributes:
        name: as the maker calls it.
        diameter: mm.
        colour: in words.
        tex: g/km, when it is known by that.
        price: of a metre; None where the rates say it for all threads.

    """

    name: str
    diameter: float
    colour: str = ""
    tex: float | None = None
    price: float | None = None

    def __post_init__(self) -> None:
        _hold(0.0 < self.diameter <= 5.0, f"{self.name} of {self.diameter:g} mm is no sewing thread")

    @staticmethod
    def of_tex(
        name: str, tex: float, colour: str = "", density: float = LINEN_DENSITY.value, price: float | None = None
    ) -> Thread:
        """Return a thread known by its tex; its diameter is that of a round thread of `density` g/cm3."""
        _hold(math.isfinite(tex) and tex > 0.0, f"{name} of {tex:g} tex is no thread")
        return Thread(name, diameter_of_tex(tex, density), colour, tex, price)


@dataclass(frozen=True)
class ChiselRow:
    """Pricking irons of one pitch.

    Attributes:
        pitch: mm from tine to tine.
        tines: of each iron of that pitch.
        hole: mm, the length of the slit a tine makes.

    """

    pitch: float
    tines: tuple[int, ...]
    hole: float

    def __post_init__(self) -> None:
        sound = self.pitch > 0.0 and 0.0 < self.hole < self.pitch and self.tines and min(self.tines) >= 1
        _hold(bool(sound), f"Irons of {self.pitch:g} mm need tines, and slits shorter than their pitch")


@dataclass(frozen=True)
class Punch:
    """A punch.

    Attributes:
        shape: "round" (width is its diameter), "oblong" (round ends), or "corner" (length is the radius it rounds).
        width: mm.
        length: mm; 0 for a round one.

    """

    shape: PunchShape
    width: float
    length: float = 0.0

    def __post_init__(self) -> None:
        sound = self.width > 0.0 if self.shape != "corner" else self.length > 0.0
        _hold(sound and (self.shape != "oblong" or self.length >= self.width), f"A punch of {self} cannot be")

    @property
    def words(self) -> str:
        """The punch as it is asked for."""
        if self.shape == "round":
            return f"round punch {self.width:.3g} mm"
        if self.shape == "oblong":
            return f"oblong punch {self.width:.3g} x {self.length:.3g} mm"
        return f"corner punch, radius {self.length:.3g} mm"


@dataclass(frozen=True)
class Needle:
    """A blunt needle: the thickest thread it carries and the greatest stack it reaches through, mm."""

    name: str
    thread: float
    stack: float


@dataclass(frozen=True)
class Fitting:
    """Hardware in the drawer: a snap, a buckle, a ring; the price of one."""

    name: str
    price: float


@dataclass(frozen=True)
class Waiting:
    """How long to wait, minutes: glue until it is tacky, glued joints until they are worked on, wet leather until it is dry.

    None where the maker has set nothing; then what is usual is said, and said to be that.
    """

    tacky: float | None = None
    joint: float | None = None
    drying: float | None = None

    def minutes(self, kind: WaitKind) -> tuple[float, bool]:
        """Return the minutes of one kind of waiting, and whether the maker has set them."""
        own: float | None = getattr(self, kind)
        return (_USUAL_WAITS[kind].value, False) if own is None else (own, True)


@dataclass(frozen=True)
class Rack:
    """All a maker has.

    Attributes:
        leathers: the maker's leathers.
        threads: threads.
        chisels: irons, one entry for each pitch.
        punches: punches.
        needles: needles.
        hardware: snaps, buckles, rings and the like.
        waiting: times of glue and of wet leather.
        arm_span: mm of thread the maker likes to handle in one piece.
        source: where the numbers come from: "the maker", or what a starter rack rests on.
        irons_in_use: mm, pitch of the irons chosen for the work in hand; None where the nearest are taken.
        thread_in_use: name of the thread chosen for the work in hand; None where the thickest that suits is taken.

    """

    leathers: tuple[Leather, ...] = ()
    threads: tuple[Thread, ...] = ()
    chisels: tuple[ChiselRow, ...] = ()
    punches: tuple[Punch, ...] = ()
    needles: tuple[Needle, ...] = ()
    hardware: tuple[Fitting, ...] = ()
    waiting: Waiting = Waiting()
    arm_span: float = ARM_SPAN.value
    source: str = "the maker"
    irons_in_use: float | None = None
    thread_in_use: str | None = None

    def __post_init__(self) -> None:
        _hold(math.isfinite(self.arm_span) and self.arm_span >= 300.0, "An arm-span is at least 300 mm")

    @property
    def called(self) -> str:
        """How the drafts speak of it."""
        return "your rack" if self.source == Rack.source else "the starter rack"

    def leather(self, name: str) -> Leather:
        """Return the leather of that name; Refusal when there is none."""
        return _named(self.leathers, name, "leather")

    def irons(self, pitch: float) -> ChiselRow:
        """Return the irons of that pitch, mm, to a hundredth; Refusal when there are none."""
        for row in self.chisels:
            if abs(row.pitch - pitch) < 0.01:
                return row
        known = ", ".join(f"{row.pitch:g}" for row in self.chisels) or "none yet"
        raise Refusal(f"There are no irons of {pitch:g} mm on the rack: there are {known}.", field="irons")

    def thread(self, name: str) -> Thread:
        """Return the thread of that name; Refusal when there is none."""
        return _named(self.threads, name, "thread")


def starter() -> Rack:
    """Return a generic rack of common sizes, to begin with until the maker has entered their own."""
    rounds = tuple(Punch("round", d) for d in (2.0, 2.5, 3.0, 3.5, 4.0, 4.5, 5.0, 6.0, 8.0, 10.0))
    oblongs = tuple(Punch("oblong", w, n) for w, n in ((3.0, 20.0), (4.0, 20.0), (5.0, 25.0), (6.0, 30.0), (6.0, 40.0)))
    corners = tuple(Punch("corner", 0.0, r) for r in (3.0, 5.0, 8.0, 10.0))
    return Rack(
        leathers=(
            Leather("lining", 0.8, 1.0, "natural"),
            Leather("wallet leather", 1.0, 1.4, "natural"),
            Leather("bag leather", 1.8, 2.2, "natural"),
            Leather("case leather", 2.4, 3.2, "natural"),
            Leather("belt leather", 3.5, 4.0, "natural"),
        ),
        threads=(
            Thread("fine thread", 0.45, "natural"),
            Thread("middle thread", 0.6, "natural"),
            Thread("linen 18/3", diameter_of_tex(275.6), "natural", 275.6),
            Thread("strong thread", 0.8, "natural"),
            Thread("heavy thread", 1.0, "natural"),
        ),
        chisels=(
            ChiselRow(2.7, (10, 6, 2, 1), 1.6),
            ChiselRow(3.0, (10, 6, 2, 1), 1.8),
            ChiselRow(3.38, (10, 6, 2, 1), 2.0),
            ChiselRow(3.5, (6, 4, 2, 1), 2.0),
            ChiselRow(3.85, (10, 6, 2, 1), 2.2),
            ChiselRow(4.0, (6, 4, 2, 1), 2.3),
            ChiselRow(4.5, (6, 4, 2, 1), 2.5),
            ChiselRow(5.0, (6, 4, 2, 1), 2.8),
            ChiselRow(6.0, (4, 2, 1), 3.2),
        ),
        punches=rounds + oblongs + corners,
        hardware=(
            Fitting("snap", 0.0),
            Fitting("stud", 0.0),
            Fitting("rivet", 0.0),
            Fitting("screw or snap", 0.0),
            Fitting("buckle", 0.0),
        ),
        needles=(
            Needle("fine needle", 0.5, 8.0),
            Needle("middle needle", 0.7, 12.0),
            Needle("large needle", 0.9, 18.0),
            Needle("heavy needle", 1.2, 25.0),
        ),
        source=f"{PRACTICE}; {MEMORY}",
    )


def _named(items: Sequence[Item], name: str, what: str) -> Item:
    for item in items:
        if item.name == name:
            return item
    known = ", ".join(item.name for item in items) or "none yet"
    raise Refusal(f"There is no {what} called {name!r} on the rack: there is {known}.", field=what)


def _hold(sound: bool, words: str) -> None:
    if not sound:
        raise Refusal(f"{words}: correct it.", field="rack")
