"""The five-minute walk of README.md: what a maker does, each thing once, as a sentence and the hands that do what it says.

Whatever a sentence names or reads is taken from the page by the hand that uses it, so words and pages cannot part.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from playwright.sync_api import Browser, Locator, Page, expect

from server.units import length
from tests.web.process import ROOT

README = ROOT / "README.md"
FOLDER = ROOT / "static" / "pictures"
BEGIN, END = "<!-- walk -->", "<!-- /walk -->"
SCREEN, PICTURE = (1280, 800), (1920, 1080)
PATIENCE_MS = 8000

Hand = Callable[["Walker"], str]
"""Does one thing on the page; returns the words of the page that the sentence needs."""


@dataclass
class Walker:
    """A maker with a page, and a projector window that fills the projector's picture."""

    page: Page
    light: Page

    def press(self, selector: str) -> str:
        """Press what is there; return what is written on it."""
        thing = self.page.locator(selector).first
        expect(thing).to_be_enabled(timeout=PATIENCE_MS)
        expect(thing).to_have_text(re.compile(r"\S"), timeout=PATIENCE_MS)
        words = written(thing)
        thing.click()
        return f"**{words}**"


@dataclass(frozen=True)
class Shot:
    """A picture taken at this place of the walk: its file, and its caption, empty where README shows it elsewhere.

    It shows the page (or the part of it that ``part`` selects), with ``beside`` a second page at that address, on which
    ``press`` is pressed first, or with ``light`` what is lit in the projector window.
    """

    name: str
    caption: str = ""
    part: str | None = None
    beside: str | None = None
    press: str | None = None
    light: bool = False


@dataclass(frozen=True)
class Station:
    """One number of the walk: a sentence with a place ``{}`` for what each hand returns."""

    sentence: str
    hands: tuple[Hand, ...]
    shot: Shot | None = None

    def walk(self, walker: Walker) -> str:
        """Do it; return the sentence. A hand without a place, or a place without a hand, is a mistake (ValueError)."""
        if self.sentence.count("{}") != len(self.hands):
            raise ValueError(f"{len(self.hands)} hands do what this says: {self.sentence}")
        return self.sentence.format(*[hand(walker) for hand in self.hands])


def written(thing: Locator) -> str:
    """Return what a maker reads on a button, a link or a choice, without a key that stands beside it."""
    return re.sub(r"\s+", " ", thing.inner_text()).strip()


def press(selector: str) -> Hand:
    """Return the hand that presses a button."""
    return lambda walker: walker.press(selector)


def go(selector: str, where: str) -> Hand:
    """Return the hand that presses a way to another page, and waits until that is there."""

    def going(walker: Walker) -> str:
        words = walker.press(selector)
        walker.page.wait_for_url(where, timeout=PATIENCE_MS)
        return words

    return going


def practise(selector: str) -> Hand:
    """Return the hand that lets the practice hand take sightings, and waits until they are adjusted."""

    def sighting(walker: Walker) -> str:
        with walker.page.expect_response("**/api/practice/sight") as answer:
            words = walker.press(selector)
        assert answer.value.ok
        return words

    return sighting


def millimetres(line: str) -> Hand:
    """Return the hand that reads one of the true lengths of the check figure, to the millimetre."""

    def reading(walker: Walker) -> str:
        row = walker.page.locator("#readings tr").filter(has=walker.page.get_by_role("rowheader", name=line))
        return f"{float(written(row.locator('td')).removesuffix(' mm')):.0f} mm"

    return reading


def read_rule(walker: Walker) -> str:
    """Let the practice rule be read; return what stands on the button."""
    words = walker.press("#practice-read")
    expect(walker.page.locator("#verdict h3")).to_be_visible(timeout=PATIENCE_MS)
    return words


def verdict(walker: Walker) -> str:
    """Return the verdict's head."""
    return f"*{written(walker.page.locator('#verdict h3'))}*"


def type_width(text: str) -> Hand:
    """Return the hand that types another width; it reads what the page understood."""

    def typing(walker: Walker) -> str:
        field = walker.page.locator("#measure-width")
        understood = walker.page.locator(".measure", has=field).locator(".understood")
        expect(understood).to_have_text(re.compile(r"\d"), timeout=PATIENCE_MS)
        field.fill(text)
        # The answer to what stood there before may still be on its way, so the right one is waited for.
        expect(understood).to_contain_text(f"{length(text, field='width'):g} mm", timeout=PATIENCE_MS)
        return f"`{text}` {written(understood)}"

    return typing


def label(selector: str) -> Hand:
    """Return the hand that only reads a label."""
    return lambda walker: f"**{written(walker.page.locator(selector).first)}**"


def lay(walker: Walker) -> str:
    """Lay the pouch on the table and wait until it lies there."""
    words = go("#lay", "**/table/*")(walker)
    walker.page.locator("#stage .piece").first.wait_for()
    return words


def drag_front(walker: Walker) -> str:
    """Drag the front a hand's breadth; return what the page says of dragging."""
    walker.page.locator("#saved").wait_for(state="attached")
    box = walker.page.locator('#stage .piece[data-piece="front"]').first.bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2.0, box["y"] + box["height"] / 2.0
    walker.page.mouse.move(x, y)
    walker.page.mouse.down()
    walker.page.mouse.move(x + 20.0, y + 30.0, steps=6)
    with walker.page.expect_response("**/api/layouts/*"):
        walker.page.mouse.up()
    return f"*{written(walker.page.locator('#hint'))}*"


