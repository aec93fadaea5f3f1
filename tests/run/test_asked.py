"""What is asked of a moment is answered with what was known then, also of one in a gap."""

from __future__ import annotations

from pathlib import Path

import pytest
from driving import at_ready, press_next, steady
from fakes import Doing
from written import head_of, lines_of, write_lines

from pacer.errors import UserInputError
from pacer.job.job import Job
from pacer.recording.reader import Recording
from pacer.run.asked import cooldown_answers, moment_answers
from pacer.session.events import Act, AnyEvent, ClockGap, Reading

GAP = ClockGap(t_ms=80_000, to_ms=36_080_000)


def _stamped(told: list[tuple[float, AnyEvent | Doing]]) -> list[AnyEvent]:
    from msgspec.structs import replace

    return [replace(e, t_ms=round(1000 * t_s)) for t_s, e in told if not callable(e)]


def test_a_moment_in_a_gap_is_answered_from_before_it(hot_job: Job, tmp_path: Path) -> None:
    """The bead that burned when the lid was closed is dropped only when it is opened again."""
    events = _stamped([*at_ready(), press_next(74), *steady(75, 80, 262.0)])
    events += [GAP, *_stamped(steady(36_090, 36_095, 25.0))]
    recording = Recording(write_lines(tmp_path / "a.jsonl", lines_of(head_of(hot_job), events)))
    before, inside, after = moment_answers(recording, [79.0, 20_000.0, 36_080.0])
    assert (before["phase"], inside["phase"]) == ("bead", "bead")
    assert inside["temp_c"] is None
    assert after["phase"] != "bead"


def test_a_recording_that_ends_in_a_gap_is_asked_about_its_end(
    hot_job: Job, tmp_path: Path
) -> None:
    """Without a moment the last one is meant, and that is when somebody was there again."""
    events = _stamped([*at_ready(), press_next(74)])
    path = write_lines(tmp_path / "a.jsonl", lines_of(head_of(hot_job), [*events, GAP]))
    (last,) = moment_answers(Recording(path), [])
    assert last["at_s"] == 36_080.0
    assert last["phase"] != "bead"


def test_a_cool_down_in_a_gap_is_forecast_as_before_it(hot_job: Job, tmp_path: Path) -> None:
    """A part put aside at 400 °C, an hour unwatched: 30 minutes into it nobody knows of the gap."""
    events: list[AnyEvent] = [
        Reading(t_ms=30_000 * i, raw=(400.0 - 3.0 * i,), status="ok") for i in range(60)
    ]
    head = head_of(hot_job, start_phase="cool-down")
    gap = ClockGap(t_ms=1_770_000, to_ms=5_370_000, by="unknown")

    def asked(*more: AnyEvent) -> float:
        lines = lines_of(head, [*events, *more])
        recording = Recording(write_lines(tmp_path / "a.jsonl", lines))
        (answer,) = cooldown_answers(recording, [3500.0], None)
        return answer.eta_s

    later = Reading(t_ms=5_400_000, raw=(180.0,), status="ok")
    # The same hour, its length known or not: what is told of it comes later.
    assert asked(gap, later) == pytest.approx(asked(later))


def test_a_cool_down_that_was_a_long_stop_has_no_forecast_once_it_is_over(
    hot_job: Job, tmp_path: Path
) -> None:
    """Covered for a stop of ten minutes, then the repair went on: asked about then, it says so."""
    stop: list[AnyEvent] = [Act(t_ms=74_000, deed="hold"), Act(t_ms=75_000, deed="covered")]
    stop += [
        Reading(t_ms=1000 * t, raw=(262.0 - 0.1 * (t - 75),), status="ok") for t in range(76, 676)
    ]
    stop += [Act(t_ms=676_000, deed="hold"), Reading(t_ms=690_000, raw=(180.0,), status="ok")]
    events = [*_stamped(at_ready()), *stop]
    recording = Recording(write_lines(tmp_path / "a.jsonl", lines_of(head_of(hot_job), events)))
    (answer,) = cooldown_answers(recording, [300.0], None)
    assert answer.eta_s > 300.0
    with pytest.raises(UserInputError) as caught:
        cooldown_answers(recording, [], None)
    assert str(caught.value) == (
        "a.jsonl: no forecast 615 s after covering: the phase is preheat then, "
        "expected a part that cools down"
    )
