"""What the welder reads, phase by phase, without a terminal."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable

import fake_desk as fd
import msgspec
import pytest

from pacer.screen.parts.quiet import quiet
from pacer.screen.view import View, view
from pacer.session.band import OFF_S
from pacer.session.cues import Urgency
from pacer.session.events import ArcSignal
from pacer.session.work import Phase
from pacer.units import Shown

METRIC = Shown("metric")


def seen(session: fd.Session, **changed: object) -> View:
    """Return the view of a session's moment."""
    return view(session.snapshot(**changed), METRIC)


@pytest.mark.parametrize(
    ("make", "word"),
    [
        (fd.prepared, "PREPARE"),
        (fd.preheating, "PREHEAT"),
        (fd.soaking, "SOAK"),
        (fd.ready, "READY"),
        (fd.burning, "WELD"),
        (fd.peening, "PEEN"),
        (fd.looking, "LOOK"),
        (fd.paused, "PAUSED"),
        (fd.waiting, "WAIT"),
        (fd.reheating, "REHEAT"),
        (fd.holding, "HOLD"),
        (fd.postheating, "POST-HEAT"),
        (fd.burying, "BURY"),
        (fd.cooling, "HOT"),
        (fd.cool, "UNCOVER"),
        (fd.done, "DONE"),
    ],
)
def test_every_phase_has_its_own_giant_word(make: Callable[[], fd.Session], word: str) -> None:
    """The words are those of design.md's procedure; common practice, no source."""
    shown = seen(make())
    assert shown.word == word
    assert shown.words
    assert shown.caution


def test_a_bead_says_weld_then_finish_then_stop() -> None:
    """FINISH 3.5 s before the planned end of 12.5 s, STOP at it (procedure.md section 5)."""
    session = fd.burning()
    words = [(seen(session).word, seen(session).clock)]
    session.read(262.0, 6.0)
    words.append((seen(session).word, seen(session).clock))
    session.read(262.0, 3.5)
    words.append((seen(session).word, seen(session).clock))
    session.read(262.0, 1.0)
    words.append((seen(session).word, seen(session).clock))
    assert words == [("WELD", "0:10"), ("FINISH", "0:04"), ("STOP", "+0:00"), ("STOP", "+0:01")]


def test_a_pause_in_a_bead_moves_the_end_that_its_clock_counts_to() -> None:
    """Three seconds of arc, a pause of four: the plan of 12.5 s ends at 16.5 s, FINISH at 13 s."""
    session = fd.burning().press("pause").read(262.0, 4.0)
    session.press("next").read(262.0, 5.5)
    assert (seen(session).word, seen(session).clock) == ("WELD", "0:04")
    session.read(262.0, 0.5)
    shown = seen(session)
    assert [c.kind for c in session.cues if c.t_s == session.t_s] == ["FINISH"]
    assert (shown.word, shown.clock, shown.clock_label) == ("FINISH", "0:04", "left of this bead")
    session.read(262.0, 3.5)
    assert (seen(session).word, seen(session).clock) == ("STOP", "+0:00")


def test_the_look_counts_down_and_a_pause_counts_up() -> None:
    """A look of 3 s, one second in; a pause five seconds old; the time leads in both."""
    look, pause = seen(fd.looking()), seen(fd.paused())
    assert (look.clock, look.clock_label) == ("0:02", "left to look")
    assert (pause.clock, pause.clock_label) == ("0:05", "paused")
    assert look.time_leads
    assert pause.time_leads
    assert not seen(fd.waiting()).time_leads


def test_nothing_replaces_the_word_while_the_arc_burns() -> None:
    """procedure.md section 5: no other cue while the arc burns."""
    session = fd.burning().wait(4.0)
    shown = seen(session, trouble="log not saved: disk full")
    assert shown.word == "WELD"
    assert shown.temp.digits == "– – –"
    assert "LOG NOT SAVED" in shown.trouble


