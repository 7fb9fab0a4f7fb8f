"""New sessions and mistakes: decided and named as the tables of ``tests.bench.session`` show, within bounds."""

from __future__ import annotations

from collections import Counter

import numpy as np
import pytest

from calibration.blunder import find_blunder
from calibration.sightings import read
from tests.bench import measure
from tests.bench.measure import bench_number
from tests.bench.session import KNOCKS, MISTAKES, Spoil, marks_and_tape, mistake, session

BENCHES = 60
TRIED = 8


def decisions(knock: str, count: int, own: bool) -> Counter[str]:
    return Counter(session(index, knock, count, own).session.decision for index in range(BENCHES))


@pytest.mark.parametrize("own", [True, False])
@pytest.mark.parametrize("count", [2, 4])
def test_a_bench_at_rest_is_mostly_called_still(count: int, own: bool) -> None:
    told = decisions("nothing", count, own)
    assert told["anew"] == 0
    assert told["shifted"] <= 9  # 5 % of 60 is 3; 9 or more by chance in 0.3 % of runs


@pytest.mark.parametrize("own", [True, False])
def test_a_knock_is_mended_from_three_sightings(own: bool) -> None:
    seen = [session(index, "0.15 degrees, 1 mm", 3, own) for index in range(BENCHES)]
    mended = [one for one in seen if one.session.decision == "shifted"]
    assert len(mended) >= BENCHES - 3
    assert np.median([one.before for one in mended]) > 3.0
    assert np.median([one.after for one in mended]) < 0.65
    assert 0.91 < np.mean([one.covered for one in mended]) < 0.995


@pytest.mark.parametrize("knock", ["2 degrees, 20 mm", "zoom 3 %"])
def test_more_than_a_shift_is_never_mended(knock: str) -> None:
    assert decisions(knock, 4, True)["anew"] >= BENCHES - 2


def test_every_knock_is_in_the_tables() -> None:
    assert len(KNOCKS) == 5


@pytest.mark.parametrize(("sight", "spoil"), [m[1:] for m in MISTAKES], ids=[title for title, _, _ in MISTAKES])
def test_mistakes_are_named(sight: measure.Sight, spoil: Spoil) -> None:
    came = Counter(mistake(index, sight, spoil) for index in range(TRIED))
    assert came["right"] >= TRIED - 1 - came["missed small"] - came["none to make"]


@pytest.mark.parametrize("sight", [measure.marks, measure.tape, marks_and_tape])
def test_faultless_sightings_are_seldom_accused(sight: measure.Sight) -> None:
    accused = sum(find_blunder(read(sight(*bench_number(index)))) is not None for index in range(BENCHES))
    assert accused <= 9
