"""A projector frame as SVG in device pixels: black, with the strokes where the projector must draw them."""

from __future__ import annotations

from server.output.projected import Picture, Stroke


def frame_svg(picture: Picture, size: tuple[int, int]) -> str:
    """Return the strokes on black as an SVG of ``size`` (width, height) px, one user unit a pixel."""
    width, height = size
    lines = "\n".join(_line(stroke) for stroke in picture.strokes)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" viewBox="0 0 {width} {height}">\n'
        f'<rect width="{width}" height="{height}" fill="#000000"/>\n{lines}\n</svg>\n'
    )


def _line(stroke: Stroke) -> str:
    style = stroke.style
    tag = "polygon" if stroke.closed else "polyline"
    dash = f' stroke-dasharray="{" ".join(f"{d:g}" for d in style.dash)}"' if style.dash else ""
    points = " ".join(f"{x:.3f},{y:.3f}" for x, y in stroke.points.tolist())
    return (
        f'<{tag} data-role="{stroke.kind}" fill="none" stroke="{style.colour}" stroke-width="{style.width:g}"{dash} '
        f'points="{points}"/>'
    )