def test_a_stale_reading_shows_no_digits() -> None:
    """reliability.md T-30: the number is gone within 2 s, and its age is told."""
    session = fd.waiting(290.0)
    assert seen(session).temp.digits == "290"
    session.wait(1.9)
    assert seen(session).temp.digits == "290"
    session.wait(12.1)
    shown = seen(session)
    assert shown.temp.digits == "– – –"
    assert shown.temp.age == "NO READING for 14 s"
    assert shown.word == "NO READING"
    assert shown.urgency is Urgency.FAULT
    assert shown.words.startswith("sensor silent")
    assert shown.gauge.temp_c is None
    assert shown.rate == ""


def test_an_open_circuit_is_neither_hot_nor_cold() -> None:
    """reliability.md section 0, finding 8: a third state."""
    session = fd.waiting(290.0)
    for _ in range(3):
        session.raw(None, status="open")
    shown = seen(session)
    assert shown.word == "NO READING"
    assert shown.temp.standing == "unknown"
    assert "open circuit" in shown.sensor


def test_a_peen_is_not_lost_to_a_lost_sensor() -> None:
    """A peen lasts seconds and needs no number: its word stays; common practice, no source."""
    session = fd.peening().lost("unplugged").wait(1.0)
    shown = seen(session)
    assert shown.word == "PEEN"
    assert shown.temp.age.startswith("NO READING")


def test_a_typed_reading_says_how_old_it_is_and_ends() -> None:
    """A typed value decides for 120 s between beads (session/track.py), then shows no digits."""
    session = fd.Session(hand=True).press("next").press("next").press("next")
    assert seen(session).word == "MEASURE"
    session.press("reading", temp_c=262.0).press("next").wait(65.0)
    shown = seen(session)
    assert (shown.word, shown.temp.digits, shown.temp.age) == ("READY", "262", "typed 1 min ago")
    session.wait(60.0)
    shown = seen(session)
    assert (shown.word, shown.temp.digits) == ("MEASURE", "– – –")
    assert shown.temp.age == "too old, typed 2 min ago: R"


def test_a_typed_reading_takes_over_from_a_silent_sensor() -> None:
    """NO READING ends where a typed reading can decide (session/track.py)."""
    session = fd.waiting(312.0).wait(5.0)
    assert seen(session).word == "NO READING"
    session.press("reading", temp_c=308.0).wait(12.0)
    shown = seen(session)
    assert (shown.word, shown.temp.digits, shown.temp.age) == ("WAIT", "308", "typed 10 s ago")


@pytest.mark.parametrize(
    ("temp_c", "place", "standing"),
    [
        (277.0, "23 °C under ceiling", "in"),
        (231.0, "31 °C above floor", "in"),
        (305.0, "OVER CEILING by 5 °C", "over"),
        (300.2, "OVER CEILING by 1 °C", "over"),
        (188.0, "BELOW FLOOR by 12 °C", "below"),
    ],
)
def test_the_place_in_the_band_is_told_in_words(temp_c: float, place: str, standing: str) -> None:
    """Band 200 to 300 °C; sums by hand."""
    shown = seen(fd.holding().ramp(temp_c).read(temp_c, 6.0))
    assert (shown.temp.place, shown.temp.standing) == (place, standing)


def test_too_hot_and_too_cold_take_over_in_a_hold() -> None:
    """WARN cues stand while they are true (session/watch.py)."""
    session = fd.holding().read(310.0, 6.0)
    shown = seen(session)
    assert (shown.word, shown.urgency) == ("TOO HOT", Urgency.WARN)
    assert shown.words.endswith("310 °C: take the heat away")
    assert seen(session.ramp(190.0).read(190.0, 6.0)).word == "TOO COLD"
    # Back in the band it is said at once; the word goes after some seconds (session/band.py).
    shown = seen(session.ramp(210.0).read(210.0, 1.0))
    assert (shown.word, shown.words) == ("TOO COLD", "Back in the band, at 210 °C")
    assert seen(session.read(210.0, OFF_S)).word == "HOLD"


