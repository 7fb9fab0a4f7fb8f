"""How long a print of each family takes on A4, against writing as many plain lines with the same PDF library."""

from __future__ import annotations

import io
from collections.abc import Sequence
from functools import partial

import numpy as np
from reportlab.pdfgen.canvas import Canvas

from server.leather.drafts import families, get
from server.leather.piece import Piece
from server.output.paper import Choices
from server.output.paper_ink import Ink
from server.output.paper_pages import Page, Title, pages
from server.output.paper_plan import plan
from server.output.pdf import pdf
from tests.speed.clock import line, repeat, title


def printing() -> None:
    """Print a row for each family: plan, pages and PDF together, and the ratio to plain lines."""
    title("A4 print of a family, from pieces to the PDF's bytes")
    for family in families():
        pieces = get(family).draft({}).pieces
        drawn = _pages(pieces)
        paths = sum(len(m.paths) for page in drawn for m in (*page.own, *page.drawing) if isinstance(m, Ink))
        times = repeat(partial(_printed, pieces), 15, warm=2)
        plain = repeat(partial(_plain, paths, len(drawn)), 15, warm=2)
        ratio = float(np.median(times) / np.median(plain))
        line(f"{family}: {len(drawn)} pages, {paths} paths", times, more=f"{ratio:.1f} times plain lines")


def _pages(pieces: Sequence[Piece]) -> tuple[Page, ...]:
    return pages(plan(pieces, Choices()), Title("A try", ""))


def _printed(pieces: Sequence[Piece]) -> bytes:
    return pdf(_pages(pieces), "A try")


def _plain(count: int, many: int) -> bytes:
    """As many straight lines on as many pages, drawn one by one."""
    out = io.BytesIO()
    canvas = Canvas(out, invariant=1, pageCompression=1)
    for page in range(many):
        for i in range(page, count, many):
            canvas.line(i % 500, 10.0, 500.0 - i % 500, 800.0)
        canvas.showPage()
    canvas.save()
    return out.getvalue()
