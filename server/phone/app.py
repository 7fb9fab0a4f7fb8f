"""What a phone sees. Whoever holds no secret, and no good code, gets one and the same empty answer to everything.

The door stands on a network that is not trusted. So there is a page, three files, one thing to read and three to do; a
phone is known by a secret in a cookie that scripts cannot read and other sites cannot send; what changes anything must
come from our own page; and no answer to a stranger tells that there is anything here.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from flask import Flask, Response, abort, g, redirect, render_template, request, send_from_directory
from werkzeug.exceptions import HTTPException
from werkzeug.wrappers import Response as BaseResponse

from server.errors import Refusal, refusal_json
from server.routes.pages import template_folder
from server.routes.reading import body
from server.security import HEADERS
from server.services.work.pairing import ALPHABET, CODE_LENGTH
from server.services.work.phones import NUDGE_DEGREES, NUDGE_MM, Nudge, Phones

COOKIE = "phone"
STYLE = "phone.css"
FILES = frozenset({"phone.js", "words-phone.js", STYLE})
SAID_TO_OURSELVES = {"Referrer-Policy": "same-origin"}
"""A form of a page with no referrer at all would come with the Origin "null", which is anybody's."""
LARGEST = 1024
"""Bytes in a request at most."""
CODE = re.compile(f"[{ALPHABET}]{{{CODE_LENGTH}}}")


def create_phone_app(phones: Phones, host: str) -> Flask:
    """Return the application for phones.

    Args:
        phones: the services.
        host: address and port as they stand in the Host header.

    """
    app = Flask("server.phone", static_folder=None, template_folder=template_folder())
    app.config["MAX_CONTENT_LENGTH"] = LARGEST
    _guard(app, phones, host)
    _pair(app, phones)
    _serve(app, phones)
    return app


def _guard(app: Flask, phones: Phones, host: str) -> None:
    @app.before_request
    def know() -> None:
        if request.headers.get("Host", "") != host or not _from_own_page(host):
            abort(404)
        g.phone = phones.pairing.who(request.cookies.get(COOKIE, ""))
        code, _, rest = request.path[1:].partition("/")
        pairing = CODE.fullmatch(code) is not None and rest in ("", STYLE)
        if g.phone is None and not (pairing and phones.is_good(code)):
            abort(404)

    @app.after_request
    def send_headers(response: Response) -> Response:
        if response.status_code != 404:
            for name, value in (HEADERS | SAID_TO_OURSELVES).items():
                response.headers[name] = value
        response.headers["Cache-Control"] = "no-store"
        return response

    @app.errorhandler(Exception)
    def refuse(error: Exception) -> Response:
        if getattr(g, "phone", None) is None or isinstance(error, HTTPException):
            return nothing()
        if isinstance(error, Refusal):
            return app.make_response((refusal_json(error.sentence, error.field), error.status))
        app.logger.error("unexpected error at a phone's request", exc_info=error)
        return nothing()


def nothing() -> Response:
    """Return the one answer for strangers: not found, and not a word more."""
    return Response(b"", 404, mimetype="text/plain")


def _from_own_page(host: str) -> bool:
    """Tell whether a request that changes anything comes from our own page, by its Origin."""
    return request.method in ("GET", "HEAD") or request.headers.get("Origin") == f"http://{host}"


def _pair(app: Flask, phones: Phones) -> None:
    @app.get("/<code>")
    def ask(code: str) -> str | BaseResponse:
        """A page with one button: a preview of the link must not use the code up."""
        if CODE.fullmatch(code) is None:
            abort(404)
        return redirect("/") if g.phone is not None else render_template("phone-pair.html", code=code)

    @app.get("/<code>/" + STYLE)
    def pairing_style(code: str) -> Response:
        return _file(STYLE) if CODE.fullmatch(code) else abort(404)

    @app.post("/<code>")
    def pair(code: str) -> Response:
        secret = phones.claim(code, request.remote_addr or "")
        if secret is None:
            abort(404)
        answer = app.make_response(redirect("/", 303))
        answer.set_cookie(COOKIE, secret, httponly=True, samesite="Strict", path="/")
        return answer


def _serve(app: Flask, phones: Phones) -> None:
    @app.get("/")
    def card_page() -> str:
        return render_template("phone.html")

    @app.get("/file/<name>")
    def file(name: str) -> Response:
        return _file(name) if name in FILES else abort(404)

    @app.get("/card")
    def card() -> dict[str, Any]:
        return phones.card()

    @app.post("/go")
    def go() -> dict[str, Any]:
        given = body().only("by", "revision")
        by = given.whole("by", -1, 1)
        if by == 0:
            raise Refusal("Go on by 1 or back by -1.", field="by")
        return phones.go(by, given.whole("revision"))

    @app.post("/nudge")
    def nudge() -> dict[str, Any]:
        given = body().only("dx", "dy", "turn")
        dx, dy = (given.number(name, -NUDGE_MM, NUDGE_MM) if given.has(name) else 0.0 for name in ("dx", "dy"))
        turn = given.number("turn", -NUDGE_DEGREES, NUDGE_DEGREES) if given.has("turn") else 0.0
        return phones.nudge(Nudge(dx, dy, turn))

    @app.post("/black")
    def black() -> dict[str, Any]:
        return phones.black_out(body().only("on").flag("on"))


def _file(name: str) -> Response:
    return send_from_directory(Path(template_folder()).parent / "phone", name)
