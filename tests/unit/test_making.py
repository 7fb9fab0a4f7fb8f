"""A pattern as it is made with one rack: its one set of numbers, its hardware, its waits, and money in words."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from calibration.refusal import Refusal
from server.cli import main
from server.geometry.region import area
from server.leather import drafts
from server.leather.choose import irons_for, review, sentences, thread_in_use
from server.leather.cost import Rates, account, money, net_area, work_of
from server.leather.hardware import wanted
from server.leather.order import pricked, sewn, times_cut
from server.leather.pattern import Pattern, Seam
from server.leather.rack import ChiselRow, Rack, Thread, Waiting, starter
from server.services.making import sewing
from server.services.making.rack_words import minutes, written_time
from server.services.making.strikes import by_the_light, of_seam, told
from server.services.making.waits import waits
from server.services.pattern import drafting

FAMILIES = sorted(drafts.families())
FOUR, FIVE = ChiselRow(4.0, (6, 2, 1), 2.2), ChiselRow(5.0, (4, 1), 2.8)


def usual(family: str) -> Pattern:
    """Return a family drafted with its usual measures."""
    return drafting.draft(family, {})


@pytest.mark.parametrize("family", FAMILIES)
def test_one_set_of_numbers(family: str) -> None:
    """Blows and thread are said once, by the plan for the rack, and the seams, sentences and steps agree on them."""
    rack = starter()
    made = sewing.work(usual(family), rack)
    words = [sentence.words for sentence in made.pattern.sentences]
    steps = [step.words for step in made.pattern.steps]
    assert sum(" blows with the irons of the starter rack: " in text for text in words) == bool(made.pattern.seams)
    assert not any("mm of thread" in text for text in [*words, *steps])
    assert sum(seam.thread_mm for seam in made.pattern.seams) == pytest.approx(made.thread_mm)
    assert sum(seam.strikes for seam in made.pattern.seams) == sum(
        len(of_seam(made.pattern, seam, rack)) for seam in made.pattern.seams
    )
    assert [step.name for step in made.pattern.steps if "Thread: " in step.words] == [
        step.name for step in made.pattern.steps if sewn(made.pattern, step)
    ]
    assert "pricking irons" not in {tool for step in made.pattern.steps for tool in step.tools}


@pytest.mark.parametrize("family", FAMILIES)
def test_the_starter_rack_serves_every_family(family: str) -> None:
    """With its usual measures no draft asks for what a starter rack has not."""
    assert [sentence.words for sentence in sentences(review(usual(family), starter()))] == []


@pytest.mark.parametrize("family", FAMILIES)
def test_each_thread_is_led_within_its_own_step(family: str) -> None:
    """A thread sews no seam of another step: the steps are done one after another."""
    pattern = usual(family)
    for one in sewing.routes(pattern):
        own = {seam.name for seam in sewn(pattern, pattern.step(one.step))}
        assert {leg.seam for leg in one.route.legs} <= own


def seam(pitch: float, mate: str = "") -> Seam:
    """Return a seam of that pitch."""
    return Seam("s", "Seam", "p", False, 21, 20, pitch, 20 * pitch, 2, 0.0, 0, (), mate)


def test_irons_chosen_for_the_work_come_first_where_they_suit() -> None:
    """4.8 mm is nearer to 5; irons of 4 mm are 17 % off and never taken; a mate takes the nearest anyway."""
    rack = Rack(chisels=(FOUR, FIVE, ChiselRow(4.7, (2,), 2.0)))
    assert irons_for(rack, seam(4.8))[0] == rack.chisels[2]
    assert irons_for(replace(rack, irons_in_use=5.0), seam(4.8)) == (FIVE, None)
    assert irons_for(replace(rack, irons_in_use=4.0), seam(4.8))[0] == rack.chisels[2]
    assert irons_for(replace(rack, irons_in_use=5.0), seam(4.8, mate="other"))[0] == rack.chisels[2]
    with pytest.raises(Refusal):
        irons_for(replace(rack, irons_in_use=3.0), seam(4.8))


def test_the_thread_chosen_for_the_work_is_used_even_where_it_is_warned_of() -> None:
    """Else the thickest that suits the first seam's irons."""
    rack = Rack(chisels=(FOUR,), threads=(Thread("fine", 0.5), Thread("cord", 1.4)))
    found = thread_in_use(rack, [seam(4.0)])
    assert found is not None
    assert found.name == "fine"
    chosen = thread_in_use(replace(rack, thread_in_use="cord"), [seam(4.0)])
    assert chosen is not None
    assert chosen.name == "cord"
    assert thread_in_use(rack, []) is None


