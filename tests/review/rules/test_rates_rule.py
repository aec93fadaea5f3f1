"""Heated or cooled faster than the job asks: hand-written scripts, straight lines of known slope."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest
from conftest import HOT
from earlier import QUICK
from scripted import above_notes, cut, edited, names, only, reviewed, stepped

from pacer.review.rules.cooling_rate import CoolingRate
from pacer.review.table import table
from pacer.units import Shown

LIMITED = HOT.replace("[joint]", '[heating]\nmax_rate = "600 delta_degC/hour"\n[joint]')
FURNACE = HOT.replace('"dry sand"', '"furnace"').replace('volume = "30 l"\n', "")
FURNACE_SET = FURNACE.replace("[cooldown]\n", '[cooldown]\nmax_rate = "40 delta_degC/hour"\n')


def straight(*legs: tuple[float, float], every_s: int, typed: bool = False) -> str:
    """Return readings along straight lines from leg to leg, (s, °C), after a press at 1 s."""
    lines = [f"0,{legs[0][1]:g}", "1,!next"]
    for (was_s, was_c), (next_s, next_c) in pairwise(legs):
        for t_s in range(round(was_s) + every_s, round(next_s) + 1, every_s):
            temp_c = was_c + (next_c - was_c) * (t_s - was_s) / (next_s - was_s)
            lines.append(f"{t_s},!reading {temp_c:.1f} degC" if typed else f"{t_s},{temp_c:.1f}")
    return "\n".join(lines) + "\n"


def furnace(rate_c_h: float, from_c: float = 262.0, typed: bool = False, hours: float = 2.0) -> str:
    """Return a part put into the furnace at 100 s, which cools at one rate."""
    hot = straight((0, 20), (4, from_c), (98, from_c), every_s=2) + "100,!covered\n"
    every_s = 300 if typed else 60
    legs = (100, from_c), (100 + 3600 * hours, from_c - rate_c_h * hours)
    return hot + straight(*legs, every_s=every_s, typed=typed).split("!next\n", 1)[1]


def test_heated_too_fast() -> None:
    """242 K in 1200 s are 726 K/h; 600 were asked for at most."""
    seen = stepped(Path("heated-too-fast.txt"), LIMITED)
    found = table(seen)
    assert above_notes(found) == ["heated too fast"]
    one = only(found, "heated too fast")
    assert one.said(Shown()).startswith("heated by 72")
    assert one.values["rate_c_h"] == pytest.approx(726.0, rel=0.01)
    assert one.times == pytest.approx(1.21, abs=0.01)
    # 100 K are risen after 496 s; two bins must be whole, and are 20 s long.
    assert 504.0 <= one.t_s <= 572.0
    # It rose until 1208 s; ten minutes that end 104 s later have still risen by 100 K.
    assert one.to_s is not None
    assert 1208.0 <= one.to_s <= 1312.0
    assert next(s.t_s for s in seen if s.record == one.record) == one.t_s
    assert one.limit is not None
    assert (one.limit.name, one.limit.origin) == ("heating.max_rate", "given")
    assert one.values[one.limit.value] == 600.0


@pytest.mark.parametrize(("rate_c_h", "fast"), [(510.0, False), (640.0, True)])
def test_nearly_too_fast(rate_c_h: float, fast: bool) -> None:
    """85 % of the limit, and a little beyond it."""
    script = straight((0, 20), (240 / rate_c_h * 3600, 260), every_s=8)
    assert ("heated too fast" in names(reviewed(script, LIMITED))) is fast


def test_no_limit_no_finding() -> None:
    """Nobody set one: a grill heats faster than any furnace, and that is its way."""
    assert names(reviewed(Path("heated-too-fast.txt"), HOT)) == []


@pytest.mark.parametrize(("rise_dc", "fast"), [(85, False), (115, True)])
def test_a_short_blast_counts_as_a_rise_in_ten_minutes(rise_dc: int, fast: bool) -> None:
    """In 100 s, then nothing: 600 K/h are 100 K in ten minutes."""
    script = straight((0, 100), (200, 100), (296, 100 + rise_dc), (1200, 100 + rise_dc), every_s=8)
    assert ("heated too fast" in names(reviewed(script, LIMITED))) is fast


def test_an_early_press_to_the_soak_ends_no_heating() -> None:
    """Pressed at 14 s, at some 22 °C: the rest is heated in the soak."""
    fast = edited("heated-too-fast.txt", ("16,22", "14,!next\n16,22"))
    found = reviewed(fast, LIMITED)
    preheat = next(row for row in found.phases if row.phase == "preheat")
    assert (preheat.from_s, preheat.to_s) == (1.0, 14.0)
    assert only(found, "heated too fast").times == pytest.approx(1.21, abs=0.01)


def test_a_reheat_is_no_heating() -> None:
    """60 K in 40 s, in the band."""
    assert "heated too fast" not in names(
        reviewed(Path("cooled-through.txt"), LIMITED.replace('"60 s"', '"3 s"'))
    )


def test_cooled_too_fast() -> None:
    """48 K/h in a furnace, whose limit is 40 without being set: a note, none is broken he set."""
    seen = stepped(Path("cooled-too-fast.txt"), FURNACE)
    found = table(seen)
    assert above_notes(found) == []
    one = only(found, "cooled too fast")
    assert one.values["rate_c_h"] == pytest.approx(48.0, rel=0.01)
    assert one.times == pytest.approx(1.2, abs=0.01)
    # A mean of half an hour, after the first 15 min.
    assert one.t_s >= 100 + 2700
    assert one.values["mean_s"] == 1800
    assert one.limit is not None
    assert one.limit.name == "cooldown.max_rate"
    assert "S04" in one.limit.origin
    cut(seen[::4], CoolingRate)


def test_a_limit_that_he_set_makes_it_a_finding() -> None:
    """The same 40 K/h, said in the job file."""
    found = reviewed(Path("cooled-too-fast.txt"), FURNACE_SET)
    assert above_notes(found) == ["cooled too fast"]


@pytest.mark.parametrize(("rate_c_h", "fast"), [(34.0, False), (42.0, True)])
def test_cooled_nearly_too_fast(rate_c_h: float, fast: bool) -> None:
    """85 % of the furnace's limit, and a little beyond it."""
    assert ("cooled too fast" in names(reviewed(furnace(rate_c_h), FURNACE))) is fast


