"""The part turned with the probe left on, and every trace that speaks for one fixed anew.

The job is `earlier.QUICK`. The part is turned at 262 °C, 242 K above the room: a lifted probe is
taken to move by more than 4 % of that, 9.7 K, in ten seconds.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from conftest import COLD
from earlier import QUICK
from scripted import above_notes, edited, names, only, reviewed, shows_from, stepped
from written import head_of

from pacer.review.rules.turned import Turned
from pacer.review.table import table
from pacer.run.reviewing import numbered
from pacer.session.events import ClockGap, SensorChanged
from pacer.units import Shown

NAME = "turned, probe not fixed anew"
SCRIPT = "turned-probe-not-fixed-anew.txt"


def dipped(to_c: float) -> str:
    """Return the script with the reading fallen from 260 °C at 104 s and back 12 s later."""
    return edited(SCRIPT, ("108,260", f"108,{to_c}"), ("112,259", f"112,{to_c}"))


def test_a_reading_that_never_noticed_the_turn() -> None:
    """Turned at 95 s, struck at 130 s, 6 K lower; the record is that of the word."""
    seen = stepped(Path(SCRIPT), QUICK)
    found = table(seen)
    assert above_notes(found) == [NAME]
    one = only(found, NAME)
    assert (one.t_s, one.to_s, one.bead, one.place) == (95.0, 130.0, None, None)
    assert [s.t_s for s in seen if s.record == one.record] == [95.0]
    assert one.limit is not None
    assert one.values[one.limit.value] == 9.7
    assert one.said(Shown()) == (
        "turned at 262 °C; up to bead 2, 35 s later, the reading was never lost "
        "and moved by no more than 10 K in 10 s"
    )
    assert "how a probe is held" in one.against[0]


@pytest.mark.parametrize(("to_c", "lifted"), [(250.2, True), (252.0, False)])
def test_a_probe_that_was_lifted(to_c: float, lifted: bool) -> None:
    """Fallen by 9.8 K of the 9.6 K at 260 °C, and by 8 K: 83 %."""
    assert (NAME in names(reviewed(dipped(to_c), QUICK))) is not lifted


def test_a_probe_that_was_lifted_before_he_said_it() -> None:
    """20 s before the word it still belongs to the turn; 40 s before it doesn't."""
    assert NAME not in names(
        reviewed(edited(SCRIPT, ("72,264", "72,250"), ("76,264", "76,250")), QUICK)
    )
    assert NAME in names(
        reviewed(edited(SCRIPT, ("44,267", "44,250"), ("48,267", "48,250")), QUICK)
    )


def test_a_reading_lost_is_a_trace() -> None:
    """Pulled out for three lines; or silent for 24 s where a line came every four."""
    pulled = edited(SCRIPT, ("108,260", "108,OPEN\n109,OPEN\n110,OPEN"))
    assert NAME not in names(reviewed(pulled, QUICK))
    none = [(f"{t_s},{c}", "") for t_s, c in ((100, 261), (104, 260), (108, 260), (112, 259))]
    silent = edited(SCRIPT, *none, ("116,258", ""))
    assert NAME not in names(reviewed(silent, QUICK))


def test_a_flame_is_no_trace() -> None:
    """Cooled to the floor after the turn and heated again at 3 K/s: nobody lifted the probe."""
    sinking = "".join(f"{96 + 2 * i},{261 - i}\n" for i in range(66))
    heated = "".join(f"{228 + 2 * i},{196 + 6 * i}\n" for i in range(12))
    level = "".join(f"{t_s},262\n" for t_s in range(252, 280, 2))
    head = edited(SCRIPT).split("96,261")[0]
    seen = stepped(f"{head}{sinking}{heated}{level}280.5,!arc on\n282,262\n290.5,!arc off\n", QUICK)
    assert any(s.state.phase == "reheat" for s in seen)
    assert NAME in names(table(seen))


def test_nothing_is_said_without_an_arc_after_it_or_on_a_cold_part() -> None:
    """A turn is judged at the next arc; near the room's temperature a lifted probe shows nothing."""
    assert NAME not in names(
        reviewed(edited(SCRIPT, ("130,!arc on", ""), ("140,!arc off", "")), QUICK)
    )
    cold = "".join(f"{t_s},24\n" for t_s in range(0, 80, 2))
    script = f"{cold}80,!next\n82,24\n84,24\n86,!turned\n88,24\n90,24\n92,!next\n94,24\n96,24\n"
    found = reviewed(script, COLD)
    assert len(found.beads) == 1
    assert NAME not in names(found)


def test_an_undone_bead_is_no_arc() -> None:
    """Struck by a slip, undone, then fixed anew before the bead that was laid."""
    slip = ("96,261", "96,261\n97,!next\n99,!undo")
    assert NAME in names(reviewed(edited(SCRIPT, slip), QUICK))
    lifted = [("108,260", "108,240"), ("112,259", "112,240")]
    assert NAME not in names(reviewed(edited(SCRIPT, slip, *lifted), QUICK))
    never = edited(SCRIPT, slip, ("130,!arc on", ""), ("140,!arc off", ""))
    assert NAME not in names(reviewed(never, QUICK))


@pytest.mark.parametrize(
    "event",
    [
        ClockGap(t_ms=110_000, to_ms=111_000, why="the lid was closed", by="wall"),
        SensorChanged(t_ms=110_000, state="lost", why="unplugged"),
    ],
)
def test_time_that_nobody_watched_may_hide_a_trace(event: ClockGap | SensorChanged) -> None:
    """As may a port that was lost."""
    head, *seen = stepped(Path(SCRIPT), QUICK)
    events = [s.event for s in seen if s.event is not None]
    at = sum(one.t_s <= 110.0 for one in events)
    opened = head_of(head.state.job)
    assert NAME in names(table(numbered(opened, enumerate(events, 1))))
    events.insert(at, event)
    assert NAME not in names(table(numbered(opened, enumerate(events, 1))))


def test_a_recording_may_be_cut_anywhere() -> None:
    """It shows from the arc on that follows the turn."""
    seen = stepped(Path(SCRIPT), QUICK)
    record = shows_from(seen, Turned, NAME)
    assert [s.t_s for s in seen if s.record == record] == [130.0]
