"""The application: services wired together, routes registered, and the one error handler."""

from __future__ import annotations

import json
from typing import Any

from flask import Flask, Response, current_app, make_response, render_template, request
from flask.json.provider import JSONProvider
from werkzeug.exceptions import HTTPException, MethodNotAllowed

from server import security
from server.errors import Refusal, refusal_json
from server.routes import BLUEPRINTS
from server.routes.pages import template_folder
from server.routes.wiring import TOKEN, WORKSHOP
from server.services.workshop import Workshop
from server.settings import Settings

OUR_BUG = "Something in the program went wrong and nothing was saved: try again, and report it if it happens twice."

SENTENCES = {
    404: "There is no such page here: go back to the first page.",
    405: "This address cannot be asked in that way.",
    413: "The request is larger than 1 MiB, which is more than anything here needs.",
}
"""What is said where the web framework itself refuses."""


class StrictJson(JSONProvider):
    """Answers are JSON as the standard has it: a number that is not finite is our bug, never sent."""

    def dumps(self, obj: Any, **kwargs: Any) -> str:
        """Return the JSON text of an answer."""
        return json.dumps(obj, allow_nan=False, separators=(",", ":"), **kwargs)

    def loads(self, s: str | bytes, **kwargs: Any) -> Any:
        """Read JSON text; only tests do this, requests are read in ``routes.reading``."""
        return json.loads(s, **kwargs)


def create_app(settings: Settings, workshop: Workshop) -> Flask:
    """Return the application.

    Args:
        settings: port and token of this run.
        workshop: the services, on an open database.

    """
    app = Flask("server", static_folder=None, template_folder=template_folder())
    app.json = StrictJson(app)
    app.extensions[TOKEN], app.extensions[WORKSHOP] = settings.token, workshop
    security.guard(app, settings)
    for blueprint in BLUEPRINTS:
        app.register_blueprint(blueprint)
    app.register_error_handler(Exception, _answer_error)
    return app


def _answer_error(error: Exception) -> Response:
    """Turn any error into its one shape: JSON, or a page for a person who went to an address by hand."""
    sentence, field, status = _describe(error)
    wants_page = request.accept_mimetypes.best_match(["application/json", "text/html"]) == "text/html"
    if wants_page and not request.path.startswith(("/api/", "/static/")) and status != 403:
        text = render_template("error.html", page="error", token="", sentence=sentence, status=status)
        return make_response(text, status)
    response = make_response(refusal_json(sentence, field), status)
    if isinstance(error, MethodNotAllowed):
        response.allow.update(error.valid_methods or ())
    return response


def _describe(error: Exception) -> tuple[str, str | None, int]:
    if isinstance(error, Refusal):
        return error.sentence, error.field, error.status
    if isinstance(error, HTTPException) and error.code is not None and error.code < 500:
        return SENTENCES.get(error.code, f"The request was refused: {error.name.lower()}."), None, error.code
    current_app.logger.error("unexpected error at %s", request.path, exc_info=error)
    return OUR_BUG, None, 500
