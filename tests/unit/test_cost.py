"""The account: areas, waste, thread, hardware, time by step, price."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calibration.refusal import Refusal
from server.geometry.build import polyline
from server.leather import drafts
from server.leather.cost import Hardware, Rates, account, cutting_value, markup_for, net_area, waste_share, work_of
from server.leather.pattern import Pattern, Seam, Step
from server.leather.piece import Drawn, Piece

EDGE = polyline([(0, 0), (200, 0), (200, 100), (0, 100)], closed=True)
SLOT = polyline([(50, 40), (60, 40), (60, 60), (50, 60)], closed=True)


def step(name: str, roles: tuple[str, ...], lines: tuple[str, ...] = ()) -> Step:
    return Step(name, name.title(), "", "panel", roles, lines, 1, (), "")  # type: ignore[arg-type]


def made() -> Pattern:
    drawn = (
        Drawn("cut", EDGE, "outline"),
        Drawn("slot", SLOT, "slot"),
        Drawn("fold", polyline([(0, 50), (200, 50)]), "fold"),
        Drawn("mark", polyline([(0, 10), (200, 10)]), "glue-edge"),
        Drawn("stitch", polyline([(4, 4), (104, 4)]), "side"),
    )
    seams = (
        Seam("side", "Side", "panel", False, 26, 25, 4.0, 100.0, 2, 750.0, 6, ((6, 5),)),
        Seam("other", "Other", "panel", False, 26, 25, 4.0, 100.0, 2, 0.0, 6, ((6, 5),), "side"),
    )
    steps = (
        step("cut", ("cut", "mark")),
        step("slots", ("slot",)),
        step("fold", ("fold", "mark")),
        step("glue", ("mark",), ("glue-edge",)),
        step("scribe", ("stitch",)),
        step("prick", ("hole",)),
        step("prick-side", ("hole",), ("side",)),
        step("sew", ("stitch", "hole")),
    )
    return Pattern("test", "Test", {}, (Piece("panel", "Panel", drawn),), seams, steps, (), ())


def test_area_in_dm2_and_square_feet_net_and_with_waste() -> None:
    found = account(made(), Rates(waste_markup=0.25))
    assert found.net_dm2 == pytest.approx(2.0)
    assert found.bought_dm2 == pytest.approx(2.5)
    assert found.net_sqft == pytest.approx(2.0 / 9.290304)
    assert found.bought_sqft == pytest.approx(2.5 / 9.290304)
    assert "20 % of it waste" in found.lines[0].formula
    assert net_area(made(), {"panel": 3}) == pytest.approx(6.0)


def test_time_by_step_is_what_the_light_shows_times_the_rate() -> None:
    rates = Rates(
        cutting=10, slot=2, fold=3, gluing=20, scribing=30, blow=0.5, stitch=0.2, setting_up=1.0, steps={"scribe": 7.0}
    )
    minutes = {work.step: work.minutes for work in work_of(made(), rates)}
    assert minutes == pytest.approx(
        {
            "cut": 1 + 0.6 * 10,
            "slots": 1 + 2,
            "fold": 1 + 3,
            "glue": 1 + 0.2 * 20,
            "scribe": 7.0,
            "prick": 1 + 12 * 0.5,
            "prick-side": 1 + 6 * 0.5,
            "sew": 1 + 25 * 0.2,
        }
    )
    assert work_of(made(), rates)[0].formula == "1 + 0.6 m cut x 10 = 7.0 min"


def test_the_price_is_materials_and_time_and_profit() -> None:
    rates = Rates(
        leather=2.0,
        waste_markup=0.5,
        thread=4.0,
        hour=60.0,
        profit=0.25,
        steps=dict.fromkeys([s.name for s in made().steps], 5.0),
    )
    found = account(made(), rates, [Hardware("snap", 4, 0.5)])
    assert found.materials == pytest.approx(3.0 * 2.0 + 0.75 * 4.0 + 4 * 0.5)
    assert found.minutes == pytest.approx(40.0)
    assert found.cost == pytest.approx(11.0 + 40.0)
    assert found.price == pytest.approx(51.0 * 1.25)
    assert found.words == "3.0 dm2 (0.32 sq ft) of leather, 40 min, materials 11.00, price 63.75"
    assert account(made(), rates, thread_mm=2000.0).materials == pytest.approx(6.0 + 8.0)


def test_a_draft_has_an_account() -> None:
    pattern = drafts.get("belt-pouch").draft({})
    found = account(pattern, Rates(leather=0.3, thread=0.1, hour=30.0))
    assert {work.step for work in found.work} == {one.name for one in pattern.steps}
    assert 3.5 < found.net_dm2 < 5.0
    assert " h " in found.words
    assert found.lines[1].quantity == pytest.approx(sum(seam.thread_mm for seam in pattern.seams) / 1000)


@settings(deadline=None)
@given(st.floats(0, 5))
def test_waste_and_markup_are_inverse(markup: float) -> None:
    assert markup_for(waste_share(markup)) == pytest.approx(markup)


@pytest.mark.parametrize("bad", [{"leather": -1.0}, {"hour": math.nan}, {"stitch": math.inf}, {"steps": {"sew": -2.0}}])
def test_rates_below_nothing_are_refused(bad: dict[str, float]) -> None:
    with pytest.raises(Refusal) as caught:
        Rates(**bad)  # type: ignore[arg-type]
    assert caught.value.field in {*bad, "sew"}


def test_areas_that_cannot_be_are_refused() -> None:
    with pytest.raises(Refusal):
        markup_for(1.0)
    with pytest.raises(Refusal):
        cutting_value(100, 120)
