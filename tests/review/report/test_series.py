"""What the charts show of a recording: its readings, its gaps, and what was forecast when."""

from __future__ import annotations

from pathlib import Path

import pytest
from reporting import COVERED_S, made, press, read, story
from written import head_of, lines_of, write_lines

from pacer.job.job import Job
from pacer.recording.reader import Recording
from pacer.review.report.known_then import AFTER_S
from pacer.review.report.treatment import fastest_fall
from pacer.run.asked import cooldown_answers
from pacer.session.events import Act, Ended, Reading
from pacer.session.work import Phase


def test_every_point_of_the_curve_was_read(hot_job: Job) -> None:
    """The deciding temperature is the median of the last readings, so it is one of them."""
    events = story(0.2)
    _, series = made(hot_job, events)
    raw = [(e.t_s, e.raw[0]) for e in events if isinstance(e, Reading)]

    points = list(series.believed)
    assert len(points) > 300
    for point in points:
        window = {temp_c for t_s, temp_c in raw if point.t_s - 200.0 <= t_s <= point.t_s}
        assert point.temp_c in window


def test_silence_and_unwatched_time_part_the_curve(hot_job: Job) -> None:
    """As the story has it: 19 s without a line, 30 s with the lid closed."""
    _, series = made(hot_job, story(0.2))
    series.finish()
    gaps = [(gap.from_s, gap.to_s, gap.kind) for gap in series.gaps]

    assert (130.0, 160.0, "nobody watched") in gaps
    (silent,) = [
        gap for gap in gaps if gap[2] == "no trusted reading" and gap[0] < 119.0 < gap[1] + 1
    ]
    assert silent[0] == pytest.approx(99.0, abs=1.0)
    parted = [p.t_s for p in series.believed if p.broken]
    assert any(119.0 <= t_s <= 124.0 for t_s in parted)
    assert any(160.0 <= t_s <= 165.0 for t_s in parted)


def test_what_was_doubted_is_no_part_of_the_curve(hot_job: Job) -> None:
    """A fall of 150 K in a second while peening: a probe that came off, and the cue that asks."""
    fallen = [
        read(e.t_s, 100.0) if isinstance(e, Reading) and 88 <= e.t_s < 100 else e
        for e in story(0.1)
    ]
    _, series = made(hot_job, fallen)

    assert not [p for p in series.believed if 90 <= p.t_s < 100 and p.temp_c == 100.0]
    assert {p.temp_c for p in series.doubted if 90 <= p.t_s < 100} == {100.0}
    assert [cue.kind for cue in series.warned if cue.t_s < 100.0] == ["PROBE_OFF"]


def test_forecasts_are_those_that_cool_answers_for_the_same_moment(
    hot_job: Job, tmp_path: Path
) -> None:
    """15 min and 1 h after covering (2 h after it is cool already), by the command's own code over the file."""
    events = story(2.5)
    _, series = made(hot_job, events)
    path = write_lines(tmp_path / "a.jsonl", lines_of(head_of(hot_job), events))
    moments = AFTER_S[:2]
    asked = cooldown_answers(Recording(path), moments, None)

    then = series.then
    assert [made.label for made in then.made] == ["15 min", "1 h"]
    for known, answer, after_s in zip(then.made, asked, moments, strict=True):
        assert known.made_s == COVERED_S + after_s
        assert known.eta_s - COVERED_S == answer.eta_s
        assert known.low_s - COVERED_S == answer.eta_low_s
        high_s = None if known.high_s is None else known.high_s - COVERED_S
        assert high_s == answer.eta_high_s


def test_uncovering_early_adds_the_forecast_of_that_moment(hot_job: Job) -> None:
    """20 min after covering: what had been forecast stays beside what came of it."""
    events = [*story(0.6), press(COVERED_S + 1200.5, "uncovered")]
    events.sort(key=lambda event: event.t_ms)
    _, series = made(hot_job, [e for e in events if not isinstance(e, Ended)])

    assert [known.label for known in series.then.made] == ["15 min", "uncovering"]
    assert series.then.made[1].made_s == COVERED_S + 1200.5
    assert series.then.reached_s is None


def test_the_end_of_the_cool_down_is_the_first_reading_at_its_temperature(hot_job: Job) -> None:
    """240 K above 20 °C with 45 min: 40 °C after 45 min times ln 12, 6709 s; read every 20 s."""
    _, series = made(hot_job, story(2.5))

    assert series.then.reached_s is not None
    assert series.then.reached_s - COVERED_S == pytest.approx(6709.0, abs=60.0)


def test_stays_follow_each_other_without_a_hole(hot_job: Job) -> None:
    """The strip of phases covers the session from its head to its last event."""
    events = story(0.1)
    _, series = made(hot_job, events)
    series.finish()
    stays = list(series.stays)

    assert stays[0].from_s == 0.0
    assert stays[-1].to_s == events[-1].t_s
    assert [a.to_s for a in stays[:-1]] == [b.from_s for b in stays[1:]]
    assert series.first(Phase.BEAD) == 74.0
    assert series.first(Phase.HOLD) is None


def test_other_channels_have_curves_of_their_own(hot_job: Job) -> None:
    """Three channels, 7 K apart; never more than can be told apart on a chart."""
    _, series = made(hot_job, story(0.1, channels=3))
    assert list(series.beside) == ["t2", "t3"]
    assert series.channels == 3
    first, second = (next(iter(curve)) for curve in series.beside.values())
    assert second.temp_c == pytest.approx(first.temp_c - 7.0)

    _, many = made(hot_job, story(0.1, channels=8))
    assert len(many.beside) == 3


def test_a_hand_session_has_its_typed_readings_as_points(hot_job: Job) -> None:
    """No instrument: what was typed is the curve, and it stops where the last is too old."""
    typed = [
        Act(t_ms=round(t_s * 1000), deed="reading", temp_c=temp_c)
        for t_s, temp_c in ((5.0, 20.0), (60.0, 180.0), (4000.0, 262.0))
    ]
    _, series = made(hot_job, [press(1.0), *typed, press(9000.0, "note", "late")], hand=True)

    assert [p[:2] for p in series.believed] == [(5.0, 20.0), (60.0, 180.0), (4000.0, 262.0)]


def test_the_fastest_fall_is_the_mean_of_the_steepest_half_hour(hot_job: Job) -> None:
    """From 15 min on: 240 K × (e^-900/2700 - e^-2700/2700) in half an hour, 167 K/h."""
    _, series = made(hot_job, story(2.5))
    points = [p for p in series.believed if p.t_s >= COVERED_S]
    found = fastest_fall(points, COVERED_S + 900.0)
    # Above 150 °C there is no half hour of it: 150 °C is passed 24 min after covering.
    assert found is None

    slow = [p._replace(temp_c=p.temp_c + 100.0) for p in points]
    found = fastest_fall(slow, COVERED_S + 900.0)
    assert found is not None
    rate_c_h, from_s = found
    assert rate_c_h == pytest.approx(167.3, abs=2.0)
    assert from_s - COVERED_S == pytest.approx(900.0, abs=60.0)
