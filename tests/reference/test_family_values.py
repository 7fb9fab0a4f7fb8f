"""Each family against a published size or a rule of the trade, the source beside each."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from scipy import integrate

from server import units
from server.geometry.path import Path
from server.leather import things
from server.leather.drafts import get
from server.leather.fit import Section, depth_bound, fit_word, girth_bound, moulded_blank, moulded_seam, round_bound
from server.leather.measure import Given
from server.leather.pattern import Pattern, Sentence


def inches(text: str) -> float:
    return units.length(text, field="test")


def draft(family: str, **measures: Given) -> Pattern:
    return get(family).draft({name.replace("_", "-"): value for name, value in measures.items()})


def size(path: Path) -> tuple[float, float]:
    width, height = np.ptp(path.flatten(0.001), axis=0)
    return float(width), float(height)


def told(pattern: Pattern, words: str) -> Sentence:
    return next(sentence for sentence in pattern.sentences if words in sentence.words)


# ---- flat sleeve


def test_card_sleeve() -> None:
    """Derived from ISO/IEC 7810 ID-1: t 1.2, stack 3.0 -> seam-to-seam 91.0, cut width 97.0 at a 3 mm margin."""
    pattern = draft("flat-sleeve", width=85.60, height=53.98, thickness=3.0, leather=1.2, edge_margin=3.0)
    front = pattern.piece("front")
    assert size(front.line("pocket").path)[0] == pytest.approx(91.0)
    assert size(front.outline)[0] == pytest.approx(97.0)
    assert told(pattern, "Seam to seam").formula == "W + 2 a = 85.6 + 2 x 2.70 = 91.0 mm"


def test_paper_sleeve() -> None:
    """ISO 216: A5 is 148 x 210; a stack of 3 mm in leather of 1.2 mm: seam to seam 148 + 3 + 2.4, floor 210 + 2.7. Derived."""
    preset = next(preset for preset in get("flat-sleeve").presets if preset.name == "a5")
    seam = get("flat-sleeve").draft(dict(preset.measures)).piece("front").line("pocket").path
    assert size(seam)[0] == pytest.approx(148.0 + 3.0 + 2 * 1.2)
    assert float(seam.flatten()[:, 1].max()) == pytest.approx(210.0 + 1.5 + 1.2)


def test_a_thumb_notch_is_a_hollow_and_two_lips_that_touch() -> None:
    """Plane geometry: hollow and lip are tangent, so the sum of the radii is (w^2 + d^2) / (2 d)."""
    outline = draft("flat-sleeve", notch_width=30, notch_depth=12).piece("front").outline
    hollow, lip = [segment for segment in outline.segments if hasattr(segment, "radius")][:2][::-1]
    assert outline.corners() == ()
    arcs = sorted({round(s.radius, 9) for s in outline.segments if hasattr(s, "radius")})
    assert any(a + b == pytest.approx((15**2 + 12**2) / 24) for a in arcs for b in arcs)
    assert hollow != lip


# ---- card holder


def test_card_holder() -> None:
    """ISO/IEC 7810 ID-1, two cards of 0.76 mm a pocket in 1.0 mm: seam to seam 85.6 + 2 (0.76 + 1.0) = 89.12. Derived.

    Three pockets a 12 mm step apart, 10 mm of card showing: head 13, depth 53.98 - 10 + 1.76, so 82.74 to the floor.
    """
    pattern = draft("card-holder", pockets=3, step=12, stands_out=10, edge_margin=3, leather=1.0, thickness=1.52)
    body = pattern.piece("body")
    assert size(body.line("outer").path)[0] == pytest.approx(89.12)
    assert float(body.line("outer").path.flatten()[:, 1].max()) == pytest.approx(13 + 24 + 45.74)
    bases = [body.line(f"base-{i}").path.start[1] for i in (1, 2)]
    assert np.diff(bases) == pytest.approx([12.0])
    assert not [piece for piece in draft("card-holder", pockets=1).pieces if piece.name == "t-pocket"]


def test_the_least_corner_of_a_card_clears_the_seam() -> None:
    """ISO/IEC 7810: corner radius 2.88 to 3.48 mm, perimeter of ID-1 at 3.18 mm 273.701, area 4612.007 (derived)."""
    width, height, radius = 85.60, 53.98, 3.18
    assert 2 * (width + height) - (8 - 2 * math.pi) * radius == pytest.approx(273.701, abs=5e-4)
    assert width * height - (4 - math.pi) * radius**2 == pytest.approx(4612.007, abs=5e-4)
    assert 2 * Section("rounded", width, height, radius).half_girth == pytest.approx(273.701, abs=5e-4)


# ---- key fob and strap


def test_key_fob_blank() -> None:
    """US Navy and FAA form A (R + K t), here half a turn: wire and play 4 mm, t 2, K 0.5: loop 3 pi; L 90: 2 (90 - 2 - 2) + 3 pi."""
    pattern = draft("key-fob", length=90, wire=3.2, play=0.8, leather=2.0)
    assert size(pattern.piece("fob").outline)[1] == pytest.approx(172 + 3 * math.pi)
    folds = [pattern.piece("fob").line(f"fold-{i}").path.start[1] for i in (1, 2)]
    assert folds[1] - folds[0] == pytest.approx(3 * math.pi)


def test_belt_blank() -> None:
    """Common practice, no source: 3.5 + 36 + 2 + 4 = 45.5 in; five holes 1 in apart, size from pin to middle hole."""
    pattern = draft(
        "strap", size=inches("36 in"), turn=inches("3 1/2 in"), holes=5, hole_spacing=inches("1 in"), tip_length=inches("4 in"),
    )  # fmt: skip
    strap = pattern.piece("strap")
    assert size(strap.outline)[1] == pytest.approx(inches("45 1/2 in"))
    middles = [strap.line(f"hole-{i}").path.flatten()[:, 1] for i in range(1, 6)]
    places = [float(y.max() + y.min()) / 2 for y in middles]
    assert np.diff(places) == pytest.approx([25.4] * 4)
    assert places[2] - strap.line("fold").path.start[1] == pytest.approx(inches("36 in"))
    assert size(draft("strap", size=inches("36 in"), stretch=2.0).piece("strap").outline)[1] == pytest.approx(
        inches("45 1/2 in") - inches("36 in") * (1 - 1 / 1.02)
    )


# ---- tray


def test_tray_blank() -> None:
    """Bend allowance as the US Navy and FAA give it, K one half: (pi / 2)(1.5 + 1.4) a fold. Derived."""
    pattern = draft("tray", width=148, length=105, clearance=3, wall=35, bend_radius=1.5, leather=2.8)
    fold = math.pi / 2 * 2.9
    assert size(pattern.piece("tray").outline) == pytest.approx(
        (154 - 3 + 2 * fold + 2 * 33.5, 111 - 3 + 2 * fold + 2 * 33.5)
    )


def test_navy_channel_is_a_tray_in_section() -> None:
    """US Navy, FAA: U channel T 0.040, R 0.16, flats 0.8 / 1.6 / 0.8 in -> 3.754 to 3.765 in; ten times as large here, K 0.451."""
    pattern = draft(
        "tray",
        width=inches("16 in") + 2 * inches("1.6 in"),
        clearance=0,
        wall=40,
        bend_radius=4,
        leather=1,
        neutral=0.451,
    )
    half = (size(pattern.piece("tray").outline)[0] - 2 * (40 - 4)) / 2
    flat = (inches("16 in") + 2 * inches("1.6 in") - 8) / 2
    assert half - flat == pytest.approx((0.0173 * 4 + 0.0078 * 1) * 90, rel=0.01)


@pytest.mark.parametrize("fixing", ["snap", "rivet"])
def test_the_holes_of_a_pinched_corner_meet(fixing: str) -> None:
    """Plane geometry: a fold along the corner's diagonal lays one hole on the other."""
    tray = draft("tray", fixing=fixing).piece("tray")
    for row, side in (("bottom", "right"), ("top", "left")):
        ear = tray.line(f"ear-{row}-{side}").path
        a, b = (np.mean(tray.line(f"{row}-{side}-{i}").path.flatten(1e-4), axis=0) for i in (1, 2))
        along = np.array(ear.end) - ear.start
        along /= np.linalg.norm(along)
        turned = 2 * np.dot(a - ear.start, along) * along - (a - ear.start) + ear.start
        assert turned == pytest.approx(b, abs=1e-6)