def test_the_users_units_are_used_everywhere() -> None:
    """262 °C is 503.6 °F, 300 °C is 572 °F."""
    shown = view(fd.ready().snapshot(), Shown("us"))
    assert (shown.temp.digits, shown.temp.unit) == ("504", "°F")
    assert shown.temp.place == "68 °F under ceiling"
    assert [mark.shown for mark in shown.gauge.marks] == ["392 °F", "572 °F"]
    assert "°C" not in shown.words + shown.sensor + shown.temp.place


def test_log_not_saved_takes_over_and_other_trouble_does_not() -> None:
    """A critical sink is loud at once, another is named (design.md)."""
    session, trouble = fd.waiting().log("log"), "log not saved: no space left on device"
    lost = seen(session, trouble=trouble)
    assert (lost.word, lost.urgency, lost.unanswered) == ("LOG NOT SAVED", Urgency.FAULT, True)
    assert lost.words == (
        "Go on, it is kept in memory; see to the disk: no space left on device"
        " · WAIT: Past the ceiling 300 °C, at 312 °C: wait for 295 °C"
    )
    # Answered, it stays in the top line for as long as it is so.
    answered = seen(session.wait(1.0).press("next"), trouble=trouble)
    assert (answered.word, answered.unanswered) == ("WAIT", False)
    assert answered.trouble == "LOG NOT SAVED: no space left on device"
    # Ended in it nobody writes any more.
    assert seen(session, trouble=trouble, over=True).word == "LOG NOT SAVED"
    mute = seen(fd.waiting(), trouble="no sound: no device")
    assert (mute.word, mute.trouble) == ("WAIT", "no sound: no device")


@pytest.mark.parametrize(
    ("temp_c", "line"),
    [
        (304.0, "Past the ceiling 300 °C, at 304 °C: wait for 295 °C"),
        (299.0, "Under the ceiling 300 °C, at 299 °C: wait for 295 °C"),
        (294.0, "Cool enough, at 294 °C: some seconds until the next bead is called"),
    ],
)
def test_a_wait_below_the_ceiling_is_not_told_as_past_it(temp_c: float, line: str) -> None:
    """Some seconds pass until a bead is called by a reading that is cool enough (session/band.py)."""
    shown = seen(fd.waiting(312.0).ramp(temp_c).read(temp_c, 1.0))
    assert (shown.word, shown.words) == ("WAIT", line)


def test_a_refused_press_says_why_for_a_moment() -> None:
    """CANNOT holds the line of words for 8 s, the giant word stays."""
    session = fd.waiting().press("next")
    assert seen(session).word == "WAIT"
    assert seen(session).words == "the part is still too hot for the next bead"
    session.read(312.0, 9.0)
    assert seen(session).words.endswith("312 °C: wait for 295 °C")


def test_soak_counts_down_and_says_when_it_does_not_count() -> None:
    """Soak 20 min, counting from the floor (procedure.md section 3)."""
    session = fd.soaking()
    assert seen(session).clock_label == "left to soak"
    shown = seen(session.ramp(150.0).read(150.0, 5.0))
    assert (shown.clock, shown.clock_label) == ("20:00", "to soak, not counting yet")


def test_practice_and_replay_say_so() -> None:
    """An invented session is never taken for a real one."""
    practice = seen(fd.ready(), kind="practice", speed=60.0, invented="seed 7")
    assert practice.banner == "PRACTICE, invented data ×60"
    assert seen(fd.ready(), kind="replay", paused=True).banner == "REPLAY paused"
    assert seen(fd.ready(), kind="replay", invented="seed 7", over=True).banner == (
        "REPLAY of invented data at its end"
    )
    assert seen(fd.ready()).banner == ""


@pytest.mark.parametrize(
    ("changed", "banner"),
    [
        ({}, "REPLAY ×10"),
        ({"speed": -60.0}, "REPLAY ×60, backwards"),
        ({"speed": -1.0, "paused": True}, "REPLAY paused, backwards"),
        ({"over": True}, "REPLAY at its end"),
        ({"speed": -1.0, "over": True}, "REPLAY at its start"),
        ({"damaged": True}, "REPLAY, damaged, ×10"),
        ({"damaged": True, "invented": "x"}, "REPLAY of invented data, damaged, ×10"),
    ],
)
def test_a_replay_says_how_it_is_played(changed: dict[str, object], banner: str) -> None:
    """Pace, direction, the ends, and that records are missing."""
    assert seen(fd.ready(), **{"kind": "replay", "speed": 10.0, **changed}).banner == banner


