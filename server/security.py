"""Keeps other web pages out: who may ask (Host, Origin, token), and what a page may load (headers).

The server listens on 127.0.0.1 only, but any page in the same browser can reach it, and a hostile name server can point
its own name at 127.0.0.1. So the Host must be ours on every request, a foreign Origin is refused on every request, and
what changes anything must also carry the token of this run, which only our own pages know.
"""

from __future__ import annotations

import hmac

from flask import Flask, Request, Response, request

from server.errors import Refusal
from server.settings import Settings

TOKEN_HEADER = "X-Hidelight-Token"  # noqa: S105  (the header's name)

BODY_LIMIT = 1024 * 1024
"""Largest request body, bytes."""

READING = frozenset({"GET", "HEAD", "OPTIONS"})

HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
        "font-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), microphone=(), geolocation=(), payment=(), usb=()",
}


def guard(app: Flask, settings: Settings) -> None:
    """Make ``app`` refuse foreign requests (status 403) and send the headers with every answer."""
    app.config["MAX_CONTENT_LENGTH"] = BODY_LIMIT

    @app.before_request
    def refuse_foreign() -> None:
        check_host(request, settings.port)
        check_origin(request, settings.port)
        if request.method not in READING:
            check_token(request, settings.token)

    @app.after_request
    def send_headers(response: Response) -> Response:
        for name, value in HEADERS.items():
            response.headers[name] = value
        response.headers.setdefault("Cache-Control", "no-store")
        return response


def own_hosts(port: int) -> frozenset[str]:
    """Return the values of the Host header that name this server."""
    names = ("127.0.0.1", "localhost")
    bare = frozenset(names) if port == 80 else frozenset()
    return bare | {f"{name}:{port}" for name in names}


def check_host(asked: Request, port: int) -> None:
    """Refuse a request whose Host is not this server (a foreign name pointed at 127.0.0.1)."""
    host = asked.headers.get("Host", "").lower()
    if host not in own_hosts(port):
        raise Refusal(
            f"This server answers at http://127.0.0.1:{port} only, not at the name it was asked by.", status=403
        )


def check_origin(asked: Request, port: int) -> None:
    """Refuse a request that another site's page sends.

    A navigation from elsewhere to one of our pages (a link, a bookmark) is let through: it carries no Origin and
    reads nothing. What changes anything must say where it comes from, by Origin or by Sec-Fetch-Site.
    """
    origin, site = asked.headers.get("Origin"), asked.headers.get("Sec-Fetch-Site")
    changing = asked.method not in READING
    foreign = origin is not None and not _own_origin(origin, port)
    from_elsewhere = site is not None and site != "same-origin" and (changing or not _may_be_visited(asked, site))
    unsaid = changing and origin is None and site is None
    if foreign or from_elsewhere or unsaid:
        raise Refusal("This request did not come from Hidelight's own page: open the page and try again.", status=403)


def check_token(asked: Request, token: str) -> None:
    """Refuse a change that does not carry the token of this run."""
    given = asked.headers.get(TOKEN_HEADER, "")
    if not hmac.compare_digest(given.encode(), token.encode()):
        raise Refusal("The page belongs to an earlier run of the server: load it again.", status=403)


def _own_origin(origin: str, port: int) -> bool:
    return origin.lower() in {f"http://{host}" for host in own_hosts(port)}


def _may_be_visited(asked: Request, site: str) -> bool:
    """Tell whether this is a person's own visit: typed, bookmarked, or a link to a page followed."""
    navigation = asked.headers.get("Sec-Fetch-Mode") == "navigate"
    return site == "none" or (navigation and not asked.path.startswith("/api/"))