# ---- gusset pouch


def test_way_round_a_gusset() -> None:
    """Derived: U seam W 120 H 80 corner r 20: edge 262.832; 3 mm inside 253.407; 4 mm inside 250.265... of W + 2 H - 4 r + pi (r - s).

    The lines inside end at the mouth, as the strip does.
    """
    measures: dict[str, Given] = {
        "width": 120 - 2 * (2 + 2 + 8), "height": 80 - 2 - 8, "thickness": 40, "clearance": 2, "leather": 2,
        "edge_margin": 4, "flange": 8, "corner_radius": 20,
    }  # fmt: skip
    pattern = draft("gusset-pouch", **measures)
    front, strip = pattern.piece("front"), pattern.piece("gusset")
    assert size(front.outline) == pytest.approx((120.0, 80.0))
    assert 120 + 160 - 80 + math.pi * 20 == pytest.approx(262.832, abs=5e-4)
    seam = front.line("front").path
    assert seam.length + 2 * 4.0 == pytest.approx(120 + 160 - 80 + math.pi * (20 - 4))
    assert seam.length + 2 * 4.0 == pytest.approx(250.265, abs=5e-4)
    assert size(strip.outline)[1] == pytest.approx(120 + 160 - 80 + math.pi * (20 - 9))
    assert told(pattern, "way round").value == pytest.approx(250.265, abs=5e-4)


