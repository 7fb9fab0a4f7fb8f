"""Phones in the workshop: turned on and off, paired and dropped, and the few things that one may do.

Off until the maker turns it on, and off again when the program ends: only while it is on does anything listen on the
workshop's own network.
"""

from __future__ import annotations

import ipaddress
import socket
import threading
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Protocol

from server.errors import Refusal
from server.services.light import phone_sign
from server.services.light.light import Light
from server.services.state import State
from server.services.streams import Streams
from server.services.table.layouts import LayoutChange, Layouts
from server.services.work.pairing import CODE_SECONDS, Pairing
from server.services.work.work import Work
from server.store.records import Lie

OFF = "Phones are not let in: turn that on first."
NO_NETWORK = "This computer has no address on a network of its own: connect it to the workshop's network first."
FOREIGN = "{address} is no address of this computer on a network of its own: choose one of {known}."
NO_WORK = "Nothing is being made: start the work on the computer."
NUDGE_MM, NUDGE_DEGREES = 20.0, 10.0
"""The farthest that one press on a phone may move or turn a piece."""


class Listening(Protocol):
    """An open door on the network."""

    @property
    def port(self) -> int:
        """The port that is open."""

    def close(self) -> None:
        """Shut it, and hang up on whoever is there."""


Opener = Callable[["Phones", str], Listening]
"""Opens the door for phones at an address of this computer."""


TO_THE_RIGHT: Mapping[str, tuple[int, int]] = {"bottom": (1, 0), "left": (0, 1), "top": (-1, 0), "right": (0, -1)}
"""What is to the right, on the table, of a maker who stands at that side of it."""


@dataclass(frozen=True)
class Nudge:
    """A small move of a piece, as the maker sees it: mm to the right and towards the maker, degrees clockwise."""

    dx: float = 0.0
    dy: float = 0.0
    turn: float = 0.0

    def on_table(self, side: str) -> tuple[float, float]:
        """Return the move in table mm, for a maker who stands at that side of the table."""
        x, y = TO_THE_RIGHT[side]
        return self.dx * x - self.dy * y, self.dx * y + self.dy * x


