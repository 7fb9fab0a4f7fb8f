"""Pairing a phone: codes that are good once and not for long, phones that hold a secret, and an end to guessing.

Nothing here is kept over a restart: a server that starts anew knows no phone.
"""

from __future__ import annotations

import hashlib
import hmac
import secrets
import threading
from collections.abc import Callable
from dataclasses import dataclass, replace
from time import monotonic

from server.errors import Refusal

ALPHABET = "ABCDEFGHJKLMNPQRSTUVWXYZ23456789"
"""Letters and figures that are not mistaken for each other; 32, so that each carries five bits."""

CODE_LENGTH = 12
"""Sixty bits: at the wrong codes that are allowed, a guess is right less than once in 10^16."""

CODE_SECONDS = 120.0
"""How long a code is good."""

WRONG_CODES = 20
"""Wrong codes after which the present one is withdrawn and the maker must ask for another."""

MOST_PHONES = 4
"""Phones at a time: a workshop, not an office."""

PHONE_SECONDS = 12 * 3600.0
"""How long a phone stays paired: a working day."""

FULL = "{count} phones are paired: drop one before another comes."


@dataclass(frozen=True)
class Phone:
    """A paired phone: its number, the digest of its secret, when it was paired and last heard, and the digits of its address."""

    id: int
    digest: bytes
    since: float
    heard: float
    address: str


class Pairing:
    """Codes and phones. Every method may be called from any thread.

    Args:
        clock: seconds that only go on; tests give their own.

    """

    def __init__(self, clock: Callable[[], float] = monotonic) -> None:
        self._clock, self._lock = clock, threading.Lock()
        self._code: bytes | None = None
        self._until, self._wrong, self._count = 0.0, 0, 0
        self._phones: dict[int, Phone] = {}

    def offer(self) -> str:
        """Return a new code; the one before is good no more.

        Raises:
            Refusal: as many phones as may be are paired (409).

        """
        with self._lock:
            self._forget_old()
            if len(self._phones) >= MOST_PHONES:
                raise Refusal(FULL.format(count=MOST_PHONES), field="phones", status=409)
            code = "".join(secrets.choice(ALPHABET) for _ in range(CODE_LENGTH))
            self._code, self._until, self._wrong = _digest(code), self._clock() + CODE_SECONDS, 0
            return code

    def withdraw(self) -> None:
        """Make the present code good no more."""
        with self._lock:
            self._code = None

    def seconds_left(self) -> float:
        """Return how long the present code is still good, 0 when there is none."""
        with self._lock:
            return max(0.0, self._until - self._clock()) if self._code is not None else 0.0

    def is_good(self, code: str) -> bool:
        """Tell whether a code is the present one; a wrong one counts against it."""
        with self._lock:
            return self._matches(code)

    def claim(self, code: str, address: str) -> str | None:
        """Return the secret of a newly paired phone, None for a code that is not good; the code is used up."""
        with self._lock:
            self._forget_old()
            if not self._matches(code) or len(self._phones) >= MOST_PHONES:
                return None
            self._code, self._count = None, self._count + 1
            secret, now = secrets.token_urlsafe(32), self._clock()
            self._phones[self._count] = Phone(self._count, _digest(secret), now, now, address)
            return secret

    def who(self, secret: str) -> Phone | None:
        """Return the phone that holds a secret, and note that it was heard; None for a stranger."""
        digest = _digest(secret)
        with self._lock:
            self._forget_old()
            found = next((p for p in self._phones.values() if hmac.compare_digest(p.digest, digest)), None)
            if found is not None:
                self._phones[found.id] = replace(found, heard=self._clock())
            return found

    def phones(self) -> tuple[Phone, ...]:
        """Return the paired phones, the last paired last."""
        with self._lock:
            self._forget_old()
            return tuple(self._phones.values())

    def ago(self, moment: float) -> float:
        """Return how many seconds ago a moment of this clock was."""
        return self._clock() - moment

    def drop(self, number: int) -> None:
        """Forget one phone; refused (404) when there is none of that number."""
        with self._lock:
            if self._phones.pop(number, None) is None:
                raise Refusal(f"There is no phone {number}: it was dropped already.", field="phone", status=404)

    def drop_all(self) -> None:
        """Forget every phone and the code."""
        with self._lock:
            self._phones, self._code = {}, None

    def _matches(self, code: str) -> bool:
        if self._code is None or self._clock() >= self._until:
            self._code = None
            return False
        if hmac.compare_digest(self._code, _digest(code)):
            return True
        self._wrong += 1
        if self._wrong >= WRONG_CODES:
            self._code = None
        return False

    def _forget_old(self) -> None:
        self._phones = {n: p for n, p in self._phones.items() if self._clock() - p.since < PHONE_SECONDS}


def _digest(secret: str) -> bytes:
    return hashlib.sha256(secret.encode("utf-8", "replace")).digest()
