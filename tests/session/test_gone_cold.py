"""A part that went cold between beads is preheated, soaked and looked at before the next one.

procedure.md section 7. Times by hand from conftest's hot job: floor 200 °C, room 20 °C, so cold
at 110 °C or less; 60 s of soak, 2 s of on-delay (`telling.ready`).
"""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from telling import Session, ready
from test_going_on import one_bead
from walks import SOURCES, Walk, head, job_named, moments

from pacer.job.job import Job
from pacer.session.band import SUNK_S, soak_again_c
from pacer.session.cues import CueKind
from pacer.session.events import Act, AnyEvent, Reading
from pacer.session.fold import begin
from pacer.session.track import believed, proven
from pacer.session.work import LAYING, Phase

FULL = ["PREHEAT", "SOAK", "LOOK_FOR_CRACKS"]


def ramp(session: Session, from_s: float, from_c: float, to_c: float, rate: float = 1.0) -> float:
    """Readings each second, `rate` K/s; return when it is there."""
    seconds = round(abs(to_c - from_c) / rate)
    for i in range(seconds + 1):
        session.at(from_s + i, from_c + (to_c - from_c) * i / seconds)
    return from_s + seconds


def kinds(session: Session, since_s: float) -> list[str]:
    """What was told, without times."""
    return [cue.split()[1] for cue in session.since(since_s)]


def left(
    job: Job, low_c: float, *, wait_s: float = 0.0, deed: str = "note"
) -> tuple[Session, float]:
    """After one bead down to `low_c`, there for a while, and up to 262 °C; when it is there."""
    session = one_bead(job).at(108, deed)
    end_s = ramp(session, 109, 262.0, low_c)
    for i in range(round(wait_s)):
        session.at(end_s + 1 + i, low_c - 0.1 * (i % 2))
    return session, ramp(session, end_s + wait_s + 1, low_c, 262.0)


def test_half_way_from_the_room_to_the_floor_is_cold(hot_job: Job) -> None:
    """(20 + 200) / 2."""
    assert soak_again_c(hot_job) == 110.0


@pytest.mark.parametrize(
    ("low_c", "comes"), [(111.0, ["READY"]), (110.0, FULL), (60.0, FULL), (21.0, FULL)]
)
def test_nobody_pressed_hold_and_the_part_went_cold(
    hot_job: Job, low_c: float, comes: list[str]
) -> None:
    """Both sides of the limit: a reheat, or preheat, soak and a look for new cracks."""
    session, warm_s = left(hot_job, low_c)
    assert kinds(session, 108)[0] == "REHEAT"
    session.steady(warm_s + 1, warm_s + 80, 262.0)

    told = [kind for kind in kinds(session, warm_s - 10) if kind != "NO_READING"]
    assert told == comes


@pytest.mark.parametrize(("wait_s", "comes"), [(240.0, "READY"), (SUNK_S + 1, "PREHEAT")])
def test_just_below_the_floor_a_torch_has_its_time(hot_job: Job, wait_s: float, comes: str) -> None:
    """190 °C for four minutes is an ordinary reheat, for over ten minutes none."""
    session, warm_s = left(hot_job, 190.0, wait_s=wait_s)
    session.steady(warm_s + 1, warm_s + 3, 262.0)

    assert kinds(session, warm_s - 10)[0] == comes


def test_cooled_and_warmed_again_in_a_hold(hot_job: Job) -> None:
    """Down to 30 °C and back before the press: no bead on it, as warm as it is now."""
    session, warm_s = left(hot_job, 30.0, deed="hold")
    assert session.state.phase is Phase.HOLD
    session.at(warm_s + 1, "next").steady(warm_s + 2, warm_s + 80, 262.0)

    assert kinds(session, warm_s) == FULL
    assert session.at(warm_s + 81, "next").state.phase is Phase.READY


def test_a_hold_that_sank_for_long_is_no_short_stop(hot_job: Job) -> None:
    """190 °C for ten minutes under a hold: preheat; for four minutes: reheat."""
    for wait_s, phase in ((240.0, Phase.REHEAT), (SUNK_S + 1, Phase.PREHEAT)):
        session = one_bead(hot_job).at(108, "hold")
        end_s = ramp(session, 109, 262.0, 190.0)
        for i in range(round(wait_s)):
            session.at(end_s + 1 + i, 190.0 - 0.1 * (i % 2))
        assert session.at(end_s + wait_s + 1, "next").state.phase is phase