def test_going_on_with_a_damaged_recording_says_so_in_the_first_line() -> None:
    """As its replay does: what is shown of the past may lack something."""
    assert seen(fd.ready(), damaged=True).banner == "DAMAGED RECORDING"
    assert seen(fd.ready(), damaged=True, over=True).banner == "DAMAGED RECORDING, SESSION ENDED"


def test_a_replay_that_stands_still_shows_its_time_to_the_ms() -> None:
    """Steps go from record to record, four a second and more."""
    session = fd.ready()
    still = seen(session, kind="replay", paused=True, t_s=3725.25)
    assert (still.time, seen(session, kind="replay", t_s=3725.25).time) == (
        "1:02:05.250",
        "1:02:05",
    )
    assert seen(session, kind="practice", paused=True, t_s=3725.25).time == "1:02:05"


def test_the_last_cues_carry_session_times_newest_first() -> None:
    """h:mm:ss of session time."""
    first, _ = seen(fd.ready()).cues[0]
    assert first == "0:00:45 READY"


def test_a_slope_needs_an_instrument_and_some_seconds() -> None:
    """+1 °C every half second is 120 °C a minute."""
    session = fd.Session().press("next")
    for step in range(150):
        session.read(100.0 + step)
    assert seen(session).rate == "rising 120 °C a minute"
    assert seen(fd.Session().press("next").read(100.0, 2.0)).rate == ""


def test_hostile_text_is_clean_in_every_string() -> None:
    """reliability.md T-18: no control or bidi character passes."""
    evil = "\x1b]0;x\x07\u202e[/][@click=app.exit]\x9b2J"
    session = fd.Session(msgspec.structs.replace(fd.JOB, title=evil))
    session.press("next").raw(evil, status="unparsable").lost(evil).wait(5.0)
    shown = seen(session, log=evil, trouble=evil, invented=evil, kind="replay")
    text = repr(shown)
    for bad in ("\\x1b", "\\x07", "\\u202e", "\\x9b"):
        assert bad not in text


@pytest.mark.slow
def test_the_view_needs_no_terminal_library() -> None:
    """design.md: the headless run gets its lines from here."""
    code = "import sys, pacer.screen.view; print('textual' in sys.modules, 'rich' in sys.modules)"
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert ran.stdout.split() == ["False", "False"]


def test_an_arc_channel_that_never_speaks_is_named() -> None:
    """A slip of the pen in `arc=`: the quiet line asks for the name, from 10 s on."""
    session = fd.preheating()
    arc = ArcSignal(name="clamp", on=20.0, off=10.0)
    channel = msgspec.structs.replace(session.state.sensor.channel, arc=arc)
    sensor = msgspec.structs.replace(session.state.sensor, channel=channel)
    session.state = msgspec.structs.replace(session.state, sensor=sensor)
    assert "clamp" not in quiet(session.snapshot(), Shown("metric"))
    session.read(150.0, 10.0)
    assert "no value from clamp" in quiet(session.snapshot(), Shown("metric"))
    assert "clamp" not in quiet(fd.preheating().read(150.0, 10.0).snapshot(), Shown("metric"))


def test_a_part_gone_cold_is_told_why_it_is_soaked_anew() -> None:
    """An ordinary reheat needs no reason; down at 60 °C the word PREHEAT alone would puzzle."""
    why = "preheat and soak anew: it had gone cold or stood long"
    assert quiet(fd.reheating(190.0).snapshot(), Shown("metric")) == ""
    cold = fd.reheating(60.0)
    assert quiet(cold.snapshot(), Shown("metric")) == why
    warm = cold.ramp(262.0).read(262.0, 5.0)
    assert warm.state.phase is Phase.SOAK
    assert quiet(warm.snapshot(), Shown("metric")) == why
