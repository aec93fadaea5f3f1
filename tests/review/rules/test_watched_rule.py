"""Cracks and tinks with the beads just before them, and time nobody watched.

The job is `earlier.QUICK`; of a gap two minutes are short.
"""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest
from conftest import COLD, HOT
from earlier import QUICK
from scripted import above_notes, edited, names, only, reviewed, shows_from, stepped
from written import head_of

from pacer.job.file.read import job_from_text
from pacer.review.rules.watched import Watched
from pacer.review.table import Table, table
from pacer.run.reviewing import numbered
from pacer.session.events import AnyEvent, ClockGap, GapBy
from pacer.units import Shown

CRACK = "crack-reported.txt"
TINK = "tink-heard.txt"
GAP = "nobody-watched.txt"


def said(found: Table, name: str) -> str:
    """Return the evidence of the one finding of a name."""
    return only(found, name).said(Shown())


def test_a_crack_names_the_beads_before_it() -> None:
    """20 s after bead 2 and 60 s after bead 1; places are counted from 1 in words."""
    seen = stepped(Path(CRACK), QUICK)
    found = table(seen)
    assert names(found) == ["crack reported"]
    one = only(found, "crack reported")
    assert (one.t_s, one.bead, one.place, one.weight) == (90.0, 2, 2, "finding")
    assert [s.t_s for s in seen if s.record == one.record] == [90.0]
    assert one.said(Shown()) == (
        "beside bead 2; at 267 °C; 20 s after bead 2 was laid; "
        "in the 5 min before it beads 1 and 2, at places 1, 3"
    )


def test_a_tink_under_the_cover_says_how_hot_and_how_long() -> None:
    """217 s less 57 s of cover; the bead ended at 30.5 s."""
    one = only(reviewed(Path(TINK), QUICK), "tink heard")
    assert (one.t_s, one.values["temp_c"], one.values["covered_s"]) == (217.0, 240.0, 160.0)
    assert (one.values["since_s"], one.bead) == (186.5, 1)
    assert one.said(Shown()) == "at 240 °C; 3 min into the cool-down; 3 min after bead 1 was laid"


BARE = "uncovered-early.txt"


def test_a_tink_out_of_the_cover_says_how_long_after_and_how_hot_it_was() -> None:
    """91 s after it was uncovered at 105 °C; the bead is 26 min away and isn't named."""
    tinks = edited(BARE, ("1660,97", "1660,97\n1692,!tink left foot"))
    one = only(reviewed(tinks, HOT), "tink heard")
    assert one.values["uncovered_s"] == 91.0
    assert one.said(Shown()) == "left foot; at 103 °C; 91 s after it was uncovered at 105 °C"
    # Taken back, it was under its cover all the time.
    undone = edited(BARE, ("1660,97", "1621,!undo\n1660,97\n1692,!tink left foot"))
    assert "27 min into the cool-down" in said(reviewed(undone, HOT), "tink heard")


def test_many_tinks_are_one_finding() -> None:
    """Five stand by themselves; six are told once, with what stood before them."""
    lines = [f"{t_s},!tink" for t_s in (1500, 1502, 1610, 1612, 1614)]
    five = [f for f in reviewed(with_tinks(lines), HOT).findings if f.name == "tink heard"]
    assert [f.t_s for f in five] == [1500.0, 1502.0, 1610.0, 1612.0, 1614.0]
    one = only(reviewed(with_tinks([*lines, "1700,!tink"]), HOT), "tink heard")
    assert (one.t_s, one.to_s, one.bead, one.weight) == (1500.0, None, None, "finding")
    assert one.said(Shown()) == (
        "6 times, at 108 °C to 103 °C; 4 of them after it was uncovered at 105 °C, the first 9 s "
        "after it; 2 under the cover, the first 23 min into the cool-down"
    )


def with_tinks(lines: list[str]) -> str:
    """Return the script of a part that is uncovered early, with tinks among its readings."""
    rows = [*edited(BARE).splitlines(), *lines]
    return "\n".join(sorted(rows, key=lambda row: float(row.split(",")[0]))) + "\n"


def test_many_tinks_at_the_beads_name_the_bead_with_the_most() -> None:
    """Two after bead 1, five after bead 2."""
    rows = [f"{t_s},!tink" for t_s in (40, 42, 76, 78, 80, 82, 84)]
    lines = [row for row in edited(CRACK, ("90,!crack beside bead 2", "")).splitlines() if row]
    both = sorted([*lines, *rows], key=lambda row: float(row.split(",")[0]))
    one = only(reviewed("\n".join(both) + "\n", QUICK), "tink heard")
    assert (one.values["bead"], one.values["most_n"], one.values["just_n"]) == (2, 5, 7)
    assert one.said(Shown()).endswith(
        "; 7 within 5 min of the bead before, the most, 5, after bead 2"
    )


def test_a_tink_long_after_the_last_bead_is_of_no_bead() -> None:
    """5 min are enough to name one."""
    late = edited(TINK, ("217,!tink", ""), ("276,233", "276,233\n331,232\n331,!tink left end"))
    one = only(reviewed(late, QUICK), "tink heard")
    assert (one.bead, one.place) == (None, None)
    assert one.said(Shown()).startswith("left end; ")
    near = edited(TINK, ("217,!tink", ""), ("276,233", "276,233\n285,232\n285.5,!tink"))
    assert only(reviewed(near, QUICK), "tink heard").bead == 1


