"""How the light shows on the maker's leather: what is chosen, and what it comes to as a number for each kind of line."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from types import MappingProxyType
from typing import Any

import numpy as np

from calibration.arrays import Array
from server.errors import Refusal
from server.leather.piece import ROLES
from server.output import contrast
from server.output.contrast import Contrast, Surface
from server.output.line_styles import COLOURS, Look
from server.output.swatches import SWATCHES
from server.services.light import seeing_choices
from server.services.light.light import Light
from server.services.light.seeing_choices import Choices
from server.services.light.stage import BenchInUse, Laid
from server.services.making.rack import MakersRack
from server.store import benches, layouts, patterns, seeings
from server.store import settings as remembered
from server.store.database import Database, Session

ROOMS: Mapping[str, float] = MappingProxyType({"dark": 5.0, "dim": 50.0, "bright": 500.0})
"""Lux on the table beside the projector: shutters closed, one lamp away from the table, and a lit workbench. The last is
what standards ask of a workplace for such work (EN 12464-1, from memory); the others are our own assumptions."""

USUAL_ROOM = "dim"
USUAL_LUMENS = 2000.0
"""White of a small projector, an assumption until its data sheet is asked."""
LUMENS = (20.0, 20_000.0)


@dataclass(frozen=True)
class Room:
    """How light the room is, by name, and the projector's white in lumens; None where nobody has said."""

    name: str = USUAL_ROOM
    lumens: float | None = None


@dataclass(frozen=True)
class Change:
    """What to change; None leaves it as it is. ``blink`` "" means that nothing blinks."""

    leather: str | None = None
    weight: str | None = None
    colours: Mapping[str, str] | None = None
    fill: bool | None = None
    blink: str | None = None
    runner: bool | None = None
    room: Room | None = None


@dataclass(frozen=True)
class _Seen:
    """A layout on its bench with what was chosen for it, and whether on the layout itself."""

    laid: Laid
    bench: BenchInUse
    choices: Choices
    room: Room
    own: bool


class Seeing:
    """The maker's verbs about how the light is seen."""

    def __init__(self, database: Database, light: Light, rack: MakersRack) -> None:
        self._database, self._light, self._rack = database, light, rack

    def read(self, layout: int) -> dict[str, Any]:
        """Return the choices for a layout and how every kind shows; refused (404) when it is not there."""
        with self._database.reading() as session:
            seen = _load(session, layout)
            kept = [leather for leather in SWATCHES if seeings.of_leather(session, leather) is not None]
        return _told(seen) | {"kept": kept, "rack": self._of_rack()}

    def change(self, layout: int, change: Change) -> dict[str, Any]:
        """Save choices for a layout; the light follows. Another leather brings what is kept for it.

        Raises:
            Refusal: there is no such layout (404), or a choice that cannot be used.

        """
        with self._database.writing() as session:
            seen = _load(session, layout)
            choices = _changed(_on_leather(session, seen.choices, change.leather), change)
            seeings.keep(session, choices.to_json(), layout=layout)
            if change.room is not None:
                remembered.remember(session, _room_of(seen.bench.record.id), asdict(change.room))
        self._light.refresh()
        return self.read(layout)

    def keep(self, layout: int) -> dict[str, Any]:
        """Keep a layout's choices for every other layout on leather of that colour."""
        with self._database.writing() as session:
            choices = _load(session, layout).choices
            seeings.keep(session, choices.to_json(), leather=choices.leather)
        return self.read(layout)

    def _of_rack(self) -> list[dict[str, Any]]:
        """Return the rack's leathers, each with the usual colour that its own words name, or null."""
        return [
            {"name": leather.name, "colour": leather.colour, "leather": swatch_of(f"{leather.colour} {leather.name}")}
            for leather in self._rack.stock().rack.leathers
        ]


def swatch_of(words: str) -> str | None:
    """Return the usual colour of leather that stands in a maker's words, or None."""
    found = words.lower().split()
    return next((name for name in SWATCHES if name in found), None)


def _room_of(bench: int) -> str:
    return f"room of bench {bench}"


