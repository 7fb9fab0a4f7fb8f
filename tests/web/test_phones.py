"""Phones on the workshop's network: let in, paired, dropped; and what a stranger at the door gets, which is nothing."""

from __future__ import annotations

import http.client
import json
import socket
from collections.abc import Iterator
from typing import Any

import cv2
import numpy as np
import pytest

from server.errors import Refusal
from server.phone.listener import open_door
from server.practice.projector import TRUE
from server.services.light.phone_sign import modules, svg_path
from server.services.work import phones as phones_service
from server.services.work.pairing import (
    ALPHABET,
    CODE_LENGTH,
    CODE_SECONDS,
    MOST_PHONES,
    PHONE_SECONDS,
    WRONG_CODES,
    Pairing,
)
from server.services.work.phones import Nudge
from tests.web.desk import Desk

HERE = "127.0.0.1"


class Phone:
    """What a phone's browser sends: one cookie, and the Origin of the page it has."""

    def __init__(self, port: int) -> None:
        self.port, self.cookie = port, ""

    def ask(self, method: str, path: str, body: Any = None, **headers: str | None) -> tuple[int, dict[str, str], bytes]:
        """Return status, headers (small letters) and body of one request; a header given as None is left out."""
        sent: dict[str, str | None] = {"Host": f"{HERE}:{self.port}", "Cookie": self.cookie or None}
        if method != "GET":
            sent |= {"Origin": f"http://{HERE}:{self.port}", "Content-Type": "application/json"}
        sent |= {name.replace("_", "-"): value for name, value in headers.items()}
        door = http.client.HTTPConnection(HERE, self.port, timeout=5)
        try:
            data = body if isinstance(body, bytes | None) else json.dumps(body).encode()
            door.request(method, path, data, {name: value for name, value in sent.items() if value is not None})
            answer = door.getresponse()
            found = {name.lower(): value for name, value in answer.getheaders()}
            return answer.status, found, answer.read()
        finally:
            door.close()

    def pair(self, code: str) -> int:
        """Press the one button of the pairing page, keep the cookie, and return the status."""
        status, headers, _ = self.ask("POST", f"/{code}", b"", Content_Type="application/x-www-form-urlencoded")
        self.cookie = headers.get("set-cookie", "").split(";")[0]
        return status

    def json(self, method: str, path: str, body: Any = None) -> Any:
        """Return what is answered; it must succeed."""
        status, _, content = self.ask(method, path, body)
        assert status == 200, content
        return json.loads(content)


