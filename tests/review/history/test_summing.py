"""What a session comes to: numbers against times written by hand, and what became of it."""

from __future__ import annotations

from collections.abc import Iterable

import pytest
from sessions import PRESSES, repair
from written import head_of

from pacer.job.job import Job
from pacer.review.history.quantities import GROUPS, NUMBERS
from pacer.review.history.summary import Summary
from pacer.review.history.summing import summed_up
from pacer.review.measured import Measured
from pacer.review.table import table
from pacer.run.reviewing import numbered
from pacer.session.events import (
    Act,
    AnyEvent,
    Channel,
    ClockGap,
    Deed,
    Found,
    Inspection,
    Outcome,
    Reading,
)
from pacer.session.inspection import Imperfection


def _summed(job: Job, events: list[AnyEvent], **head: object) -> Summary:
    opened = head_of(job, channel=Channel("", "degC"), **head)
    measured = Measured()
    out = table(numbered(opened, enumerate(events, 1)), measured)
    return summed_up(opened, out, measured, sound=True)


@pytest.fixture(scope="module")
def whole(hot_job: Job) -> Summary:
    """The repair, covered at 270 s and uncovered 2400 s later."""
    return _summed(hot_job, repair())


def test_numbers_are_those_written_by_hand(whole: Summary) -> None:
    """The least digits of a temperature are the filter's: it lags a fall of 0.05 K/s."""
    told = whole.numbers
    exact = {
        "preheat_reached_c": 262.0,
        "soak_held_s": 60.0,
        "start_median_c": 262.0,
        "beads_n": 2.0,
        "bead_arc_s": 10.0,
        "pause_s": 30.0,
        "welding_s": 50.0,
        "peened_share": 1.0,
        "reheats_n": 0.0,
        "below_floor_s": 0.0,
        "above_ceiling_s": 0.0,
        "hold_s": 120.0,
        "bare_s": 146.5,
        "covered_s": 2400.0,
        "unwatched_s": 0.0,
        "planned_soak_s": 60.0,
        "planned_bead_m": 0.025,
        "mass_kg": 3.2,
        "wall_m": 0.012,
    }
    assert {name: told[name] for name in exact} == exact
    assert told["covered_c"] == pytest.approx(262.0, abs=0.5)
    assert told["uncovered_c"] == pytest.approx(142.0, abs=1.0)
    assert told["cooling_c_h"] == pytest.approx(180.0, rel=0.01)


def test_every_number_and_word_has_its_row(whole: Summary) -> None:
    """A name that is in no row would be in no table."""
    assert set(whole.numbers) <= {number.name for number in NUMBERS}
    assert set(whole.groups) == {group.name for group in GROUPS}
    assert all(len(number.label) <= 26 for number in NUMBERS)


@pytest.mark.parametrize("at", range(len(PRESSES) + 1))
def test_cut_anywhere_it_knows_less_and_says_nothing_false(
    hot_job: Job, whole: Summary, at: int
) -> None:
    """What a cut session knows of its past is what the whole one knows."""
    cut = _summed(hot_job, repair(PRESSES[:at], until_s=round(PRESSES[at - 1][0]) + 2 if at else 5))
    for name in ("soak_held_s", "hold_s", "bare_s", "covered_s", "preheat_reached_c"):
        if name in cut.numbers and not (name == "preheat_reached_c" and at < 2):
            assert cut.numbers[name] == whole.numbers[name], name
    assert ("covered_s" in cut.numbers) == (at == len(PRESSES))


def test_an_undone_uncovering_is_none(hot_job: Job) -> None:
    """Undone at once and uncovered 200 s later: that one counts."""
    presses: list[tuple[float, Deed]] = [
        *PRESSES[:-1],
        *((2670.0, "uncovered"), (2671.0, "undo"), (2870.0, "uncovered")),
    ]
    numbers = _summed(hot_job, repair(presses, 2900)).numbers
    assert numbers["covered_s"] == 2600.0
    assert numbers["uncovered_c"] == pytest.approx(132.0, abs=1.0)
    still = _summed(hot_job, repair(presses[:-1], 2900)).numbers
    assert "covered_s" not in still
    assert "uncovered_c" not in still


def test_an_undone_covering_is_none(hot_job: Job) -> None:
    presses: list[tuple[float, Deed]] = [*PRESSES[:-2], (265.0, "next"), (266.0, "undo")]
    numbers = _summed(hot_job, repair(presses, 268)).numbers
    assert "bare_s" not in numbers
    again = _summed(hot_job, repair([*presses, (270.0, "next")], 400)).numbers
    assert again["bare_s"] == 146.5


