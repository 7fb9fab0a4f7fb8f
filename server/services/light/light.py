"""The light as it is now: what it shows, on which window, and the frame it shows there.

A drag only changes what is held here; the database hears of it when the drag has ended and the layout is saved.
"""

from __future__ import annotations

import json
import secrets
import threading
from dataclasses import dataclass, replace

from server.errors import Refusal
from server.services.bench import guard
from server.services.light import frames
from server.services.light.frames import Frame
from server.services.light.shown import Shown
from server.services.light.stage import Nudges, Stage, darkened, load
from server.services.light.windows import Windows, WindowSize
from server.services.streams import Streams
from server.services.table.alignment_over import Over
from server.store import settings as remembered
from server.store.database import Database
from server.store.records import Lie

KEPT_AS = "light"
"""The name under which the store keeps what the light shows."""


@dataclass(frozen=True)
class _Drawn:
    """A frame and its JSON, made once for all windows."""

    version: int
    frame: Frame
    text: str


class Light:
    """The one truth about the light. Every method may be called from any thread."""

    def __init__(self, database: Database, streams: Streams) -> None:
        self._database, self._streams = database, streams
        self.windows = Windows()
        self._lock = threading.RLock()
        self._changing = threading.Lock()
        self._version = 0
        self._drawn: _Drawn | None = None
        self._run = secrets.token_hex(8)
        self._black = False
        self._sign: str | None = None
        self._stage = self._restored()

    def show(self, shown: Shown, nudges: Nudges | None = None) -> None:
        """Show this, now and after a restart; ``nudges`` where witness crosses stand, None as they stood before.

        Raises:
            Refusal: the bench or layout is not there, or what is asked for cannot be drawn: the light stays as it was.

        """
        with self._changing:
            stage = load(self._database, self._on_bench(shown))
            stage = stage.with_nudges_of(self._stage) if nudges is None else stage.nudged(nudges)
            frames.build(stage)
            with self._database.writing() as session:
                remembered.remember(session, KEPT_AS, stage.shown.to_json())
            self._set(stage)
        self._streams.touch("state")

    def use(self, bench: int) -> None:
        """Work on this bench from now on: the light goes dark until it is told what to show there."""
        self.show(Shown(bench=bench))

    def refresh(self) -> None:
        """Read again what is shown, after something was saved; a layout that was saved lies as it was saved."""
        with self._changing:
            stage = self._again()
            with self._lock:
                self._set(stage.with_moves_of(self._stage).with_nudges_of(self._stage).with_over_of(self._stage))
        self._streams.touch("state")

    def _again(self) -> Stage:
        """Return what is shown, read anew; darkness that says why, now and after a restart, where it is no longer there."""
        before = self._stage
        try:
            stage = load(self._database, before.shown)
        except Refusal as refusal:
            if refusal.status != 404:
                raise
            stage = darkened(self._database, before.shown, refusal.sentence)
            with self._database.writing() as session:
                remembered.remember(session, KEPT_AS, stage.shown.to_json())
            return stage
        return replace(stage, sentence=before.sentence) if stage.shown == before.shown else stage

    def settle(self) -> None:
        """Read again what is shown, and let witness crosses go back to where they belong."""
        self._nudge_back()
        self.refresh()

    def nudge(self, nudges: Nudges, chosen: str | None = None) -> bool:
        """Move witness crosses (px) in the light, without saving; return whether the light shows witness crosses.

        Raises:
            Refusal: the bench in the light has no such mark (404), or the place is outside the picture.

        """
        with self._lock:
            if self._stage.shown.mode != "witness":
                return False
            stage = self._stage.nudged(nudges)
            self._set(stage if chosen is None else stage.choosing(chosen))
        return True

    def _nudge_back(self) -> None:
        with self._lock:
            self._stage = replace(self._stage, nudges={})

    def lay_over(self, over: Over | None) -> bool:
        """Put something of the hand's over the layout in the light, or take it away; return whether the light shows one."""
        with self._lock:
            if self._stage.laid is None:
                return False
            self._set(replace(self._stage, over=over))
        return True

    def move(self, layout: int, piece: str, lie: Lie) -> bool:
        """Move a piece in the light, without saving; return whether the light shows that layout.

        Raises:
            Refusal: the layout in the light has no such piece.

        """
        with self._lock:
            if self._stage.shown.mode != "layout" or self._stage.shown.layout != layout:
                return False
            self._set(self._stage.moved(piece, lie))
        return True

    def black_out(self, on: bool) -> None:
        """Make the light black at once whatever it shows, or let it come back as it is by then. Not kept over a restart."""
        with self._lock:
            self._black = on
            self._version += 1
        self._streams.touch("frame", "landing", "state")

    def put_up(self, sign: str | None) -> None:
        """Show a phone the way, in place of everything else, or take that sign down again. Not kept over a restart."""
        with self._lock:
            if sign == self._sign:
                return
            self._sign = sign
            self._version += 1
        self._streams.touch("frame", "landing", "state")

    @property
    def shown(self) -> Shown:
        """Return what the light is asked to show."""
        return self._stage.shown

    @property
    def stage(self) -> Stage:
        """Return everything that the present frame is made of."""
        return self._stage

    def frame(self) -> Frame:
        """Return the present frame, as a window of the right size shows it."""
        return self._draw().frame

    def scene(self) -> tuple[Stage, Frame]:
        """Return what the present frame is made of together with that frame: the two belong to each other."""
        with self._lock:
            return self._stage, self._draw().frame

    def frame_text(self, window: str) -> str:
        """Return the JSON of the frame for one window: the frame, or the sentence that stands in its place.

        It says for which size of the window it was made, and in which run of the program: a window draws it only while it
        has that size, so that no frame on its way can be drawn wrong.
        """
        size = self.windows.size_of(window)
        made_for = None if size is None else [size.width, size.height, size.ratio]
        address = json.dumps({"run": self._run, "made_for": made_for}, separators=(",", ":"))
        return f"{self._text(window, size)[:-1]},{address[1:]}"

    def _text(self, window: str, size: WindowSize | None) -> str:
        drawn = self._draw()
        if not self.windows.holds(window):
            return _dumps(frames.waiting(drawn.frame))
        if drawn.frame.black:
            return drawn.text
        sentence = frames.UNMEASURED if size is None else self._misfit_of(size)
        return drawn.text if sentence is None else _dumps(frames.instead(drawn.frame, sentence))

    def misfit(self) -> str | None:
        """Return why the present window cannot show the present bench's picture, or None."""
        size = self.windows.size()
        return None if size is None else self._misfit_of(size)

    def _misfit_of(self, size: WindowSize) -> str | None:
        """Return why a window of this size cannot show the present bench's picture, or None."""
        bench = self._stage.bench
        if bench is None:
            return None
        if (size.width, size.height) == bench.record.picture:
            return guard.zoomed(size)
        return frames.misfit(size, bench.record)

    def arrive(self, window: str) -> None:
        """Count a projector window in."""
        self.windows.arrive(window)
        self._streams.touch("frame", "state")

    def leave(self, window: str) -> None:
        """Count a projector window out."""
        self.windows.leave(window)
        self._streams.touch("frame", "state")

    def report(self, window: str, size: WindowSize) -> bool:
        """Note a projector window's size; return whether it holds the light."""
        holds = self.windows.report(window, size)
        self._streams.touch("frame", "state")
        return holds

    def take(self, window: str) -> None:
        """Let another projector window have the light."""
        self.windows.take(window)
        self._streams.touch("frame", "state")

    def _on_bench(self, shown: Shown) -> Shown:
        """Return what is asked for; darkness leaves the bench in use as it is, unless it names another."""
        in_use = self._stage.shown.bench
        return replace(shown, bench=in_use) if shown.mode == "dark" and shown.bench is None else shown

    def _set(self, stage: Stage) -> None:
        with self._lock:
            self._stage = stage
            self._version += 1
        self._streams.touch("frame", "landing")

    def _draw(self) -> _Drawn:
        with self._lock:
            if self._drawn is None or self._drawn.version != self._version:
                built = frames.build_or_say(self._stage)
                built = built if self._sign is None else frames.signed(built, self._stage, self._sign)
                frame = replace(frames.blacked_out(built) if self._black else built, version=self._version)
                self._drawn = _Drawn(self._version, frame, _dumps(frame))
            return self._drawn

    def _restored(self) -> Stage:
        """Return the stage as it was kept; darkness where that cannot be read, or is no longer there."""
        try:
            with self._database.reading() as session:
                kept = remembered.recall(session, KEPT_AS)
            return load(self._database, Shown.from_json(kept))
        except Refusal:
            return load(self._database, Shown())


def _dumps(frame: Frame) -> str:
    return json.dumps(frame.to_json(), allow_nan=False, separators=(",", ":"))
