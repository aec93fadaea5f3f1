"""Tacks that cracked: marked with K while tacking or at the look after the preheat, or found later.

The job is `conftest.HOT` with cold tacks; its soak of 60 s starts at 28 s.
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
    """Cold tacks may crack: that speaks against it."""
    script = edited(SCRIPT, ("20,!next", "15,!crack\n20,!next"), ("33,!crack left one, across", ""))
    one = only(reviewed(script, TACKED), "tack cracked")
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


def test_what_a_later_look_found_at_a_tack() -> None:
    """In the record's words; braces of foreign words stay."""
    outcome = Outcome(t_ms=0, found="crack", when="at grinding", at="tack", text="{left} one")
    one = only(afterwards(outcome), "tack cracked")
    assert (one.record, one.said(Shown())) == (1, "a crack at a tack at grinding: {left} one")
    crack = Imperfection(1011, "longitudinal crack in the weld metal", place="at the left tack")
    pore = Imperfection(2011, "gas pore", place="at the left tack")
    attack = Imperfection(100, "crack", place="where rust attacks it")
    look = Inspection(0, "visual", "imperfections found", imperfections=(crack, pore, attack))
    one = only(afterwards(look), "tack cracked")
    assert one.said(Shown()) == (
        "longitudinal crack in the weld metal found by visual: at the left tack"
    )
    for other in (
        Outcome(t_ms=0, found="crack", at="crater"),
        Outcome(t_ms=0, found="no crack found", at="tack"),
    ):
        assert "tack cracked" not in names(afterwards(other))


def test_a_recording_may_be_cut_anywhere() -> None:
    """It shows from its record on."""
    seen = stepped(Path(SCRIPT), TACKED)
    record = shows_from(seen, Tacks, "tack cracked")
    assert [s.t_s for s in seen if s.record == record] == [33.0]
