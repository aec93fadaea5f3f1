"""A probe knocked off, beads struck blind, long times without a reading: hand-written scripts.

The job is `earlier.QUICK`. The blows are in the PEEN of 15 s after the arc; a fall is asked
about from 20 K on, a reading that nobody answers for is taken after 10 s, a typed one counts for
120 s while welding, and a drop-out of 5 s at an arc's start is none.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from earlier import QUICK
from scripted import above_notes, cut, edited, names, only, reviewed, shows_from, stepped
from written import head_of

from pacer.job.job import Job
from pacer.review.rules.blind import Blind
from pacer.review.rules.knocked_off import KnockedOff
from pacer.review.table import Table, table
from pacer.run.reviewing import numbered
from pacer.session.events import Act, Deed
from pacer.units import Shown

KNOCKED = "probe-knocked-off.txt"
UNREAD = "welded-without-a-trusted-reading.txt"
NOTHING = "nothing-read.txt"


def said(found: Table, name: str) -> str:
    """Return the evidence of the one finding of a name."""
    return only(found, name).said(Shown())


def fallen_to(temp_c: float, *changes: tuple[str, str]) -> str:
    """Return the script of the fall with another temperature after it, and with other lines."""
    return edited(KNOCKED, *changes).replace(",233", f",{temp_c}")


def test_a_probe_knocked_off_that_nobody_answers_for() -> None:
    """Fallen by 33 K where 20 K is asked about: 1.65; taken as it reads after some seconds."""
    found = reviewed(Path(KNOCKED), QUICK)
    assert above_notes(found) == ["probe knocked off"]
    one = only(found, "probe knocked off")
    # 44 s: half of the three values that the median keeps have fallen at 42 s.
    assert (one.t_s, one.to_s, one.bead, one.place) == (44.0, 55.5, None, None)
    assert one.times == 1.65
    assert one.limit is not None
    assert one.values[one.limit.value] == 20.0
    assert one.limit.origin == "common practice, no source"
    assert one.said(Shown()) == (
        "the reading fell from 266 °C to 233 °C after the blows, after bead 1; "
        "nobody answered, and after 12 s it was taken as it read"
    )


def test_a_fall_that_is_no_question() -> None:
    """17 K: 85 % of what is asked about."""
    assert names(reviewed(fallen_to(249.0), QUICK)) == []


def test_a_probe_that_was_put_back() -> None:
    """266 °C again from 50 s on; before that 230 °C was wrong, as somebody measured."""
    back = [(f"{t_s},233", f"{t_s},266") for t_s in range(50, 72, 2)]
    found = reviewed(edited(KNOCKED, *back), QUICK)
    assert above_notes(found) == ["probe knocked off"]
    assert said(found, "probe knocked off").endswith("; back where it was after 8 s")

    # Fallen by more than anything that is taken by itself, and measured meanwhile.
    deep = [(f"{t_s},233", f"{t_s},90") for t_s in range(40, 60, 2)]
    back = [(f"{t_s},233", f"{t_s},263") for t_s in range(60, 72, 2)]
    measured = ("56,90", "56,90\n56.5,!reading 260 degC")
    script = edited(KNOCKED, *deep, *back).replace(*measured)
    assert said(reviewed(script, QUICK), "probe knocked off").endswith(
        "back where it was after 18 s; meanwhile 260 °C was measured by hand"
    )


@pytest.mark.parametrize(
    ("answer", "ends"),
    [
        ("!next", "the welder pressed after 9 s: right as it read"),
        ("!reading 236 degC", "236 °C was measured by hand after 9 s, as it read"),
    ],
)
def test_an_answer_makes_a_note_of_it(answer: str, ends: str) -> None:
    """Somebody looked: the probe was on, or what it read was measured by hand."""
    found = reviewed(fallen_to(233, ("52,233", f"52,233\n53,{answer}")), QUICK)
    assert names(found) == ["probe knocked off"]
    assert above_notes(found) == []
    assert said(found, "probe knocked off").endswith(ends)


def test_a_bead_struck_blind() -> None:
    """The source has said OPEN for 11 s; the bead after it was struck with the reading back."""
    found = reviewed(Path(UNREAD), QUICK)
    assert above_notes(found) == ["welded without a trusted reading"]
    one = only(found, "welded without a trusted reading")
    assert (one.t_s, one.to_s, one.bead, one.place) == (61.0, 71.0, 2, 2)
    (struck,) = (s for s in stepped(Path(UNREAD), QUICK) if s.record == one.record)
    assert struck.t_s == 61.0
    assert one.values["beads_n"] == 1
    assert one.times is None
    assert one.limit is not None
    assert one.values[one.limit.value] == 5.0
    assert one.said(Shown()) == (
        "bead 2 was struck after 11 s in which nothing told the temperature: sensor open circuit"
    )


def test_a_drop_out_at_the_arcs_start_is_none() -> None:
    """4.2 s after the last good value: 85 % of five seconds."""
    script = edited(UNREAD, ("50,OPEN", "50,266"), ("52,OPEN", "52,266"), ("54,OPEN", "54,266"))
    script = script.replace("56,OPEN\n58,OPEN\n60,OPEN\n61,", "56,266\n57,OPEN\n58,OPEN\n60.2,")
    found = reviewed(script, QUICK)
    assert len(found.beads) == 3
    assert above_notes(found) == []


def test_a_reading_typed_lately_is_one() -> None:
    """Typed at 55 s it counts until 175 s."""
    script = edited(UNREAD, ("54,OPEN", "54,OPEN\n55,!reading 255 degC"))
    found = reviewed(script, QUICK)
    assert len(found.beads) == 3
    assert above_notes(found) == []


def test_beads_in_a_row_are_one_finding() -> None:
    """Beads 2 and 3 blind; the strike of a bead that is no bead isn't counted."""
    blind = [(f"{t_s},264", f"{t_s},OPEN") for t_s in range(86, 118, 2)]
    found = reviewed(edited(UNREAD, *blind), QUICK)
    one = only(found, "welded without a trusted reading")
    assert (one.t_s, one.to_s, one.bead, one.values["beads_n"]) == (61.0, 115.0, None, 2)
    assert one.said(Shown()).startswith("beads 2 and 3 were struck after 55 s in which")
    stub = edited(UNREAD, ("64,OPEN", "64,OPEN\n65,!arc off"), ("71,!arc off", ""))
    assert above_notes(reviewed(stub, QUICK)) == []