def test_in_the_arc_before_any_bead_and_after_an_undone_one() -> None:
    """What stood in the joint then, as the record has it at its end."""
    early = edited(CRACK, ("16,262", "16,262\n17,!crack"), ("90,!crack beside bead 2", ""))
    assert said(reviewed(early, QUICK), "crack reported") == "at 262 °C; no bead before it"
    arc = edited(CRACK, ("64,267", "64,267\n65,!tink"), ("90,!crack beside bead 2", ""))
    assert "while bead 2 was laid" in said(reviewed(arc, QUICK), "tink heard")
    undone = edited(
        CRACK,
        *(("60.5,!arc on", "60.5,!next\n61,!tink\n63,!undo"), ("70.5,!arc off", "")),
        *(("72.5,!peen", ""), ("90,!crack beside bead 2", "")),
    )
    found = reviewed(undone, QUICK)
    assert len(found.beads) == 1
    assert "30 s after bead 1 was laid" in said(found, "tink heard")


def with_gap(
    at_s: float, gap_s: float, by: GapBy = "steady", job: str = QUICK, name: str = TINK
) -> Table:
    """Return the review of a script's session in which nobody watched for a while."""
    events = [s.event for s in stepped(Path(name), job) if s.event is not None]
    later_ms = 0 if by == "unknown" else round(1000 * gap_s)
    begins_ms = round(1000 * at_s)
    gap = ClockGap(begins_ms, begins_ms + later_ms, "the {lid} was closed", by)
    moved: list[AnyEvent] = [e for e in events if e.t_ms <= begins_ms]
    after = [e for e in events if e.t_ms > begins_ms]
    moved += [gap, *(msgspec.structs.replace(e, t_ms=e.t_ms + later_ms) for e in after)]
    return table(numbered(head_of(job_from_text(job, "job.toml")), enumerate(moved, 1)))


def test_nobody_watched_a_hot_part_in_the_open() -> None:
    """204 s between beads, where 120 s are short."""
    found = with_gap(48.0, 204.0)
    assert above_notes(found) == ["nobody watched", "tink heard"]
    one = only(found, "nobody watched")
    assert (one.t_s, one.to_s, one.times) == (48.0, 252.0, None)
    assert one.limit is not None
    assert one.values[one.limit.value] == 120.0
    assert one.said(Shown()) == (
        "3 min 24 s without a record: the {lid} was closed; while beads were due, 266 °C before it"
    )


def test_nobody_watched_as_the_program_was_not_running() -> None:
    """A script cut off between beads and taken up again, as he says 204 s later; and 102 s later."""
    seen = stepped(Path(GAP), QUICK)
    found = table(seen)
    assert above_notes(found) == ["nobody watched"]
    one = only(found, "nobody watched")
    assert one.to_s == one.t_s + 204.0
    assert [type(s.event) for s in seen if s.record == one.record] == [ClockGap]
    assert one.said(Shown()) == (
        "3 min 24 s without a record, by the welder's word: the program was not running; "
        "while beads were due, 264 °C before it"
    )
    assert shows_from(seen, Watched, "nobody watched") == one.record
    near = edited(GAP, ("away 204s", "away 102s"))
    assert above_notes(reviewed(near, QUICK)) == []


@pytest.mark.parametrize(
    ("at_s", "gap_s", "name", "ends"),
    [
        (48.0, 102.0, "short: 85 %", "while beads were due, 266 °C before it"),
        (24.0, 30.0, "a bead", "while bead 1 was laid, 264 °C before it"),
        (116.0, 40_000.0, "covered", "under the cover, 252 °C before it"),
        (0.0, 3600.0, "cold", "before any heat, 20 °C before it"),
    ],
)
def test_a_gap_that_mattered_less_is_a_note(
    at_s: float, gap_s: float, name: str, ends: str
) -> None:
    """Short; under the cover, where it goes on cooling, whoever watches; or cold."""
    one = only(with_gap(at_s, gap_s), "nobody watched")
    assert (one.weight, one.limit, one.times) == ("note", None, None), name
    assert one.said(Shown()).endswith(ends)


def test_a_gap_of_which_nobody_knows_the_length() -> None:
    """It may be any, so in the open it is a finding, without a figure."""
    one = only(with_gap(48.0, 0.0, by="unknown"), "nobody watched")
    assert (one.weight, one.times) == ("finding", None)
    assert one.said(Shown()).startswith("for how long is not known: the {lid} was closed; ")
    assert only(with_gap(100.0, 0.0, by="unknown"), "nobody watched").weight == "note"


def test_how_its_length_is_known_and_what_is_no_gap() -> None:
    """A steady clock's few seconds change nothing; the wall clock's may be wrong."""
    assert "nobody watched" not in names(with_gap(48.0, 4.0))
    one = only(with_gap(48.0, 4.0, by="wall"), "nobody watched")
    assert one.said(Shown()).startswith("4 s without a record, by the wall clock: ")
    assert "by the welder's word" in said(with_gap(48.0, 300.0, by="said"), "nobody watched")


def test_a_part_that_is_never_hot_can_be_left() -> None:
    """Cold method: it cools to the room's temperature, and that is what is waited for."""
    assert only(with_gap(48.0, 1000.0, job=COLD), "nobody watched").weight == "note"


@pytest.mark.parametrize(("script", "name"), [(CRACK, "crack reported"), (TINK, "tink heard")])
def test_a_recording_may_be_cut_anywhere(script: str, name: str) -> None:
    """It shows from its record on."""
    seen = stepped(Path(script), QUICK)
    record = shows_from(seen, Watched, name)
    assert [s.t_s for s in seen if s.record == record] == [90.0 if script == CRACK else 217.0]
