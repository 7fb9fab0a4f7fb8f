"""The drawing operators of PDF content streams (ISO 32000-1, clauses 8.4, 8.5, 8.6 and 8.11), as lines in page mm."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from server.geometry import cubics
from server.geometry.cubics import Array
from server.reading.gathering import Gathering
from server.reading.sheet import Look

Box = tuple[float, float, float, float]
_SLACK = 0.5
"""mm a line may reach over a clip and still count as inside it: half the width of a pen."""


@dataclass(frozen=True)
class State:
    """The graphics state that q and Q keep.

    Attributes:
        matrix: user space to page mm.
        stroke: colour of lines, "#rrggbb" or "".
        fill: colour of areas.
        spots: names of the spot colours of lines and of areas, "" for none.
        dash: in user units.
        clip: left, top, right, bottom in page mm of what shows, or None for all.
        shaped: whether the clip is more than an upright rectangle.

    """

    matrix: Array
    stroke: str = "#000000"
    fill: str = "#000000"
    spots: tuple[str, str] = ("", "")
    dash: tuple[float, ...] = ()
    clip: Box | None = None
    shaped: bool = False


@dataclass
class _Part:
    """One subpath under way: points (x, y) in fours, a start, whether closed."""

    start: tuple[float, float]
    curves: list[tuple[float, ...]]
    closed: bool = False


class Painter:
    """Follows the operators of one page. Text, images and shadings are named as dropped."""

    def __init__(self, gathering: Gathering, page: int, matrix: Array, hidden: Callable[[Any], bool]) -> None:
        self.gathering = gathering
        self.state = State(matrix)
        self.resources: Mapping[str, Any] = {}
        self._page = page
        self._hidden = hidden
        self._stack: list[State] = []
        self._parts: list[_Part] = []
        self._here = (0.0, 0.0)
        self._clipping = False
        self._marks: list[tuple[str, bool]] = []

    def operate(self, operator: bytes, operands: Sequence[Any]) -> None:
        """Carry out one operator; those that draw nothing are passed over.

        Raises:
            ValueError, TypeError, LookupError: operands it cannot have.
            Refusal: a budget is exceeded.

        """
        action = _ACTIONS.get(operator)
        if action is not None:
            action(self, operands)

    def inside(self, matrix: Array, box: Sequence[float] | None, resources: Mapping[str, Any]) -> tuple[Any, ...]:
        """Enter a form: its matrix, box and resources hold until `outside` is given what this returns."""
        kept = (self.state, self._stack, self.resources, self._marks)
        self.state = replace(self.state, matrix=self.state.matrix @ matrix)
        self._stack, self.resources, self._marks = [], resources, list(self._marks)
        if box is not None:
            left, low, right, high = box
            corners = np.array([(left, low), (right, low), (right, high), (left, high)])
            self._clip_to(cubics.moved(corners[None], self.state.matrix)[0])
        return kept

    def outside(self, kept: tuple[Any, ...]) -> None:
        """Leave a form."""
        self.state, self._stack, self.resources, self._marks = kept

    # ---- paths

    def _move(self, o: Sequence[Any]) -> None:
        self._here = _xy(o[0], o[1])
        self._parts.append(_Part(self._here, []))

    def _part(self) -> _Part:
        part = self._parts[-1]
        if part.closed:
            part = _Part(self._here, [])
            self._parts.append(part)
        return part

    def _line(self, o: Sequence[Any]) -> None:
        self._curve_to(_xy(o[0], o[1]))

    def _curve_to(self, end: tuple[float, float], *controls: tuple[float, float]) -> None:
        part, (x, y) = self._part(), self._here
        if not controls:
            dx, dy = (end[0] - x) / 3.0, (end[1] - y) / 3.0
            controls = ((x + dx, y + dy), (end[0] - dx, end[1] - dy))
        part.curves.append((x, y, *controls[0], *controls[1], *end))
        self._here = end

    def _curve(self, o: Sequence[Any]) -> None:
        self._curve_to(_xy(o[4], o[5]), _xy(o[0], o[1]), _xy(o[2], o[3]))

    def _curve_v(self, o: Sequence[Any]) -> None:
        self._curve_to(_xy(o[2], o[3]), self._here, _xy(o[0], o[1]))

    def _curve_y(self, o: Sequence[Any]) -> None:
        self._curve_to(_xy(o[2], o[3]), _xy(o[0], o[1]), _xy(o[2], o[3]))

    def _close(self, _o: Sequence[Any]) -> None:
        if self._parts and not self._parts[-1].closed:
            part = self._parts[-1]
            if self._here != part.start:
                self._curve_to(part.start)
            part.closed = True

    def _rectangle(self, o: Sequence[Any]) -> None:
        (x, y), (w, h) = _xy(o[0], o[1]), _xy(o[2], o[3])
        self._move((x, y))
        for corner in ((x + w, y), (x + w, y + h), (x, y + h)):
            self._line(corner)
        self._close(())

    # ---- painting

    def _paint(self, *, line: bool, fill: bool, close: bool = False) -> None:
        if close:
            self._close(())
        if line or fill:
            layer, hidden = next((mark for mark in reversed(self._marks) if mark[0] or mark[1]), ("", False))
            hidden = hidden or any(mark[1] for mark in self._marks)
            for part in self._parts:
                self._show(part, layer, hidden, line)
        if self._clipping and self._parts:
            runs = [self._run(part) for part in self._parts if part.curves]
            if runs:
                self._clip_to(np.concatenate([run.reshape(-1, 2) for run in runs]))
        self._parts, self._clipping = [], False

    def _show(self, part: _Part, layer: str, hidden: bool, line: bool) -> None:
        self.gathering.element()
        what = f"a line on page {self._page}"
        if not part.curves:
            return self.gathering.drop("lines without length", what)
        if hidden:
            return self.gathering.drop("things on layers that are off", repr(layer[:40]))
        run, state = self._run(part), self.state
        if not self._seen(run, what):
            return None
        scale = float(np.sqrt(abs(np.linalg.det(state.matrix[:2, :2]))))
        dash = tuple(round(length * scale, 3) for length in state.dash) if line else ()
        look = Look(layer or state.spots[0 if line else 1], state.stroke if line else state.fill, dash)
        closed = part.closed or not line
        if closed and not np.array_equal(run[-1, 3], run[0, 0]):
            run = np.concatenate((run, cubics.lines([run[-1, 3], run[0, 0]])))
        return self.gathering.add(run, look, what, closed=closed, page=self._page, filled=not line)

    def _run(self, part: _Part) -> Array:
        return cubics.moved(np.array(part.curves, dtype=np.float64).reshape(-1, 4, 2), self.state.matrix)

    def _seen(self, run: Array, what: str) -> bool:
        """Whether a line shows at all; one that its clip cuts into is read whole, and that is said."""
        clip = self.state.clip
        if clip is None:
            return True
        points = run.reshape(-1, 2)
        low, high = points.min(axis=0), points.max(axis=0)
        left, top, right, bottom = clip
        if high[0] < left or low[0] > right or high[1] < top or low[1] > bottom:
            self.gathering.drop("lines wholly outside what the page shows", what)
            return False
        over = max(left - low[0], top - low[1], high[0] - right, high[1] - bottom)
        if over > _SLACK or self.state.shaped:
            self.gathering.drop("clipped lines", what, "read whole, as if they were not")
        return True

    def _clip_to(self, points: Array) -> None:
        low, high = points.min(axis=0).tolist(), points.max(axis=0).tolist()
        old = self.state.clip or (-np.inf, -np.inf, np.inf, np.inf)
        box = (max(low[0], old[0]), max(low[1], old[1]), min(high[0], old[2]), min(high[1], old[3]))
        shaped = self.state.shaped or not _is_box(points, low, high)
        self.state = replace(self.state, clip=box, shaped=shaped)

    # ---- state

    def _keep(self, _o: Sequence[Any]) -> None:
        if len(self._stack) < 1000:
            self._stack.append(self.state)

    def _restore(self, _o: Sequence[Any]) -> None:
        if self._stack:
            self.state = self._stack.pop()

    def _transform(self, o: Sequence[Any]) -> None:
        a, b, c, d, e, f = (float(value) for value in o[:6])
        matrix = np.array([[a, c, e], [b, d, f], [0.0, 0.0, 1.0]])
        self.state = replace(self.state, matrix=self.state.matrix @ matrix)

    def _dash(self, o: Sequence[Any]) -> None:
        given = tuple(abs(float(length)) for length in o[0])[:12]
        self.state = replace(self.state, dash=given * (1 + len(given) % 2) if any(given) else ())

    def _graphics(self, o: Sequence[Any]) -> None:
        found = _resolved(_resolved(self.resources.get("/ExtGState", {})).get(str(o[0]), {}))
        if "/D" in found:
            self._dash(_resolved(found["/D"]))

    def _colour(self, o: Sequence[Any], *, line: bool, spot: str | None = "") -> None:
        numbers = [float(value) for value in o if isinstance(value, int | float)]
        spots = list(self.state.spots)
        if spot is not None:
            spots[0 if line else 1] = spot
        tint = bool(spots[0 if line else 1]) and len(numbers) == 1
        value = _rgb([1.0 - numbers[0]] if tint else numbers)
        stroke, fill = (value, self.state.fill) if line else (self.state.stroke, value)
        self.state = replace(self.state, spots=(spots[0], spots[1]), stroke=stroke, fill=fill)

    def _space(self, o: Sequence[Any], *, line: bool) -> None:
        space = _resolved(_resolved(self.resources.get("/ColorSpace", {})).get(str(o[0]), None))
        spot = ""
        if isinstance(space, list) and len(space) > 1 and str(space[0]) == "/Separation":
            spot = str(space[1]).lstrip("/")[:80]
        self._colour([1.0] if spot else [0.0], line=line, spot=spot)

    # ---- layers and what is not drawn by lines

    def _begin_mark(self, o: Sequence[Any]) -> None:
        layer = ("", False)
        if len(o) > 1 and str(o[0]) == "/OC" and isinstance(o[1], str):
            group = _resolved(self.resources.get("/Properties", {})).get(o[1])
            layer = self.layer_of(group)
        self._marks.append(layer)

    def layer_of(self, group: Any) -> tuple[str, bool]:
        """Return the name of an optional content group and whether it is off."""
        found = _resolved(group)
        if not isinstance(found, Mapping):
            return "", False
        if str(found.get("/Type")) == "/OCMD":
            groups = found.get("/OCGs")
            several = _resolved(groups)
            return self.layer_of(several[0] if isinstance(several, list) and several else groups)
        return str(found.get("/Name", ""))[:80], self._hidden(group)

    def push_layer(self, group: Any) -> None:
        """Enter a form that belongs to a layer."""
        self._marks.append(self.layer_of(group))

    def _end_mark(self, _o: Sequence[Any]) -> None:
        if self._marks:
            self._marks.pop()

    def _clip(self, _o: Sequence[Any]) -> None:
        self._clipping = True

    def _drop(self, what: str) -> None:
        self.gathering.drop(what, f"on page {self._page}")


def _resolved(thing: Any) -> Any:
    return thing.get_object() if hasattr(thing, "get_object") else thing


def _xy(x: Any, y: Any) -> tuple[float, float]:
    return float(x), float(y)


def _is_box(points: Array, low: list[float], high: list[float]) -> bool:
    """Whether every point lies on the edge of the box round them, and all four corners are among them."""
    before, after = np.isclose(points, low, atol=1e-3), np.isclose(points, high, atol=1e-3)
    on = before | after
    corners = {tuple(row) for row in after[on.all(axis=1)].tolist()}
    return bool(on.any(axis=1).all()) and len(corners) == 4


def _rgb(numbers: list[float]) -> str:
    """Return "#rrggbb" of one, three or four device numbers (CMYK by 1 - min(1, c + k)), else ""."""
    given = [min(1.0, max(0.0, value)) for value in numbers]
    if len(given) == 1:
        given = given * 3
    elif len(given) == 4:
        given = [1.0 - min(1.0, value + given[3]) for value in given[:3]]
    if len(given) != 3:
        return ""
    return "#" + "".join(f"{round(255 * value):02x}" for value in given)


def _painting(line: bool, fill: bool, close: bool = False) -> Callable[[Painter, Sequence[Any]], None]:
    return lambda painter, _o: painter._paint(line=line, fill=fill, close=close)


def _colouring(line: bool, spot: str | None) -> Callable[[Painter, Sequence[Any]], None]:
    return lambda painter, o: painter._colour(o, line=line, spot=spot)


def _dropping(what: str) -> Callable[[Painter, Sequence[Any]], None]:
    return lambda painter, _o: painter._drop(what)


_ACTIONS: dict[bytes, Callable[[Painter, Sequence[Any]], None]] = {
    b"m": Painter._move, b"l": Painter._line, b"c": Painter._curve, b"v": Painter._curve_v, b"y": Painter._curve_y,
    b"h": Painter._close, b"re": Painter._rectangle, b"W": Painter._clip, b"W*": Painter._clip,
    b"S": _painting(True, False), b"s": _painting(True, False, True), b"n": _painting(False, False),
    b"f": _painting(False, True), b"F": _painting(False, True), b"f*": _painting(False, True),
    b"B": _painting(True, True), b"B*": _painting(True, True),
    b"b": _painting(True, True, True), b"b*": _painting(True, True, True),
    b"q": Painter._keep, b"Q": Painter._restore, b"cm": Painter._transform, b"d": Painter._dash, b"gs": Painter._graphics,
    b"G": _colouring(True, ""), b"RG": _colouring(True, ""), b"K": _colouring(True, ""),
    b"g": _colouring(False, ""), b"rg": _colouring(False, ""), b"k": _colouring(False, ""),
    b"SC": _colouring(True, None), b"SCN": _colouring(True, None),
    b"sc": _colouring(False, None), b"scn": _colouring(False, None),
    b"CS": lambda painter, o: painter._space(o, line=True), b"cs": lambda painter, o: painter._space(o, line=False),
    b"BDC": Painter._begin_mark, b"BMC": Painter._begin_mark, b"EMC": Painter._end_mark,
    b"BT": _dropping("texts"), b"INLINE IMAGE": _dropping("images"), b"sh": _dropping("shadings"),
}  # fmt: skip