def test_covered_again_the_first_time_bare_counts(hot_job: Job) -> None:
    presses: list[tuple[float, Deed]] = [*PRESSES, (2680.0, "covered"), (2690.0, "uncovered")]
    numbers = _summed(hot_job, repair(presses)).numbers
    assert numbers["covered_s"] == 2400.0
    assert numbers["uncovered_c"] == pytest.approx(142.0, abs=1.0)


OVERNIGHT: list[tuple[float, Deed]] = [
    *PRESSES[:4],  # one bead, from 73.5 to 83.5 s, and its peen
    *((110.0, "hold"), (120.0, "covered")),
]
GOING_ON: list[tuple[float, Deed]] = [
    *((20120.0, "hold"), (20122.0, "next"), (20200.0, "next"), (20240.0, "next")),
    *((20250.0, "next"), (20275.0, "next"), (20290.0, "finish"), (20420.0, "next")),
]


def _two_days(
    *more: tuple[float, Deed], presses: Iterable[tuple[float, Deed]] = (*OVERNIGHT, *GOING_ON)
) -> list[AnyEvent]:
    """Return a repair that lay covered overnight, its second bead and its burial; invented."""
    events: list[AnyEvent] = [
        Act(t_ms=round(1000 * t_s), deed=deed, by="script") for t_s, deed in [*presses, *more]
    ]
    for t_s in (
        *range(120),
        *range(120, 20120, 40),
        *range(20120, 20430),
        *range(20430, 30000, 40),
    ):
        buried_s, night = max(0, t_s - 20420), 120 < t_s < 20125
        temp_c = 20.0 + 200.0 * 0.85 ** (t_s / 600) if night else 262.0 - 0.01 * buried_s
        events.append(Reading(t_ms=1000 * t_s, raw=(150.0 if t_s < 9 else temp_c,), status="ok"))
    return sorted(events, key=lambda event: event.t_ms)


def test_of_a_repair_over_two_days_the_last_cool_down_counts(hot_job: Job) -> None:
    """Overnight it was covered before its last bead and fell faster: none of the numbers is of that."""
    numbers = _summed(hot_job, _two_days((29000.0, "uncovered"))).numbers
    assert numbers["beads_n"] == 2.0
    assert (numbers["bare_s"], numbers["covered_s"]) == (170.0, 8580.0)
    assert numbers["covered_c"] == pytest.approx(262.0, abs=0.5)
    assert numbers["uncovered_c"] == pytest.approx(262.0 - 85.8, abs=1.0)
    assert numbers["cooling_c_h"] == pytest.approx(36.0, rel=0.02)


COOLING = {"bare_s", "covered_c", "covered_s", "uncovered_c", "cooling_c_h"}


def test_going_on_ends_the_night_s_cool_down_and_an_undo_takes_it_up_again(hot_job: Job) -> None:
    """Cut in the second day before its burial, nothing is known of a cool-down."""
    cut = [event for event in _two_days() if event.t_ms < 20_300_000]
    assert not COOLING & set(_summed(hot_job, cut).numbers)
    night = [event for event in _two_days(presses=OVERNIGHT) if event.t_ms < 20_100_000]
    whole = _summed(hot_job, night).numbers
    assert whole["bare_s"] == 36.5
    undone: list[AnyEvent] = [
        Act(t_ms=20_101_000, deed="hold", by="script"),
        Act(t_ms=20_102_000, deed="undo", by="script"),
    ]
    kept = COOLING & set(whole)
    again = _summed(hot_job, [*night, *undone]).numbers
    assert {name: again[name] for name in kept} == {name: whole[name] for name in kept}
    assert COOLING & set(again) == kept


def _falling(*falls: tuple[int, float], more: Iterable[AnyEvent] = ()) -> list[AnyEvent]:
    """Return an imported cool-down from 250 °C that falls by these K/s until these times."""
    events: list[AnyEvent] = []
    temp_c, from_s = 250.0, 0
    for until_s, fall_c_s in falls:
        for t_s in range(from_s, until_s, 5):
            raw = temp_c - fall_c_s * (t_s - from_s)
            events.append(Reading(t_ms=1000 * t_s, raw=(raw,), status="ok"))
        temp_c, from_s = temp_c - fall_c_s * (until_s - from_s), until_s
    return sorted([*events, *more], key=lambda event: event.t_ms)


def test_uncovered_early_the_fall_in_the_open_air_counts(hot_job: Job) -> None:
    """5 min past the first quarter of an hour is no mean; 30 min at 0.06 K/s in the air are."""
    bare = Act(t_ms=1_200_500, deed="uncovered", by="key")
    events = _falling((1200, 0.02), (4000, 0.06), more=[bare])
    numbers = _summed(hot_job, events, start_phase="cool-down").numbers
    assert numbers["covered_s"] == pytest.approx(1200.5)
    assert numbers["cooling_c_h"] == pytest.approx(216.0, rel=0.02)


