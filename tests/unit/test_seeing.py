"""How lines are seen: weights, dashes, contrast on a leather, a piece lit whole, and what of it reaches the picture."""

from __future__ import annotations

import json
from itertools import combinations

import numpy as np
import pytest

from calibration.refusal import Refusal
from server.geometry.placement import Placement
from server.leather import drafts
from server.leather.piece import ROLES
from server.output import filled
from server.output.clipping import area_within, within
from server.output.contrast import TOLD_APART, WEIGHTS, Surface, apart, best, contrast, linear
from server.output.line_styles import COLOURS, CUT_PX, LEAST_PX, STYLES, WHITE, Look
from server.output.projected import Area, Picture, Stroke, clipped, picture_json, project
from server.output.scene import Item, Scene, of_piece
from server.output.swatches import SWATCHES
from server.services.light.seeing import swatch_of
from server.services.light.seeing_choices import Choices, read_weight
from tests.unit.test_optics import crooked

SIZE = (1920, 1080)


@pytest.mark.parametrize("weight", [0.1, 2.0, 7.5])
def test_kinds_are_told_apart_without_colour_at_every_weight(weight: float) -> None:
    styles = [Look(weight).style(kind) for kind in ROLES]
    assert min(style.width for style in styles) >= LEAST_PX
    for one, other in combinations(styles, 2):
        assert (one.width, one.dash) != (other.width, other.dash)


def test_a_weight_in_mm_is_that_wide_on_the_leather() -> None:
    """One millimetre to each side of a line, through the bench, against the weight it is drawn with."""
    bench, look = crooked(), Look(3.0, "mm")
    for x in (-200.0, 100.0, 400.0):
        line = np.array([[x, 0.0], [x, 20.0], [x, 40.0]])
        (stroke,) = project(Scene((Item("cut", line),)), bench, Placement(), 4.0, look).strokes
        middle = np.array([x, 20.0])
        around = middle + 1.5 * np.array([[-1.0, 0.0], [1.0, 0.0], [0.0, -1.0], [0.0, 1.0]])
        lit = bench.to_picture(around, 4.0)
        across, along = (float(np.linalg.norm(lit[i] - lit[i + 1])) for i in (0, 2))
        assert min(across, along) <= stroke.style.width <= max(across, along)
        assert stroke.style.width == pytest.approx(np.sqrt(across * along), rel=0.005)
    thin = project(Scene((Item("mark", line),)), bench, Placement(), 4.0, Look(0.01, "mm")).strokes[0]
    assert thin.style.width == LEAST_PX


def test_luminance_is_that_of_wcag() -> None:
    """Grey #767676 has 4.54 : 1 on white, the lightest with 4.5 and more; black on white 21 (WCAG's own examples, from memory)."""
    ratios = [1.05 / (float(WEIGHTS @ linear(colour)) + 0.05) for colour in ("#767676", "#777777", "#000000")]
    assert [round(ratio, 2) for ratio in ratios] == [4.54, 4.48, 21.0]


def test_contrast_on_a_leather_by_hand() -> None:
    """Paper-white leather, white at nine times the room's light: (1 + 9.009 + 0.05) / (1 + 0.009 + 0.05)."""
    found = contrast(Surface("#ffffff", 900.0, 100.0), WHITE)
    assert found.ratio == pytest.approx((1 + 9.009 + 0.05) / (1 + 0.009 + 0.05))
    assert found.weber == pytest.approx(9.0 / 1.009)
    assert found.verdict == "well"


def test_darker_rooms_lighter_leathers_and_stronger_projectors_show_more() -> None:
    for colour in COLOURS.values():
        by_room = [contrast(Surface("#5f3a24", 2000.0, room), colour).ratio for room in (5.0, 50.0, 500.0)]
        assert by_room == sorted(by_room, reverse=True)
        by_lamp = [contrast(Surface("#5f3a24", lux, 100.0), colour).ratio for lux in (500.0, 2000.0, 4000.0)]
        assert by_lamp == sorted(by_lamp)
    black, natural = (contrast(Surface(SWATCHES[name], 2000.0, 500.0), WHITE).ratio for name in ("black", "natural"))
    assert black < 3.0 < natural


@pytest.mark.parametrize("leather", SWATCHES)
@pytest.mark.parametrize("room", [5.0, 500.0])
def test_the_best_colours_are_legible_and_told_apart_by_every_vision(leather: str, room: float) -> None:
    surface = Surface(SWATCHES[leather], 2300.0, room)
    chosen = best(surface)
    groups = [chosen["cut"], chosen["slot"], chosen["stitch"]]
    assert set(chosen) == set(ROLES)
    assert min(apart(surface, *two) for two in combinations(groups, 2)) >= TOLD_APART
    weakest = min(contrast(surface, colour).ratio for colour in groups)
    others = [c for c in COLOURS.values() if c != WHITE]
    for pair in combinations(others, 2):
        if min(apart(surface, *two) for two in combinations((WHITE, *pair), 2)) >= TOLD_APART:
            assert min(contrast(surface, c).ratio for c in pair) <= weakest + 1e-12


def test_red_leather_swallows_blue_light_and_not_orange() -> None:
    surface = Surface(SWATCHES["red"], 2000.0, 500.0)
    assert contrast(surface, COLOURS["blue"]).verdict == "lost"
    assert contrast(surface, COLOURS["orange"]).ratio > contrast(surface, COLOURS["sky"]).ratio


