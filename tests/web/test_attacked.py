"""What an attack found: each fault once, so that it does not come back."""

from __future__ import annotations

import socket
import time
from collections.abc import Iterator

import pytest

from server.phone import listener
from server.phone.listener import open_door
from server.services.work import pairing as codes
from server.services.work import phones as phones_service
from server.services.work.pairing import ALPHABET, CODE_LENGTH, WRONG_CODES
from tests.web.desk import Desk
from tests.web.process import until
from tests.web.test_phones import HERE, Phone, code_of, paired, port_of

WRONG = ALPHABET[0] * CODE_LENGTH


@pytest.fixture
def door(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> Iterator[Desk]:
    """A desk that lets phones in, as if its computer stood on a network."""
    monkeypatch.setattr(phones_service, "own_addresses", lambda: [HERE])
    desk.shop.phones.attach(open_door)
    desk.window()
    desk.practice("marks", "block")
    desk.post("/api/phones", {"on": True})
    yield desk
    desk.shop.phones.turn_off()


# ---- phones


def test_a_stranger_s_wrong_codes_take_the_sign_down_with_the_code(door: Desk) -> None:
    """A code that is good no more must not stand in the light in place of the work."""
    code_of(door, in_light=True)
    stranger = Phone(port_of(door))
    for _ in range(WRONG_CODES - 1):
        stranger.ask("GET", f"/{WRONG}")
    assert len(door.frame()["areas"]) == 1
    stranger.ask("GET", f"/{WRONG}")
    assert door.get("/api/phones")["code_seconds"] == 0
    assert door.frame()["areas"] == []


def test_the_sign_goes_when_its_time_is_over(door: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    for module in (codes, phones_service):
        monkeypatch.setattr(module, "CODE_SECONDS", 0.3)
    code_of(door, in_light=True)
    assert len(door.frame()["areas"]) == 1
    assert until(lambda: door.frame()["areas"] == [], 3.0)


def test_a_stranger_who_holds_connections_open_keeps_no_phone_out(door: Desk) -> None:
    """Forty connections of one address, each with half a request: the phone comes from another address."""
    phone = paired(door)
    held = [socket.create_connection((HERE, phone.port), 2, ("127.0.0.2", 0)) for _ in range(40)]
    try:
        for one in held:
            one.sendall(b"GET / HTTP/1.1\r\nX-Slow: ")
        assert phone.ask("GET", "/card")[0] == 200
        shut = [one for one in held if _is_shut(one)]
        assert len(held) - len(shut) <= listener.EACH
    finally:
        for one in held:
            one.close()


def test_half_a_request_that_dribbles_in_is_hung_up(door: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    server = door.shop.phones._open._server  # type: ignore[union-attr]
    monkeypatch.setattr(server.adj, "channel_timeout", 1)
    monkeypatch.setattr(server.adj, "cleanup_interval", 0.2)
    server.next_channel_cleanup = 0
    with socket.create_connection((HERE, port_of(door)), 2) as slow:
        slow.settimeout(0.3)
        slow.sendall(b"GET / HTTP/1.1\r\nX-Slow: ")
        end = time.monotonic() + 6
        while time.monotonic() < end and not _is_shut(slow):
            slow.sendall(b"a")
        assert time.monotonic() < end


def _is_shut(one: socket.socket) -> bool:
    """Tell whether the other side has hung up."""
    one.settimeout(0.05)
    try:
        return one.recv(1) == b""
    except TimeoutError:
        return False
    except OSError:
        return True


# ---- absurd measures


def test_a_sheath_whose_stitch_line_has_no_room_is_refused(desk: Desk) -> None:
    """Every measure at its upper bound: the stitch line cannot follow the curve of the edge."""
    most = {"blade-length": 400, "blade-width": 100, "spine": 12, "tip-drop": 60, "handle-width": 80, "welt-width": 30}
    most |= {"handle-thickness": 60, "edge-margin": 15, "belt": 80, "hanger-width": 80, "strap-width": 40}
    measures = {name: f"{value} mm" for name, value in most.items()}
    answer = desk.ask("POST", "/api/draft", {"family": "sheath", "measures": measures})
    assert answer.status_code == 422, answer.get_data(as_text=True)
    assert answer.json is not None
    assert answer.json["error"]["field"] == "edge-margin"
