"""Looks at a projector window after every frame that its screen shows: what is lit, how brightly, in which size."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from playwright.sync_api import Page

WATCH = """
(() => {
  const seen = [];
  window.watched = seen;
  const channel = new MessageChannel();
  const raf = window.requestAnimationFrame.bind(window);
  channel.port1.onmessage = () => {
    const canvas = document.querySelector("#picture");
    if (!canvas || !canvas.width || !document.body.dataset.picture) return;
    const { width, height } = canvas;
    const pixels = new Uint32Array(
      canvas.getContext("2d").getImageData(0, 0, width, height).data.buffer);
    let lit = 0, sum = 0;
    for (let i = 0; i < pixels.length; i += 1)
      if (pixels[i] !== 0xff000000) { lit += 1; sum = (sum + i * (lit % 97)) % 1000003; }
    const shown = (element) => element !== null && !element.hidden && Number(getComputedStyle(element).opacity) > 0.9;
    const box = canvas.getBoundingClientRect();
    seen.push({
      at: Date.now(), lit, picture: `${lit} ${sum}`, opacity: Number(getComputedStyle(canvas).opacity), width, height,
      box: [Math.round(box.width * devicePixelRatio), Math.round(box.height * devicePixelRatio)], ratio: devicePixelRatio,
      said: shown(document.querySelector("#lost")) || shown(document.querySelector("#asleep")),
    });
  };
  const look = () => { channel.port2.postMessage(0); raf(look); };
  raf(look);
})();
"""
"""A message posted in an animation frame is heard after that frame was painted: what is looked at is what was shown."""


@dataclass(frozen=True)
class Seen:
    """What stood on the screen after one frame; ``at`` in ms of the wall clock, ``picture`` tells two drawings apart."""

    at: float
    lit: int
    picture: str
    opacity: float
    size: tuple[int, int]
    box: tuple[int, int]
    ratio: float
    said: bool

    @property
    def bright(self) -> bool:
        """Tell whether lines show undimmed."""
        return self.lit > 0 and self.opacity > 0.3


def watched(page: Page) -> list[Seen]:
    """Return every frame since this was asked last, or since the page was loaded."""
    rows: list[dict[str, Any]] = page.evaluate("window.watched.splice(0)")
    return [
        Seen(
            row["at"],
            row["lit"],
            row["picture"],
            row["opacity"],
            (row["width"], row["height"]),
            (row["box"][0], row["box"][1]),
            row["ratio"],
            row["said"],
        )
        for row in rows
    ]