def test_one_reading_above_the_floor_ends_the_count(hot_job: Job) -> None:
    """Nine minutes below, up to 205 °C, nine minutes below again: a reheat still."""
    session = one_bead(hot_job).at(108, "hold")
    t_s = ramp(session, 109, 262.0, 190.0)
    for _ in range(2):
        session.steady(t_s + 1, t_s + 540, 191.0).steady(t_s + 540, t_s + 545, 205.0)
        t_s += 545
    session.steady(t_s, t_s + 5, 191.0)

    assert session.at(t_s + 5, "next").state.phase is Phase.REHEAT


def by_hand(job: Job, *typed: tuple[float, float]) -> Session:
    """READY by hand at 706, then held; readings typed at their times."""
    session = Session(job, hand=True).at(1, "next").at(600, "next").until(700)
    session.at(700, "reading 250").until(703).at(705, "next").at(720, "next")
    session.until(745).at(746, "hold")
    assert session.state.phase is Phase.HOLD
    for t_s, temp_c in typed:
        session.at(t_s, f"reading {temp_c:g}")
    return session


@pytest.mark.parametrize(
    ("typed", "phase"),
    [
        (((800.0, 190.0), (1300.0, 195.0), (1350.0, 262.0)), Phase.READY),
        (((800.0, 190.0), (1401.0, 195.0), (1450.0, 262.0)), Phase.PREHEAT),
        (((800.0, 100.0), (1300.0, 262.0)), Phase.PREHEAT),
        (((800.0, 100.0),), Phase.PREHEAT),
        (((800.0, 30.0),), Phase.PREPARE),
    ],
)
def test_typed_readings_count(
    hot_job: Job, typed: tuple[tuple[float, float], ...], phase: Phase
) -> None:
    """Each is believed for two minutes, yet ten minutes below the floor are seen."""
    session = by_hand(hot_job, *typed)

    assert session.at(typed[-1][0] + 10, "next").state.phase is phase


def test_a_crayon_that_says_at_least_says_nothing_of_cold(hot_job: Job) -> None:
    """At least 100 °C may be 262; below 100 °C is cold."""
    for side, cold in ((1, False), (-1, True)):
        session = by_hand(hot_job)
        session.event(Act(t_ms=800_000, deed="reading", temp_c=100.0, side=side))
        assert session.state.soak_first is cold


def test_a_reading_not_yet_proven_says_nothing_of_cold(hot_job: Job) -> None:
    """The cable was out: what comes first is heard, and only after ten seconds counts."""
    session = one_bead(hot_job).at(108, "lost unplugged").until(120).steady(121, 130, 25.0)
    assert not session.state.soak_first

    assert session.steady(130, 135, 25.0).state.phase is Phase.PREPARE


def test_an_undo_takes_back_the_press_and_not_the_cold(hot_job: Job) -> None:
    """READY, hold, 60 °C typed by hand, undone: no bead is called."""
    session = Session(hot_job, hand=True).at(1, "next").at(600, "next").until(700)
    session.at(700, "reading 250").until(703).at(705, "hold").at(710, "reading 60")
    session.at(712, "reading 262").at(715, "undo")

    assert session.since(703) == ["705.0 HOLD", "712.0 TOO_COLD", "715.0 PREHEAT"]


def test_the_soak_is_pressed_through_as_ever(hot_job: Job) -> None:
    """It is his soak: cut short twice he is asked to look, and then it is ready."""
    session, warm_s = left(hot_job, 100.0)
    session.steady(warm_s + 1, warm_s + 10, 262.0).at(warm_s + 10, "next")
    session.steady(warm_s + 11, warm_s + 15, 262.0).at(warm_s + 15, "next")

    assert kinds(session, warm_s - 5) == ["PREHEAT", "SOAK", "LOOK_FOR_CRACKS", "READY"]


def test_an_arc_before_the_new_soak_is_a_fact_and_the_soak_still_comes(hot_job: Job) -> None:
    """Welded in the soak: a bead, early; and back to preheat and soak."""
    session, warm_s = left(hot_job, 100.0)
    session.steady(warm_s + 1, warm_s + 5, 262.0)
    assert session.state.phase is Phase.SOAK
    session.at(warm_s + 5, "arc on").steady(warm_s + 6, warm_s + 16, 262.0)
    session.at(warm_s + 16, "arc off").steady(warm_s + 17, warm_s + 36, 262.0)

    assert session.state.work.laid == 2
    assert kinds(session, warm_s + 17) == ["PREHEAT", "SOAK"]


def test_before_the_first_soak_a_cold_part_is_no_news(hot_job: Job) -> None:
    """Preheat and soak pressed through at 20 °C: reheat, and then the soak it never had."""
    session = Session(hot_job).at(0, 20.0).at(1, "next").steady(2, 11, 20.0).at(10, "next")
    session.at(11, 20.0).at(11, "next").steady(12, 20, 20.0)
    assert session.since(10)[-1] == "11.0 REHEAT"

    end_s = ramp(session, 20, 20.0, 262.0)
    session.steady(end_s + 1, end_s + 80, 262.0)
    assert kinds(session, 20) == ["PREHEAT", "SOAK", "READY"]


