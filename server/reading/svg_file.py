"""SVG files of other programs, walked element by element: everything drawn comes out as a line or is named as left out."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from calibration.refusal import Refusal
from server.geometry.cubics import FINE, lines, moved
from server.geometry.svg_numbers import Matrix
from server.geometry.svg_outlines import colour
from server.reading import svg_lengths as lengths
from server.reading.gathering import Gathering
from server.reading.sheet import Look, Page, Sheet
from server.reading.svg_shapes import DRAWN, shape
from server.reading.svg_styles import INHERITED, Rule, rules, style_of
from server.reading.xml_tree import Node, parse

_SVG = "http://www.w3.org/2000/svg"
_LINK = "{http://www.w3.org/1999/xlink}href"
_INKSCAPE = "{http://www.inkscape.org/namespaces/inkscape}"
_UNSAID = ("title", "desc", "metadata", "defs", "style", "symbol", "marker", "clipPath", "mask", "filter", "pattern")
_GRADIENTS = ("linearGradient", "radialGradient", "view", "cursor", "font", "font-face", "color-profile", "solidcolor")
_PLURAL = {"text": "texts", "image": "images", "script": "scripts", "foreignObject": "foreign objects"}
_GROUPS = ("g", "a", "switch")
_SET_BY_PROGRAM = re.compile(r"(g|path|group|use|svg)?[-_]?\d+")
_EFFECTS = (("clip-path", "clipped things"), ("mask", "masked things"), ("filter", "filtered things"))
_DEEPEST = 100
_UNKNOWN_SCALE = 20.0
"""How much finer curves are read where the scale is not known: they may be enlarged afterwards."""


@dataclass(frozen=True)
class _Here:
    """What an element inherits: matrix to mm, style, layer, viewport in user units, depth, the `use` it stands in."""

    matrix: Matrix
    style: Mapping[str, str] = field(default_factory=dict)
    layer: str = ""
    named: bool = False
    viewport: tuple[float, float] = (100.0, 100.0)
    depth: int = 0
    uses: tuple[str, ...] = ()


def read_svg(data: bytes, name: str) -> Sheet:
    """Read an SVG file, plain or gzipped.

    Raises:
        Refusal: not SVG, hostile, or nothing drawn.

    """
    root = parse(data)
    if root.tag != "svg" or root.space not in ("", _SVG):
        raise Refusal(f"The file's outermost element is {root.tag[:40]!r}, not svg: give an SVG, DXF or PDF file.")
    width, height, unit, known = _page(root)
    walk = _Walk(root, Gathering(FINE if known else FINE / _UNKNOWN_SCALE))
    scale = np.diag([lengths.PIXEL, lengths.PIXEL, 1.0])
    view = lengths.view(width, height, root.get("viewBox"), root.get("preserveAspectRatio"), "the page")
    walk.page(root, _Here(scale @ view, viewport=_inner(root, width, height)))
    found = walk.gathering
    page = Page(1, width * lengths.PIXEL, height * lengths.PIXEL)
    return Sheet(name, "svg", found.finished(), (page,), known, unit, found.dropped)


def _page(root: Node) -> tuple[float, float, str, bool]:
    """Width and height in px, the unit they are in, and whether that unit has a size."""
    sides = [lengths.split(root.get(side)) for side in ("width", "height")]
    given = [side if side is not None and side[1] != "%" and side[0] > 0.0 else None for side in sides]
    box = root.get("viewBox")
    across, down = (lengths.numbers(box, "viewBox of the page") + [0.0] * 4)[2:4] if box else (0.0, 0.0)
    if across <= 0.0 or down <= 0.0:
        across, down = 100.0, 100.0
    units = [side[1] for side in given if side is not None]
    known = bool(units) and all(unit in lengths.TRUE_UNITS for unit in units)
    w, h = (None if side is None else lengths.pixels(f"{side[0]!r}{side[1]}", 0.0, "page") for side in given)
    if w is None:
        w = across if h is None else h * across / down
    if h is None:
        h = w * down / across
    if max(w, h) * lengths.PIXEL > 1e5:
        raise Refusal("The page is more than 100 m wide or high: set its true size.")
    return w, h, units[0] if known else "px (96 to the inch)", known


def _inner(node: Node, width: float, height: float) -> tuple[float, float]:
    """The size of a viewport in its own user units."""
    box = node.get("viewBox")
    if not box:
        return width, height
    _, _, across, down = lengths.numbers(box, "viewBox")[:4]
    return across, down


class _Walk:
    """Goes through the tree once."""

    def __init__(self, root: Node, gathering: Gathering) -> None:
        self.gathering = gathering
        self._ids: dict[str, Node] = {}
        self._rules: list[Rule] = []
        sheets = []
        for node in root.walk():
            if node.get("id"):
                self._ids.setdefault(node.get("id"), node)
            if node.tag == "style" and node.space in ("", _SVG):
                sheets.append(node.text)
        self._rules, unread = rules("\n".join(sheets))
        if unread:
            gathering.drop("style rules", ", ".join(unread[:3]), "not simple enough to be read", len(unread))

    def page(self, root: Node, here: _Here) -> None:
        """Read everything in the outermost element, which may be styled and moved itself."""
        entered = self._entered(root, here, _named(root))
        if entered is not None:
            self.group(root, entered)

    def group(self, node: Node, here: _Here) -> None:
        """Read the children of a group; what the group itself is styled with is inherited."""
        if here.depth > _DEEPEST:
            raise Refusal(f"The file nests groups more than {_DEEPEST} deep: ungroup them.")
        below = replace(here, depth=here.depth + 1)
        for child in node.children:
            self.gathering.element()
            self._element(child, below)
            if node.tag == "switch" and child.tag not in ("title", "desc", "metadata"):
                break

    def _element(self, node: Node, above: _Here) -> None:
        if node.space not in ("", _SVG) or node.tag in _UNSAID or node.tag in _GRADIENTS:
            return
        what = _named(node)
        if node.tag not in (*DRAWN, *_GROUPS, "svg", "use"):
            self.gathering.drop(_PLURAL.get(node.tag, f"<{node.tag[:30]}> elements"), _words(node) or what)
            return
        try:
            here = self._entered(node, above, what)
        except Refusal as refusal:
            self.gathering.drop("things whose move cannot be read", _reason(refusal))
            return
        if here is not None:
            self._inside(node, here, what)

    def _entered(self, node: Node, above: _Here, what: str) -> _Here | None:
        """What holds inside an element; None when it is hidden."""
        style = style_of(node, self._rules)
        if style.get("display") == "none":
            self.gathering.drop("hidden things", what)
            return None
        if "transform-origin" in style and ("transform" in style or node.get("transform")):
            raise Refusal(f"{what} turns about a transform-origin")
        by = style.get("transform") or node.get("transform")
        matrix = above.matrix @ lengths.moved_by(by, what) if by else above.matrix
        for effect, kind in _EFFECTS:
            if style.get(effect, "none") not in ("none", ""):
                self.gathering.drop(kind, what, "read whole, as if they were not")
        if any(style.get(name, "none") not in ("none", "") for name in style if name.startswith("marker")):
            self.gathering.drop("arrow heads and other markers", what)
        layer, named = self._layer(node, above)
        kept = {key: value for key, value in style.items() if key in INHERITED and value != "inherit"}
        return replace(above, matrix=matrix, style={**above.style, **kept}, layer=layer, named=named)

    def _layer(self, node: Node, above: _Here) -> tuple[str, bool]:
        """The layer: a role the file states, a named layer, else the outermost group that somebody gave a name."""
        if node.get("data-role"):
            return node.get("data-role")[:80], True
        if node.tag != "g" or above.named:
            return above.layer, above.named
        label = node.get(f"{_INKSCAPE}label")
        if node.get(f"{_INKSCAPE}groupmode") == "layer" and label:
            return label[:80], False
        name = label or node.get("data-name") or node.get("id")
        if above.layer or not name or _SET_BY_PROGRAM.fullmatch(name):
            return above.layer, False
        return name[:80], False

    def _inside(self, node: Node, here: _Here, what: str) -> None:
        try:
            if node.tag in DRAWN:
                self._draw(node, here, what)
            elif node.tag == "use":
                self._use(node, here, what)
            elif node.tag == "svg":
                self._viewport(node, here, node, what)
            else:
                self.group(node, here)
        except _Unread as refusal:
            self.gathering.drop(refusal.kind, _reason(refusal))

    def _viewport(self, node: Node, here: _Here, sized: Node, what: str) -> None:
        """An inner svg or symbol: a viewport of its own, sized by itself or by the `use` that shows it."""
        with _naming("things whose size cannot be read"):
            width, height = (
                lengths.pixels(sized.get(side) or node.get(side) or "100%", whole, f"{side} of {what}")
                for side, whole in zip(("width", "height"), here.viewport, strict=True)
            )
            x, y = _place(node, here, what) if sized is node else (0.0, 0.0)
            view = lengths.view(width, height, node.get("viewBox"), node.get("preserveAspectRatio"), what)
            inner = _inner(node, width, height)
        self.group(node, replace(here, matrix=here.matrix @ lengths.shift(x, y) @ view, viewport=inner))

    def _use(self, node: Node, here: _Here, what: str) -> None:
        link = (node.get("href") or node.get(_LINK)).strip()
        if not link.startswith("#"):
            self.gathering.drop("links to other files", link or what)
            return
        name = link[1:]
        target = self._ids.get(name)
        if name in here.uses:
            raise Refusal(f"The file's {what} shows {name[:40]!r} inside itself: break that circle.")
        if target is None:
            self.gathering.drop("uses of what is not there", f"{what} of {name[:40]!r}")
            return
        with _naming("things whose size cannot be read"):
            x, y = _place(node, here, what)
        below = replace(here, matrix=here.matrix @ lengths.shift(x, y), uses=(*here.uses, name), depth=here.depth + 1)
        if below.depth > _DEEPEST:
            raise Refusal(f"The file nests groups more than {_DEEPEST} deep: ungroup them.")
        self.gathering.element()
        if target.tag in ("symbol", "svg"):
            entered = self._entered(target, below, what)
            if entered is not None:
                self._viewport(target, entered, node, what)
        else:
            self._element(target, below)

    def _draw(self, node: Node, here: _Here, what: str) -> None:
        if here.style.get("visibility", "visible") in ("hidden", "collapse"):
            self.gathering.drop("hidden things", what)
            return
        line, fill = self._inks(here)
        if line is None and fill is None:
            self.gathering.drop("things without line or fill", what)
            return
        with _naming("things that cannot be read"):
            found = shape(node, here.viewport, what)
        if not found:
            self.gathering.drop("lines without length", what)
        look = Look(here.layer, line or fill or "", self._dash(here, what) if line is not None else ())
        for run, closed in found:
            run = moved(run, here.matrix)
            if closed and not np.array_equal(run[-1, 3], run[0, 0]):
                run = np.concatenate((run, lines([run[-1, 3], run[0, 0]])))
            self.gathering.add(run, look, what, closed=closed, filled=line is None)

    def _inks(self, here: _Here) -> tuple[str | None, str | None]:
        """Colour of the line and of the area; None where there is none, "" where it is not a plain colour."""
        inks: list[str | None] = []
        for name, default in (("stroke", "none"), ("fill", "black")):
            text = here.style.get(name, default)
            if text.lower() == "currentcolor":
                text = here.style.get("color", "black")
            hidden = text in ("none", "transparent") or here.style.get(f"{name}-opacity", "1").strip() in (
                "0",
                "0%",
                "0.0",
            )
            if name == "stroke" and (lengths.split(here.style.get("stroke-width", "1")) or (1.0, ""))[0] == 0.0:
                hidden = True
            inks.append(None if hidden else colour(text) or "")
        return inks[0], inks[1]

    def _dash(self, here: _Here, what: str) -> tuple[float, ...]:
        text = here.style.get("stroke-dasharray", "none")
        if text in ("none", "", "0"):
            return ()
        scale, whole = lengths.lengthening(here.matrix), here.viewport[0]
        try:
            given = [lengths.pixels(word, whole, "dash") for word in re.split(r"[\s,]+", text.strip()) if word]
        except Refusal:
            self.gathering.drop("dashes", f"{text[:30]!r} of {what}", "could not be read and were taken for unbroken")
            return ()
        dash = [round(abs(length) * scale, 3) for length in given][:12]
        return tuple(dash * (1 + len(dash) % 2)) if any(dash) else ()


class _Unread(Refusal):
    """One element that cannot be read: it is dropped by name and the rest of the file goes on."""

    def __init__(self, sentence: str, kind: str) -> None:
        super().__init__(sentence)
        self.kind = kind


@dataclass
class _naming:  # noqa: N801 - used as a statement
    """Turns the refusal of one element into a drop of this kind."""

    kind: str

    def __enter__(self) -> None:
        return None

    def __exit__(self, _kind: object, error: BaseException | None, _trace: object) -> None:
        if isinstance(error, Refusal):
            raise _Unread(error.sentence, self.kind) from error


def _place(node: Node, here: _Here, what: str) -> tuple[float, float]:
    width, height = here.viewport
    x = lengths.pixels(node.get("x") or "0", width, f"x of {what}")
    return x, lengths.pixels(node.get("y") or "0", height, f"y of {what}")


def _reason(refusal: Refusal) -> str:
    return refusal.sentence.rstrip(".").split(":")[0]


def _words(node: Node) -> str:
    text = " ".join(" ".join(part.text for part in node.walk()).split())
    return repr(text[:40]) if text and node.tag == "text" else ""


def _named(node: Node) -> str:
    name = node.get(f"{_INKSCAPE}label") or node.get("id")
    return f"<{node.tag}>{f' {name[:40]!r}' if name else ''}"