def test_gusset_holes_lie_opposite_the_panels() -> None:
    """Plane geometry: straight sides and bottom are as long on both, so holes there keep the panel's own pitch."""
    pattern = draft("gusset-pouch")
    panel, strip = pattern.piece("front").hole_points("front"), pattern.piece("gusset").hole_points("strip-front")
    assert len(panel) == len(strip)
    sides = np.abs(panel[:-1, 0] - panel[1:, 0]) < 1e-9
    apart = np.diff(strip[:, 1])
    assert apart[sides] == pytest.approx(pattern.seam("front").pitch_mm)
    assert apart.min() < pattern.seam("front").pitch_mm < apart.max() + 1e-9
    assert np.array_equal(pattern.piece("gusset").hole_points("strip-back") * (-1, 1), strip)


def test_the_flange_is_stretched_in_the_corners() -> None:
    """Plane geometry: round a quarter turn the stitch line is (r - margin) long to the wall's (r - wall): 16 to 12 mm, 33 %."""
    pattern = draft("gusset-pouch", corner_radius=20, edge_margin=4, flange=7, leather=2)
    assert told(pattern, "is stretched 33 %").value == pytest.approx(100 / 3)
    panel, strip = pattern.piece("front").hole_points("front"), pattern.piece("gusset").hole_points("strip-front")
    bent = pattern.seam("strip-front").eased_mm
    assert bent == pytest.approx(-math.pi * (8 - 4))
    assert abs(strip[-1, 1] - strip[0, 1]) == pytest.approx(pattern.seam("front").length_mm + bent)
    assert panel[0, 1] == panel[-1, 1]
    wet = draft("gusset-pouch", corner_radius=20, edge_margin=4, flange=7, leather=2, stretch=20)
    assert [s.kind for s in wet.sentences if "is stretched 33 %" in s.words] == ["warning"]


# ---- flap pouch


def test_flap_pouch_girth() -> None:
    """Derived, as checks of the belt pouch: W + T + 1.571 t at K one half; 76.2 x 18 in 2.4 mm: 97.97 mm."""
    pattern = draft("flap-pouch", width=76.2, thickness=18, leather=2.4)
    assert told(pattern, "girth needs").value == pytest.approx(76.2 + 18 + math.pi / 2 * 2.4)
    assert told(pattern, "girth needs").formula == "W + T + 1.571 t = 76.2 + 18.0 + 3.8 = 98.0 mm"


