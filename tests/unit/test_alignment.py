"""What is made of a few places aimed at: which to ask for, how sure the light is then, and what a misfit means."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from skimage.transform import SimilarityTransform

from calibration.adjust import adjust
from calibration.bench import Bench
from calibration.refusal import Refusal
from calibration.sightings import Pair, read
from server.geometry import rigid
from server.geometry.placement import Placement
from server.leather import drafts
from server.leather.pattern import Pattern
from server.leather.piece import Piece
from server.services.table.alignment_features import Feature, asked, features, made
from server.services.table.alignment_fit import HAND_MM, Aiming, Aligned, align
from server.services.table.alignment_pictures import ticks
from tests.bench import measure
from tests.bench.simulator import Array, Projector

HEIGHT = 2.0
LIES = Placement(550.0, 420.0, 13.0)


@cache
def pouch() -> Pattern:
    return drafts.get("belt-pouch").draft({})


@cache
def bench_of(index: int) -> tuple[Projector, Bench]:
    projector, rng = measure.bench_number(index)
    return projector, adjust(read(measure.marks_and_block(projector, rng))).bench


def named(piece: Piece, *names: str) -> list[Feature]:
    known = {feature.name: feature for feature in features(piece)}
    return [known[name] for name in names]


def aim(index: int, places: list[Feature], seen: Array, *, mirror: bool = False) -> Aligned:
    """Align the pouch's front on a virtual bench, with the cross-hair truly on the table places (n, 2)."""
    projector, bench = bench_of(index)
    pixels: list[Pair] = [(u, v) for u, v in projector.aim(seen, HEIGHT).tolist()]
    aimed = list(zip(places, pixels, strict=True))
    return align(Aiming(bench, HEIGHT, pouch().pieces[0], aimed), mirror=mirror)


def laid(places: list[Feature], lies: Placement = LIES) -> Array:
    return lies.apply([place.at for place in places])


SLOTS = ("slot:slot-left-upper", "slot:slot-left-lower", "slot:slot-right-upper", "slot:slot-right-lower")
SPREAD = (*SLOTS, "hole:pocket-1", "hole:pocket-91", "hole:ring-left-15")


def test_the_light_lies_where_it_says_it_does() -> None:
    """On 40 benches, four alignments each, the whole outline lies within the promise in 95 of 100 cases, give or take."""
    front, rng = pouch().pieces[0], np.random.default_rng(5)
    places, outline, held = named(front, *SLOTS), front.outline.flatten(0.5), []
    for index in range(40):
        projector, bench = bench_of(index)
        for _ in range(4):
            x, y, turn = rng.uniform([420, 420, -180], [650, 650, 180]).tolist()
            truth = Placement(x, y, turn)
            found = aim(index, places, laid(places, truth) + rng.normal(0.0, HAND_MM, (4, 2)))
            lit = projector.land(bench.to_picture(found.placement.apply(outline), HEIGHT), HEIGHT)
            off = np.hypot(*(lit - truth.apply(outline)).T)
            held.append(float(np.mean(off <= found.error95(outline))))
    assert 0.92 <= np.mean(held) <= 0.985


def test_the_benchs_own_error_falls_out_near_the_places_aimed_at() -> None:
    """With a hand that never errs, the light on the leather is truer than the bench by itself."""
    front = pouch().pieces[0]
    places, better = named(front, *SPREAD), []
    for index in range(12):
        projector, bench = bench_of(index)
        found = aim(index, places, laid(places))
        spots = np.array([place.at for place in places])
        lit = projector.land(bench.to_picture(found.placement.apply(spots), HEIGHT), HEIGHT)
        alone = projector.land(bench.to_picture(LIES.apply(spots), HEIGHT), HEIGHT)
        better.append(np.abs(lit - laid(places)).mean() / np.abs(alone - laid(places)).mean())
    assert np.median(better) < 0.5


def test_edges_alone_bring_the_light_back() -> None:
    """A piece without a sharp corner: seen across its edges, some way along them from where it was asked for."""
    front = pouch().pieces[0]
    sides = [feature for feature in features(front) if feature.sort == "side"]
    assert front.outline.corners(20.0) == ()
    places = [feature for feature in sides if feature.name in asked(sides)]
    along = np.array([[-f.normal[1], f.normal[0]] for f in places if f.normal]) * np.array(
        [[6.0], [-4.0], [3.0], [-5.0]]
    )
    found = aim(2, places, LIES.apply(np.array([f.at for f in places]) + along))
    spots = front.outline.flatten(0.5)
    assert found.placement.apply(spots) == pytest.approx(LIES.apply(spots), abs=0.4)
    assert found.finding is None
    assert len(found.residuals) == 4