class Phones:
    """The maker's verbs about phones, and what a phone may do. Every method may be called from any thread."""

    def __init__(self, work: Work, layouts: Layouts, state: State, light: Light, streams: Streams) -> None:
        self._work, self._layouts, self._state, self._light, self._streams = work, layouts, state, light, streams
        self.pairing = Pairing()
        self._lock = threading.RLock()
        self._opener: Opener | None = None
        self._open: Listening | None = None
        self._address: str | None = None
        self._end = threading.Timer(0.0, self._look)

    def attach(self, opener: Opener) -> None:
        """Say how the door is opened; without it phones cannot be let in."""
        self._opener = opener

    def read(self) -> dict[str, Any]:
        """Return whether phones are let in, where, which are paired, and how long the present code is good."""
        return {
            "on": self._open is not None,
            "address": self._base(),
            "addresses": own_addresses(),
            "code_seconds": round(self.pairing.seconds_left()),
            "phones": [
                {
                    "id": phone.id,
                    "address": phone.address,
                    "paired_seconds": round(self.pairing.ago(phone.since)),
                    "heard_seconds": round(self.pairing.ago(phone.heard)),
                }
                for phone in self.pairing.phones()
            ],
        }

    def turn_on(self, address: str | None = None) -> dict[str, Any]:
        """Open the door at one of this computer's addresses on a private network (the first, where none is named).

        Raises:
            Refusal: there is no such address (409), or the port cannot be had (409).

        """
        with self._lock:
            if self._open is None:
                chosen = _chosen(address)
                if self._opener is None:
                    raise Refusal(OFF, status=409)
                self._open, self._address = self._opener(self, chosen), chosen
        self._streams.touch("state")
        return self.read()

    def turn_off(self) -> dict[str, Any]:
        """Shut the door, forget every phone, and take the sign out of the light."""
        with self._lock:
            door, self._open, self._address = self._open, None, None
            self.pairing.drop_all()
            self._light.put_up(None)
        if door is not None:
            door.close()
        self._streams.touch("state")
        return self.read()

    def offer(self, *, in_light: bool) -> dict[str, Any]:
        """Return a new code as an address and as a drawing, and show it in the light where asked for.

        Raises:
            Refusal: phones are not let in, or as many as may be are paired (409).

        """
        with self._lock:
            base = self._base()
            if base is None:
                raise Refusal(OFF, status=409)
            url = base + self.pairing.offer()
            self._light.put_up(url if in_light else None)
            self._look_when_it_ends()
        side, path = phone_sign.svg_path(url)
        return self.read() | {"url": url, "side": side, "path": path}

    def withdraw(self) -> dict[str, Any]:
        """Make the present code good no more, and take it out of the light."""
        self.pairing.withdraw()
        self._light.put_up(None)
        return self.read()

    def drop(self, number: int) -> dict[str, Any]:
        """Forget a phone; refused (404) when there is none of that number."""
        self.pairing.drop(number)
        self._streams.touch("state")
        return self.read()

    def claim(self, code: str, address: str) -> str | None:
        """Return the secret for a phone that knows the present code, else None."""
        secret = self.pairing.claim(code, address)
        self._look()
        if secret is not None:
            self._streams.touch("state")
        return secret

    def is_good(self, code: str) -> bool:
        """Tell whether a code is the present one; a wrong one counts against it, and may be its end."""
        good = self.pairing.is_good(code)
        self._look()
        return good

    def card(self) -> dict[str, Any]:
        """Return what a phone shows: the present step in words, how far the work is, and whether the light is black."""
        told = self._state.read()
        light, job = told["light"], told["job"]
        work = None if job is None else self._work.get(job["id"])
        return {"job": work and _on_phone(work), "black": light["blackout"], "words": None if work else NO_WORK}

    def go(self, by: int, revision: int) -> dict[str, Any]:
        """Go on or back in the work that is in hand; refused (409) without any, else as ``Work.go``."""
        self._work.go(self._job(), by, revision)
        return self.card()

    def nudge(self, nudge: Nudge) -> dict[str, Any]:
        """Move the piece of the present step a little, and save it.

        Raises:
            Refusal: nothing is being made (409).

        """
        job = self._work.get(self._job())
        if job.get("step") is None:
            raise Refusal(NO_WORK, status=409)
        layout, piece = self._layouts.get(job["layout"]), job["step"]["piece"]
        lie = layout["placements"][piece]
        dx, dy = nudge.on_table(job["side"])
        moved = Lie(lie["x"] + dx, lie["y"] + dy, (lie["turn"] + nudge.turn) % 360.0, lie["mirror"])
        self._layouts.change(job["layout"], LayoutChange(placements={piece: moved}))
        return self.card()

    def black_out(self, on: bool) -> dict[str, Any]:
        """Make the light black, or let it come back."""
        self._light.black_out(on)
        return self.card()

    def _look(self) -> None:
        """Take the sign out of the light when its code is good no more: it would stand in place of the work."""
        if self.pairing.seconds_left() <= 0:
            self._light.put_up(None)

    def _look_when_it_ends(self) -> None:
        self._end.cancel()
        self._end = threading.Timer(CODE_SECONDS, self._look)
        self._end.daemon = True
        self._end.start()

    def _job(self) -> int:
        job = self._state.read()["job"]
        if job is None:
            raise Refusal(NO_WORK, status=409)
        return int(job["id"])

    def _base(self) -> str | None:
        door, address = self._open, self._address
        return None if door is None or address is None else f"http://{address}:{door.port}/"


def own_addresses() -> list[str]:
    """Return this computer's IPv4 addresses on private networks, the one towards other networks first; nothing is sent."""
    return [address for address in dict.fromkeys([*_outward(), *_named()]) if _is_private(address)]


def _outward() -> list[str]:
    """Return the address that the system would use to reach other networks: a datagram socket is connected, nothing sent."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # a documentation address (RFC 5737)
        except OSError:
            return []
        return [str(probe.getsockname()[0])]


def _named() -> list[str]:
    try:
        found = socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET, socket.SOCK_STREAM)
    except OSError:
        return []
    return [str(entry[4][0]) for entry in found]


def _is_private(address: str) -> bool:
    """Tell whether an address is one of a private network (RFC 1918), and neither this computer itself nor self-assigned."""
    found = ipaddress.ip_address(address)
    return found.is_private and not (found.is_loopback or found.is_link_local or found.is_unspecified)


def _chosen(address: str | None) -> str:
    known = own_addresses()
    if not known:
        raise Refusal(NO_NETWORK, field="address", status=409)
    if address is not None and address not in known:
        raise Refusal(FOREIGN.format(address=address[:40], known=", ".join(known)), field="address", status=409)
    return address or known[0]


def _on_phone(work: dict[str, Any]) -> dict[str, Any]:
    """Return of a job what a phone may know: no names of other things, no numbers but its own revision."""
    step, strike = work.get("step"), work.get("strike")
    return {
        "revision": work["revision"],
        "name": work["name"],
        "where": work.get("where"),
        "progress": work["progress"],
        "done": work["done"],
        "gone": work.get("gone"),
        "title": work.get("title"),
        "words": step and step["words"],
        "caution": step and step["caution"],
        "tools": step and step["tools"],
        "piece": step and step["piece_title"],
        "strike": strike and strike["said"],
        "next": work.get("next"),
    }