def test_the_flap_reaches_over_the_thing() -> None:
    """Bend allowance twice, R 2, t 2.4: 2 (pi / 2)(2 + 1.2); the flat between T + t - 2 R; the thing 6 mm above the mouth. Derived."""
    pattern = draft("flap-pouch", thickness=18, leather=2.4, stands_out=6, bend_radius=2, flap=60, closure_inset=15)
    back, front = pattern.piece("back"), pattern.piece("front")
    over = 2 * 6 + math.pi * 3.2 + 18 + 2.4 - 4
    assert -float(back.outline.flatten()[:, 1].min()) == pytest.approx(over + 60)
    cap, socket = (np.mean(piece.line("closure").path.flatten(1e-4), axis=0) for piece in (back, front))
    assert socket == pytest.approx([0, 45], abs=1e-6)
    assert cap == pytest.approx([0, -over - 45], abs=1e-6)


def test_a_moulded_front_in_section() -> None:
    """The neutral line of a wall, face, wall, walked in small steps: T - t up, pi/2 K t a corner. K one half. Derived."""
    width, thick, ply, reach = 76.2, 18.0, 2.4, 3.0
    walked = width + 2 * (thick - ply) + 4 * (math.pi / 2 * 0.5 * ply) + 2 * reach
    assert moulded_blank(width, thick, ply, reach) == pytest.approx(walked)
    pattern = draft("flap-pouch", width=width, thickness=thick, leather=ply, front="moulded", trim=10, edge_margin=4)
    assert size(pattern.piece("back").line("pocket").path)[0] == pytest.approx(moulded_seam(width, ply, reach))
    assert size(pattern.piece("front").outline)[0] == pytest.approx(walked + 2 * 14)


def test_a_moulded_belt_pouch_has_the_same_front_and_its_lines_on_the_back() -> None:
    """The front's neutral line walked as above, the wing (gap, slot, gap) and the rim on both sides of it. Derived."""
    width, thick, ply, reach, wing, rim = 76.2, 12.7, 2.4, 3.0, 2 * 6.35 + 9.525, 8.0
    walked = width + 2 * (thick - ply) + 4 * (math.pi / 2 * 0.5 * ply) + 2 * reach
    pattern = draft("belt-pouch", width=width, thickness=thick, leather=ply, front="moulded", back_margin=rim)
    front, back = pattern.piece("front"), pattern.piece("back")
    assert size(front.outline)[0] == pytest.approx(walked + 2 * (wing + rim))
    assert size(back.line("pocket").path)[0] == pytest.approx(moulded_seam(width, ply, reach))
    assert size(back.outline)[0] == pytest.approx(moulded_seam(width, ply, reach) + 2 * wing)
    assert front.holes == ()
    assert {hole.seam for hole in back.holes} == {"pocket", "ring-left", "ring-right"}
    names = [step.name for step in pattern.steps]
    assert names[:5] == ["cut-back", "cut-front", "mould", "glue", "trim"]
    assert any(sentence.words.startswith("Snug, moulded") for sentence in pattern.sentences)
    stretched = draft(
        "belt-pouch", width=width, thickness=thick, leather=ply, front="moulded", back_margin=rim, stretch=10
    )
    assert size(stretched.piece("front").outline)[0] == pytest.approx(walked / 1.1 + 2 * (wing + rim))


def test_a_moulded_corner_that_is_too_round_is_said_with_the_radius_that_is_not() -> None:
    """A square corner 5.4 mm inside both seams keeps 3.4 mm (one ply of 2.4 and 1 mm) at r <= (1.414 x 5.4 - 3.4) / 0.414 = 10.23."""
    for radius, warned in ((10.3, True), (10.2, False)):
        said = draft("belt-pouch", front="moulded", leather=2.4, corner_radius=radius).sentences
        assert any("10.2 mm of corner radius is the most" in one.words for one in said) is warned


# ---- book cover