def _load(session: Session, number: int) -> _Seen:
    layout = layouts.get(session, number)
    bench = BenchInUse(benches.get(session, layout.bench_id))
    room = remembered.recall(session, _room_of(layout.bench_id))
    return _Seen(
        Laid(layout, patterns.get(session, layout.pattern_id)),
        bench,
        seeing_choices.of_layout(session, number),
        Room() if room is None else Room(**room),
        seeings.of_layout(session, number) is not None,
    )


def _on_leather(session: Session, choices: Choices, leather: str | None) -> Choices:
    """Return the choices on another leather: what is kept for it, else as they were."""
    if leather is None or leather == choices.leather:
        return choices
    kept = seeings.of_leather(session, leather)
    return replace(choices, leather=leather) if kept is None else Choices.from_json(kept)


def _changed(choices: Choices, change: Change) -> Choices:
    given = {
        name: value for name in ("weight", "colours", "fill", "runner") if (value := getattr(change, name)) is not None
    }
    if change.blink is not None:
        given["blink"] = change.blink or None
    return replace(choices, **given)


def read_room(name: str, lumens: float | None) -> Room:
    """Return how light a room is; refused for a name or a number that is of no use."""
    if name not in ROOMS:
        raise Refusal(f"There is no room light {name[:40]!r}: there is {', '.join(ROOMS)}.", field="room")
    low, high = LUMENS
    if lumens is not None and not low <= lumens <= high:
        raise Refusal(
            f"A projector of {lumens:g} lumens is not usual: give {low:g} to {high:g}, by its data sheet.",
            field="lumens",
        )
    return Room(name, lumens)


def _told(seen: _Seen) -> dict[str, Any]:
    choices, room = seen.choices, seen.room
    area = _square_metres(seen.bench.optics.footprint(seen.laid.height))
    lumens = USUAL_LUMENS if room.lumens is None else room.lumens
    surface = Surface(SWATCHES[choices.leather], lumens / area, ROOMS[room.name])
    pixel = _pixel_mm(seen)
    return {
        **choices.to_json(),
        "own": seen.own,
        "leathers": [{"name": name, "colour": colour} for name, colour in SWATCHES.items()],
        "room": room.name,
        "rooms": [{"name": name, "lux": lux} for name, lux in ROOMS.items()],
        "lumens": room.lumens,
        "usual_lumens": USUAL_LUMENS,
        "area_m2": round(area, 3),
        "white_lux": round(surface.white_lux),
        "pixel_mm": round(pixel, 3),
        "unlit": surface.looks(None),
        "kinds": _kinds(choices.look, surface, pixel),
        "palette": [{"name": name, "colour": c} | _shown(surface, c) for name, c in COLOURS.items()],
        "proposal": _proposal(surface),
        "best_verdict": contrast.contrast(surface, COLOURS["white"]).verdict,
    }


def _kinds(look: Look, surface: Surface, pixel: float) -> list[dict[str, Any]]:
    """Return each kind's look and how it shows, in the order of the work."""
    styles = {kind: look.style(kind, pixel) for kind in ROLES}
    return [
        {"kind": kind, **asdict(style), "dash": list(style.dash), "name": _name_of(style.colour)}
        | _shown(surface, style.colour)
        for kind, style in styles.items()
    ]


def _shown(surface: Surface, colour: str) -> dict[str, Any]:
    found: Contrast = contrast.contrast(surface, colour)
    return {
        "ratio": round(found.ratio, 2),
        "weber": round(found.weber, 1),
        "verdict": found.verdict,
        "seen": surface.looks(colour),
    }


def _proposal(surface: Surface) -> dict[str, str]:
    """Return the name of the best colour for each kind."""
    return {kind: _name_of(colour) for kind, colour in contrast.best(surface).items()}


def _name_of(colour: str) -> str:
    return next(name for name, own in COLOURS.items() if own == colour)


def _square_metres(outline: Array) -> float:
    """Return the area inside an outline (n, 2) mm (the shoelace formula)."""
    x, y = outline.T
    return float(abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2e6)


def _pixel_mm(seen: _Seen) -> float:
    """Return how wide a pixel is in the middle of the pieces, mm."""
    places = np.array([[lie.x, lie.y] for lie in seen.laid.layout.placements.values()])
    return float(seen.bench.optics.pixel(places, seen.laid.height).mean())
