"""Tacks that cracked, marked with K while tacking or at the look after the preheat; the look itself.

The job is `conftest.HOT` with cold tacks; its soak of 60 s starts at 30 s.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from conftest import HOT
from scripted import above_notes, edited, names, only, reviewed, shows_from, stepped
from written import head_of

from pacer.job.file.read import job_from_text
from pacer.review.rules.tacks import Tacks
from pacer.review.table import Table, table
from pacer.run.reviewing import numbered
from pacer.session.events import Inspection, Outcome
from pacer.session.inspection import Imperfection
from pacer.units import Shown

SCRIPT = "tack-cracked.txt"
TACKED = HOT.replace("[joint]", '[joint]\ntack = "cold"\ntack_places = "one at each end, {6 mm}"')


def afterwards(event: Outcome | Inspection) -> Table:
    """Return the review of what a later look wrote down."""
    return table(numbered(head_of(job_from_text(HOT, "hot.toml")), [(1, event)]))


def test_a_tack_cracked_at_the_look_after_the_preheat() -> None:
    """At 33 s, in the soak: told as a tack's crack, not as any crack."""
    seen = stepped(Path(SCRIPT), TACKED)
    found = table(seen)
    assert above_notes(found) == ["tack cracked"]
    one = only(found, "tack cracked")
    assert (one.t_s, one.bead, one.against) == (33.0, None, ())
    assert [s.t_s for s in seen if s.record == one.record] == [33.0]
    assert one.said(Shown()) == (
        "marked at the look after the preheat: left one, across; the tacks: one at each end, {6 mm}"
    )


def test_a_tack_cracked_while_tacking() -> None:
    """Cold tacks may crack: it is a note."""
    script = edited(SCRIPT, ("20,!next", "15,!crack\n20,!next"), ("33,!crack left one, across", ""))
    found = reviewed(script, TACKED)
    assert above_notes(found) == []
    one = only(found, "tack cracked")
    assert one.said(Shown()).startswith("marked while tacking; the tacks:")
    assert "cold tacks may crack" in one.against[0]


@pytest.mark.parametrize(
    ("job", "script"),
    [
        (HOT, edited(SCRIPT, ("20,!next", ""))),
        (TACKED, edited(SCRIPT, ("33,!crack left one, across", ""), ("104,264", "105,!crack"))),
        (TACKED, edited(SCRIPT, ("33,!crack left one, across", ""), ("22,60", "22,60\n23,!crack"))),
    ],
    ids=["no tacks", "after a bead", "in the preheat"],
)
def test_any_other_crack_is_no_tacks(job: str, script: str) -> None:
    """Without tacks, once beads are laid, or before they are looked at."""
    found = names(reviewed(script, job))
    assert "tack cracked" not in found
    assert found.count("crack reported") == 1


def test_what_a_later_look_found_at_a_tack_explains_nothing() -> None:
    """It is the outcome itself."""
    crack = Imperfection(1011, "longitudinal crack in the weld metal", place="at the left tack")
    for event in (
        Outcome(t_ms=0, found="crack", when="at grinding", at="tack"),
        Inspection(0, "visual", "imperfections found", imperfections=(crack,)),
    ):
        assert "tack cracked" not in names(afterwards(event))


LOOK = "no time to look at the tacks"


def test_struck_before_the_look_at_the_tacks() -> None:
    """In the preheat, at 25 s: the look would have been called at 30 s."""
    seen = stepped(Path("no-time-to-look-at-the-tacks.txt"), TACKED)
    found = table(seen)
    one = only(found, LOOK)
    assert (one.t_s, one.weight, one.bead) == (25.0, "note", None)
    assert [s.t_s for s in seen if s.record == one.record] == [25.0]
    assert one.said(Shown()) == "bead 1 was struck before the look at the tacks was called"
    assert [s.t_s for s in seen if s.record == shows_from(seen, Tacks, LOOK)] == [25.0]


@pytest.mark.parametrize(("struck_s", "noted"), [(38.5, True), (41.5, False)])
def test_struck_soon_after_the_look_was_called(struck_s: float, noted: bool) -> None:
    """Called at 30 s: 8.5 s, and 11.5 s where 10 are enough."""
    early = edited(
        SCRIPT, ("33,!crack left one, across", ""), ("92.5,!arc on", ""), ("102.5,!arc off", "")
    )
    lines = [line for line in early.splitlines() if line and float(line.split(",")[0]) < struck_s]
    after = f"{struck_s},!arc on\n{struck_s + 10},!arc off\n{struck_s + 12},!peen\n"
    found = reviewed("\n".join(lines) + "\n" + after, TACKED)
    assert [f.values["after_s"] for f in found.findings if f.name == LOOK] == (
        [struck_s - 30.0] if noted else []
    )


def test_looked_at_in_good_time_or_without_tacks_there_is_no_note() -> None:
    """The soak of a minute; a job without tacks."""
    assert LOOK not in names(reviewed(Path(SCRIPT), TACKED))
    assert LOOK not in names(reviewed(Path("no-time-to-look-at-the-tacks.txt"), HOT))


def test_a_recording_may_be_cut_anywhere() -> None:
    """It shows from its record on."""
    seen = stepped(Path(SCRIPT), TACKED)
    record = shows_from(seen, Tacks, "tack cracked")
    assert [s.t_s for s in seen if s.record == record] == [33.0]