def by_hand(job: Job, *acts: Act) -> Table:
    """Return the review of a session without an instrument."""
    return table(numbered(head_of(job, hand=True), enumerate(acts, 1)))


def press(t_s: float, deed: Deed = "next") -> Act:
    """A press, taken at its word."""
    return Act(t_ms=round(1000 * t_s), deed=deed, by="script")


def typed(t_s: float, temp_c: float) -> Act:
    """A reading typed in."""
    return Act(t_ms=round(1000 * t_s), deed="reading", temp_c=temp_c)


def test_without_an_instrument_it_is_one_note(hot_job: Job) -> None:
    """Two beads by his own word; the third was undone, and is none."""
    to_ready = (press(1), press(300), press(400))
    two = (press(410), press(420), press(440), press(500), press(510), press(530))
    found = by_hand(hot_job, *to_ready, *two, press(600), press(603, "undo"))
    assert len(found.beads) == 2
    one = only(found, "welded without a trusted reading")
    assert (one.weight, one.t_s, one.to_s, one.record, one.bead) == ("note", 410.0, 510.0, 4, None)
    assert one.said(Shown()) == (
        "no instrument, nothing typed: 2 of 2 beads went by the welder's own word"
    )
    assert "nothing read" not in names(found)


def test_readings_typed_in_time_make_no_note(hot_job: Job) -> None:
    """Typed 20 s before each arc."""
    heated = (press(1), typed(280, 262), press(300))
    first = (typed(405, 262), press(410), press(420))
    second = (typed(480, 255), press(500), press(510))
    found = by_hand(hot_job, *heated, *first, *second)
    assert len(found.beads) == 2
    assert "welded without a trusted reading" not in names(found)


def test_nothing_read_for_long() -> None:
    """OPEN from 50 s, proven again at 200 s; three bad values end the trust, the last good at 48 s."""
    found = reviewed(Path(NOTHING), QUICK)
    assert above_notes(found) == ["nothing read"]
    one = only(found, "nothing read")
    assert (one.t_s, one.to_s, one.times) == (52.0, 200.0, None)
    assert one.limit is not None
    assert one.values[one.limit.value] == 120.0
    assert one.said(Shown()) == (
        "nothing told the temperature for 2 min while beads were laid: "
        "sensor open circuit; last 266 °C"
    )


