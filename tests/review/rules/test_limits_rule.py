"""Too hot in the flame, cooled through, a reheat missed: hand-written scripts.

Band 200-260-300 °C. The track is the median of three readings two seconds apart, so what it
crosses shows one reading later than in the script.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from conftest import HOT
from earlier import QUICK
from scripted import above_notes, cut, edited, names, only, reviewed, shows_from, stepped

from pacer.review.rules.limits import Limits
from pacer.review.rules.rule import Step
from pacer.session.events import Act
from pacer.units import Shown


def deed(seen: list[Step], record: int | None) -> str:
    """Return what was done in a record."""
    (step,) = (s for s in seen if s.record == record)
    assert isinstance(step.event, Act)
    return step.event.deed


def repair(*legs: tuple[float, float], arc_s: float | None = None) -> str:
    """Return a repair with one bead from 20.5 s, then straight lines; a second arc at `arc_s`."""
    points = [(4.0, 262.0), (20.0, 262.0), (32.0, 264.0), *legs]
    times, temps = zip(*points, strict=True)
    lines = [(t, f"{np.interp(t, times, temps):.0f}") for t in range(4, round(times[-1]) + 1, 2)]
    deeds = [(20.5, "!arc on"), (30.7, "!arc off"), (32.5, "!peen")]
    if arc_s is not None:
        deeds += [(arc_s + 0.5, "!arc on"), (arc_s + 10.7, "!arc off"), (arc_s + 12.5, "!peen")]
    start = [(0, "20"), (1, "!next"), (2, "150")]
    return "".join(f"{t:g},{what}\n" for t, what in sorted([*start, *lines, *deeds]))


def held_cold(to_s: int, then: str = "!note warm") -> str:
    """Return the script with 190 °C up to `to_s` only, and 210 °C and more from then on."""
    late = [(f"{t},190", f"{t},210") for t in range(to_s, 150, 2)]
    return edited("cooled-through.txt", *late, ("150,193", "150,210"), ("152,197", f"152,{then}"))


def test_too_hot_in_the_flame() -> None:
    """Above 300 °C from 24 to 36 s in the script; 10 s are allowed."""
    seen = stepped(Path("above-the-ceiling.txt"), HOT)
    found = reviewed(Path("above-the-ceiling.txt"), HOT)
    assert above_notes(found) == ["above the ceiling"]
    one = only(found, "above the ceiling")
    assert one.said(Shown()) == "above the ceiling 300 °C for 12 s, up to 308 °C"
    assert (one.t_s, one.to_s, one.times) == (26.0, 38.0, 1.2)
    assert next(s.t_s for s in seen if s.record == one.record) == one.t_s
    assert one.limit is not None
    assert one.limit.name == "band.ceiling"
    assert one.limit.origin == "given; for 10 s: common practice, no source"


def test_too_hot_for_nearly_as_long() -> None:
    """8 s, told by TOO_HOT all the same: 80 % of the limit."""
    short = edited("above-the-ceiling.txt", ("34,308", "34,292"), ("36,308", "36,280"))
    assert "above the ceiling" not in names(reviewed(short, HOT))


def test_the_heat_of_an_arc_is_no_flame() -> None:
    """Held at once after the bead, its heat takes the probe to 310 °C for a while."""
    hot = [(f"{t},262", f"{t},310") for t in range(92, 110, 2)]
    script = edited("above-the-ceiling.txt", *hot, ("36,308", "36,290"), ("34,308", "34,290"))
    held = script.replace("92,310", "92,310\n93,!hold")
    found = reviewed(held, HOT)
    assert [e.kind for e in found.excursions] == ["above the ceiling"] * 2
    assert "above the ceiling" not in names(found)


def test_cooled_through() -> None:
    """Below 200 °C from 84 to 152 s; 60 s are allowed. The track is one reading late."""
    found = reviewed(Path("cooled-through.txt"), QUICK)
    assert above_notes(found) == ["cooled through"]
    one = only(found, "cooled through")
    assert one.said(Shown()) == "below the floor 200 °C for 68 s between beads, down to 190 °C"
    assert (one.t_s, one.to_s, one.times) == (86.0, 154.0, 1.13)
    assert one.limit is not None
    assert (one.limit.name, one.values[one.limit.value]) == ("band.floor", 200.0)


def test_cooled_for_nearly_as_long() -> None:
    """Up to 136 s: 51 s, 85 % of the limit. A moment above it in between ends nothing."""
    assert above_notes(reviewed(held_cold(136), QUICK)) == []
    wobble = edited("cooled-through.txt", ("120,190", "120,202"), ("122,190", "122,202"))
    assert only(reviewed(wobble, QUICK), "cooled through").values["lasted_s"] == 68.0


def test_cooled_through_shows_however_it_is_cut() -> None:
    """Nothing raises; from 62 s below the floor on it stands, and stays."""
    seen = stepped(Path("cooled-through.txt"), QUICK)
    record = shows_from(seen, Limits, "cooled through")
    assert next(s.t_s for s in seen if s.record == record) == 148.0


def test_reheat_missed() -> None:
    """Called at 84 s; struck at 190 °C after 62.5 s below the floor, nothing heated."""
    found = reviewed(Path("reheat-missed.txt"), QUICK)
    assert above_notes(found) == ["bead below the floor", "reheat missed"]
    one = only(found, "reheat missed")
    assert (one.t_s, one.to_s, one.bead, one.place, one.times) == (86.0, 148.5, 2, 2, 1.04)
    assert one.said(Shown()) == (
        "REHEAT stood and nothing was heated: below the floor 200 °C for 62 s, down to 190 °C, "
        "and bead 2 was struck all the same"
    )
    cut(stepped(Path("reheat-missed.txt"), QUICK), Limits)


def test_struck_sooner_it_is_the_bead_s_finding_alone() -> None:
    """51 s below the floor before the arc: 85 % of the limit; the bead's heat brings it back."""
    script = repair((50, 264), (84, 196), (100, 190), (138, 190), (148, 210), (200, 220), arc_s=137)
    assert above_notes(reviewed(script, QUICK)) == ["bead below the floor"]


