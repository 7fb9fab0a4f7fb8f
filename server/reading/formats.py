"""Which reader a file is for, told by what is in it and not by its name."""

from __future__ import annotations

import re

from calibration.refusal import Refusal
from server.reading.joining import joined
from server.reading.sheet import Sheet

MOST_BYTES = 20_000_000
_DXF = re.compile(rb"\s*(999\s*[\r\n][^\r\n]*[\r\n]+\s*)*0\s*[\r\n]+\s*SECTION", re.ASCII)


def parse(data: bytes, name: str) -> Sheet:
    """Read a file in this process, without the guards of `read_file`.

    Raises:
        Refusal: what the file is or holds; a library's own errors become refusals where they arise.

    """
    head = data[:1024].lstrip(b"\xef\xbb\xbf \t\r\n\x00")
    if not data.strip():
        raise Refusal("The file is empty: choose an SVG, DXF or PDF file.")
    if b"%PDF-" in data[:1024]:
        from server.reading.pdf_file import read_pdf

        return joined(read_pdf(data, name))
    if head.startswith(b"AutoCAD Binary DXF") or _DXF.match(head):
        from server.reading.dxf_file import read_dxf

        return joined(read_dxf(data, name))
    if head.startswith(b"<") or data[:2] in (b"\x1f\x8b", b"\xff\xfe", b"\xfe\xff"):
        from server.reading.svg_file import read_svg

        return joined(read_svg(data, name))
    raise Refusal(f"The file {name[:60]!r} is none of SVG, DXF and PDF: export it as one of these.")
