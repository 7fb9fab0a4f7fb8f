"""Which lines of a sheet are cut, slot, stitch, hole, fold or mark: said by the maker, by look or line by line."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Literal, get_args

from calibration.refusal import Refusal
from server.leather.piece import Role
from server.reading.sheet import Sheet

Choice = Literal["cut", "slot", "stitch", "hole", "fold", "mark", "ignore"]
CHOICES: tuple[Choice, ...] = get_args(Choice)


@dataclass(frozen=True)
class Assignment:
    """What is done along which lines.

    Attributes:
        looks: by `Look.key`.
        lines: by number in `sheet.lines`; these overrule their look.

    Raises:
        Refusal: a word that is not one of CHOICES.

    """

    looks: Mapping[str, Choice]
    lines: Mapping[int, Choice] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for key, choice in (*self.looks.items(), *self.lines.items()):
            if choice not in CHOICES:
                what = f"{str(key)[:60]!r} is to be {str(choice)[:20]!r}"
                raise Refusal(f"{what}: choose one of {', '.join(CHOICES)}.", field=str(key)[:60])
        object.__setattr__(self, "looks", MappingProxyType(dict(self.looks)))
        object.__setattr__(self, "lines", MappingProxyType(dict(self.lines)))

    def of(self, sheet: Sheet) -> dict[Role, list[int]]:
        """Return the numbers of the sheet's lines by role; what is to be ignored is not among them.

        Raises:
            Refusal: a look that is not assigned, or one (or a line) the sheet does not have.

        """
        keys = {look.key for look in sheet.looks}
        unknown = next((key for key in self.looks if key not in keys), None)
        if unknown is not None:
            raise Refusal(f"The sheet has no lines of look {unknown[:60]!r}: read its looks again.", field=unknown[:60])
        beyond = next((i for i in self.lines if not 0 <= i < len(sheet.lines)), None)
        if beyond is not None:
            raise Refusal(f"There is no line {beyond}: the sheet has {len(sheet.lines)}.", field=str(beyond))
        found: dict[Role, list[int]] = {}
        for index, line in enumerate(sheet.lines):
            choice = self.lines.get(index) or self.looks.get(line.look.key)
            if choice is None:
                raise Refusal(
                    f"Say what the lines of {line.look.words} are: cut, stitch or another.", field=line.look.key
                )
            if choice != "ignore":
                found.setdefault(choice, []).append(index)
        return found
