"""The hardware that a pattern asks for by its own choices: snaps, studs, rivets, buckles, rings."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from server.leather.pattern import Pattern


@dataclass(frozen=True)
class Wanted:
    """So many of one kind of hardware, by its trade name in the singular."""

    name: str
    count: int


def wanted(pattern: Pattern) -> tuple[Wanted, ...]:
    """Return the hardware of a pattern, from the measures and choices it was drafted with; none for most."""
    found = _BY_FAMILY.get(pattern.family)
    return () if found is None else found(pattern.measures)


def _flap_pouch(m: Mapping[str, float]) -> tuple[Wanted, ...]:
    """Closure: a snap, a stud, or a tongue that needs nothing."""
    return ((Wanted("snap", 1),), (Wanted("stud", 1),), ())[int(m["closure"])]


def _strap(m: Mapping[str, float]) -> tuple[Wanted, ...]:
    """A buckle; the turn held by two screws or snaps, or sewn."""
    return (Wanted("buckle", 1), *((Wanted("screw or snap", 2),) if int(m["fixing"]) == 0 else ()))


def _tray(m: Mapping[str, float]) -> tuple[Wanted, ...]:
    """Each of the four corners by a snap or a rivet, or sewn."""
    return ((Wanted("snap", 4),), (Wanted("rivet", 4),), ())[int(m["fixing"])]


_BY_FAMILY: Mapping[str, Callable[[Mapping[str, float]], tuple[Wanted, ...]]] = {
    "flap-pouch": _flap_pouch,
    "strap": _strap,
    "tray": _tray,
    "sheath": lambda _: (Wanted("snap", 1),),
    "key-fob": lambda m: (Wanted(f"ring, {m['ring']:.3g} mm inside", 1),),
}
