"""Frames: what a projector window shows, in device pixels with pixel edges on whole numbers."""

from __future__ import annotations

import logging
from dataclasses import dataclass, replace
from typing import Any

from server.errors import Refusal
from server.output.projected import Picture, clipped, picture_json
from server.services.light import phone_sign
from server.services.light.chequer import Patch, patches
from server.services.light.pictures import MODES
from server.services.light.stage import Stage
from server.services.light.windows import WindowSize
from server.services.table import alignment_pictures
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
        hand: what a hand has in the light over a layout, None when nothing.
        blink: the kind of line that blinks, or None.
        runner: whether a dot of light runs along the lines that are cut.
        black: whether the light is blacked out for now; then nothing is shown, no sentence either.
        job: number and revision of the job that leads through the work, None without one: a press in the window goes on from it.

    """

    mode: str
    bench: int | None = None
    size: tuple[int, int] | None = None
    picture: Picture = NOTHING
    sentence: str | None = None
    waiting: bool = False
    version: int = 0
    chequer: tuple[Patch, ...] = ()
    hand: dict[str, Any] | None = None
    blink: str | None = None
    runner: bool = False
    black: bool = False
    job: tuple[int, int] | None = None

    def told(self) -> dict[str, Any]:
        """Return what the pages are told of it."""
        return {"sentence": self.sentence, "hand": self.hand, "blackout": self.black}

    def to_json(self) -> dict[str, Any]:
        """Return the frame as the windows receive it."""
        head = {
            "version": self.version,
            "mode": self.mode,
            "bench": self.bench,
            "picture": None if self.size is None else list(self.size),
            "sentence": self.sentence,
            "waiting": self.waiting,
            "hand": self.hand,
            "chequer": [list(patch) for patch in self.chequer],
            "blink": self.blink,
            "runner": self.runner,
            "black": self.black,
            "job": None if self.job is None else {"id": self.job[0], "revision": self.job[1]},
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
    picture, seen = MODES[frame.mode](stage, stage.bench), stage.seeing
    frame = replace(frame, blink=seen.blink, runner=seen.runner)
    if stage.over is not None:
        picture = alignment_pictures.over(stage, stage.bench, picture)
        frame = replace(frame, hand=stage.over.told())
    return replace(frame, picture=clipped(picture, stage.bench.record.picture))


def blacked_out(frame: Frame) -> Frame:
    """Return the frame with nothing in it."""
    return replace(frame, picture=NOTHING, chequer=(), sentence=None, black=True)


def signed(frame: Frame, stage: Stage, sign: str) -> Frame:
    """Return the frame with the sign for phones in place of all else; without a bench there is no picture to put it in."""
    if stage.bench is None:
        return frame
    return replace(instead(frame, ""), sentence=None, picture=phone_sign.picture(sign, stage.bench.optics))


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
    record = bench.record if bench else None
    job = stage.work.job if stage.work else None
    return Frame(
        stage.shown.mode,
        record.id if record else None,
        record.picture if record else None,
        sentence=stage.sentence,
        job=None if job is None else (job.id, job.revision),
    )


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