@pytest.fixture
def here(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> Desk:
    """A desk whose computer stands in for the workshop's network."""
    monkeypatch.setattr(phones_service, "own_addresses", lambda: [HERE])
    desk.shop.phones.attach(open_door)
    return desk


@pytest.fixture
def door(here: Desk) -> Iterator[Desk]:
    """A desk that lets phones in."""
    here.post("/api/phones", {"on": True})
    yield here
    here.shop.phones.turn_off()


def port_of(desk: Desk) -> int:
    return int(desk.get("/api/phones")["address"].rsplit(":", 1)[1].strip("/"))


def code_of(desk: Desk, *, in_light: bool = False) -> str:
    return str(desk.post("/api/phones/code", {"in_light": in_light})["url"].rsplit("/", 1)[1])


def paired(desk: Desk) -> Phone:
    phone = Phone(port_of(desk))
    assert phone.pair(code_of(desk)) == 303
    return phone


def working(desk: Desk) -> int:
    """Start work on the practice pouch and return the job."""
    layout = desk.layout(desk.practice("marks", "block"))
    job = int(desk.post("/api/jobs", {"layout": layout})["id"])
    desk.post(f"/api/jobs/{job}/unchecked", {})
    return job


def test_nothing_listens_until_it_is_turned_on(here: Desk) -> None:
    told = here.get("/api/phones")
    assert (told["on"], told["address"], told["phones"]) == (False, None, [])
    here.post("/api/phones", {"on": True})
    port = port_of(here)
    socket.create_connection((HERE, port), timeout=2).close()
    phone = paired(here)
    here.post("/api/phones", {"on": False})
    assert here.get("/api/phones")["phones"] == []
    with pytest.raises(OSError, match="refused"):
        socket.create_connection((HERE, port), timeout=2)
    here.post("/api/phones", {"on": True})
    assert phone.ask("GET", "/card")[0] == 404, "shut out is forgotten"


def test_a_phone_that_is_let_in_works(door: Desk) -> None:
    job = working(door)
    phone = paired(door)
    card = phone.json("GET", "/card")
    first = door.get(f"/api/jobs/{job}")
    assert card["job"]["title"] == first["step"]["title"]
    assert card["job"]["words"] == first["step"]["words"]
    gone = phone.json("POST", "/go", {"by": 1, "revision": card["job"]["revision"]})
    assert gone["job"]["revision"] > card["job"]["revision"]
    again = phone.json("POST", "/go", {"by": 1, "revision": card["job"]["revision"]})
    assert again["job"]["revision"] == gone["job"]["revision"], "a press that comes twice goes on once"
    back = phone.json("POST", "/go", {"by": -1, "revision": gone["job"]["revision"]})
    assert back["job"]["title"] == card["job"]["title"]
    assert phone.json("POST", "/black", {"on": True})["black"] is True
    assert door.frame()["black"] is True
    assert phone.json("POST", "/black", {"on": False})["black"] is False


def test_a_nudge_moves_the_piece_of_the_step_and_is_saved(door: Desk) -> None:
    job = working(door)
    phone, told = paired(door), door.get(f"/api/jobs/{job}")
    piece = told["step"]["piece"]
    before = door.get(f"/api/layouts/{told['layout']}")["placements"]
    phone.json("POST", "/nudge", {"dx": 0.5, "dy": -0.1, "turn": 0.25})
    after = door.get(f"/api/layouts/{told['layout']}")["placements"]
    assert after[piece]["x"] - before[piece]["x"] == pytest.approx(0.5)
    assert after[piece]["y"] - before[piece]["y"] == pytest.approx(-0.1)
    assert (after[piece]["turn"] - before[piece]["turn"]) % 360 == pytest.approx(0.25)
    assert {name: lie for name, lie in after.items() if name != piece} == {
        name: lie for name, lie in before.items() if name != piece
    }


@pytest.mark.parametrize(
    ("side", "away", "right"),
    [("bottom", (0, -1), (1, 0)), ("top", (0, 1), (-1, 0)), ("left", (1, 0), (0, 1)), ("right", (-1, 0), (0, -1))],
)
def test_a_nudge_goes_as_the_maker_sees_it(side: str, away: tuple[int, int], right: tuple[int, int]) -> None:
    """Standing at the left side of the table one looks along x, and y, towards its lower edge, is to the right."""
    assert Nudge(dy=-1.0).on_table(side) == pytest.approx(away)
    assert Nudge(dx=1.0).on_table(side) == pytest.approx(right)


@pytest.mark.parametrize(
    ("path", "body"),
    [
        ("/go", {"by": 2, "revision": 1}),
        ("/go", {"by": 0, "revision": 1}),
        ("/go", {"by": 1}),
        ("/nudge", {"dx": 500}),
        ("/nudge", {"turn": 90}),
        ("/nudge", {"piece": "front"}),
        ("/black", {"on": "yes"}),
    ],
)
def test_a_phone_cannot_ask_for_more_than_it_may(door: Desk, path: str, body: dict[str, Any]) -> None:
    working(door)
    status, _, content = paired(door).ask("POST", path, body)
    assert status == 422
    assert json.loads(content)["error"]["sentence"].endswith(".")


def test_without_work_the_phone_says_so(door: Desk) -> None:
    phone = paired(door)
    assert phone.json("GET", "/card")["job"] is None
    assert phone.ask("POST", "/go", {"by": 1, "revision": 1})[0] == 409


ELSEWHERE = (
    "/",
    "/card",
    "/go",
    "/nudge",
    "/black",
    "/file/phone.js",
    "/file/phone.css",
    "/file/../pages/base.html",
    "/file/%2e%2e/phone.html",
    "/static/js/api.js",
    "/api/state",
    "/api/phones",
    "/api/things",
    "/favicon.ico",
    "/robots.txt",
    "/AAAAAAAAAAAA",
    "/aaaaaaaaaaaa",
    "//",
    "/%00",
    "/?code=AAAAAAAAAAAA",
)


@pytest.mark.parametrize("method", ["GET", "POST", "HEAD", "PUT", "DELETE", "OPTIONS", "PATCH"])
def test_a_stranger_gets_one_and_the_same_empty_answer(door: Desk, method: str) -> None:
    working(door)
    code_of(door)
    stranger = Phone(port_of(door))
    stranger.cookie = "phone=" + "A" * 43
    body: Any = None if method in ("GET", "HEAD") else {}
    answers = [stranger.ask(method, path, body) for path in ELSEWHERE]
    told = {(status, content, tuple(sorted(set(headers) - {"date"}))) for status, headers, content in answers}
    assert len(told) == 1
    status, content, names = told.pop()
    assert (status, content) == (404, b"")
    assert not {"server", "via", "set-cookie", "allow", "location", "www-authenticate"} & set(names)


def test_a_stranger_cannot_even_learn_by_a_wrong_name_or_page(door: Desk) -> None:
    working(door)
    phone = paired(door)
    assert phone.ask("GET", "/card", None, Host="evil.example")[0] == 404
    assert phone.ask("GET", "/card", None, Host=f"localhost:{phone.port}")[0] == 404
    for origin in ("http://evil.example", "null", None, f"https://{HERE}:{phone.port}", f"http://{HERE}"):
        assert phone.ask("POST", "/black", {"on": True}, Origin=origin)[0] == 404
    assert door.frame()["black"] is False


@pytest.mark.parametrize("path", [*ELSEWHERE[7:], "/phone.html", "/file/phone.html", "/file/"])
def test_a_paired_phone_reaches_nothing_else(door: Desk, path: str) -> None:
    status, _, content = paired(door).ask("GET", path)
    assert status in (404, 302) or path.startswith(("//", "/?")), path
    assert b"token" not in content


def test_the_code_is_good_once(door: Desk) -> None:
    code, port = code_of(door), port_of(door)
    looked = Phone(port).ask("GET", f"/{code}")
    assert looked[0] == 200, "a preview of the link uses nothing up"
    first, second = Phone(port), Phone(port)
    assert first.pair(code) == 303
    assert second.pair(code) == 404
    assert second.cookie == ""
    assert Phone(port).ask("GET", f"/{code}")[0] == 404
    cookie = first.ask("GET", "/card")
    assert cookie[0] == 200


def test_the_secret_is_kept_from_scripts_and_other_sites(door: Desk) -> None:
    phone = Phone(port_of(door))
    _, headers, _ = phone.ask("POST", f"/{code_of(door)}", b"")
    assert "HttpOnly" in headers["set-cookie"]
    assert "SameSite=Strict" in headers["set-cookie"]
    _, headers, _ = (paired(door)).ask("GET", "/")
    assert "default-src 'none'" in headers["content-security-policy"]
    assert headers["cache-control"] == "no-store"


def test_a_dropped_phone_is_a_stranger(door: Desk) -> None:
    one, two = paired(door), paired(door)
    assert [phone["id"] for phone in door.get("/api/phones")["phones"]] == [1, 2]
    door.ask("DELETE", "/api/phones/1")
    assert one.ask("GET", "/card")[0] == 404
    assert two.ask("GET", "/card")[0] == 200
    assert door.ask("DELETE", "/api/phones/1").status_code == 404


def test_large_and_broken_requests_end_in_nothing(door: Desk) -> None:
    phone = paired(door)
    assert phone.ask("POST", "/go", b"x" * 3000)[0] in (404, 413)
    assert phone.ask("POST", "/go", b"{")[0] in (400, 422)
    with socket.create_connection((HERE, phone.port), timeout=5) as raw:
        raw.sendall(b"NONSENSE\r\n\r\n")
        assert b"idelight" not in raw.recv(4096)
    assert phone.ask("GET", "/card")[0] == 200


def test_the_sign_stands_in_the_light_until_the_phone_is_paired(door: Desk) -> None:
    door.window()
    working(door)
    code = code_of(door, in_light=True)
    shown = door.frame()
    assert shown["strokes"] == []
    assert len(shown["areas"]) == 1
    assert shown["texts"][0]["text"].endswith(code)
    assert Phone(port_of(door)).pair(code) == 303
    assert door.frame()["areas"] == []
    code_of(door, in_light=True)
    door.ask("DELETE", "/api/phones/code")
    assert door.frame()["areas"] == []


def test_the_sign_lies_square_on_the_practice_table(door: Desk) -> None:
    """Traced by the true projector, the code's corners make a square of the size that is meant."""
    door.window()
    door.practice("marks", "block")
    code_of(door, in_light=True)
    rings = [np.array(ring).reshape(-1, 2) for ring in door.frame()["areas"][0]["rings"]]
    landed = TRUE.land(max(rings, key=lambda ring: np.ptp(ring[:, 0])), 0.0)
    ways = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]])
    corners = np.array([landed[int((landed @ way).argmax())] for way in ways])
    sides = np.linalg.norm(np.roll(corners, -1, axis=0) - corners, axis=1)
    assert np.abs(sides - 130.0).max() < 0.6
    assert abs(np.linalg.norm(corners[2] - corners[0]) - 130.0 * np.sqrt(2)) < 0.6


