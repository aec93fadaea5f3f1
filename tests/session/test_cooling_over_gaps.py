"""A cool-down over time nobody watched: it goes on over real time, marked, with a wider range.

The temperatures are those of the cover's own model (`test_cooling_looks.curve_c`): what is
asked here is what the gap does, not how good the model is (`tests/heat/test_bridge.py`).
"""

from __future__ import annotations

import pytest
from telling import Session, ready
from test_cooling_looks import COVERED_S, curve_c, kinds

from pacer.job.job import Job
from pacer.run.memo import Foresight
from pacer.screen.desk import Snapshot
from pacer.screen.parts.now import now
from pacer.screen.parts.quiet import quiet
from pacer.session.cooling import BRIDGED_LEAST_SD_S, UNTIMED_S
from pacer.session.events import GapBy, Resumed
from pacer.session.forecast import Cooldown, cooldown, course
from pacer.session.work import Phase
from pacer.units import Shown

OFF_S, BACK_S = 1200.0, 3000.0
"""Since covering: the program stops after 20 min and is started again after 50."""
EVERY_S = 30.0
METRIC = Shown("metric")


def covered(
    job: Job, by: GapBy, *, clock_off_s: float = 0.0, until_s: float = 3600.0, k_sd: float = 0.0
) -> Session:
    """A burial with that gap; the wall clock, where it bridges it, is off by so much."""
    session = ready(job).steady(73, COVERED_S, 262.0).at(COVERED_S, "covered")
    temps_c = curve_c(job, until_s / 3600.0 + 0.1, k_sd)
    length_s = 0.0 if by == "unknown" else BACK_S - OFF_S + clock_off_s
    later_s = length_s - (BACK_S - OFF_S)
    gone = False
    for i, temp_c in enumerate(temps_c):
        since_s = EVERY_S * (i + 1)
        if OFF_S < since_s <= BACK_S or since_s > until_s:
            continue
        if since_s > BACK_S and not gone:
            gone = True
            start_s = COVERED_S + OFF_S
            session.gap(start_s, start_s + length_s, by)
            session.event(Resumed(t_ms=round((start_s + length_s) * 1000)))
        session.at(COVERED_S + since_s + (later_s if gone else 0.0), temp_c)
    return session


def ahead(session: Session) -> Cooldown:
    """What is forecast at the session's last moment."""
    found = cooldown(session.state, session.state.t_s)
    assert found is not None
    return found


def width_s(found: Cooldown) -> float:
    """How wide the range is, s."""
    assert found.high_s is not None
    return found.high_s - found.low_s


def words(session: Session) -> tuple[str, str, str]:
    """The giant time, the line of words and the quiet line."""
    snapshot = Snapshot(
        state=session.state, t_s=session.state.t_s, kind="live", trend=(), cues=(), log="x.pacer"
    )
    shown = now(snapshot, METRIC, Foresight()(snapshot))
    return f"{shown.clock} {shown.unit}".strip(), shown.words, quiet(snapshot, METRIC)


@pytest.mark.slow
def test_a_bridged_cool_down_is_marked_and_its_range_is_wider_than_a_watched_clocks(
    hot_job: Job,
) -> None:
    """The same readings: the steady clock's range, and the wall clock's around the same end."""
    steady, wall = covered(hot_job, "steady", until_s=3100), covered(hot_job, "wall", until_s=3100)
    watched, bridged = ahead(steady), ahead(wall)

    assert wall.state.work.covered_s == steady.state.work.covered_s == COVERED_S
    assert width_s(bridged) > width_s(watched) + BRIDGED_LEAST_SD_S
    assert bridged.low_s < watched.eta_s < (bridged.high_s or 0.0)
    assert wall.state.cooling is not None
    assert (wall.state.cooling.by_wall_s, wall.state.cooling.by_word_s) == (1800.0, 0.0)
    assert "30 min of it by the wall clock, not watched" in words(wall)[2]
    assert "not watched" not in words(steady)[2]


