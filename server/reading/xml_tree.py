"""XML into a plain tree, with nothing followed: no entities, no external parts, bounded depth and count."""

from __future__ import annotations

import gzip
import io
import zlib
from collections.abc import Iterator
from dataclasses import dataclass, field
from xml.parsers import expat

from calibration.refusal import Refusal

MOST_BYTES = 20_000_000
MOST_NODES = 200_000
DEEPEST = 100
_SEPARATOR = "}"


@dataclass
class Node:
    """One element.

    Attributes:
        tag: its local name.
        space: its namespace, "" when it has none.
        attributes: by local name; those with a namespace as "{namespace}name".
        children: elements only.
        text: all the words directly in it.

    """

    tag: str
    space: str
    attributes: dict[str, str]
    children: list[Node] = field(default_factory=list)
    text: str = ""

    def get(self, name: str, default: str = "") -> str:
        """Return an attribute, or the default."""
        return self.attributes.get(name, default)

    def walk(self) -> Iterator[Node]:
        """Give this element and all below it."""
        stack = [self]
        while stack:
            node = stack.pop()
            yield node
            stack.extend(reversed(node.children))


def parse(data: bytes) -> Node:
    """Return the root of a document; gzip is undone first, to at most 20 MB.

    A document type is passed over, and what it points to is never fetched.

    Raises:
        Refusal: not well-formed, declares entities, too large, too deep or too many elements.

    """
    if data[:2] == b"\x1f\x8b":
        data = _unpacked(data)
    builder = _Builder()
    parser = expat.ParserCreate(namespace_separator=_SEPARATOR)
    parser.buffer_text = True
    parser.StartElementHandler = builder.start
    parser.EndElementHandler = builder.end
    parser.CharacterDataHandler = builder.words
    parser.EntityDeclHandler = builder.entity
    parser.ExternalEntityRefHandler = None
    try:
        parser.Parse(data, True)
    except (expat.ExpatError, ValueError, LookupError) as error:
        if isinstance(error, Refusal):
            raise
        raise Refusal(f"The file is not well-formed XML ({str(error)[:80]}): save it again as SVG.") from error
    if builder.root is None:
        raise Refusal("The file is empty XML: save it again as SVG.")
    return builder.root


def _unpacked(data: bytes) -> bytes:
    try:
        with gzip.GzipFile(fileobj=io.BytesIO(data)) as file:
            plain = file.read(MOST_BYTES + 1)
    except (OSError, EOFError, zlib.error) as error:
        raise Refusal("The packed file is broken: save it again, unpacked.") from error
    if len(plain) > MOST_BYTES:
        raise Refusal(f"The packed file unpacks to more than {MOST_BYTES // 1_000_000} MB: simplify it.")
    return plain


class _Builder:
    """Handlers of the parser."""

    def __init__(self) -> None:
        self.root: Node | None = None
        self._open: list[Node] = []
        self._count = 0

    def start(self, name: str, given: dict[str, str]) -> None:
        self._count += 1
        if self._count > MOST_NODES:
            raise Refusal(f"The file has more than {MOST_NODES} elements: simplify it.")
        if len(self._open) >= DEEPEST:
            raise Refusal(f"The file nests elements more than {DEEPEST} deep: ungroup them.")
        space, _, tag = name.rpartition(_SEPARATOR)
        attributes = {f"{{{key}" if _SEPARATOR in key else key: value for key, value in given.items()}
        node = Node(tag, space, attributes)
        if self._open:
            self._open[-1].children.append(node)
        else:
            self.root = node
        self._open.append(node)

    def end(self, _name: str) -> None:
        self._open.pop()

    def words(self, text: str) -> None:
        self._open[-1].text += text

    def entity(self, name: str, *_rest: object) -> None:
        raise Refusal(f"The file declares the entity {name[:40]!r}, which is not read: save it as plain SVG.")