def _fallen(source: str, t_ms: int) -> list[AnyEvent]:
    """Down to 60 °C and back to 262 in seven minutes, left alone all the while."""
    temps = [262.0 - abs(min(i, 404 - i)) for i in range(405)]
    if source == "hand":
        return [
            Act(t_ms=t_ms + 1000 * i, deed="reading", temp_c=temps[i]) for i in range(0, 405, 60)
        ]
    if source != "arc signal":
        return [Reading(t_ms=t_ms + 1000 * i, raw=(c,), status="ok") for i, c in enumerate(temps)]
    return [
        Reading(t_ms=t_ms + 1000 * i, raw=(c, 0.0), status="ok", names=("t", "i"))
        for i, c in enumerate(temps)
    ]


def test_a_soak_cut_short_just_below_the_floor_is_followed_by_a_reheat(hot_job: Job) -> None:
    """Sunk for ten minutes, both pressed through at 190 °C: his word; the count begins anew."""
    session = one_bead(hot_job).at(108, "hold")
    t_s = ramp(session, 109, 262.0, 190.0)
    for i in range(round(SUNK_S) + 20):
        t_s += 1
        session.at(t_s, 190.0 - 0.1 * (i % 2))
        if i in {SUNK_S + 1, SUNK_S + 5, SUNK_S + 9}:
            session.at(t_s, "next")
    assert kinds(session, t_s - 20) == ["PREHEAT", "SOAK", "REHEAT"]
    end_s = ramp(session, t_s + 1, 190.0, 262.0)
    session.steady(end_s + 1, end_s + 5, 262.0)

    assert session.state.phase is Phase.INSPECT


def test_an_arc_in_the_preheat_after_a_long_gap_saves_no_soak(hot_job: Job) -> None:
    """Two hours away, warm again, welded without waiting: back to preheat and soak."""
    session = one_bead(hot_job).gap(107, 7307, "wall").steady(7308, 7311, 262.0)
    session.at(7311, "arc on").steady(7312, 7322, 262.0).at(7322, "arc off")
    session.steady(7323, 7342, 262.0)

    assert kinds(session, 7322) == ["PEEN", "PREHEAT", "SOAK"]


def test_a_bead_called_is_taken_back_at_once(hot_job: Job) -> None:
    """60 °C typed at READY, 262 °C a second later: READY does not stand through it."""
    session = Session(hot_job, hand=True).at(1, "next").at(600, "next").until(700)
    session.at(700, "reading 250").until(703).at(705, "reading 60").at(706, "reading 262")

    assert session.since(703)[0] == "705.0 PREHEAT"


def test_a_cold_tack_is_made_on_a_cold_part() -> None:
    """Nothing has gone cold before it was hot."""
    session = Session(job_named("cold tack")).at(0, 20.0).at(1, "next").steady(2, 20, 20.0)

    assert session.state.phase is Phase.TACK
    assert not session.state.soak_first


@pytest.mark.slow
@pytest.mark.parametrize("source", SOURCES)
def test_no_walk_calls_a_bead_on_a_part_that_went_cold(source: str) -> None:
    """Random walks (invented), left alone in the middle: READY only after a soak."""
    marked = 0
    for seed in range(9):
        events = Walk(source, seed).events(120)
        most = seed % 3 * 20 + 40
        fall = _fallen(source, events[most].t_ms)
        later = [replace(e, t_ms=e.t_ms + 405_000) for e in events[most:]]
        state, _ = begin(head("hot", source))
        limit_c, cold = soak_again_c(state.job), False
        for moment in moments(state, [*events[:most], *fall, *later]):
            after, told = moment.after, {cue.kind for cue in moment.cues}
            if moment.before.phase is Phase.SOAK and after.phase is not Phase.SOAK:
                cold = False
            assert not (cold and {CueKind.READY, CueKind.ALL_LAID} & told), seed
            now = believed(after, after.t_s)
            if now is not None and proven(after, now) and after.phase in LAYING:
                cold = cold or now.most_c <= limit_c
                marked += cold
    assert marked > 300


def test_a_calm_session_never_hears_of_it(hot_job: Job) -> None:
    """One bead after the other at 262 °C."""
    session = ready(hot_job)
    for i in range(5):
        start_s = 80.0 + 40 * i
        session.at(start_s, "next").steady(start_s + 1, start_s + 12, 262.0)
        session.at(start_s + 12, "next").steady(start_s + 13, start_s + 40, 262.0)

    assert not session.state.soak_first
    assert session.state.sunk_s is None