def test_heated_before_it_was_struck_it_was_not_missed() -> None:
    """Up to 197 °C again: too cold still, but the reheat had begun."""
    script = repair((50, 264), (84, 196), (100, 190), (148, 190), (155, 197), (200, 220), arc_s=158)
    found = reviewed(script, QUICK)
    assert above_notes(found) == ["bead below the floor", "cooled through"]


def test_before_any_bead_a_part_is_only_not_hot_yet() -> None:
    """The one press that struck a bead is taken back: cold as it is, there is nothing to spoil."""
    script = edited(
        "cooled-through.txt",
        ("20.5,!arc on", "20.5,!next"),
        ("30.7,!arc off", ""),
        ("32.5,!peen", ""),
    )
    assert "cooled through" in names(reviewed(script, QUICK))
    undone = script.replace("24,263", "24,!undo")
    assert [bead.number for bead in reviewed(undone, QUICK).beads] == [1]
    assert "cooled through" not in names(reviewed(undone, QUICK))


@pytest.mark.parametrize(("seconds", "through"), [(50, False), (80, True)])
def test_by_hand_it_counts_from_reading_to_reading(seconds: int, through: bool) -> None:
    """Typed readings below the floor; nothing is taken for granted between the last and the next."""
    ready = "0,!next\n5,!reading 262 degC\n6,!next\n12,!reading 262 degC\n20,!next\n"
    bead = "30.5,!next\n33,!next\n60,!reading 240 degC\n"
    cold = f"100,!reading 195 degC\n{100 + seconds},!reading 192 degC\n400,!reading 250 degC\n"
    found = reviewed(ready + bead + cold, QUICK)
    assert [f.values["lasted_s"] for f in found.findings if f.name == "cooled through"] == (
        [seconds] if through else []
    )