def test_rows_set_by_the_light_where_the_pitch_differs() -> None:
    """20 stitches of 3.95 mm struck with 4 mm irons end 20 x 0.05 = 1.0 mm too far; of 4.005 mm nothing is to see."""
    rack = Rack(chisels=(FOUR,))
    words = by_the_light(seam(3.95), rack)
    assert words is not None
    assert "1.0 mm beyond its place" in words
    assert by_the_light(seam(4.005), rack) is None
    assert by_the_light(seam(5.0), rack) is None


def test_single_tines_one_after_another_are_told_together() -> None:
    """Every blow is told once, in order."""
    pattern = usual("belt-pouch")
    blows = of_seam(pattern, pattern.seam("ring-left"), starter())
    sentences_ = told(blows)
    assert [one.first for one in sentences_] == [1, *(one.last + 1 for one in sentences_[:-1])]
    assert sentences_[-1].last == len(blows)
    assert any(one.last > one.first and "hole by hole" in one.words for one in sentences_)


@pytest.mark.parametrize(
    ("family", "measures", "names"),
    [
        ("flap-pouch", {"closure": 0.0}, [("snap", 1)]),
        ("flap-pouch", {"closure": 1.0}, [("stud", 1)]),
        ("flap-pouch", {"closure": 2.0}, []),
        ("strap", {"fixing": 0.0}, [("buckle", 1), ("screw or snap", 2)]),
        ("strap", {"fixing": 1.0}, [("buckle", 1)]),
        ("tray", {"fixing": 0.0}, [("snap", 4)]),
        ("tray", {"fixing": 1.0}, [("rivet", 4)]),
        ("tray", {"fixing": 2.0}, []),
        ("sheath", {}, [("snap", 1)]),
        ("key-fob", {"ring": 30.0}, [("ring, 30 mm inside", 1)]),
        ("belt-pouch", {}, []),
    ],
)
def test_a_family_asks_for_its_own_hardware(
    family: str, measures: dict[str, float], names: list[tuple[str, int]]
) -> None:
    """By the choices it was drafted with; as many as there are places for them on the pattern."""
    assert [(one.name, one.count) for one in wanted(drafting.draft(family, measures))] == names


def test_a_tray_has_a_hole_for_each_snap() -> None:
    """Four snaps, and two halves of each: eight holes."""
    pattern = usual("tray")
    holes = [drawn for piece in pattern.pieces for drawn in piece.drawn if drawn.role == "slot"]
    assert len(holes) == 2 * wanted(pattern)[0].count


def test_waits_say_whose_time_it_is() -> None:
    """The maker's, or common practice; a step without glue or water waits for nothing."""
    pattern = usual("belt-pouch")
    glue, cut = pattern.step("glue"), pattern.step("cut-front")
    own = waits(glue, Rack(waiting=Waiting(tacky=5.0)))
    assert [(one["kind"], one["own"]) for one in own] == [("tacky", True), ("joint", False)]
    assert own[0]["words"] == "Leave the glue 5 min until it is tacky before you join the faces (from your rack)."
    assert "common practice" in own[1]["words"]
    assert waits(cut, Rack()) == []
    moulded = drafting.draft("flap-pouch", {"front": 1.0})
    assert [one["kind"] for one in waits(moulded.step("mould"), Rack())] == ["drying"]


