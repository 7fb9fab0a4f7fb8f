"""The picture guard: what must be so between the browser, the system and the projector for a pixel to be a pixel.

What the projector window reports is judged; what only an eye can see is asked, and the answer kept with the bench. Each item
has its words, what to do about it, and the name of a small drawing.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass, replace
from typing import Any, Literal

import numpy as np

from server.services.bench import warmth
from server.services.bench.optics import optics
from server.services.light.windows import WindowSize
from server.store.records import BenchRecord

Asked = Literal["overscan", "keystone", "mirror", "warm-up"]
ASKED: tuple[Asked, ...] = ("overscan", "keystone", "mirror", "warm-up")
"""What only an eye can see."""

NEAR = 0.02
"""A browser steps its zoom by 10 % and more, so a factor this near to 1 is 1."""

FRAME_SHARE = 0.05
"""A window's own frame takes less than this of its width, where the window is not full screen."""

QUARTER = 0.25
"""Systems scale their display by quarters."""

UNZOOM = "Click into the projector window and press Ctrl and 0 (Cmd and 0 on a Mac)."

NO_WINDOW = "No projector window is open."


@dataclass(frozen=True)
class Item:
    """One thing the guard looks at.

    Args:
        name: of the item, and of its drawing.
        title: in two or three words.
        state: good, bad, or ask where nobody has said yet.
        words: what is so.
        remedy: what to do, where it is not good.
        question: what to look at, where an eye must judge.
        light: what the light should show for that.

    """

    name: str
    title: str
    state: Literal["good", "bad", "ask"]
    words: str
    remedy: str | None = None
    question: str | None = None
    light: str | None = None


def items(size: WindowSize | None, bench: BenchRecord | None) -> list[Item]:
    """Return every item, for the window that holds the light and the bench in use."""
    seen = [_full_screen(size), _native(size, bench), _zoom(size), _scaling(size)]
    return seen + ([] if bench is None else [_overscan(bench), _keystone(bench), _mirror(bench), _warm(bench)])


def told(size: WindowSize | None, bench: BenchRecord | None) -> list[dict[str, Any]]:
    """Return every item as pages show it, with what was answered."""
    answers = {} if bench is None else bench.guard
    return [
        asdict(item)
        | {
            "figure": item.name,
            "answer": _answer(answers, item.name),
            "answered_at": answers.get(item.name, {}).get("at"),
        }
        for item in items(size, bench)
    ]


def counts(size: WindowSize | None, bench: BenchRecord | None) -> dict[str, int]:
    """Return how many items are bad, and how many are still to be asked."""
    states = [item.state for item in items(size, bench)]
    return {"bad": states.count("bad"), "ask": states.count("ask")}


def zoom(size: WindowSize) -> float | None:
    """Return the browser's zoom as far as the window's report tells, 1 for none; None where it does not tell.

    A full screen window is as wide as the screen. The screen's width in CSS px times the device px of a CSS px should
    then be the window's width in device px; browsers leave their own zoom out of the screen's width. Any other window is
    held against its own outer width in the same way, which tells only a zoom beyond the width of its frame.
    """
    if size.fullscreen and size.screen is not None:
        return size.ratio * size.screen[0] / size.width * size.scale
    if size.fullscreen or size.outer is None:
        return None
    factor = size.ratio * size.outer / size.width * size.scale
    return factor if abs(factor - 1.0) > FRAME_SHARE else None


def zoomed(size: WindowSize) -> str | None:
    """Return why a zoomed window may show no line, as it is said in the light, or None."""
    factor = zoom(size)
    if factor is None or abs(factor - 1.0) <= NEAR:
        return None
    return f"The browser shows this window at {100 * factor:.0f} %, so its lines would not be true: {_lowered(UNZOOM)}"


def _lowered(sentence: str) -> str:
    return sentence[0].lower() + sentence[1:]


def _full_screen(size: WindowSize | None) -> Item:
    if size is None:
        return Item(
            "full-screen", "Full screen", "ask", NO_WINDOW, "Open the projector window and make it full screen."
        )
    if size.fullscreen:
        return Item("full-screen", "Full screen", "good", "The projector window fills the screen.")
    words = "The projector window does not fill the screen: its frame takes part of the picture."
    return Item("full-screen", "Full screen", "bad", words, "Put the window on the projector and press F in it.")


def _native(size: WindowSize | None, bench: BenchRecord | None) -> Item:
    name, title = "native-size", "The projector's own size"
    if size is None or bench is None:
        return Item(name, title, "ask", NO_WINDOW if size is None else "There is no bench yet.")
    (width, height), shown = bench.picture, f"{size.width} x {size.height}"
    if (size.width, size.height) == (width, height):
        return Item(name, title, "good", f"The picture is {shown} pixels, as {bench.name} was set up.")
    words = f"The picture is {shown} pixels, but {bench.name} belongs to {width} x {height}."
    remedy = (
        f"Set the display to {width} x {height} in the system's display settings, the projector's own size by its data "
        "sheet, and make the window full screen."
    )
    return Item(name, title, "bad", words, remedy)