def light_it(walker: Walker) -> str:
    """Put the job in the light; return what stands on the button."""
    words = walker.press("#light-switch")
    expect(walker.page.locator("#light-switch")).not_to_have_text(words.strip("*"), timeout=PATIENCE_MS)
    return words


def next_step(walker: Walker) -> str:
    """Go on to the next step; return what stands on the button."""
    before = walker.page.locator("#work").get_attribute("data-revision")
    words = walker.press("#next")
    expect(walker.page.locator("#work")).not_to_have_attribute("data-revision", before or "", timeout=PATIENCE_MS)
    return words


def next_until(step: str, blow: int) -> Hand:
    """Return the hand that goes on to a step's blow, and tells the titles of the steps on the way."""

    def going(walker: Walker) -> str:
        titles: list[str] = []
        for _ in range(40):
            where = written(walker.page.locator("#where"))
            titles.append(written(walker.page.locator("#step-title")))
            if titles[-1] == step and f" {blow} of " in where:
                break
            next_step(walker)
        assert titles[-1] == step, titles
        return ", ".join(title[0].lower() + title[1:] for title in dict.fromkeys(titles))

    return going


def where(walker: Walker) -> str:
    """Return what the work page says of the place in the job."""
    return f"*{written(walker.page.locator('#where'))}*"


def now(number: int) -> str:
    """Return the selector of the way that the walk on the practice page offers once it has come to that number."""
    return f"#walk li:nth-child({number})[data-now=yes] .do > *"


def menu(name: str) -> Hand:
    """Return the hand that goes to a room by the menu."""
    return go(f'[data-way="{name}"]', f"**/{name}")


WALK = (
    Station(
        "On the first page press {}. You get an invented bench under a crooked projector, and an invented belt lamp to be carried.",
        (go("#start-practice", "**/practice"),),
    ),
    Station(
        "Press {}. The light is told to draw a square of 300 mm; nothing is calibrated yet, so its top line measures {} "
        "and its bottom line {}.",
        (press(now(2)), millimetres("top"), millimetres("bottom")),
    ),
    Station(
        "Press {} and then {}. The page shows how far each sighting is off, and how sure the light is at each place. Under {} press {}, "
        "so that thick leather is drawn as truly as the bare table.",
        (
            go(now(3), "**/bench/*"),
            practise("#part-calibrate .practice-sight"),
            press('#index a[href="#lens"]'),
            practise("#part-lens .practice-sight"),
        ),
    ),
    Station(
        "Choose {} in the menu and press {}: the same square again. Press {}, and the verdict says: {}",
        (menu("practice"), go(now(4), "**/check"), read_rule, verdict),
        Shot(
            "true-square.png",
            "The same square after the calibration, and the steel rule along it",
            "#table-top",
            "/practice",
        ),
    ),
    Station(
        "Choose {} again and press {}. Type another {}, in inches or millimetres ({}), and watch the pouch follow.",
        (menu("practice"), go(now(5), "**/draft/*"), label('label[for="measure-width"]'), type_width("3 1/4 in")),
        Shot(
            "draft.png",
            "The draft: each measure has its place in the drawing, and the page says whether the thing goes in",
        ),
    ),
    Station(
        "Press {}. {} What moves here moves in the light. Press {}, and on the next page {}.",
        (lay, drag_front, go("#guided", "**/work?*"), go("#start-form [type=submit]", "**/work/*")),
    ),
    Station(
        "Press {}: the first cut line falls on the leather, and beside it a card with what to do.",
        (light_it,),
        Shot("practice-table.png", part="#table-top", beside="/practice", press="light"),
    ),
    Station(
        "After each step press {}, the space bar or a pedal: {}. Then each blow of the iron is lit by itself: {}.",
        (label("#next"), next_until("Prick the holes", 5), where),
        Shot("work.png", "Guided work: which blow comes now, with which iron, and how many plies lie under the light"),
    ),
    Station(
        "Choose {} in the menu at any time to see where the light really lands.",
        (menu("practice"),),
        Shot(
            "projector-window.png", "The same blow in the projector window, bent so that it lands straight", light=True
        ),
    ),
)


def sentences(walker: Walker, shoot: Callable[[Walker, Shot], None] | None = None) -> Iterator[str]:
    """Walk; yield the sentence of each station, its pictures taken by ``shoot``."""
    for station in WALK:
        yield station.walk(walker)
        if shoot is not None and station.shot is not None:
            shoot(walker, station.shot)


def text(said: list[str]) -> str:
    """Return what stands in README between the marks: the numbered sentences, and the pictures that belong to them."""
    lines = []
    for number, (station, sentence) in enumerate(zip(WALK, said, strict=True), 1):
        lines.append(f"{number}. {sentence}")
        if station.shot is not None and station.shot.caption:
            lines += ["", f"   ![{station.shot.caption}]({(FOLDER / station.shot.name).relative_to(ROOT)})", ""]
    return "\n".join(lines).strip() + "\n"


def written_in_readme() -> str:
    """Return what stands in README between the marks."""
    return README.read_text().split(f"{BEGIN}\n", 1)[1].split(END, 1)[0]


def begin(browser: Browser, address: str) -> Walker:
    """Open the projector window and the first page."""
    light = browser.new_page(viewport={"width": PICTURE[0], "height": PICTURE[1]})
    light.goto(f"{address}/light")
    page = browser.new_page(viewport={"width": SCREEN[0], "height": SCREEN[1]}, color_scheme="dark")
    page.set_default_timeout(PATIENCE_MS)
    page.goto(address)
    return Walker(page, light)
