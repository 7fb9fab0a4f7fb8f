"""What the card holder asks for and says."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from server.leather.drafts import parts, said, stepping, work
from server.leather.drafts.card_holder_sizes import Sizes
from server.leather.fit import Section, close_allowance
from server.leather.pattern import Seam, Sentence, Step
from server.leather.things import CARDS, ID_1, presets

NAME = "card-holder"
_m = parts.asker(NAME)
_CARD = f"{ID_1.title}, {ID_1.reference}"
MEASURES = (
    _m("width", "Width", "Width of a card, along the mouth.", (30, 200), ID_1.width, _CARD),
    _m("height", "Height", "Height of a card, as it stands in its pocket.", (30, 200), ID_1.height, _CARD),
    _m("thickness", "Thickness", "Thickness of all the cards in one pocket.", (0.2, 8), 1.52, "two cards of 0.76 mm"),
    _m("pockets", "Pockets", "How many pockets are stacked.", (1, 6), 3.0, parts.PRACTICE, "count"),
    parts.choice(
        NAME,
        "rear-pocket",
        "Rear pocket",
        "A further pocket between the body and a back of the same shape, for notes or a folded card.",
        (("no", "None"), ("yes", "Behind the body")),
        1,
    ),
    _m("step", "Step", "From one pocket's mouth to the next.", (4, 40), 12.0),
    _m("stands-out", "Stands out", "How much of a card shows above its mouth.", (0, 60), 10.0),
    parts.leather(NAME, 1.0, (0.4, 2.5), "about 2 1/2 oz; " + parts.PRACTICE),
    parts.edge_margin(NAME, 3.0, (2.0, 10.0)),
    _m(
        "side-allowance",
        "Side allowance",
        "Added each side of the card's width. Left empty: half the thickness and one ply, a close fit.",
        (0, 30),
        None,
        "close fit a = T/2 + t; " + parts.PRACTICE,
    ),
    _m("bottom-allowance", "Bottom allowance", "Added below the card. Left empty: as the side.", (0, 30), None),
    _m("corner-radius", "Corner radius", "Radius of the stitch line's two bottom corners.", (0, 40), 4.0),
    parts.pitch(NAME, 3.0),
    *stepping.measures(NAME),
    parts.neutral(NAME),
    parts.stretch(NAME),
)
PRESETS = presets(CARDS[:2], "width", "height")


def plies(s: Sizes) -> int:
    """Return how many plies the outer seam goes through where it is thickest, at an arm."""
    return 2 + (len(s.mouths) > 1) + s.back


def steps(s: Sizes, seams: Sequence[Seam]) -> tuple[Step, ...]:
    """Return the steps of the work in order."""
    count = len(s.mouths)
    stacked = [step for i in range(1, count) for step in _pocket(i, seams[i])]
    return (*_cuts(s, count), *stacked, *_close(s, count, seams[0]))


def _cuts(s: Sizes, count: int) -> list[Step]:
    pairs = f"Cut {count - 1}" if count > 2 else "Cut one"
    found = [
        work.cut(
            "body", "body", "Lay the leather grain side up, the arrow along the back of the hide, and cut on the line."
        )
    ]
    if count > 1:
        found.append(
            work.cut(
                "t-pocket",
                "T pockets",
                f"{pairs}; turn the knife round the inside corners, or punch them first. Finish the mouth edges and thin the "
                "ends of the arms.",
            )
        )
    found.append(work.cut("front-pocket", "front pocket", "Cut the front pocket and finish its mouth edge."))
    if s.back:
        found.append(work.cut("back", "back", "Cut the back; it is the body again. Finish the upper edges of both."))
    return found


def _pocket(i: int, base: Seam) -> tuple[Step, Step]:
    place = work.glue(
        f"place-{i}",
        f"Place pocket {i}",
        f"Lay T pocket {i} on the body with its mouth on the lit line, the arms to both edges. Glue the ends of the arms and the "
        "base of the stem, nothing else.",
        "body",
        (f"mouth-{i}",),
        1 if i == 1 else 2,  # both ends of a mouth's line lie on the arms of the pocket before
    )
    base_step = work.step(
        f"base-{i}",
        f"Prick and sew the base of pocket {i}",
        f"Prick {base.holes} holes {base.pitch_mm:.2f} mm apart along the light and sew them to the body, "
        "both ends doubled.",
        "body",
        ("stitch", "hole"),
        (f"base-{i}",),
        2,
        ("pricking irons", "mallet", "two needles", "awl", "waxed thread"),
        work.AWL,
    )
    return place, base_step


def _close(s: Sizes, count: int, outer: Seam) -> list[Step]:
    high = 2 + s.back  # an arm below the next mouth makes it a ply more for a few millimetres only
    found = [
        work.glue(
            f"place-{count}",
            "Place the front pocket",
            "Lay the front pocket with its mouth on the lit line, and glue its sides and bottom outside the stitch line.",
            "body",
            (f"mouth-{count}",),
            1 if count == 1 else 2,
        )
    ]
    if s.back:
        found.append(
            work.glue(
                "glue-back",
                "Glue the back",
                "Lay the back under the light flesh side up, glue outwards from the lit line, and press the body on it, edge to edge.",
                "back",
                ("glue-edge",),
            )
        )
    return [
        *found,
        work.scribe("body", f"Scribe {s.margin:.4g} mm from the edge, along the light.", ("outer",), high),
        work.prick(
            "body",
            f"Start at the bottom centre and prick out to both ends: {outer.holes} holes {outer.pitch_mm:.2f} mm apart.",
            (outer,),
            high,
        ),
        work.sew(
            "body",
            "Two needles; double the first and last two stitches and the one over the "
            "edge of each mouth. Sand the edges level, round and burnish them.",
            ("outer",),
            high,
        ),
    ]


def sentences(
    given: Mapping[str, float | None], m: Mapping[str, float], s: Sizes, seams: Sequence[Seam]
) -> tuple[Sentence, ...]:
    """Return what is said of the draft."""
    close = close_allowance(m["thickness"], m["leather"])
    how = f"T / 2 + t = {m['thickness'] / 2:.2f} + {m['leather']:.2f} = {close:.2f} mm"
    rule = "half the thickness and one ply, a close fit"
    inside = m["height"] - m["stands-out"]
    head = s.mouths[0]
    high = (
        f"head + (n - 1) step + depth + margin = {head:.1f} + {len(s.mouths) - 1} x {s.step:.4g} + {s.depth:.1f} + "
        f"{s.margin:.4g} = {s.bottom:.1f} mm"
    )
    wide = f"W + 2 a = {m['width']:.1f} + 2 x {m['side-allowance']:.2f} = {2 * s.half_seam:.1f} mm"
    return (
        said.allowance(given, "side-allowance", m["side-allowance"], "Side allowance", rule, how),
        said.allowance(given, "bottom-allowance", m["bottom-allowance"], "Bottom allowance", rule, how),
        Sentence("fit", f"Seam to seam {2 * s.half_seam:.1f} mm.", 2 * s.half_seam, wide),
        *said.fits(Section("rectangle", m["width"], m["thickness"]), m, 2 * s.half_seam),
        said.deep_enough(inside, m["thickness"], m["leather"], m["neutral"], s.depth),
        Sentence("fit", f"Cut {2 * s.half:.1f} x {s.bottom:.1f} mm, {plies(s)} plies at the thickest.", s.bottom, high),
        *said.counts(seams, m["pitch"]),
    )
