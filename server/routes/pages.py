"""The pages, and the files they load."""

from __future__ import annotations

from pathlib import Path, PurePosixPath

from flask import Blueprint, Response, redirect, render_template, send_from_directory, url_for
from werkzeug.wrappers import Response as BaseResponse

import server
from server.errors import Refusal
from server.routes.wiring import token, workshop
from server.services.pattern.drafted import OWN

STATIC = Path(server.__file__).parent.parent / "static"
"""The folder of the pages' files, wherever the package is installed."""

SERVED = frozenset({".js", ".css", ".svg", ".png", ".ico", ".woff2", ".json", ".webmanifest"})
"""Kinds of file that are sent as they are. Templates are not among them."""

pages = Blueprint("pages", __name__)


def page(name: str, **numbers: int | None) -> str:
    """Return the page ``name``, with the token of this run and the numbers of what it shows."""
    return render_template(f"{name}.html", page=name, token=token(), **numbers)


@pages.get("/")
def home() -> str:
    """Where things stand."""
    return page("home")


@pages.get("/draft")
@pages.get("/draft/<int:thing_id>")
def draft(thing_id: int | None = None) -> str | BaseResponse:
    """Measures and drawing of a thing's pattern; one that was made of a file has a page of its own."""
    if thing_id is not None and workshop().things.get(thing_id)["family"] == OWN:
        return redirect(url_for("own.shown", number=workshop().own.of_thing(thing_id)))
    return page("draft", thing_id=thing_id)


@pages.get("/bench/<int:bench_id>")
def bench(bench_id: int) -> str:
    """Calibration of a bench."""
    workshop().benches.get(bench_id)
    return page("bench", bench_id=bench_id)


@pages.get("/table/<int:layout_id>")
def table(layout_id: int) -> str:
    """A pattern on the table."""
    workshop().layouts.get(layout_id)
    return page("table", layout_id=layout_id)


@pages.get("/bench")
@pages.get("/bench/")
def present_bench() -> BaseResponse:
    """Go to the bench in use, or home when there is none."""
    number = workshop().state.current().bench
    return redirect(url_for("pages.home") if number is None else url_for("pages.bench", bench_id=number))


@pages.get("/table")
@pages.get("/table/")
def present_table() -> BaseResponse:
    """Go to the layout in use, or home when there is none."""
    number = workshop().state.current().layout
    return redirect(url_for("pages.home") if number is None else url_for("pages.table", layout_id=number))


@pages.get("/check")
def check() -> str:
    """The check figure and the verdict."""
    return page("check")


@pages.get("/practice")
def practice() -> str:
    """The practice table."""
    return page("practice")


@pages.get("/light")
def light() -> str:
    """The projector window."""
    return page("light")


@pages.get("/help")
def guide() -> str:
    """Words, cautions, and where the data lives."""
    return page("help")


@pages.get("/favicon.ico")
def icon() -> BaseResponse:
    """Point browsers that ask for it at the icon."""
    return redirect(url_for("pages.static_file", name="favicon.svg"))


@pages.get("/static/<path:name>")
def static_file(name: str) -> Response:
    """Send a script, a style sheet or a picture; the browser asks each time whether it has changed."""
    if PurePosixPath(name).suffix not in SERVED:
        raise Refusal(f"There is no file {name[:80]} here.", status=404)
    response: Response = send_from_directory(STATIC, name, max_age=0)
    response.headers["Cache-Control"] = "no-cache"
    return response


def template_folder() -> str:
    """Return the folder of the templates."""
    return str(STATIC / "pages")
