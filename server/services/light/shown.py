"""What the light is asked to show."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields
from typing import Any, Literal, get_args

from server.errors import Refusal

Mode = Literal["dark", "crosses", "frame", "check", "layout", "witness", "pixels"]
MODES: tuple[Mode, ...] = get_args(Mode)

CHECK_SIZE_MM = 300.0
"""The check square's side when none is asked for, mm."""


@dataclass(frozen=True)
class Shown:
    """What the light is asked to show.

    Args:
        mode: nothing, the crosses, the picture's edge, the check figure, a layout, the witness crosses, or single pixels.
        bench: the bench in use, also while dark; None before there is any.
        layout: the layout, in that mode.
        size: side of the check square, mm.
        height: surface on which the check figure is to lie, mm above the table.
        selected: the cross that is being moved, or the piece in hand.
        job: the job that leads through the layout's steps; None while the maker goes through them on the table page.
        strike: the one blow of pricking irons that is shown, from 0; None for all holes at once.
        step: the step of the layout to which that blow belongs; in any other step all is shown.

    Raises:
        Refusal: a mode without the bench or the layout that it needs.

    """

    mode: Mode = "dark"
    bench: int | None = None
    layout: int | None = None
    size: float = CHECK_SIZE_MM
    height: float = 0.0
    selected: str | None = None
    job: int | None = None
    strike: int | None = None
    step: str | None = None

    def __post_init__(self) -> None:
        if self.mode == "layout" and self.layout is None:
            raise Refusal("Say which layout the light is to show.", field="layout")
        if self.mode not in ("dark", "layout") and self.bench is None:
            raise Refusal("Say which bench the light is to show this on.", field="bench")

    def to_json(self) -> dict[str, Any]:
        """Return plain values, as kept over a restart."""
        return asdict(self)

    @staticmethod
    def from_json(document: Mapping[str, Any] | None) -> Shown:
        """Return what ``to_json`` wrote, of this or another version; darkness where nothing was kept.

        Raises:
            Refusal: a value is of another kind than was ever written.

        """
        known = {field.name for field in fields(Shown)}
        given = {name: value for name, value in (document or {}).items() if name in known}
        wrong = next((name for name, value in given.items() if not _plausible(name, value)), None)
        if wrong is not None:
            raise Refusal(
                f"What the light showed last cannot be read ({wrong}): choose what it is to show.", field=wrong
            )
        return Shown(**given)


def _plausible(name: str, value: object) -> bool:
    """Tell whether a kept value is of the kind that its name asks for."""
    if name == "mode":
        return value in MODES
    if name in ("size", "height"):
        return isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)
    whole = isinstance(value, int) and not isinstance(value, bool)
    return value is None or (isinstance(value, str) if name in ("selected", "step") else whole)