@pytest.mark.parametrize("index", range(4))
@pytest.mark.parametrize("bad", range(7))
def test_a_place_that_was_missed_is_named(index: int, bad: int) -> None:
    front = pouch().pieces[0]
    places = named(front, *SPREAD)
    off = np.zeros((7, 2))
    off[bad] = [4.0, -3.0]
    noise = np.random.default_rng(bad).normal(0.0, 0.2, (7, 2))
    found = aim(index, places, laid(places) + off + noise)
    assert found.finding is not None
    assert (found.finding.kind, found.finding.feature) == ("point", SPREAD[bad])
    assert found.finding.amount == pytest.approx(5.0, abs=1.0)


def test_stretch_is_said_only_when_it_is_sure_and_never_applied() -> None:
    front, rng = pouch().pieces[0], np.random.default_rng(3)
    corners = [f for f in features(front) if f.sort in ("slot", "hole")]
    spots = np.array([f.at for f in corners])
    plain = aim(1, corners, LIES.apply(spots) + rng.normal(0.0, 0.25, spots.shape))
    assert plain.finding is None
    wide = aim(1, corners, LIES.apply(spots * [1.02, 1.0]) + rng.normal(0.0, 0.25, spots.shape))
    assert wide.finding is not None
    assert wide.finding.kind == "stretch"
    assert wide.finding.amount == pytest.approx(0.02, abs=0.006)
    assert "% longer across its width" in wide.finding.sentence
    size = np.hypot(*np.diff(wide.placement.apply(spots[[0, -1]]), axis=0)[0])
    assert size == pytest.approx(np.hypot(*np.diff(spots[[0, -1]], axis=0)[0]), abs=1e-9)
    value, doubt = wide.scale()
    assert value > 1.0 + 2.0 * doubt


@pytest.mark.parametrize("seed", range(10))
def test_the_scale_is_that_of_umeyama_in_skimage(seed: int) -> None:
    rng = np.random.default_rng(seed)
    places = rng.uniform(-200.0, 200.0, (5, 2))
    seen = 1.01 * LIES.apply(places) + rng.normal(0.0, 2.0, (5, 2))
    found = Aligned(
        rigid.fit_points(places, seen), (), rigid.Seen.points(places, seen), bench_of(0)[1], HEIGHT, HAND_MM
    )
    assert found.scale()[0] == pytest.approx(SimilarityTransform.from_estimate(places, seen).scale, rel=1e-9)


def test_a_piece_turned_over_is_noticed() -> None:
    front = pouch().pieces[0]
    places = named(front, "hole:pocket-1", "hole:pocket-91", "slot:slot-left-lower", "slot:slot-right-lower")
    over = Placement(LIES.x, LIES.y, LIES.turn_degrees, True)
    found = aim(0, places, laid(places, over))
    assert found.turned_over
    assert found.finding is not None
    assert found.finding.kind == "turned over"
    right = aim(0, places, laid(places, over), mirror=True)
    assert right.finding is None
    assert right.placement.apply([place.at for place in places]) == pytest.approx(laid(places, over), abs=0.5)


def test_two_places_too_far_apart_are_doubted() -> None:
    places = named(pouch().pieces[0], SLOTS[0], SLOTS[3])
    seen = laid(places)
    found = aim(0, places, seen + np.array([[0.0, 0.0], [6.0, 3.0]]))
    assert found.finding is not None
    assert "third" in found.finding.sentence
    assert found.finding.feature is None


def test_what_is_asked_for_holds_the_piece_from_all_sides() -> None:
    for family, draft in drafts.families().items():
        for piece in draft.draft({}).pieces:
            found = features(piece)
            assert len({feature.name for feature in found}) == len(found), family
            assert len({feature.title for feature in found}) == len(found), family
            chosen = [feature for feature in found if feature.name in asked(found)]
            equations = sum(1 if feature.normal else 2 for feature in chosen)
            assert equations >= 3, (family, piece.name)


def test_slots_and_holes_are_asked_for_once_they_are_made() -> None:
    front, steps = pouch().pieces[0], pouch().steps
    sorts = {step.name: {feature.sort for feature in made(features(front), steps, step, "front")} for step in steps}
    assert not sorts["cut-front"] & {"slot", "hole"}
    assert "slot" not in sorts["slots"]
    assert "slot" in sorts["prick"]
    assert {f.sort for f in made(features(front), steps, None, "front")} >= {"slot", "hole", "side"}


def test_ticks_reach_outward_and_never_onto_the_leather() -> None:
    keeper = drafts.get("strap").draft({}).piece("keeper")
    left, top, right, bottom = keeper.box()
    found = np.array(ticks(keeper))
    assert len(found) >= 4
    beyond = (found[..., 0] < left) | (found[..., 0] > right) | (found[..., 1] < top) | (found[..., 1] > bottom)
    assert beyond.all()


def test_no_places_are_refused() -> None:
    _, bench = bench_of(0)
    with pytest.raises(Refusal, match="Two places"):
        align(Aiming(bench, HEIGHT, pouch().pieces[0], []), mirror=False)
