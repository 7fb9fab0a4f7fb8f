"""A browser's part in the tests: the headers our own page sends, and the workshop behind it."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from server.app import create_app
from server.services.streams import Streams
from server.services.workshop import Workshop, open_workshop
from server.settings import settle

PORT = 8417
HOST = f"127.0.0.1:{PORT}"
ORIGIN = f"http://{HOST}"

MEASURES = {
    "width": "3 in",
    "height": "6 in",
    "thickness": "1/2 in",
    "stands-out": "1 in",
    "belt": "1 1/2 in",
    "leather": "4-5 oz",
}


@dataclass
class Desk:
    """One running application and a client that asks as our own page does."""

    app: Flask
    shop: Workshop
    client: FlaskClient
    token: str

    def ask(self, method: str, path: str, body: Any = None, **headers: str | None) -> TestResponse:
        """Ask as our page does; a header given as None is left out (``_`` stands for ``-``)."""
        ours: dict[str, str | None] = {"Host": HOST, "Origin": ORIGIN, "X-Hidelight-Token": self.token}
        if method == "GET":
            ours = {"Host": HOST, "Sec-Fetch-Site": "same-origin", "Sec-Fetch-Mode": "cors"}
        ours |= {name.replace("_", "-"): value for name, value in headers.items()}
        sent = {name: value for name, value in ours.items() if value is not None}
        data = body if isinstance(body, bytes | None) else json.dumps(body).encode()
        kind = sent.pop("Content-Type", "application/json")
        content = kind if data else None
        return self.client.open(path, method=method, headers=sent, data=data, content_type=content, buffered=True)

    def get(self, path: str) -> Any:
        """Return what a GET answers; it must succeed."""
        return _content(self.ask("GET", path))

    def post(self, path: str, body: Any) -> Any:
        """Return what a POST answers; it must succeed."""
        return _content(self.ask("POST", path, body))

    def put(self, path: str, body: Any) -> Any:
        """Return what a PUT answers; it must succeed."""
        return _content(self.ask("PUT", path, body))

    def frame(self, window: str = "w1") -> dict[str, Any]:
        """Return the frame that a projector window receives."""
        found: dict[str, Any] = json.loads(self.shop.light.frame_text(window))
        return found

    def landing(self) -> dict[str, Any]:
        """Return what the practice table shows."""
        found: dict[str, Any] = json.loads(self.shop.practice.landing_text())
        return found

    def window(self, width: int = 1920, height: int = 1080, name: str = "w1") -> None:
        """Open a projector window of this size."""
        self.shop.light.arrive(name)
        report = {"window": name, "width": width, "height": height, "ratio": 1, "fullscreen": True}
        self.post("/api/window", report)

    def practice(self, *ways: str) -> int:
        """Start the practice workshop, take sightings in these ways, and return the bench."""
        bench = int(self.post("/api/practice/start", {})["bench"])
        for way in ways:
            self.post("/api/practice/sight", {"bench": bench, "way": way, "replace": False})
        return bench

    def layout(self, bench: int) -> int:
        """Save the practice thing's pattern, lay it on the bench, and return the layout."""
        pattern = self.post("/api/patterns", {"thing": 1})["id"]
        return int(self.post("/api/layouts", {"pattern": pattern, "bench": bench})["id"])


def open_desk(folder: Path, streams: Streams | None = None) -> Desk:
    """Return an application on the data folder, with a seeded hand."""
    settings = settle(folder, database=None, port=PORT)
    shop = open_workshop(settings.database, streams, np.random.default_rng(20))
    app = create_app(settings, shop)
    return Desk(app, shop, app.test_client(), settings.token)


def token_of(page: str) -> str:
    """Return the token that a page carries."""
    found = re.search(r'<meta name="token" content="([^"]+)"', page)
    assert found is not None, "the page carries no token"
    return found.group(1)


def _content(answer: TestResponse) -> Any:
    assert answer.status_code in (200, 201), answer.get_data(as_text=True)[:500]
    return answer.json
