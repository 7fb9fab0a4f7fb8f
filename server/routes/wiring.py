"""What the routes reach for: the workshop's services and the token of this run."""

from __future__ import annotations

from typing import cast

from flask import current_app

from server.services.workshop import Workshop

WORKSHOP, TOKEN = "hidelight workshop", "hidelight token"
"""Where the factory puts them among the application's extensions."""


def workshop() -> Workshop:
    """Return the services of the running application."""
    return cast(Workshop, current_app.extensions[WORKSHOP])


def token() -> str:
    """Return the token of this run."""
    return cast(str, current_app.extensions[TOKEN])
