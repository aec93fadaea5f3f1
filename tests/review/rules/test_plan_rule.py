"""Fewer beads than planned, a post-heat hold cut short or left out: hand-written scripts."""

from __future__ import annotations

from pathlib import Path

import pytest
from earlier import QUICK
from scripted import above_notes, cut, edited, names, only, reviewed, shows_from, stepped

from pacer.job.file.read import job_from_text
from pacer.job.plan import plan
from pacer.review.rules.plan import Plan
from pacer.units import Shown


def small(crack: str) -> str:
    """Return the job of a groove 3 mm deep: two runs, or one of thick beads."""
    thin = QUICK.replace('wall = "12 mm"', 'wall = "5 mm"')
    return thin.replace('crack_length = "75 mm"', f'crack_length = "{crack}"\ndepth = "3 mm"')


FOUR, TWO = small("50 mm"), small("25 mm")


def test_the_jobs_are_what_the_tests_say() -> None:
    """4 beads or 2 thick ones; 2 beads or 1."""
    for job, beads, least in ((FOUR, 4, 2), (TWO, 2, 1)):
        made = plan(job_from_text(job, "small.toml"))
        assert (made.beads, made.beads_range.low) == (beads, least)


def test_fewer_beads_than_planned() -> None:
    """1 of 4, where 2 thick ones would have done."""
    found = reviewed(Path("fewer-beads-than-planned.txt"), FOUR)
    assert above_notes(found) == ["fewer beads than planned"]
    one = only(found, "fewer beads than planned")
    assert one.said(Shown()) == "finished after 1 of 4 beads; thick ones fill the groove with 2"
    assert (one.t_s, one.record, one.times) == (50.5, 39, 1.5)
    assert one.limit is not None
    assert one.values[one.limit.value] == 2


def test_thick_beads_fill_the_groove_with_fewer() -> None:
    """Two beads are no departure: the plan itself says 2 to 4."""
    script = edited(
        "fewer-beads-than-planned.txt",
        ("50.5,!finish", "50.5,!arc on"),
        ("62,264", "60.9,!arc off\n62,!peen"),
        ("80,264", "80,!finish"),
    )
    found = reviewed(script, FOUR)
    assert [bead.counted for bead in found.beads] == [True, True]
    assert found.phase == "bury"
    assert "fewer beads than planned" not in names(found)


TWO_SIDES = small("25 mm").replace("[joint]", '[joint]\naccess = "both sides"')
TWO_SIDES = TWO_SIDES.replace('depth = "3 mm"', 'depth = "5 mm"\npreparation = "double-V"')
TURNING = "turning over not confirmed"


def test_never_said_to_be_turned_over() -> None:
    """A root on the first side, a cap planned on the second, and nobody told a turn."""
    seen = stepped(Path("turning-over-not-confirmed.txt"), TWO_SIDES)
    found = reviewed(Path("turning-over-not-confirmed.txt"), TWO_SIDES)
    assert len(found.beads) == 2
    one = only(found, TURNING)
    assert (one.t_s, one.weight) == (90.5, "note")
    assert one.said(Shown()) == (
        "2 beads up to run 2, on both sides as planned, and nobody said that the part was turned "
        "over, planned first after run 1"
    )
    assert shows_from(seen, Plan, TURNING) == one.record


@pytest.mark.parametrize(
    ("job", "changes"),
    [
        (TWO_SIDES, (("50,264", "50,!turned"),)),
        (TWO_SIDES, (("60.5,!arc on", ""), ("70.9,!arc off", ""), ("72.5,!peen", ""))),
        (TWO_SIDES, (("90.5,!finish", ""),)),
        (TWO, ()),
    ],
    ids=["turned", "the root alone", "not finished", "one side"],
)
def test_no_turn_is_missed(job: str, changes: tuple[tuple[str, str], ...]) -> None:
    """Where it was told, was not due yet, or is not planned."""
    assert TURNING not in names(reviewed(edited("turning-over-not-confirmed.txt", *changes), job))


