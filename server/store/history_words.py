"""What was changed, in a few words for the maker: "moved front", "changed width and height"."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

Change = Mapping[str, Any]
"""One changed row: table, key, and the columns that changed before and after (None where there was no row)."""

Tell = Callable[[Any, Any], str]

MOST_NAMED = 2
"""More names than this are counted, not named."""

FALLBACK = "changed it"


def told(changes: Sequence[Change]) -> str:
    """Return the words for the changed rows of one object."""
    placed = [change for change in changes if change["table"] == "placements"]
    words = [_moved(placed)] if placed else []
    for change in changes:
        if change["table"] != "placements" and change["table"] != "sessions":
            words.extend(_row(change))
    found = list(dict.fromkeys(words))
    return f"{', '.join(found[:3])} and more" if len(found) > 3 else _joined(found) or FALLBACK


def _row(change: Change) -> list[str]:
    before, after = change["before"], change["after"]
    if change["table"] in ROWS:
        return [ROWS[change["table"]]]
    if before is None or after is None:
        word = change["table"].replace("_", " ").removesuffix("s")
        return [f"{'added' if before is None else 'removed'} {word}"]
    columns = _without_consequences(change["table"], list(before))
    return [_column(change["table"], name, before[name], after[name]) for name in columns]


def _without_consequences(table: str, names: list[str]) -> list[str]:
    """Leave out columns that only follow from another one in the same change."""
    follow = FOLLOW.get(table, {})
    kept = [name for name in names if not any(cause in names for cause in follow.get(name, ()))]
    return kept or names


def _column(table: str, name: str, before: Any, after: Any) -> str:
    tell = TOLD.get((table, name)) or TOLD.get(("", name))
    return tell(before, after) if tell else f"changed {name.replace('_', ' ')}"


def _moved(changes: Sequence[Change]) -> str:
    names = [_name(change["key"]["piece"]) for change in changes]
    columns = {name for change in changes for name in (change["before"] or {})}
    verb = "moved"
    if len(changes) == 1 and columns <= {"x", "y", "turn", "mirror"} and not columns <= {"x", "y"}:
        verb = "mirrored" if "mirror" in columns else "turned"
    return f"{verb} {_counted(names, 'pieces')}"


def _renamed(_before: Any, after: Any) -> str:
    return f"renamed it {after}"


def _measures(before: Any, after: Any) -> str:
    names = [_name(name) for name in {**before, **after} if before.get(name) != after.get(name)]
    return f"changed {_counted(names, 'measures')}"


def _show(before: Any, after: Any) -> str:
    changed = [name for name in {**before, **after} if before.get(name, True) != after.get(name, True)]
    way = "on" if all(after.get(name, True) for name in changed) else "off"
    return f"switched {_counted([KINDS_OF_LINE.get(name, name) for name in changed], 'kinds of line')} {way}"


def _step(_before: Any, after: Any) -> str:
    return "showed all steps at once" if after is None else f"went to the step {_name(after)}"


def _sightings(before: Any, after: Any) -> str:
    changed = [SIGHTED.get(name, name) for name in {**before, **after} if before.get(name) != after.get(name)]
    named = list(dict.fromkeys(changed))
    return f"changed {_counted(named, 'kinds of sighting')}" if named else "changed the sightings"


def _plain(words: str) -> Tell:
    return lambda _before, _after: words


def _to(words: str) -> Tell:
    return lambda _before, after: f"{words} {'nothing' if after in (None, '') else after}"


ROWS = {"seeings": "changed how the light is seen", "own_patterns": "changed what the pattern is made of"}
"""What any change of a row of these tables is called."""

KINDS_OF_LINE = {
    "cut": "cut lines",
    "slot": "slots",
    "stitch": "stitch lines",
    "hole": "stitch holes",
    "fold": "folds",
    "mark": "marks",
}

SIGHTED = {
    "unit": "the unit",
    "grid": "the grid of crosses",
    "crosses": "the crosses",
    "positions": "known marks",
    "distances": "tape distances",
    "lens": "lens sightings",
    "mirrored": "the mirror image",
}

TOLD: Mapping[tuple[str, str], Tell] = {
    ("", "name"): _renamed,
    ("things", "measures"): _measures,
    ("things", "family"): _plain("changed what is drafted"),
    ("things", "made_of"): _plain("chose leather, thread or irons"),
    ("things", "costing"): _plain("changed copies, hardware or minutes"),
    ("layouts", "leather"): _to("changed the leather to"),
    ("layouts", "leather_mm"): _plain("changed the leather"),
    ("layouts", "show"): _show,
    ("layouts", "step"): _step,
    ("benches", "sightings"): _sightings,
    ("benches", "calibration"): _plain("corrected the calibration"),
    ("benches", "report"): _plain("corrected the calibration"),
    ("benches", "witness"): _plain("changed the witness marks"),
    ("benches", "width"): _plain("changed the picture"),
    ("benches", "height"): _plain("changed the picture"),
    ("benches", "table_width"): _plain("changed the size of the table"),
    ("benches", "table_depth"): _plain("changed the size of the table"),
    ("benches", "tolerance"): _to("changed the tolerance to"),
    ("benches", "guard"): _plain("answered about the picture"),
    ("benches", "warm_since"): _plain("answered about the lamp"),
    ("racks", "rates"): _plain("changed prices and times"),
    ("racks", "arm_span"): _plain("changed the longest thread"),
    ("racks", "waiting"): _plain("changed the waiting times"),
    ("racks", "currency"): _plain("changed the sign for money"),
    ("drawings", "choices"): _plain("changed the choices for the file"),
}
"""What the change of a column is called, by table and column; the table "" stands for every one."""

FOLLOW: Mapping[str, Mapping[str, tuple[str, ...]]] = {
    "layouts": {"leather_mm": ("leather",)},
    "benches": {
        "calibration": ("sightings",),
        "report": ("sightings", "calibration"),
        "calibrated_at": ("sightings", "calibration"),
        "witness": ("calibration", "width", "height"),
        "sightings": ("width", "height"),
        "warm_since": ("guard",),
    },
}
"""Columns that change because another one did, by table."""


def _name(slug: str) -> str:
    return slug.replace("-", " ").replace("_", " ")


def _counted(names: Sequence[str], many: str) -> str:
    return _joined(names) if len(names) <= MOST_NAMED else f"{len(names)} {many}"


def _joined(parts: Sequence[str]) -> str:
    return " and ".join(filter(None, (", ".join(parts[:-1]), *parts[-1:])))
