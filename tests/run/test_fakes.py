"""The fakes do what a real clock and a real source promise."""

from __future__ import annotations

from datetime import timedelta

import pytest
from fakes import START, FakeClock, FakeSink, FakeSource

from pacer.session.cues import Cue, CueKind
from pacer.session.events import Act, Reading


def test_the_wall_goes_along_with_time_unless_it_is_set() -> None:
    """Session time never moves when the wall clock is set."""
    clock = FakeClock()
    clock.to(10)
    clock.set_wall(-3600)
    clock.to(9)
    assert clock.now_s() == 10
    assert clock.wall() == START + timedelta(seconds=10 - 3600)


def test_a_read_ends_at_the_event_or_at_the_time_asked_for() -> None:
    """`Source.read`: nothing later than `until_s`; empty when that was reached."""
    clock = FakeClock()
    reading = Reading(t_ms=0, raw=(20.0,), status="ok")
    source = FakeSource(clock, [(2.0, reading), (3.0, lambda: clock.set_wall(5))])
    assert source.read(1.0) == []
    assert clock.now_s() == 1.0
    assert [(heard.t_s, heard.event) for heard in source.read(2.0)] == [(2.0, reading)]
    source.post(Act(t_ms=0, deed="next"))
    assert len(source.read(None)) == 1
    assert not source.finished
    assert source.read(None) == []
    assert source.finished
    assert clock.wall() == START + timedelta(seconds=3 + 5)


def test_a_sink_breaks_at_the_cue_it_was_told_to() -> None:
    """The first plays, the second breaks."""
    sink = FakeSink(breaks_at=2)
    sink.play(Cue(kind=CueKind.STOP, t_s=0))
    with pytest.raises(OSError):
        sink.play(Cue(kind=CueKind.STOP, t_s=0))
    assert len(sink.played) == 1