def test_book_case() -> None:
    """Common practice, no source: spine = block + 2 boards - 0.5, gap 10, turn-in 17: 150 x 210 x 20, board 2.

    Spine 23.5, wrap 370.5 x 250.
    """
    pattern = draft("book-cover", style="case", width=150, height=210, thickness=20, board=2, gap=10)
    cover = pattern.piece("cover")
    assert size(cover.line("board-spine").path)[0] == pytest.approx(23.5)
    assert size(cover.outline) == pytest.approx((370.5, 250.0))
    assert pattern.measures["turn-in"] == 17.0


def test_a_pen_loop_goes_round_the_pen() -> None:
    """Derived: pi (D + t) at K one half; an AA cell (IEC 60086-2: 14.5 mm) in 2 mm is 2 x 25.918 round."""
    pattern = draft("book-cover", pen="loop", pen_diameter=14.5, leather=2.0)
    assert told(pattern, "round the pen").value == pytest.approx(2 * 25.918, abs=1e-3)


# ---- round case


def test_round_case_for_a_cell() -> None:
    """IEC 60086-2: AA is at most 14.5 x 50.5. Tube pi (14.5 + 0.5 + t) with K one half, base 15 + 2 t. Derived."""
    pattern = draft("round-case", diameter=14.5, height=50.5, ease=0.5, leather=2.0, edge_margin=2.0, pitch=5.0)
    assert size(pattern.piece("tube").outline) == pytest.approx((math.pi * 17.0, 50.5))
    assert size(pattern.piece("base").outline)[0] == pytest.approx(19.0, abs=0.01)
    assert pattern.seam("base").holes == pattern.seam("base-tube").holes == 10


def test_ring_and_row_meet_all_round() -> None:
    """Plane geometry: hole i of the tube lies (i + 1/2) / N of the way round, as on the base."""
    pattern = draft("round-case", lid="cap")
    for tube, disc in (("tube", "base"), ("cap", "cap-top")):
        row = pattern.piece(tube).hole_points(f"{disc}-{tube}")
        ring = pattern.piece(disc).hole_points(disc) - (0.0, size(pattern.piece(disc).outline)[1] / 2)
        count, width = len(row), size(pattern.piece(tube).outline)[0]
        shares = (row[:, 0] + width / 2) / width
        turns = np.mod(np.arctan2(-ring[:, 0], ring[:, 1]) / (2 * math.pi), 1.0)
        assert shares == pytest.approx((np.arange(count) + 0.5) / count)
        assert turns == pytest.approx(shares, abs=1e-5)


# ---- tool roll


def test_tool_roll_pockets() -> None:
    """Derived: pi (D + t) / 2 a ply at K one half: an AA cell (14.5 mm) in 2 mm -> 25.918 between the seams, with no ease."""
    pattern = draft("tool-roll", tools=4, largest=14.5, smallest=14.5, leather=2.0, ease=0, edge_margin=4, pitch=3.5)
    panel = pattern.piece("pockets")
    dividers = [panel.line(f"divider-{i}").path.start[0] for i in (1, 2, 3)]
    assert np.diff(dividers) == pytest.approx([25.918] * 2, abs=1e-3)
    assert size(panel.line("outer").path)[0] == pytest.approx(4 * 25.918, abs=4e-3)
    graded = draft("tool-roll", tools=3, largest=20, smallest=10, leather=2.0, ease=2).piece("pockets")
    second = graded.line("divider-2").path.start[0] - graded.line("divider-1").path.start[0]
    assert second == pytest.approx(round_bound(15.0, 2.0) + 2.0)


# ---- sheath