@pytest.mark.parametrize(
    ("text", "value", "again"),
    [
        ("10", 10.0, "10 min"),
        ("10 min", 10.0, "10 min"),
        ("1,5 h", 90.0, "1.5 h"),
        ("2 hours", 120.0, "2 h"),
        ("1 day", 1440.0, "1 day"),
        ("1.5 days", 2160.0, "1.5 days"),
        ("100 min", 100.0, "100 min"),
    ],
)
def test_times_as_a_maker_writes_them(text: str, value: float, again: str) -> None:
    """And back in words."""
    assert minutes(text, "f") == value
    assert written_time(value) == again


@pytest.mark.parametrize("text", ["", "soon", "-1 h", "1 h 20", "nan", "1e9", "400 h"])
def test_what_is_no_time_is_refused(text: str) -> None:
    """By its field."""
    with pytest.raises(Refusal) as caught:
        minutes(text, "waiting.joint")
    assert caught.value.field == "waiting.joint"


@pytest.mark.parametrize(
    ("sign", "words"), [("", "12.50"), ("\u20ac", "\u20ac12.50"), ("kr", "12.50 kr"), ("Fr.", "12.50 Fr.")]
)
def test_money_carries_the_maker_s_sign(sign: str, words: str) -> None:
    """A sign before the number, letters after it."""
    assert money(12.5, sign) == words


def test_a_step_that_pricks_and_sews_takes_the_time_of_both() -> None:
    """The card holder's pocket bases are pricked and sewn in one step."""
    pattern = usual("card-holder")
    step = next(step for step in pattern.steps if pricked(pattern, step) and sewn(pattern, step))
    blows = sum(seam.strikes for seam in pricked(pattern, step))
    stitches = sum(seam.stitches for seam in sewn(pattern, step))
    time = {work.step: work.minutes for work in work_of(pattern, Rates(blow=0.5, stitch=0.25, setting_up=2.0))}
    assert time[step.name] == pytest.approx(2.0 + 0.5 * blows + 0.25 * stitches)


def test_an_account_of_copies() -> None:
    """Materials by the copy; a step is set up once for all."""
    pattern = usual("tray")
    one = account(pattern, Rates(leather=1.0, hour=60.0, setting_up=3.0))
    ten = account(pattern, Rates(leather=1.0, hour=60.0, setting_up=3.0), copies=10)
    assert ten.materials == pytest.approx(10 * one.materials)
    assert ten.minutes == pytest.approx(10 * one.minutes - 9 * 3.0 * len(pattern.steps))
    assert ten.each == pytest.approx(ten.price / 10)


def test_a_piece_is_cut_and_paid_as_often_as_its_label_says() -> None:
    """The card holder's T pockets: one drawing, cut once for each pocket but the front one."""
    pattern = drafting.draft("card-holder", {"pockets": 4.0})
    often = {piece.name: times_cut(piece) for piece in pattern.pieces}
    assert often["t-pocket"] == 3
    assert often["body"] == 1
    outlines = {piece.name: area(piece.outline.flatten(0.005)) / 1e4 for piece in pattern.pieces}
    assert net_area(pattern) == pytest.approx(sum(often[name] * dm2 for name, dm2 in outlines.items()))
    minutes_ = {work.step: work.minutes for work in work_of(pattern, Rates(cutting=10.0, setting_up=0.0))}
    assert minutes_["cut-t-pocket"] == pytest.approx(3 * pattern.piece("t-pocket").outline.length / 100.0)


def test_the_command_counts_for_the_starter_rack_and_says_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """There is no maker's rack on the command line."""
    assert main(["draft", "key-fob", "--out", str(tmp_path / "fob.svg")]) == 0
    said = capsys.readouterr().out
    assert " blows with the irons of the starter rack: " in said
    assert said.count(" blows ") == 1
    assert "with tails and joins" in said
