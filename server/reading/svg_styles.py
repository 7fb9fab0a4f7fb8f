"""Styles of SVG: attributes, simple rules of style sheets, style=""; in that order, the later winning (SVG 1.1, chapter 6)."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from server.reading.xml_tree import Node

PROPERTIES = (
    "stroke",
    "fill",
    "color",
    "stroke-dasharray",
    "display",
    "visibility",
    "transform",
    "transform-origin",
    "clip-path",
    "mask",
    "filter",
    "opacity",
    "stroke-opacity",
    "fill-opacity",
    "stroke-width",
    "marker",
    "marker-start",
    "marker-mid",
    "marker-end",
)
_ATTRIBUTES = frozenset(PROPERTIES) - {"transform"}
INHERITED = (
    "stroke",
    "fill",
    "color",
    "stroke-dasharray",
    "visibility",
    "stroke-opacity",
    "fill-opacity",
    "stroke-width",
)
_COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)
_RULE = re.compile(r"([^{}]*)\{([^{}]*)\}")
_SIMPLE = re.compile(r"(\*|[A-Za-z][\w-]*)?((?:[.#][\w-]+)*)")
_PART = re.compile(r"([.#])([\w-]+)")
_MOST_RULES = 5_000


@dataclass(frozen=True)
class Rule:
    """One simple selector with its declarations; `weight` orders rules as CSS does."""

    tag: str
    classes: frozenset[str]
    id: str
    declarations: Mapping[str, str]
    weight: tuple[int, int, int, int]

    def matches(self, tag: str, classes: frozenset[str], name: str) -> bool:
        """Return whether an element is meant."""
        return self.tag in ("", "*", tag) and self.classes <= classes and self.id in ("", name)


def rules(text: str) -> tuple[list[Rule], list[str]]:
    """Return the simple rules of a style sheet, weakest first, and the selectors that are not read."""
    text = _COMMENT.sub("", text).replace("<!--", "").replace("-->", "")
    found: list[Rule] = []
    unread = [f"@{word}" for word in re.findall(r"@([\w-]+)", text)]
    text = re.sub(r"@[\w-]+[^{};]*;", "", text)
    for selectors, body in _RULE.findall(text):
        declared = declarations(body)
        for selector in selectors.split(","):
            rule = _rule(selector.strip(), declared, len(found))
            if rule is None:
                unread.append(selector.strip()[:60])
            elif len(found) < _MOST_RULES:
                found.append(rule)
    return sorted(found, key=lambda rule: rule.weight), [word for word in unread if word]


def _rule(selector: str, declared: Mapping[str, str], order: int) -> Rule | None:
    match = _SIMPLE.fullmatch(selector)
    if match is None or not selector:
        return None
    parts = _PART.findall(match[2])
    classes = frozenset(name for kind, name in parts if kind == ".")
    names = [name for kind, name in parts if kind == "#"]
    if len(names) > 1:
        return None
    weight = (len(names), len(classes), int(bool(match[1]) and match[1] != "*"), order)
    return Rule(match[1] or "", classes, names[0] if names else "", declared, weight)


def declarations(text: str) -> dict[str, str]:
    """Return the declarations of a style attribute or a rule that matter here."""
    found = {}
    for part in text.split(";"):
        name, colon, value = part.partition(":")
        if colon and name.strip().lower() in PROPERTIES:
            found[name.strip().lower()] = value.replace("!important", "").strip()
    return found


def style_of(node: Node, sheet: list[Rule]) -> dict[str, str]:
    """Return what an element itself is styled with; a `transform` is one by CSS, not the attribute."""
    found = {name: node.attributes[name].strip() for name in _ATTRIBUTES if name in node.attributes}
    if sheet:
        classes, name = frozenset(node.get("class").split()), node.get("id")
        for rule in sheet:
            if rule.matches(node.tag, classes, name):
                found.update(rule.declarations)
    if "style" in node.attributes:
        found.update(declarations(node.attributes["style"]))
    return found
