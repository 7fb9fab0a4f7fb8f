"""A workshop with something in every room, and the address of every page, for tests that look at all of them."""

from __future__ import annotations

import http.client
from urllib.parse import quote

from tests.browser.house import House

OWN_FILE = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="120mm" height="90mm" viewBox="0 0 120 90" fill="none" stroke="#000">'
    '<path d="M10 10H110V80H10z"/><path stroke="#1060c0" stroke-dasharray="2 1" d="M14 14H106"/></svg>'
)
"""A drawing of 100 x 70 mm that says its unit."""

PAGES = (
    "/",
    "/draft",
    "/draft/1",
    "/draft/2",
    "/draft/3",
    "/own",
    "/own/1",
    "/bench/1",
    "/table/1",
    "/work",
    "/work/1",
    "/work?layout=1",
    "/check",
    "/practice",
    "/rack",
    "/sheet/1",
    "/paper/1",
    "/compare/1/2",
    "/bin",
    "/phones",
    "/help",
    "/nowhere",
)
"""Every page with the bar of rooms."""


def furnish(house: House) -> None:
    """Calibrate the practice bench, draft three things, lay one, begin a job, bring a file, fill the bin."""
    house.practice("marks", "block", lay=True)
    for family, name in (("strap", "Dog lead"), ("card-holder", "Card sleeve"), ("belt-pouch", "Old pouch")):
        house.ask("POST", "/api/things", {"family": family, "name": name, "measures": {}})
    house.ask("POST", "/api/patterns", {"thing": 2})
    house.ask("POST", "/api/jobs", {"layout": 1})
    house.ask("POST", "/api/jobs/1/unchecked", {})
    bring(house)
    house.ask("DELETE", "/api/things/4", {})


def bring(house: House) -> None:
    """Bring the drawing of the maker's own."""
    connection = http.client.HTTPConnection("127.0.0.1", house.port, timeout=20)
    headers = house.headers() | {"Content-Type": "application/octet-stream"}
    connection.request("POST", f"/api/drawings?name={quote('sleeve.svg')}", OWN_FILE, headers)
    answer = connection.getresponse()
    said = answer.read().decode()
    connection.close()
    assert answer.status == 201, said