def test_what_the_welder_said_is_marked_as_said(hot_job: Job) -> None:
    """`said`: his word for the time, in the quiet line."""
    assert "30 min of it as you said, not watched" in words(covered(hot_job, "said"))[2]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("by", "clock_off_s"), [("wall", 0.0), ("wall", 3600.0), ("wall", -1500.0), ("unknown", 0.0)]
)
def test_no_departure_is_told_that_only_the_clock_made(
    hot_job: Job, by: GapBy, clock_off_s: float
) -> None:
    """A burial just as the cover makes it: an hour added, 25 of 30 min lost, or no length known."""
    session = covered(hot_job, by, clock_off_s=clock_off_s, until_s=2 * 3600)

    departures = {"COOLING_FAST", "COOLING_SLOWLY", "PROBE_MOVED", "PROBE_OFF"}
    assert not departures & set(kinds(session))


@pytest.mark.slow
def test_damp_sand_is_told_over_a_bridged_gap_all_the_same(hot_job: Job) -> None:
    """Found by its pace before and after the gap, whatever the clock says (5.5 sd of the prior)."""
    session = covered(hot_job, "wall", until_s=2 * 3600, k_sd=5.5)

    assert "COOLING_FAST" in kinds(session)


def test_with_no_length_known_nothing_is_counted_until_a_reading_comes(hot_job: Job) -> None:
    """Wall clock earlier than the last record: no figure from a wrong zero."""
    session = covered(hot_job, "steady", until_s=OFF_S)
    t_s = session.state.t_s
    session.gap(t_s, t_s, "unknown").event(Resumed(t_ms=round(t_s * 1000)))
    assert session.told[-1].kind == "UNTIMED_GAP"
    assert session.state.phase is Phase.COOL_DOWN
    figure, line, quiet_line = words(session)
    assert figure == ""
    assert line == "How long it has cooled is not known: a reading will tell"
    assert quiet_line == "how long it cooled unwatched is not known"


@pytest.mark.slow
def test_with_no_length_known_the_next_readings_tell_what_is_left(hot_job: Job) -> None:
    """The time left holds the truth: what the same burial, watched, had left at that moment."""
    lost = covered(hot_job, "unknown", until_s=3300)
    whole = covered(hot_job, "steady", until_s=3300)
    found, watched = ahead(lost), ahead(whole)
    ago_s, passed_s = lost.state.t_s - COVERED_S, whole.state.t_s - COVERED_S

    assert ago_s == passed_s - (BACK_S - OFF_S)
    left_s = watched.eta_s - passed_s
    assert found.high_s is not None
    assert found.low_s - ago_s < left_s < found.high_s - ago_s
    assert width_s(found) > width_s(watched)
    # The curve on the screen begins now, not an hour or a day off.
    curve = course(lost.state, found, lost.state.t_s).curve
    assert curve[0][0] == pytest.approx(lost.state.t_s, abs=0.2)
    control = lost.state.control
    assert control is not None
    assert control.value_c is not None
    assert curve[0][1] == pytest.approx(control.value_c, abs=5.0)


def test_a_second_gap_of_unknown_length_leaves_what_came_between_them_out(hot_job: Job) -> None:
    """One unknown length holds both; readings before the first and after the last count."""
    session = covered(hot_job, "unknown", until_s=3300)
    cooling = session.state.cooling
    assert cooling is not None
    assert cooling.gap is not None
    before = sum(1 for row in cooling.bins if row[0] < cooling.gap.from_s)
    assert len(cooling.bins) > before
    t_s = session.state.t_s
    session.gap(t_s, t_s, "unknown").at(t_s + 1, 120.0).at(t_s + 2, 120.0).at(t_s + 3, 120.0)

    after = session.state.cooling
    assert after is not None
    assert after.gap is not None
    assert after.untimed
    assert not after.lost
    assert len(after.bins) == before + 1
    assert after.bins[-1][0] >= after.gap.from_s
    assert after.gap.length_s >= UNTIMED_S


def test_a_wall_clocks_gap_after_one_nobody_timed_stays_the_lesser_doubt(hot_job: Job) -> None:
    """Once the age isn't known a clock can't give it back."""
    session = covered(hot_job, "unknown", until_s=3300)
    t_s = session.state.t_s
    session.gap(t_s, t_s + 600, "wall")

    assert session.state.cooling is not None
    assert session.state.cooling.untimed
    assert session.state.cooling.by_wall_s == 600.0