def test_the_edge_stays_10_mm_from_the_outside() -> None:
    """Common practice, no source: a welt at least 10 mm wide, the cutting edge at least 10 mm from the outer edge.

    The blade is drawn here on its own: back along the fold's development, edge to the belly, an arc to the tip.
    """
    slim = {"blade_width": 16, "belly": 95, "tip_drop": 0, "spine": 1, "leather": 1.6, "clearance": 4, "handle_in": 0}
    slim |= {"edge_margin": 3, "hanger_width": 18}
    wide = {"blade_width": 45.0, "belly": 80.0, "handle_in": 0.0}
    for values in ({}, {"tip_drop": 0.0}, {"tip_drop": 20.0, "belly": 30.0}, wide, slim):
        pattern = draft("sheath", **values)
        m = pattern.measures
        dev = math.pi / 2 * (m["spine"] / 2 + 0.5 * m["leather"]) - m["spine"] / 2
        outline = shapely.Polygon(pattern.piece("sheath").outline.flatten(0.002))
        drop = m["blade-width"] - m["tip-drop"]
        radius = (drop**2 + m["belly"] ** 2) / (2 * drop)
        turn = np.linspace(0.0, math.asin(m["belly"] / radius), 400)
        x = dev + m["blade-width"] - radius + radius * np.cos(turn)
        y = m["handle-in"] + m["blade-length"] - m["belly"] + radius * np.sin(turn)
        assert (x[-1] - dev, y[-1]) == pytest.approx((m["tip-drop"], m["handle-in"] + m["blade-length"]))
        apart = shapely.distance(outline.exterior, shapely.points(np.column_stack((x, y))))
        assert apart.min() >= m["welt-width"] + m["clearance"] - 0.02
        cavity = shapely.LineString(pattern.piece("sheath").line("cavity").path.flatten(0.002))
        assert shapely.distance(cavity, shapely.points(np.column_stack((x, y)))).min() >= m["clearance"] - 0.005
        toe = pattern.piece("sheath").line("cavity").path.flatten(0.002)
        beyond = shapely.points(toe[toe[:, 1] > y[0]])
        assert shapely.distance(outline.exterior, beyond) == pytest.approx(m["welt-width"], abs=0.01)


def test_the_ledge_stops_the_handle() -> None:
    """Solid geometry: the ledge lies at the depth of handle asked for, and reaches in from handle to blade."""
    pattern = draft("sheath", handle_in=30)
    welt = shapely.Polygon(pattern.piece("welt").outline.flatten(0.002))
    cavity_above = shapely.intersection(welt, shapely.box(0, 10, 200, 11)).bounds[0]
    cavity_below = shapely.intersection(welt, shapely.box(0, 40, 200, 41)).bounds[0]
    assert cavity_above - cavity_below == pytest.approx(told(pattern, "A ledge").value, abs=1e-3)
    assert welt.bounds[1] == pytest.approx(0.0)
    assert shapely.intersection(welt, shapely.box(0, 0, cavity_above - 3.01, 30.0 - 1e-6)).area == 0.0


def test_a_square_handle_takes_more_leather_than_an_oval_one() -> None:
    """Derived: 30 x 22 in 3.2 mm at K one half: 2 (30 + 22) + 3.2 pi = 114.05 round a box, 92.2 round the ellipse of 82.165 mm."""
    ellipse = integrate.quad(lambda u: math.hypot(15 * math.sin(u), 11 * math.cos(u)), 0, 2 * math.pi)[0]
    assert ellipse == pytest.approx(82.165, abs=5e-4)
    for section, outline in (("rectangle", 104.0), ("ellipse", ellipse)):
        pattern = draft("sheath", section=section, handle_width=30, handle_thickness=22, leather=3.2, blade_length=130)
        assert told(pattern, "the way round the handle").value == pytest.approx(outline + math.pi * 3.2)


# ---- fit of other sections


def test_a_sleeve_after_the_leather_has_given() -> None:
    """Derived: ID-1 sleeve of 91.0 mm, bound 85.6 + 3.0 + 1.2 pi / 2 = 90.485; 3 % of 91 more to spare: 0.515 + 2.73 = 3.245 mm."""
    pattern = draft("flat-sleeve", width=85.6, thickness=3.0, leather=1.2, stretch=3.0)
    assert told(pattern, "its girth needs").words.startswith("Snug")
    assert told(pattern, "If the leather gives").value == pytest.approx(3.245, abs=5e-4)
    assert told(pattern, "If the leather gives").words.endswith("goes in.")


