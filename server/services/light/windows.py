"""Projector windows: which one holds the light, and how large each one is."""

from __future__ import annotations

import threading
from dataclasses import dataclass

from server.errors import Refusal

KEPT = 16
"""Sizes kept of windows that have reported one but are not connected."""


@dataclass(frozen=True)
class WindowSize:
    """What a window reports: device pixels, device pixels a CSS pixel, and whether it fills the screen.

    ``screen`` is the screen's width and height in CSS px where the window said so, ``scale`` the pinch zoom, 1 for none,
    ``outer`` the width of the window with its frame, in the screen's px.
    """

    width: int
    height: int
    ratio: float
    fullscreen: bool
    screen: tuple[int, int] | None = None
    scale: float = 1.0
    outer: int | None = None


class Windows:
    """The projector windows that are connected. The first one holds the light; another one waits or takes over."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._connected: dict[str, int] = {}
        self._sizes: dict[str, WindowSize] = {}
        self._holder: str | None = None

    def arrive(self, window: str) -> None:
        """Count a stream of this window in; it holds the light if no other does."""
        with self._lock:
            self._connected[window] = self._connected.get(window, 0) + 1
            self._holder = self._holder or window

    def leave(self, window: str) -> None:
        """Count a stream out; with the last one the light goes to the window that has waited longest."""
        with self._lock:
            self._connected[window] -= 1
            if self._connected[window] == 0:
                del self._connected[window]
                if self._holder == window:
                    self._holder = next(iter(self._connected), None)

    def report(self, window: str, size: WindowSize) -> bool:
        """Note a window's size, which may come just before its stream does; tell whether it holds the light."""
        with self._lock:
            self._sizes.pop(window, None)
            self._sizes[window] = size
            idle = [name for name in self._sizes if name not in self._connected]
            for name in idle[:-KEPT]:
                del self._sizes[name]
            return self._holder == window

    def take(self, window: str) -> None:
        """Give this window the light; refused (409) for a window that has no stream."""
        with self._lock:
            if window not in self._connected:
                raise Refusal(
                    "This projector window is not connected: wait until it shows the light.", field="window", status=409
                )
            self._holder = window

    def holds(self, window: str) -> bool:
        """Tell whether this window has the light."""
        return self._holder == window

    @property
    def open(self) -> bool:
        """Tell whether any window has the light."""
        return self._holder is not None

    def size(self) -> WindowSize | None:
        """Return the size of the window that has the light, once it has reported it."""
        with self._lock:
            return self._sizes.get(self._holder) if self._holder else None

    def size_of(self, window: str) -> WindowSize | None:
        """Return the size that this window reported last, or None."""
        with self._lock:
            return self._sizes.get(window)