def _zoom(size: WindowSize | None) -> Item:
    name, title = "zoom", "Browser zoom"
    if size is None:
        return Item(name, title, "ask", NO_WINDOW)
    factor = zoom(size)
    if factor is None:
        return Item(name, title, "ask", _untold(size), UNZOOM)
    if abs(factor - 1.0) <= NEAR:
        return Item(name, title, "good", "The browser does not zoom the page.")
    return Item(name, title, "bad", f"The browser shows the page at {100 * factor:.0f} %.", UNZOOM)


def _scaling(size: WindowSize | None) -> Item:
    name, title = "scaling", "Display scaling"
    if size is None:
        return Item(name, title, "ask", NO_WINDOW)
    zoomed = zoom(size)
    factor = size.ratio * size.scale / (zoomed or 1.0)
    if abs(factor - 1.0) <= NEAR:
        return Item(name, title, "good", "The display is not scaled.")
    if zoomed is None:
        return Item(name, title, "ask", _untold(size))
    if abs(factor / QUARTER - round(factor / QUARTER)) * QUARTER <= NEAR:
        words = f"The display is scaled to {100 * factor:.0f} %. That is fine: the light is drawn in the projector's own pixels."
        return Item(name, title, "good", words)
    words = f"The page is shown at {100 * factor:.0f} %, which is no usual step of a display: the lines may blur."
    remedy = f"{UNZOOM} If that does not help, set the projector's display to 100 % in the system's display settings."
    return Item(name, title, "bad", words, remedy)


def _untold(size: WindowSize) -> str:
    if size.fullscreen:
        return "This window has not told how large its screen is: load it again."
    return "This shows once the projector window is full screen."


def _overscan(bench: BenchRecord) -> Item:
    return _asked(
        bench,
        Item(
            "overscan",
            "Cropped edges",
            "ask",
            "Some projectors crop the picture's edge (overscan), and stretch the rest.",
            "Turn overscan off in the projector's menu, or choose its aspect setting that shows every pixel.",
            "The light shows a frame one pixel wide. Is it there on all four sides?",
            "frame",
        ),
        ("All four sides of the frame show.", "The projector crops the picture, so its pixels are stretched."),
    )


def _keystone(bench: BenchRecord) -> Item:
    return _asked(
        bench,
        Item(
            "keystone",
            "Digital keystone and zoom",
            "ask",
            "Digital keystone or zoom recalculates the picture: thin lines blur, and straight ones get steps.",
            "Set keystone, corner correction and digital zoom to zero in the projector's menu; aim by hand instead.",
            "The light shows five patches of single pixels. Close up, is each a sharp chequerboard, with no grey bands?",
            "pixels",
        ),
        ("Single pixels are sharp everywhere.", "The projector recalculates the picture: patches are grey or banded."),
    )


def _mirror(bench: BenchRecord) -> Item:
    item = Item(
        "mirror",
        "Mirrored picture",
        "ask",
        "A projector set for another mount, or a folding mirror, shows mirror writing.",
        "Choose the mount (ceiling, front) in the projector's menu. With a folding mirror, flip the picture there.",
        "The light shows lettered crosses. Can the letters be read as they stand on the table?",
        "crosses",
    )
    turned = _is_mirrored(bench)
    if turned is None or "mirror" in bench.guard:
        return _asked(
            bench, item, ("The letters can be read.", "The picture is a mirror image: letters in the light too.")
        )
    if not turned:
        return Item("mirror", item.title, "good", "The calibration shows that the picture is not mirrored.")
    words = "The calibration shows a mirror image. Lines lie true, but words in the light read backwards."
    return Item("mirror", item.title, "bad", words, item.remedy, item.question, item.light)


def _is_mirrored(bench: BenchRecord) -> bool | None:
    """Tell whether known marks show a mirror image; None where nothing tells (distances are the same in a mirror)."""
    if bench.calibration is None or bench.calibration["frame"] != "positions":
        return None
    middle, right, below = optics(bench).to_table(np.array([[0.5, 0.5], [0.75, 0.5], [0.5, 0.75]]) * bench.picture)
    across, down = right - middle, below - middle
    return bool(across[0] * down[1] - across[1] * down[0] < 0)


def _warm(bench: BenchRecord) -> Item:
    minutes, name, title = warmth.WARM_MINUTES, "warm-up", "Warm projector"
    now = warmth.told(bench.warm_since, None)
    question = f"Has the projector been on for {minutes:.0f} minutes?"
    if now["since"] is None:
        words = "A projector that was just switched on moves its picture while it warms up."
        return Item(name, title, "ask", words, None, question)
    if now["minutes_left"] > 0:
        words = f"The projector warms up: {now['minutes_left']:.0f} minutes to go."
        return Item(name, title, "bad", words, "Check the bench again when the time is up.", question)
    return Item(name, title, "good", f"The projector has been on for {minutes:.0f} minutes or more.")


def _asked(bench: BenchRecord, item: Item, told: tuple[str, str]) -> Item:
    """Return an item by what was answered: yes is good, no is bad."""
    answer = _answer(bench.guard, item.name)
    if answer is None:
        return item
    good, bad = told
    if answer == "yes":
        return replace(item, state="good", words=good, remedy=None)
    return replace(item, state="bad", words=bad)


def _answer(answers: Any, name: str) -> Any:
    return answers.get(name, {}).get("answer")