def test_half_girths_against_integration() -> None:
    """Ellipse 10, 5 (half axes): perimeter 48.4422411027; 5, 3: 25.5269988634 (tables, and the line integral here)."""
    for a, b, perimeter in ((10.0, 5.0, 48.4422411027), (5.0, 3.0, 25.5269988634)):
        assert 2 * Section("ellipse", 2 * a, 2 * b).half_girth == pytest.approx(perimeter, abs=1e-9)
        ellipse = integrate.quad(lambda u, a=a, b=b: math.hypot(a * math.sin(u), b * math.cos(u)), 0, 2 * math.pi)[0]
        assert ellipse == pytest.approx(perimeter, abs=1e-9)
    assert 2 * Section("rounded", 12, 12, 2.5).half_girth == pytest.approx(43.708, abs=5e-4)
    assert 2 * Section("round", 14.5, 14.5).bound(2.0) == pytest.approx(2 * 25.918, abs=1e-3)


@pytest.mark.parametrize(
    ("section", "shape"),
    [
        (Section("rectangle", 60, 20), shapely.box(0, 0, 60, 20)),
        (Section("rounded", 60, 20, 6), shapely.box(6, 6, 54, 14).buffer(6, quad_segs=400)),
        (Section("round", 30, 30), shapely.Point(0, 0).buffer(15, quad_segs=400)),
        (Section("ellipse", 60, 20), shapely.affinity.scale(shapely.Point(0, 0).buffer(1, quad_segs=800), 30, 10)),
    ],
    ids=["rectangle", "rounded", "round", "ellipse"],
)
def test_bounds_against_an_offset_outline(section: Section, shape: shapely.Polygon) -> None:
    """GEOS (shapely): half the outline of the section grown by K t, K 0.4 and t 3."""
    assert section.bound(3.0, 0.4) == pytest.approx(shape.buffer(1.2, quad_segs=400).length / 2, rel=1e-4)


def test_words_for_a_fit() -> None:
    """Common practice, no source: up to 3 mm to spare is snug, more than the thickness (and 6 mm) is loose."""
    assert [fit_word(spare, 12.7) for spare in (-0.1, 0.0, 3.0, 3.1, 12.7, 12.8)] == [
        "does not go in", "snug", "snug", "goes in", "goes in", "loose",
    ]  # fmt: skip
    close = 2 * (12.7 / 2 + 2.4) - girth_bound(0.0, 12.7, 2.4)
    assert fit_word(close, 12.7) == "snug"
    assert fit_word(2 * 12.7 - girth_bound(0.0, 12.7, 2.4), 12.7) == "goes in"
    assert depth_bound(100.0, 12.7, 2.4) == pytest.approx(100 + girth_bound(0.0, 12.7, 2.4) / 2)


# ---- standard things


@pytest.mark.parametrize(
    ("name", "width", "height"),
    [
        ("id-1", 85.60, 53.98), ("id-2", 105, 74), ("id-3", 125, 88), ("a4", 210, 297), ("a5", 148, 210), ("a6", 105, 148),
        ("letter", 8.5 * 25.4, 11 * 25.4), ("aaa", 10.5, 44.5), ("aa", 14.5, 50.5), ("c", 26.2, 50.0), ("d", 34.2, 61.5),
        ("euro-5", 120, 62), ("euro-10", 127, 67), ("euro-20", 133, 72), ("euro-50", 140, 77),
        ("us-note", 155.956, 66.294), ("us-cent", 19.05, 1.52), ("us-quarter", 24.26, 1.75), ("euro-1", 23.25, 2.33),
        ("euro-2", 25.75, 2.20),
    ],
)  # fmt: skip
def test_standard_things(name: str, width: float, height: float) -> None:
    """ISO/IEC 7810, ISO 216, IEC 60086-2 (maxima), ECB/2003/4, mints' specifications; US letter 8.5 x 11 in."""
    every = (*things.CARDS, *things.PAPERS, *things.NOTES, *things.CELLS, *things.COINS)
    thing = next(thing for thing in every if thing.name == name)
    assert (thing.width, thing.height) == pytest.approx((width, height))