def test_undone_it_is_not_finished() -> None:
    """He said it too soon, and took it back."""
    script = edited("fewer-beads-than-planned.txt", ("52,264", "52,!undo"))
    assert "fewer beads than planned" not in names(reviewed(script, FOUR))


def test_a_stop_is_a_note() -> None:
    """Covered half-way, and nobody said finished: it may go on another day."""
    script = edited("fewer-beads-than-planned.txt", ("50.5,!finish", "50.5,!covered"))
    found = reviewed(script, FOUR)
    one = only(found, "fewer beads than planned")
    assert one.weight == "note"
    assert one.said(Shown()).endswith("nobody said that it was finished")
    assert "post-heat cut short" not in names(found)


def test_a_hold_cut_short() -> None:
    """50 s of 120 s; a tenth of it may be missing."""
    found = reviewed(Path("post-heat-cut-short.txt"), TWO)
    assert above_notes(found) == ["post-heat cut short"]
    one = only(found, "post-heat cut short")
    assert one.said(Shown()) == "held for 50 s at 260 °C after the last bead, planned 2 min"
    assert (one.t_s, one.record, one.times) == (100.5, 67, 2.16)
    assert one.limit is not None
    assert (one.limit.name, one.values[one.limit.value]) == (
        "a hold is long enough from this share of postheat.hold:",
        0.9,
    )


HELD = ("100.5,!next", "110.5,!covered")


def test_a_hold_nearly_cut_short() -> None:
    """109.8 s: 85 % of the tenth that may be missing."""
    script = edited("post-heat-cut-short.txt", *((line, "") for line in HELD))
    found = reviewed(script + "160.3,!next\n162,!covered\n", TWO)
    assert found.phase == "cool-down"
    assert "post-heat cut short" not in names(found)


def test_a_hold_in_full_leaves_nothing() -> None:
    """The clock ends it at 170.5 s."""
    script = edited("post-heat-cut-short.txt", *((line, "") for line in HELD))
    more = "".join(f"{t},264\n" for t in range(162, 176, 2))
    assert "post-heat cut short" not in names(reviewed(f"{script}{more}176,!covered\n", TWO))


@pytest.mark.parametrize(
    ("deeds", "held"),
    [
        ([("50.5,!finish", "50.5,!covered"), ("100.5,!next", ""), ("110.5,!covered", "")], False),
        ([("50.5,!finish", "50.5,!hold"), ("100.5,!next", ""), ("110.5,!covered", "")], True),
    ],
)
def test_a_hold_left_out(deeds: list[tuple[str, str]], held: bool) -> None:
    """Covered right after the last bead; or kept hot first, though not as post-heat."""
    script = edited("post-heat-cut-short.txt", *deeds)
    found = reviewed(f"{script}162,!covered\n" if held else script, TWO)
    assert found.phase == "cool-down"
    if held:
        assert "post-heat cut short" not in names(found)
    else:
        said = only(found, "post-heat cut short").said(Shown())
        assert said == "not held at 260 °C after the last bead, planned 2 min"


def test_undone_the_hold_goes_on() -> None:
    """The press that ended it too soon is taken back."""
    script = edited("post-heat-cut-short.txt", ("102,264", "102,!undo"), ("110.5,!covered", ""))
    assert "post-heat cut short" not in names(reviewed(script, TWO))


@pytest.mark.parametrize(
    ("name", "job"), [("fewer beads than planned", FOUR), ("post-heat cut short", TWO)]
)
def test_a_recording_may_be_cut_anywhere(name: str, job: str) -> None:
    """It shows from its record on, and nothing raises before it."""
    seen = stepped(Path(f"{name.replace(' ', '-')}.txt"), job)
    (record,) = (f.record for f in cut(seen, Plan)[-1] if f.name == name)
    assert shows_from(seen, Plan, name) == record
