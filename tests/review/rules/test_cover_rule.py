"""Uncovered early, cooled faster than the cover, the probe moved: hand-written scripts.

The curves of `uncovered-early` and `moved-under-the-cover` are what the model of 30 l of dry
sand gives, to whole °C; that of `cooled-faster-than-its-cover` has five times its conductivity,
as damp sand (row P20); that of `warm-sand-is-no-departure` is used again at 40 °C, packs heavier and leads
heat 2.3 times as well.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from conftest import HOT
from msgspec.structs import replace
from scripted import above_notes, cut, edited, names, only, reviewed, stepped
from written import head_of

from pacer.heat.cooldown.curves import curves_of
from pacer.job.job import Job
from pacer.review.rules.cover import Cover
from pacer.review.rules.explained import explained
from pacer.review.table import table
from pacer.run.reviewing import numbered
from pacer.session.cooling import cooldown_prior
from pacer.session.cues import CueKind
from pacer.session.events import Act, AnyEvent, ClockGap
from pacer.session.forecast import cooldown
from pacer.units import Shown


def test_uncovered_early() -> None:
    """At 105 °C after 25 min; what was forecast then is what a forecast of that moment says."""
    seen = stepped(Path("uncovered-early.txt"), HOT)
    found = table(seen)
    assert above_notes(found) == ["uncovered early"]
    one = only(found, "uncovered early")
    (at,) = (i for i, s in enumerate(seen) if s.record == one.record)
    assert isinstance(deed := seen[at].event, Act)
    assert (deed.deed, deed.t_s) == ("uncovered", 1601.0)
    forecast = cooldown(seen[at - 1].state, 1601.0)
    assert forecast is not None
    assert one.values["more_s"] == round(forecast.eta_s - 1501.0)
    assert one.values["more_low_s"] < one.values["more_s"] < one.values["more_high_s"]
    # What may be uncovered is a matter of burnt hands, so there is no multiple of it.
    assert (one.t_s, one.times) == (1601.0, None)
    assert one.said_against(Shown()) == (
        "published furnace schedules go on in air from 150 °C to 200 °C (S04)",
    )
    assert one.limit is not None
    assert (one.limit.name, one.values[one.limit.value]) == ("cooldown.until", 40.0)
    # 105 to 50 °C, the median of the last three, in 15 min: (105 - 50) / 0.25 h = 220 K/h.
    assert one.said(Shown()).startswith(
        "uncovered at 105 °C at the probe, planned not before 40 °C; "
    )
    assert one.said(Shown()).endswith("; then it cooled by 220 K/h for 15 min")


@pytest.mark.parametrize(
    ("add_dc", "times", "against"), [(44, None, 1), (75, 1.23, 1), (110, 1.5, 0)]
)
def test_how_early_is_told_by_what_furnaces_do(
    add_dc: int, times: float | None, against: int
) -> None:
    """At 149, 180 and 215 °C: 130 K above the room are allowed, up to 200 °C the sources differ."""
    early = edited("uncovered-early.txt").partition("1601,!uncovered")[0]
    rows = [line.split(",") for line in early.splitlines()]
    hotter = [
        f"{t},{float(what) + add_dc if float(t) > 1300 and what[0] != '!' else what}"
        for t, what in rows
    ]
    one = only(reviewed("\n".join(hotter) + "\n1601,!uncovered\n", HOT), "uncovered early")
    assert one.times == times
    assert len(one.against) == against
    assert one.limit is not None
    assert one.values[one.limit.value] == (40.0 if times is None else 150.0)


def test_uncovered_in_its_time() -> None:
    """At 37 °C, 85 % of the way it was allowed: the end of a cool-down."""
    cold = "".join(f"{1600 + 60 * i},{37 if i > 20 else 105 - 3 * i}\n" for i in range(1, 31))
    early = edited("uncovered-early.txt").partition("1601,!uncovered")[0]
    found = reviewed(f"{early}{cold}3401,!uncovered\n", HOT)
    assert found.phase == "done"
    assert "uncovered early" not in names(found)


def test_an_undone_uncovering_is_none() -> None:
    """He pressed the wrong key: 20 s later it is taken back."""
    script = edited("uncovered-early.txt", ("1601,!uncovered", "1601,!uncovered\n1621,!undo"))
    seen = stepped(script, HOT)
    assert "uncovered early" not in names(table(seen))
    # Cut before that it was uncovered, as far as the record shows.
    before = [s for s in seen if s.t_s < 1621.0]
    assert "uncovered early" in names(table(before))


def test_uncovered_twice() -> None:
    """Covered again, and taken off again: two."""
    script = edited(
        "uncovered-early.txt", ("1780,87", "1780,!covered"), ("1960,74", "1960,!uncovered")
    )
    found = [f for f in reviewed(script, HOT).findings if f.name == "uncovered early"]
    assert [f.t_s for f in found] == [1601.0, 1960.0]


def test_cut_anywhere() -> None:
    """Nothing raises; from the deed on it is there."""
    seen = [s for s in stepped(Path("uncovered-early.txt"), HOT) if s.t_s > 1400.0]
    for step, found in zip(seen, cut(seen, Cover), strict=True):
        assert names(found) == (["uncovered early"] if step.t_s >= 1601.0 else [])


def test_without_a_reading_it_is_a_note(hot_job: Job) -> None:
    """By hand, nothing typed: how cold the part was nobody knows."""
    deeds = [(1, "next"), (2, "next"), (3, "next"), (4, "covered"), (3604, "uncovered")]
    acts = [Act(t_ms=1000 * t_s, deed=deed) for t_s, deed in deeds]  # type: ignore[arg-type]
    found = table(numbered(head_of(hot_job, hand=True), enumerate(acts, start=1)))
    one = only(found, "uncovered early")
    assert (one.weight, one.record, one.times) == ("note", 5, None)
    assert one.said(Shown()).startswith("uncovered without a reading, planned not before 40 °C")


def test_cooled_faster_than_its_cover() -> None:
    """Told at the second look; from the first on it went on to the end of the record."""
    seen = stepped(Path("cooled-faster-than-its-cover.txt"), HOT)
    found = table(seen)
    assert above_notes(found) == ["cooled faster than its cover"]
    one = only(found, "cooled faster than its cover")
    # Looked at first 900 s after it was covered, and seen with the next reading.
    assert (one.t_s, one.to_s) == (1060.0, 3100.0)
    assert one.values["lasted_s"] == 2040.0
    assert one.values["colder_dc"] > 20.0
    assert one.limit is not None
    assert one.times == round(one.values["colder_dc"] / one.values[one.limit.value], 2)
    assert next(s.t_s for s in seen if s.record == one.record) == one.t_s
    cut(seen[-40:], Cover)


def test_what_the_fit_alone_makes_of_warm_sand_is_silent() -> None:
    """COOLING FAST was told of some 5 K: the fit strays, the part is no colder than sand makes it."""
    seen = stepped(Path("warm-sand-is-no-departure.txt"), HOT)
    told = [cue.kind for step in seen for cue in step.cues]
    assert CueKind.COOLING_FAST in told
    assert above_notes(table(seen)) == []
    assert "cooled faster than its cover" not in names(table(seen))


def test_what_a_cover_explains() -> None:
    """Of a burial as said nothing is colder; of one that is damp more than any of it explains."""
    seen = stepped(Path("cooled-faster-than-its-cover.txt"), HOT)
    last = seen[-1].state
    assert last.cooling is not None
    damp = explained(last.job, last.cooling)
    assert damp.times > 1.4
    # The least it explains is what 2.4 sd of its conductivity and the rest come to, well over 10 K.
    assert 15.0 < damp.least_dc < 50.0
    prior = cooldown_prior(last.job, last.cooling.cover, last.cooling.start_c or 262.0)
    times_s = np.array([row[0] for row in last.cooling.bins])
    usual_c = curves_of(prior, np.zeros((1, len(prior.mean)))).at(times_s)[0]
    rows = tuple((float(t), float(c), 1) for t, c in zip(times_s, usual_c, strict=True))
    as_said = explained(last.job, replace(last.cooling, bins=rows))
    assert as_said.colder_dc == pytest.approx(0.0, abs=0.1)


def test_minutes_that_no_steady_clock_counted_speak_against_it() -> None:
    """The wall clock said that 10 min were missed."""
    seen = stepped(Path("cooled-faster-than-its-cover.txt"), HOT)
    events = [s.event for s in seen if s.event is not None]
    gap = ClockGap(700_000, 1_300_000, "the lid was closed", "wall")
    moved: list[AnyEvent] = [e for e in events if e.t_s < 700.0]
    moved += [gap, *(e for e in events if e.t_s > 1300.0)]
    found = table(numbered(head_of(seen[0].state.job), enumerate(moved, start=1)))
    one = only(found, "cooled faster than its cover")
    assert one.said_against(Shown()) == ("10 min of it no steady clock counted",)


@pytest.mark.parametrize(("to_s", "weight"), [(1825, "note"), (2020, "finding")])
def test_it_has_to_last(to_s: float, weight: str) -> None:
    """Told, and seen for 85 % of a quarter of an hour; and for 16 min."""
    lines = edited("cooled-faster-than-its-cover.txt").splitlines()
    script = [line for line in lines if float(line.split(",")[0]) <= to_s]
    found = reviewed("\n".join(script) + "\n", HOT)
    assert only(found, "cooled faster than its cover").weight == weight


def test_a_probe_that_moved_is_a_note() -> None:
    """30 K at once after half an hour; what it reads from then on says little of the cover."""
    found = reviewed(Path("moved-under-the-cover.txt"), HOT)
    assert above_notes(found) == []
    moved = only(found, "moved under the cover")
    assert moved.weight == "note"
    assert moved.values["off_dc"] < -25.0
    faster = only(found, "cooled faster than its cover")
    assert faster.against == ("the probe had moved before: it reads another place",)


def test_as_planned_it_is_silent() -> None:
    """The same curve without the step, or taken off."""
    lines = edited("moved-under-the-cover.txt").splitlines()
    calm = [line for line in lines if float(line.split(",")[0]) < 2000.0]
    found = reviewed("\n".join(calm) + "\n", HOT)
    assert names(f for f in found.findings if f.name != "fewer beads than planned") == []