def test_below_150_degrees_no_rate_is_judged() -> None:
    """60 K/h, from where the half hour ends below it."""
    cooler = furnace(60.0, from_c=175.0)
    assert "cooled too fast" not in names(reviewed(cooler, FURNACE))


IN_SAND = HOT.replace("[cooldown]\n", '[cooldown]\nmax_rate = "60 delta_degC/hour"\n')


def covered(*legs: tuple[float, float]) -> str:
    """Return a part covered at 100 s that cools along straight lines, (s since, °C)."""
    hot = straight((0, 20), (4, 262), (98, 262), every_s=2) + "100,!covered\n"
    later = [(100 + t_s, temp_c) for t_s, temp_c in legs]
    return hot + straight(*later, every_s=60).split("!next\n", 1)[1]


@pytest.mark.parametrize(("rate_c_h", "fast"), [(80.0, True), (51.0, False)])
def test_what_it_fell_above_150_degrees_in_half_an_hour_counts(rate_c_h: float, fast: bool) -> None:
    """From 15 min on down to 150 °C in ten minutes, then on to 60: half an hour's fall all the same."""
    script = covered((0, 262), (900, 150.0 + rate_c_h / 2.0), (1500, 150), (6000, 60))
    found = reviewed(script, IN_SAND)
    assert above_notes(found) == (["cooled too fast"] if fast else [])
    if fast:
        one = only(found, "cooled too fast")
        # Of two means in a row the lesser: the second begins a bin later.
        assert 60.0 < one.values["rate_c_h"] < rate_c_h
        assert " or more over 30 min, down to 150 °C; " in one.said(Shown())


def test_too_short_to_judge_is_a_note() -> None:
    """262 to 150 °C in 9 min, 10 by the median of three: all of it in the quarter of an hour that no limit is meant for."""
    found = reviewed(covered((0, 262), (540, 150), (2000, 100), (9000, 60)), IN_SAND)
    one = only(found, "cooled too fast")
    assert (one.weight, one.times) == ("note", None)
    assert one.values["took_s"] == pytest.approx(540.0, abs=61.0)
    assert one.values["rate_c_h"] == pytest.approx(112.0 / 600.0 * 3600.0, rel=0.01)
    assert one.said(Shown()).endswith(
        "at most 60 K/h was asked for, but a rate is judged above 150 °C alone, by means of "
        "30 min, from 15 min after the cover"
    )
    # Nobody asked for a furnace's default.
    assert "cooled too fast" not in names(
        reviewed(covered((0, 262), (540, 150), (2000, 100), (9000, 60)), FURNACE)
    )


def test_slow_enough_all_the_way_is_silent() -> None:
    """165 to 150 °C in 20 min, 45 K/h: no mean can be judged, and none would be too fast."""
    hot = straight((0, 20), (4, 165), (98, 165), every_s=2) + "100,!covered\n"
    cold = straight((100, 165), (1300, 150), (5000, 110), every_s=60).split("!next\n", 1)[1]
    assert "cooled too fast" not in names(reviewed(hot + cold, IN_SAND))


def test_the_first_quarter_of_an_hour_is_left_out() -> None:
    """50 K at once, then 30 K/h."""
    hot = straight((0, 20), (4, 262), (98, 262), every_s=2) + "100,!covered\n"
    legs = (100, 262), (700, 212), (6000, 168)
    script = hot + straight(*legs, every_s=60).split("!next\n", 1)[1]
    assert "cooled too fast" not in names(reviewed(script, FURNACE))


def test_a_quarter_of_an_hour_is_no_mean() -> None:
    """70 K/h for 15 min, then 5: 37.5 K/h over that half hour."""
    hot = straight((0, 20), (4, 262), (98, 262), every_s=2) + "100,!covered\n"
    legs = (100, 262), (1000, 252), (1900, 234.5), (9000, 224.6)
    script = hot + straight(*legs, every_s=60).split("!next\n", 1)[1]
    assert "cooled too fast" not in names(reviewed(script, FURNACE))


def test_in_sand_without_a_limit_no_rate_is_judged() -> None:
    """Some 60 K in the first hour, well over any furnace's rate: a normal burial is silent."""
    assert "cooled too fast" not in names(reviewed(Path("channels-apart.txt"), QUICK))


@pytest.mark.parametrize(("rate_c_h", "fast"), [(60.0, False), (110.0, True)])
def test_typed_readings_have_their_errors(rate_c_h: float, fast: bool) -> None:
    """Each may be 10 K off: what two of them can make of 40 K/h is no finding."""
    script = furnace(rate_c_h, from_c=290.0, typed=True, hours=1.2)
    assert ("cooled too fast" in names(reviewed(script, FURNACE))) is fast
