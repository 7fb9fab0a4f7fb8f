"""Frames: what a projector window shows, in device pixels with pixel edges on whole numbers."""

from __future__ import annotations

import logging
from dataclasses import dataclass, replace
from typing import Any

from server.errors import Refusal
from server.output.projected import Picture, clipped, picture_json
from server.services.chequer import Patch, patches
from server.services.pictures import MODES
from server.services.stage import Stage
from server.services.windows import WindowSize
from server.store.records import BenchRecord

OUR_BUG = "Something in the program went wrong, so nothing is shown: choose another thing to show and report this."

NOTHING = Picture()

UNMEASURED = "This window has not said yet how large it is."

_log = logging.getLogger(__name__)


@dataclass(frozen=True)
class Frame:
    """One picture of the light.

    Args:
        mode: what the light was asked to show.
        bench: the bench's number.
        size: width and height of the picture that is meant, px; None where there is no bench.
        picture: the lines and words, px.
        sentence: shown in place of everything else; then there are no strokes.
        waiting: whether another window has the light.
        version: counts up with each change.
        chequer: patches of single pixels, painted exactly pixel by pixel.

    """

    mode: str
    bench: int | None = None
    size: tuple[int, int] | None = None
    picture: Picture = NOTHING
    sentence: str | None = None
    waiting: bool = False
    version: int = 0
    chequer: tuple[Patch, ...] = ()

    def to_json(self) -> dict[str, Any]:
        """Return the frame as the windows receive it."""
        head = {
            "version": self.version,
            "mode": self.mode,
            "bench": self.bench,
            "picture": None if self.size is None else list(self.size),
            "sentence": self.sentence,
            "waiting": self.waiting,
            "chequer": [list(patch) for patch in self.chequer],
        }
        return head | picture_json(self.picture)


def build(stage: Stage) -> Frame:
    """Return the frame of a stage.

    Raises:
        Refusal: it cannot be drawn: not calibrated, outside the picture, or above the lens.

    """
    frame = _dark(stage)
    if stage.bench is None or frame.mode == "dark":
        return frame
    if frame.mode == "pixels":
        return replace(frame, chequer=tuple(patches(stage.bench.record.picture)))
    return replace(frame, picture=clipped(MODES[frame.mode](stage, stage.bench), stage.bench.record.picture))


def build_or_say(stage: Stage) -> Frame:
    """Return the frame of a stage, or one that says in the light why there is none."""
    try:
        return build(stage)
    except Refusal as refusal:
        return replace(_dark(stage), sentence=refusal.sentence)
    except Exception:
        _log.exception("the frame could not be built")
        return replace(_dark(stage), sentence=OUR_BUG)


def _dark(stage: Stage) -> Frame:
    bench = stage.bench
    return Frame(stage.shown.mode, bench.record.id if bench else None, bench.record.picture if bench else None)


def instead(frame: Frame, sentence: str) -> Frame:
    """Return the frame with a sentence in place of its lines."""
    return replace(frame, picture=NOTHING, chequer=(), sentence=sentence)


def waiting(frame: Frame) -> Frame:
    """Return what a second window shows."""
    sentence = "Another projector window has the light: close that one, or use this window instead."
    return replace(instead(frame, sentence), waiting=True)


def misfit(size: WindowSize, bench: BenchRecord) -> str:
    """Return the sentence for a window whose size is not that of the bench's picture."""
    width, height = bench.picture
    todo = "set the projector to that size" if size.fullscreen else "put it on the projector and make it full screen"
    return (
        f"This window is {size.width} x {size.height} pixels, but {bench.name} belongs to a picture of "
        f"{width} x {height}: {todo}."
    )
