"""What a maker types becomes millimetres, or one sentence."""

from __future__ import annotations

import contextlib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calibration.refusal import Refusal
from server import units


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("3 1/2 in", 88.9),
        ("3.5in", 88.9),
        ("3-1/2 in", 88.9),
        ("3½ in", 88.9),
        ("½ in", 12.7),
        ('5 3/4"', 146.05),
        ("5 3/4″", 146.05),
        ("3/8 in", 9.525),
        ("7/2 inches", 88.9),
        ("89 mm", 89.0),
        ("89", 89.0),
        (" 89 ", 89.0),
        ("8.9cm", 89.0),
        ("8,9 cm", 89.0),
        (".5 cm", 5.0),
        ("0", 0.0),
        (12.5, 12.5),
        (3, 3.0),
        ("1 INCH", 25.4),
    ],
)
def test_length(text: str | float, mm: float) -> None:
    assert units.length(text, field="width") == mm


@pytest.mark.parametrize(
    ("text", "mm"),
    [("8 oz", 3.175), ("4-5 oz", 1.7859375), ("4–5 oz", 1.7859375), ("4 to 5oz", 1.7859375), ("2,4 mm", 2.4)],
)
def test_leather(text: str, mm: float) -> None:
    assert units.leather(text, field="leather") == mm


BAD = [
    "", "   ", "nan", "inf", "-inf", "-3", "-3 mm", "- 3", "abc", "3 5/4 in", "3/0", "1e3", "1.2.3", "1,234.5", "3 furlong",
    "3 in 1/2", "3 mm 4", "4-5 mm", "--3", "1/2/3", "3 1/2 1/2", "3'", "5 %", "mm", "1" * 41, float("nan"), float("inf"),
    -1.0, True, None, [3],
]  # fmt: skip


@pytest.mark.parametrize("text", [*BAD, "8 oz", "4-5 oz"])
def test_length_refuses_in_one_sentence_that_names_the_field(text: str) -> None:
    with pytest.raises(Refusal) as caught:
        units.length(text, field="slot-width")
    sentence = caught.value.sentence
    assert caught.value.field == "slot-width"
    assert sentence.startswith("slot-width")
    assert sentence.endswith(".")
    assert "\n" not in sentence
    assert len(sentence) < 200


@pytest.mark.parametrize("text", [*BAD, "5-4 oz", "4-4 oz", "4- oz", "-4 oz", "4-5-6 oz", "4-nan oz"])
def test_leather_refuses_too(text: str) -> None:
    with pytest.raises(Refusal) as caught:
        units.leather(text, field="leather")
    assert caught.value.field == "leather"


@pytest.mark.parametrize(
    ("mm", "metric", "inches"),
    [(88.9, "88.9 mm", "3 1/2 in"), (101.6, "101.6 mm", "4 in"), (9.525, "9.525 mm", "3/8 in"), (0, "0 mm", "0 in"),
     (20, "20 mm", "0.787 in"), (-12.7, "-12.7 mm", "-1/2 in"), (0.396875, "0.397 mm", "1/64 in")],
)  # fmt: skip
def test_write_length(mm: float, metric: str, inches: str) -> None:
    assert units.write_length(mm) == metric
    assert units.write_length(mm, "in") == inches


@settings(deadline=None)
@given(st.integers(0, 64 * 40))
def test_what_is_written_in_inches_reads_back(sixty_fourths: int) -> None:
    mm = sixty_fourths * 25.4 / 64
    assert units.length(units.write_length(mm, "in"), field="x") == pytest.approx(mm, abs=1e-9)


@settings(deadline=None)
@given(st.text(max_size=30))
def test_any_text_is_a_length_or_a_refusal(text: str) -> None:
    """Any other error would fail the test."""
    with contextlib.suppress(Refusal):
        assert units.leather(text, field="leather") >= 0
