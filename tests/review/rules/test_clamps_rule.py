"""Clamps said to be loose only under the cover, or never: hand-written scripts.

A word within 60 s of the cover is taken for one turn of hands.
"""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest
from earlier import QUICK
from scripted import above_notes, edited, names, only, reviewed, shows_from, stepped
from written import head_of

from pacer.job.file.read import job_from_text
from pacer.job.job import Job
from pacer.review.rules.clamps import Clamps
from pacer.review.table import Table, table
from pacer.run.reviewing import numbered
from pacer.units import Shown

LEFT_ON = "clamps-left-on.txt"
NOT_SAID = "clamps-not-confirmed-loose.txt"
CLAMPED = QUICK.replace("[joint]", '[joint]\nclamps = "two, on the {flange}"')


def of_clamps(found: Table) -> list[str]:
    """Return the names of what concerns the clamps."""
    return [name for name in names(found) if name.startswith("clamps")]


def test_loosened_only_under_the_cover() -> None:
    """Covered at 57 s, said at 151 s: 94 s where 60 s pass."""
    seen = stepped(Path(LEFT_ON), CLAMPED)
    found = table(seen)
    assert above_notes(found) == ["clamps left on"]
    assert of_clamps(found) == ["clamps left on"]
    one = only(found, "clamps left on")
    assert (one.t_s, one.to_s, one.times) == (57.0, 151.0, None)
    assert [s.t_s for s in seen if s.record == one.record] == [151.0]
    assert one.limit is not None
    assert one.values[one.limit.value] == 60.0
    assert one.said(Shown()) == "said to be loosened 94 s after it was covered, at 249 °C"


@pytest.mark.parametrize("said", ["45,!loosened", "108,!loosened"])
def test_loosened_in_time(said: str) -> None:
    """Before the cover, or 51 s after it: 85 %. A second word later on changes nothing."""
    at = ("34,266", f"34,266\n{said}") if said.startswith("45") else ("76,257", f"76,257\n{said}")
    assert of_clamps(reviewed(edited(LEFT_ON, at), CLAMPED)) == []


def test_a_cover_undone_was_none() -> None:
    """Covered by a slip and undone a minute later, after the clamps were loosened."""
    slip = ("151,!loosened", "114,!loosened\n115,!undo\n116,252\n150.5,!covered")
    early = [("116,252", ""), ("136,249", ""), ("150,248", "")]
    assert of_clamps(reviewed(edited(LEFT_ON, *early, slip), CLAMPED)) == []
    slip = ("151,!loosened", "116.5,!undo\n117,252\n150.5,!covered\n240,!loosened")
    late = reviewed(edited(LEFT_ON, *early[1:], slip, ("156,247", ""), ("216,240", "")), CLAMPED)
    assert (only(late, "clamps left on").t_s, only(late, "clamps left on").to_s) == (150.5, 240.0)


def test_covered_and_nobody_said_that_they_are_loose() -> None:
    """A note, where the job has clamps; at the cover."""
    seen = stepped(Path(NOT_SAID), CLAMPED)
    found = table(seen)
    assert above_notes(found) == []
    assert of_clamps(found) == ["clamps not confirmed loose"]
    one = only(found, "clamps not confirmed loose")
    assert (one.t_s, one.weight) == (57.0, "note")
    assert [s.t_s for s in seen if s.record == one.record] == [57.0]
    assert one.said(Shown()) == (
        "covered, and nobody said that they were loosened before: two, on the {flange}"
    )


def judged(job: Job, **head: object) -> Table:
    """Return the review of the same events under another head."""
    events = [s.event for s in stepped(Path(NOT_SAID), CLAMPED) if s.event is not None]
    return table(numbered(head_of(job, **head), enumerate(events, 1)))


def test_where_nobody_could_say_it_nothing_is_missed() -> None:
    """No clamps; a recording of before 1.5, whose job lacks a key of it; an import; not covered."""
    job = job_from_text(CLAMPED, "hot.toml")
    assert of_clamps(judged(job)) == ["clamps not confirmed loose"]
    older = {k: v for k, v in job.origin.items() if k != "cooldown.max_spread"}
    assert of_clamps(judged(msgspec.structs.replace(job, origin=older))) == []
    assert of_clamps(judged(job, start_phase="cool-down")) == []
    assert of_clamps(reviewed(Path(NOT_SAID), QUICK)) == []
    assert of_clamps(reviewed(edited(NOT_SAID, ("57,!covered", "")), CLAMPED)) == []


def test_after_a_long_stop_they_may_be_on_again() -> None:
    """Loosened for the first cover; the part is taken up again, and covered once more."""
    script = edited(NOT_SAID, ("54,266", "54,266\n55,!loosened")) + (
        "300,!hold\n302,262\n304,262\n306,262\n308,262\n310,262\n312,262\n320,262\n"
        "322,!covered\n324,262\n330,262\n"
    )
    seen = stepped(script, CLAMPED)
    one = only(table(seen), "clamps not confirmed loose")
    assert one.t_s == 322.0


@pytest.mark.parametrize(
    ("script", "name", "at_s"),
    [(LEFT_ON, "clamps left on", 151.0), (NOT_SAID, "clamps not confirmed loose", 57.0)],
)
def test_a_recording_may_be_cut_anywhere(script: str, name: str, at_s: float) -> None:
    """It shows from its record on."""
    seen = stepped(Path(script), CLAMPED)
    record = shows_from(seen, Clamps, name)
    assert [s.t_s for s in seen if s.record == record] == [at_s]
