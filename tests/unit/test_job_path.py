"""The way through a job: every place in order, on and back, to the end."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.services.work.job_path import ORDERS, JobPath, Leg, Order, Place

LEGS = st.lists(st.integers(0, 6), min_size=1, max_size=6).map(
    lambda counts: tuple(Leg(f"step {i}", strikes) for i, strikes in enumerate(counts))
)
PATHS = st.builds(JobPath, LEGS, st.integers(1, 5), st.sampled_from(ORDERS))


@given(PATHS, st.data())
def test_back_undoes_on(path: JobPath, data: st.DataObject) -> None:
    place = data.draw(st.sampled_from(path.places))
    assert path.go(path.go(place, 1), -1) == place


@given(PATHS, st.data())
def test_on_undoes_back_everywhere_but_at_the_beginning(path: JobPath, data: st.DataObject) -> None:
    place = data.draw(st.sampled_from(path.places))
    back = path.go(place, -1)
    assert back == place if place == path.places[0] else path.go(back, 1) == place


@given(PATHS)
def test_going_on_meets_every_place_once_and_ends_done(path: JobPath) -> None:
    met, place = [], path.places[0]
    while not place.done:
        met.append(place)
        place = path.go(place, 1)
    wanted = path.copies * sum(max(1, leg.strikes) for leg in path.legs)
    assert len(met) == len(set(met)) == wanted
    assert path.go(place, 1) == place, "there is nothing after the end"
    assert path.share(place) == 1.0
    shares = [path.share(one) for one in met]
    assert shares[0] == 0.0
    assert shares == sorted(set(shares))


def test_blow_to_blow_step_to_step_copy_to_copy_to_the_end() -> None:
    path = JobPath((Leg("cut"), Leg("prick", 2), Leg("sew")), copies=2)
    place, met = Place(1, "cut"), []
    for _ in range(8):
        place = path.go(place, 1)
        met.append((place.copy, place.step, place.strike, place.done))
    assert met == [
        (1, "prick", 0, False),
        (1, "prick", 1, False),
        (1, "sew", None, False),
        (2, "cut", None, False),
        (2, "prick", 0, False),
        (2, "prick", 1, False),
        (2, "sew", None, False),
        (2, "sew", None, True),
    ]


def test_each_step_for_all_copies() -> None:
    path = JobPath((Leg("cut"), Leg("prick", 2)), copies=2, order="step")
    found = [(place.copy, place.step, place.strike) for place in path.places]
    assert found == [
        (1, "cut", None),
        (2, "cut", None),
        (1, "prick", 0),
        (1, "prick", 1),
        (2, "prick", 0),
        (2, "prick", 1),
    ]


@pytest.mark.parametrize(
    ("kept", "meant"),
    [
        (Place(1, "prick", 9), Place(1, "prick", 2)),
        (Place(1, "prick", None), Place(1, "prick", 0)),
        (Place(2, "cut", 4), Place(2, "cut", None)),
        (Place(7, "cut"), Place(2, "cut")),
        (Place(2, "a step that was renamed", 3), Place(2, "cut")),
        (Place(2, "prick", 9, done=True), Place(2, "prick", 2, done=True)),
    ],
    ids=["fewer blows", "now blow by blow", "now whole", "fewer copies", "no such step", "done"],
)
def test_a_place_that_is_gone_becomes_the_nearest(kept: Place, meant: Place) -> None:
    path = JobPath((Leg("cut"), Leg("prick", 3)), copies=2)
    assert path.nearest(kept) == meant


@pytest.mark.parametrize(
    ("order", "after"),
    [("copy", Place(2, "cut")), ("step", Place(2, "prick", 0))],
    ids=["copy by copy", "step by step"],
)
def test_what_follows_is_the_next_step_not_the_next_blow(order: Order, after: Place) -> None:
    path = JobPath((Leg("cut"), Leg("prick", 3)), copies=2, order=order)
    assert path.following(Place(1, "prick", 1)) == after
    assert path.following(Place(2, "prick", 0)) is None


def test_going_back_takes_a_job_up_again_where_it_was_ended() -> None:
    path = JobPath((Leg("cut"), Leg("prick", 3)), copies=2)
    assert path.go(Place(1, "prick", 1, done=True), -1) == Place(1, "prick", 1)
