"""What a maker chooses about how the light is seen on a leather."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, fields
from typing import Any, cast

from server import units
from server.errors import Refusal
from server.leather.piece import ROLES, Role
from server.output.line_styles import COLOURS, CUT_PX, Look, Unit
from server.output.scene import Kind
from server.output.swatches import SWATCHES, USUAL
from server.store import seeings
from server.store.database import Session

WEIGHT_PX, WEIGHT_MM = (CUT_PX, 12.0), (0.2, 10.0)
"""The lightest and the heaviest cut line: heavier ones hide the edge that they mark (our own choice, no source)."""


@dataclass(frozen=True)
class Choices:
    """How the light is seen on a layout.

    Args:
        leather: colour of the leather, a name among ``SWATCHES``.
        weight: of the cut line as typed: "2 px", or a length on the leather such as "1 mm".
        colours: name of a colour by kind of line; a kind left out has its own.
        fill: whether the whole piece is lit in place of its outline.
        blink: the kind of line that blinks, or None.
        runner: whether a dot of light runs along the lines that are cut.

    """

    leather: str = USUAL
    weight: str = f"{CUT_PX:g} px"
    colours: Mapping[Role, str] = field(default_factory=dict)
    fill: bool = False
    blink: Role | None = None
    runner: bool = False

    def __post_init__(self) -> None:
        _one_of(self.leather, SWATCHES, "leather", "colour of leather")
        for kind, colour in self.colours.items():
            _one_of(kind, ROLES, "colours", "kind of line")
            _one_of(colour, COLOURS, "colours", "colour of light")
        if self.blink is not None:
            _one_of(self.blink, ROLES, "blink", "kind of line")
        read_weight(self.weight)

    @property
    def look(self) -> Look:
        """Return weight and colours as the lines are drawn with."""
        weight, unit = read_weight(self.weight)
        return Look(weight, unit, {cast(Kind, kind): COLOURS[name] for kind, name in self.colours.items()})

    def to_json(self) -> dict[str, Any]:
        """Return plain values, as kept."""
        return asdict(self) | {"colours": dict(self.colours)}

    @staticmethod
    def from_json(document: Mapping[str, Any]) -> Choices:
        """Return what ``to_json`` wrote; what another version wrote beside it is passed over.

        Raises:
            Refusal: a value that cannot be used.

        """
        known = {part.name for part in fields(Choices)}
        return Choices(**{name: value for name, value in document.items() if name in known})


def read_weight(text: str) -> tuple[float, Unit]:
    """Return the weight of the cut line, in device px or in mm on the leather.

    Raises:
        Refusal: it is no such weight, or lighter or heavier than is of use.

    """
    unit: Unit = "px" if text.strip().lower().endswith("px") else "mm"
    try:
        weight = units.length(text.strip()[:-2].strip() if unit == "px" else text, field="weight")
    except Refusal:
        sentence = f"The weight of a line is {text[:40]!r}: write pixels or a length, such as 2 px, 1 mm or 1/32 in."
        raise Refusal(sentence, field="weight") from None
    low, high = WEIGHT_PX if unit == "px" else WEIGHT_MM
    if not low <= weight <= high:
        raise Refusal(
            f"A cut line of {weight:g} {unit} is of no use: give {low:g} to {high:g} {unit}, such as 2 px or 1 mm.",
            field="weight",
        )
    return weight, unit


def of_layout(session: Session, layout: int, leather: str | None = None) -> Choices:
    """Return what was chosen on a layout; else what is kept for that leather; else what is usual."""
    kept = seeings.of_layout(session, layout)
    if kept is None and leather is not None:
        kept = seeings.of_leather(session, leather)
    return Choices() if kept is None else Choices.from_json(kept)


def _one_of(given: str, known: Any, name: str, what: str) -> None:
    if given not in known:
        raise Refusal(f"There is no {what} {str(given)[:40]!r}: there is {', '.join(known)}.", field=name)