def test_a_piece_lit_whole_has_its_edge_on_the_cut_line_and_dark_slots_and_dots() -> None:
    front = drafts.get("belt-pouch").draft({}).pieces[0]
    bench, placed, whole = crooked(), Placement(100.0, -60.0, 12.0), of_piece(front)
    lines = project(whole, bench, placed, 3.0)
    bounds = project(filled.area_scene(front), bench, placed, 3.0)
    inner = project(filled.inner_scene(front, whole), bench, placed, 3.0)
    picture = filled.lit(bounds, inner, "#ffffff")
    (area,) = picture.areas
    edges = [s.points for s in lines.strokes if s.kind in ("cut", "slot") and s.closed]
    assert len(area.rings) == len(edges) == 3
    assert all(np.array_equal(ring, edge) for ring, edge in zip(area.rings, edges, strict=True))
    assert {s.style.colour for s in picture.strokes} == {filled.DARK}
    ticks = [s.points.mean(axis=0) for s in lines.strokes if s.kind == "hole"]
    dots = [s.points for s in picture.strokes if s.kind == "hole"]
    assert len(dots) == len(front.holes)
    assert all(np.allclose(dot, tick) for dot, tick in zip(dots, ticks, strict=True))
    assert json.dumps(picture_json(picture)["areas"])


def test_a_margin_is_cut_as_exactly_as_the_picture() -> None:
    line = np.array([[-300.0, 20.0], [300.0, 20.0]])
    ((points, _),) = within(line, closed=False, picture=(100, 40), spill=64.0)
    assert points.tolist() == [[-64.0, 20.0], [164.0, 20.0]]
    assert within(line, closed=False, picture=(100, 40), spill=64.0, longest=500.0) == []


def test_lines_beside_the_picture_are_dropped_and_those_across_it_are_not() -> None:
    beside = Stroke("cut", np.array([[-500.0, 10.0], [-100.0, 10.0]]))
    across = Stroke("cut", np.array([[-500.0, -180.0], [500.0, 200.0]]))
    horizon = Stroke("cut", np.array([[10.0, 10.0], [20.0, 10.0], [np.inf, -np.inf], [-np.inf, 5.0]]))
    kept = clipped(Picture((beside, across, horizon)), (100, 40)).strokes
    assert len(kept) == 2
    assert np.isfinite(np.concatenate([stroke.points for stroke in kept])).all()


def polygon_area(ring: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> float:
    x, y = ring.T
    return float(abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2)


def test_a_lit_area_is_cut_to_the_picture() -> None:
    """A circle of 100 px about a corner leaves a quarter of itself; about the middle all; far away nothing."""
    turn = np.linspace(0, 2 * np.pi, 2000, endpoint=False)
    circle = 100 * np.column_stack([np.cos(turn), np.sin(turn)])
    for middle, share in (((0.0, 0.0), 0.25), ((960.0, 540.0), 1.0), ((0.0, 540.0), 0.5), ((-500.0, 0.0), 0.0)):
        ring = area_within(circle + middle, SIZE, 0.0, np.inf)
        assert ring is not None
        assert polygon_area(ring) == pytest.approx(share * polygon_area(circle), rel=1e-4, abs=1e-6)
    assert area_within(np.vstack([circle, [[np.inf, 0.0]]]), SIZE, 0.0, 4096.0) is None
    beyond = Area("#ffffff", (circle - np.array([500.0, 0.0]),))
    assert clipped(Picture(areas=(beyond,)), SIZE).areas == ()


@pytest.mark.parametrize(
    ("text", "meant"),
    [("2 px", (2.0, "px")), ("3.5PX", (3.5, "px")), ("1 mm", (1.0, "mm")), ("1/32 in", (0.79375, "mm"))],
)
def test_weights_as_a_maker_writes_them(text: str, meant: tuple[float, str]) -> None:
    weight, unit = read_weight(text)
    assert weight == pytest.approx(meant[0])
    assert unit == meant[1]


@pytest.mark.parametrize("text", ["1 px", "40 px", "12 mm", "0.05 mm", "thick", "-2 px", "px", "nan px"])
def test_weights_of_no_use_are_refused(text: str) -> None:
    with pytest.raises(Refusal) as refused:
        read_weight(text)
    assert refused.value.field == "weight"


def test_choices_come_back_as_they_were_kept_and_foreign_ones_are_refused() -> None:
    chosen = Choices("navy", "1 mm", {"cut": "yellow"}, fill=True, blink="hole", runner=True)
    assert Choices.from_json(json.loads(json.dumps(chosen.to_json())) | {"later": 1}) == chosen
    assert chosen.look.style("cut").colour == COLOURS["yellow"]
    assert Choices().look.style("cut") == STYLES["cut"]
    assert STYLES["cut"].width == CUT_PX
    for wrong in (
        {"leather": "plaid"},
        {"blink": "thread"},
        {"colours": {"cut": "#123456"}},
        {"colours": {"edge": "white"}},
    ):
        with pytest.raises(Refusal):
            Choices.from_json(wrong)


def test_a_rack_s_own_words_name_a_colour_of_leather() -> None:
    assert swatch_of("Dark Brown side") == "brown"
    assert swatch_of("bridle, london tan") == "tan"
    assert swatch_of("tangerine") is None