def test_codes_run_out() -> None:
    now = [0.0]
    pairing = Pairing(lambda: now[0])
    code = pairing.offer()
    assert len(code) == CODE_LENGTH
    assert set(code) <= set(ALPHABET)
    now[0] = CODE_SECONDS - 0.1
    assert pairing.is_good(code)
    now[0] = CODE_SECONDS
    assert not pairing.is_good(code)
    assert pairing.claim(code, HERE) is None
    assert pairing.seconds_left() == 0.0


def test_guessing_ends_the_code() -> None:
    pairing = Pairing(lambda: 0.0)
    code = pairing.offer()
    for _ in range(WRONG_CODES - 1):
        assert pairing.claim("A" * CODE_LENGTH, HERE) is None
    assert pairing.is_good(code)
    assert not pairing.is_good("B" * CODE_LENGTH)
    assert not pairing.is_good(code), "twenty wrong ones withdraw it"


def test_a_new_code_ends_the_one_before() -> None:
    pairing = Pairing(lambda: 0.0)
    first = pairing.offer()
    second = pairing.offer()
    assert pairing.claim(first, HERE) is None
    assert pairing.claim(second, HERE) is not None


def test_only_so_many_phones_and_only_for_a_day() -> None:
    now = [0.0]
    pairing = Pairing(lambda: now[0])
    secrets = [pairing.claim(pairing.offer(), HERE) for _ in range(MOST_PHONES)]
    with pytest.raises(Refusal, match="drop one"):
        pairing.offer()
    assert len({*secrets}) == MOST_PHONES
    assert all(pairing.who(secret or "") is not None for secret in secrets)
    now[0] = PHONE_SECONDS
    assert all(pairing.who(secret or "") is None for secret in secrets)
    assert pairing.offer()


def test_the_drawn_code_is_the_code() -> None:
    """Read back by OpenCV's own reader of QR codes."""
    url = "http://192.168.178.120:8418/K7QF2M9XWT4A"
    rows = np.array(modules(url))
    image = np.kron(rows.astype(np.uint8) * 255, np.ones((8, 8), np.uint8))
    assert cv2.QRCodeDetector().detectAndDecode(image)[0] == url
    side, path = svg_path(url)
    assert side == len(rows)
    dark = sum(int(run.split("h")[1].split("v")[0]) for run in path.split("M")[1:])
    assert dark == int((~rows).sum())


def test_only_an_address_of_this_computer_will_do(here: Desk) -> None:
    refused = here.ask("POST", "/api/phones", {"on": True, "address": "203.0.113.9"})
    assert refused.status_code == 409
    assert "is no address of this computer" in refused.get_data(as_text=True)


def test_the_maker_s_side_is_not_on_the_network(door: Desk) -> None:
    """The rooms of the workshop answer to 127.0.0.1 and their own token only; a phone's cookie is nothing there."""
    phone = paired(door)
    answer = door.ask("GET", "/api/state", Host=f"192.168.0.10:{phone.port}", Cookie=phone.cookie)
    assert answer.status_code == 403
