"""Patterns of the maker's own: the page, the file that is brought, and what is chosen about it."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, request
from werkzeug.exceptions import RequestEntityTooLarge

from server.errors import Refusal
from server.routes.choosing import costing, made_of
from server.routes.pages import page
from server.routes.reading import Fields, body
from server.routes.wiring import workshop
from server.services.pattern.own import LARGEST
from server.services.pattern.own_choices import STEPPINGS

MOST_LINES = 20_000
"""More lines than any sheet has."""

FARTHEST_MM = 1e9
"""A place on a sheet is nearer to its corner than this, mm."""

own = Blueprint("own", __name__)


@own.get("/own")
def start() -> str:
    """The page that asks for a file."""
    workshop().own.ready()
    return page("own", drawing_id=None)


@own.get("/own/<int:number>")
def shown(number: int) -> str:
    """The page of a file that was brought."""
    workshop().own.ready()
    workshop().own.check(number)
    return page("own", drawing_id=number)


@own.get("/api/drawings")
def every() -> list[dict[str, Any]]:
    """Answer all drawings."""
    return workshop().own.every()


@own.post("/api/drawings")
def bring() -> tuple[dict[str, Any], int]:
    """Read the file that is the body of the request; its name is in the address, for sentences only."""
    return workshop().own.bring(_file(), request.args.get("name", "")), 201


@own.get("/api/drawings/<int:number>")
def get(number: int) -> dict[str, Any]:
    """Answer a drawing."""
    return workshop().own.get(number)


@own.put("/api/drawings/<int:number>")
def change(number: int) -> dict[str, Any]:
    """Keep other choices."""
    given = body().only("revision", "choices")
    return workshop().own.change(number, given.whole("revision"), _choices(given.inner("choices")))


@own.delete("/api/drawings/<int:number>")
def remove(number: int) -> dict[str, Any]:
    """Forget a drawing that became no thing."""
    workshop().own.remove(number)
    return {}


@own.post("/api/drawings/<int:number>/keep")
def keep(number: int) -> dict[str, Any]:
    """Make a thing of a drawing, or name it anew."""
    return workshop().own.keep(number, body().only("name").text("name"))


def _file() -> bytes:
    """The body, whole; this is the one address that takes more than a mebibyte."""
    request.max_content_length = LARGEST
    try:
        return request.get_data(cache=False)
    except RequestEntityTooLarge as error:
        sentence = f"The file is larger than {LARGEST // 2**20} MiB: leave out its pictures, or simplify it."
        raise Refusal(sentence, field="file", status=413) from error


def _choices(given: Fields) -> dict[str, Any]:
    given.only(
        "unit",
        "known",
        "length",
        "looks",
        "lines",
        "pitch",
        "leather",
        "plies",
        "title",
        "stepping",
        "made_of",
        "costing",
    )
    rack = {"made_of": made_of(given), "costing": costing(given)}
    return {
        "unit": given.text("unit") if given.has("unit") else None,
        "known": _known(given.inner("known")) if given.has("known") else None,
        "looks": _words(given.inner("looks")),
        "lines": _words(_numbered(given.inner("lines"))),
        "plies": given.whole("plies", 1, 10),
        "stepping": given.choice("stepping", STEPPINGS) if given.has("stepping") else STEPPINGS[0],
        **{name: said for name, said in rack.items() if said is not None},
        **{name: _typed(given, name) for name in ("length", "pitch", "leather", "title")},
    }


def _known(given: Fields) -> dict[str, Any]:
    if given.has("points"):
        points = given.only("points").values["points"]
        if not isinstance(points, list) or len(points) != 2:
            raise Refusal("Two points with a known length between them must be two pairs [x, y].", field="known")
        return {"points": [_point(place) for place in points]}
    given.only("line", "across")
    line = given.whole("line", 0, MOST_LINES)
    return {"line": line, "across": given.choice("across", ("along", "width", "height"))}


def _point(place: object) -> list[float]:
    if not isinstance(place, list) or len(place) != 2:
        raise Refusal("A point with a known length to another must be a pair [x, y].", field="known")
    pair = Fields(dict(zip("xy", place, strict=True)), "known.")
    return [pair.number("x", -FARTHEST_MM, FARTHEST_MM), pair.number("y", -FARTHEST_MM, FARTHEST_MM)]


def _typed(given: Fields, name: str) -> str:
    """What was typed, which may be nothing, or nothing that is understood."""
    return given.text(name) if given.values.get(name) not in (None, "") else ""


def _numbered(given: Fields) -> Fields:
    odd = next((name for name in given.values if not (name.isascii() and name.isdigit() and len(name) < 7)), None)
    if odd is not None:
        raise Refusal(f"A line goes by its number, not by {ascii(odd)[:40]}.", field="lines")
    if len(given.values) > MOST_LINES:
        raise Refusal(f"Choices for {len(given.values)} lines are more than any sheet has.", field="lines")
    return given


def _words(given: Fields) -> dict[str, str]:
    odd = next((name for name, word in given.values.items() if not isinstance(word, str)), None)
    if odd is not None:
        raise Refusal(f"What {ascii(odd)[:60]} is for must be a word, such as cut.", field=odd[:60])
    return dict(given.values)