def test_nothing_read_for_less() -> None:
    """102 s: 85 %; and a reading typed in between parts a longer time in two."""
    back = [(f"{t_s},OPEN", f"{t_s},254") for t_s in (160, 180, 190)]
    early = [("140,OPEN", "140,OPEN\n144,254\n146,254\n148,254\n150,254\n154,254")]
    assert names(reviewed(edited(NOTHING, *back, *early), QUICK)) == []
    typed = edited(NOTHING, ("100,OPEN", "100,OPEN\n101,!reading 258 degC"))
    assert names(reviewed(typed, QUICK)) == []


def test_nothing_read_under_the_cover_is_noted_after_an_hour() -> None:
    """A covered part changes over hours, and below 40 °C nothing is missed."""
    script = edited("clamps-left-on.txt", ("151,!loosened", ""))
    silent = reviewed(script + "3900,60\n3903,60\n3906,60\n", QUICK)
    assert above_notes(silent) == []
    one = only(silent, "nothing read")
    assert (one.t_s, one.to_s, one.times) == (276.0, 3900.0, None)
    # The median of its last three readings.
    assert "under the cover: sensor silent; last 240 °C" in one.said(Shown())
    less = reviewed(script + "3336,60\n3339,60\n3342,60\n", QUICK)
    assert "nothing read" not in names(less)


@pytest.mark.parametrize(
    ("script", "name"),
    [
        (KNOCKED, "probe knocked off"),
        (UNREAD, "welded without a trusted reading"),
        (NOTHING, "nothing read"),
    ],
)
def test_a_recording_may_be_cut_anywhere(script: str, name: str) -> None:
    """Once it shows it stays, and nothing raises before it."""
    seen = stepped(Path(script), QUICK)
    rule = KnockedOff if script == KNOCKED else Blind
    record = shows_from(seen, rule, name)
    assert record is not None
    (last,) = (f for f in cut(seen, rule)[-1] if f.name == name)
    assert last.record is not None
    assert last.record <= record


@pytest.mark.parametrize(
    ("reads_c", "why"),
    [
        (507, "from 264 °C to 507 °C: as if it now sent °F"),
        (90, "fell from 264 °C to 91 °C after the blows"),
    ],
)
def test_what_was_read_and_not_trusted_is_said_to_be_so(reads_c: int, why: str) -> None:
    """It reads all the time, and nobody answers for it."""
    lines = edited(NOTHING).partition("50,OPEN")[0].splitlines()
    doubted = [f"{t_s},{reads_c + (t_s // 2) % 2}" for t_s in range(50, 260, 2)]
    back = [f"{t_s},{264 + (t_s // 2) % 2}" for t_s in range(260, 300, 2)]
    said_of_it = said(reviewed("\n".join([*lines, *doubted, *back]) + "\n", QUICK), "nothing read")
    assert said_of_it.startswith("no reading was trusted for 4 min while beads were laid: ")
    assert said_of_it.partition(": ")[2].startswith(f"in doubt, {why}; last 26")


@pytest.mark.parametrize(("min_s", "told"), [(510, False), (700, True)])
def test_nothing_read_in_a_stop_is_a_note(min_s: int, told: bool) -> None:
    """A long stop with the part kept warm: no bead is struck, and what it has is read after it."""
    lines = edited(NOTHING).partition("50,OPEN")[0].splitlines()
    dark = [f"{t_s},OPEN" for t_s in range(52, 52 + min_s, 20)]
    back = [f"{52 + min_s + t_s},{262 + (t_s // 2) % 2}" for t_s in range(0, 60, 2)]
    found = reviewed("\n".join([*lines, "50,!hold", *dark, *back]) + "\n", QUICK)
    assert "nothing read" not in above_notes(found)
    assert ("nothing read" in names(found)) is told
    if told:
        one = only(found, "nothing read")
        assert one.said(Shown()).startswith("nothing told the temperature for 12 min in a stop: ")
        assert one.limit is not None
        assert (one.limit.name, one.values[one.limit.value]) == (
            "in a stop it is noted from",
            600.0,
        )


def test_beads_after_a_blind_stop_count_from_its_beginning() -> None:
    """Blind from 48 s through the stop to the strike at 150 s."""
    lines = edited(NOTHING).partition("50,OPEN")[0].splitlines()
    dark = [f"{t_s},OPEN" for t_s in range(52, 200, 4)]
    acts = ["50,!hold", "120.5,!next", "150,!arc on", "160,!arc off"]
    rows = sorted([*lines, *dark, *acts], key=lambda row: float(row.split(",")[0]))
    one = only(reviewed("\n".join(rows) + "\n", QUICK), "welded without a trusted reading")
    assert one.values["lasted_s"] == pytest.approx(100.0, abs=4.0)