def test_over_a_gap_no_fall_is_taken(hot_job: Job) -> None:
    """It lost 100 K in the 10 min that nobody watched."""
    gap = ClockGap(t_ms=2_000_500, to_ms=2_600_000, by="wall", why="asleep")
    events = _falling((2000, 0.02), (2600, 1 / 6), (5000, 0.01), more=[gap])
    seen = [e for e in events if not 2_000_500 < e.t_ms < 2_600_000]
    numbers = _summed(hot_job, seen, start_phase="cool-down").numbers
    assert numbers["cooling_c_h"] == pytest.approx(72.0, rel=0.02)


def test_an_imported_cool_down_begins_covered(hot_job: Job) -> None:
    events: list[AnyEvent] = [
        Reading(t_ms=1000 * t_s, raw=(250.0 - 0.05 * t_s,), status="ok") for t_s in range(3000)
    ]
    numbers = _summed(hot_job, events, start_phase="cool-down").numbers
    assert numbers["covered_c"] == pytest.approx(250.0, abs=1.0)
    assert numbers["cooling_c_h"] == pytest.approx(180.0, rel=0.01)
    assert not {"waited_s", "below_floor_s", "soak_held_s"} & set(numbers)


def test_a_crayon_is_no_temperature(hot_job: Job) -> None:
    """Covered on "at least 260": it is not known how hot it was."""
    presses = [(t_s, deed) for t_s, deed in PRESSES if t_s < 2600]
    events: list[AnyEvent] = [Act(t_ms=round(1000 * t), deed=deed, by="key") for t, deed in presses]
    for t_s in (9, 70, 265):
        events.append(Act(t_ms=1000 * t_s, deed="reading", temp_c=262.0, side=1, by="key"))
    events.sort(key=lambda event: event.t_ms)
    numbers = _summed(hot_job, events, hand=True).numbers
    assert "bare_s" in numbers
    assert "covered_c" not in numbers


def _end(hot_job: Job, *events: AnyEvent) -> tuple[str, str]:
    found = _summed(hot_job, list(events)).became
    return found.word, found.by


def test_what_became_of_it_is_told_by_outcomes_looks_and_reports(hot_job: Job) -> None:
    """By the same rule as everywhere (`became`): each of the three comes through a recording."""
    crack = Outcome(t_ms=9000, found="crack", where="boundary", at="crater", when="in service")
    seen = Inspection(
        t_ms=9000,
        look="grinding",
        result="imperfections found",
        imperfections=(Imperfection(1046, "crater crack"),),
    )
    reported = Act(t_ms=8000, deed="crack", by="key")
    clear = Inspection(t_ms=9000, look="penetrant", result="nothing found")
    assert _end(hot_job) == ("unknown", "")
    assert _end(hot_job, clear) == ("no crack found", "penetrant")
    assert _end(hot_job, clear, seen) == ("crack", "grinding")
    assert _end(hot_job, reported) == ("crack", "crack reported")
    assert _end(hot_job, reported, clear) == ("no crack found", "penetrant")
    found = _summed(hot_job, [crack]).became
    assert (found.where, found.at, found.when) == ("boundary", "crater", "in service")


def test_a_crack_at_a_tack_found_later_is_no_finding_to_compare_it_with(hot_job: Job) -> None:
    """Else the crack would be held against itself."""
    later = Outcome(t_ms=9000, found="crack", at="tack")
    cracked = Inspection(
        t_ms=9000,
        look="visual",
        result="imperfections found",
        imperfections=(Imperfection(1011, "crack", place="at tack 2"),),
    )
    assert "tack cracked" not in _summed(hot_job, [later, cracked]).all_names


@pytest.mark.parametrize(
    ("looks", "wanted"),
    [
        ([], None),
        ([("no crack found", None)], None),
        ([("no crack found", None), ("no crack found", 3600.0), ("no crack found", 60.0)], 3600.0),
        ([("no crack found", 9000.0), ("crack", 3600.0), ("crack", 7200.0)], 3600.0),
        ([("crack", None), ("crack", 3600.0)], None),
    ],
)
def test_time_in_service_is_that_of_the_crack_or_the_longest_without_one(
    hot_job: Job, looks: list[tuple[Found, float | None]], wanted: float | None
) -> None:
    events = [
        Outcome(t_ms=9000, found=found, when="in service", service_s=service_s)
        for found, service_s in looks
    ]
    assert _summed(hot_job, [*events]).service_s == wanted


def test_the_day_is_that_of_the_place(hot_job: Job) -> None:
    assert _summed(hot_job, [], wall="2026-01-01T23:30:00+00:00", tz="+01:00").day == "2026-01-02"
    assert _summed(hot_job, [], wall="yesterday").day == ""
