"""A page of paper as SVG, for the preview: the same marks as the PDF, in true millimetres, y down."""

from __future__ import annotations

from xml.sax.saxutils import escape

from server.geometry.path import number, path_data
from server.output.paper_ink import PENS, Ink, Mark, Words
from server.output.paper_pages import Page

DECIMALS = 3
FAMILY = 'font-family="Bitstream Vera Sans, DejaVu Sans, Verdana, sans-serif"'


def page_svg(page: Page) -> str:
    """Return a page as a picture of the printed paper, white, width and height in mm."""
    across, down = page.format.correction.across, page.format.correction.down
    width, height = page.width / across, page.height / down
    left, top = page.format.margin / across, page.format.margin / down
    x0, y0, x1, y1 = page.window
    shift = f"{number(x0 - page.origin[0], DECIMALS)} {number(y0 - page.origin[1], DECIMALS)}"
    size = f'{number(width, DECIMALS)}" height="{number(height, DECIMALS)}"'
    return "\n".join(
        (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{number(width, DECIMALS)}mm" height="{number(height, DECIMALS)}mm"'
            f' viewBox="0 0 {number(width, DECIMALS)} {number(height, DECIMALS)}">',
            f'<clipPath id="w"><rect x="{x0}" y="{y0}" width="{number(x1 - x0, DECIMALS)}" height="{number(y1 - y0, DECIMALS)}"/>'
            "</clipPath>",
            f'<rect width="{size} fill="#ffffff"/>',
            f'<g transform="translate({number(left, DECIMALS)} {number(top, DECIMALS)})" fill="none" stroke-linecap="round"'
            f' stroke-linejoin="round" {FAMILY}>',
            *map(_mark, page.own),
            f'<g clip-path="url(#w)"><g transform="translate({shift})">',
            *map(_mark, page.drawing),
            "</g></g></g></svg>\n",
        )
    )


def _mark(mark: Mark) -> str:
    return _words(mark) if isinstance(mark, Words) else _ink(mark)


def _ink(mark: Ink) -> str:
    pen = PENS[mark.look]
    dash = f' stroke-dasharray="{" ".join(number(part, 2) for part in pen.dash)}"' if pen.dash else ""
    data = " ".join(path_data(path, 0.0, 0.0, DECIMALS) for path in mark.paths)
    return f'<path stroke="{_grey(pen.grey)}" stroke-width="{pen.width}"{dash} d="{data}"/>'


def _words(words: Words) -> str:
    place = (
        f'x="{number(words.x, DECIMALS)}" y="{number(words.y, DECIMALS)}" font-size="{number(words.size, DECIMALS)}"'
    )
    turn = f' transform="rotate({number(words.turn, 2)} {number(words.x, DECIMALS)} {number(words.y, DECIMALS)})"'
    weight = ' font-weight="700"' if words.bold else ""
    looks = f'fill="{_grey(words.grey)}" text-anchor="{words.align}"{weight}'
    return f"<text {place}{turn if words.turn else ''} {looks}>{escape(words.text)}</text>"


def _grey(grey: float) -> str:
    level = round(255 * grey)
    return f"#{level:02x}{level:02x}{level:02x}"
