"""Two recordings on one axis: aligned, played together, jumped through, never changed."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest
from fakes import FakeClock
from pairs import BEAD_S, PREHEAT_S, READY_S, SOAK_S, film, hot_events, recorded

from pacer.errors import UserInputError
from pacer.job.job import Job
from pacer.recording.reader import Recording
from pacer.run.film import Film
from pacer.run.pair import Pair, alignment, shared, told
from pacer.session.events import Act, Reading
from pacer.session.work import Phase

LATE_S = 5


@pytest.fixture(scope="module")
def films(hot_job: Job, tmp_path_factory: pytest.TempPathFactory) -> tuple[Film, Film]:
    """A lasts 130 s; B, the same five seconds later, ends at 120 s and falls below the floor."""
    folder = tmp_path_factory.mktemp("pair")
    return (
        film(folder / "a.jsonl", hot_job, hot_events()),
        film(folder / "b.jsonl", hot_job, hot_events(115, LATE_S, fallen=True)),
    )


@pytest.fixture
def clock() -> FakeClock:
    """The viewer's clock."""
    return FakeClock(1000.0)


@pytest.fixture
def pair(films: tuple[Film, Film], clock: FakeClock) -> Pair:
    """Both aligned at preheat, at ten times real time."""
    return Pair(films, clock, align=Phase.PREHEAT)


def _sessions_s(pair: Pair) -> tuple[float, float]:
    a, b = pair.snapshot().sides
    return a.snapshot.t_s, b.snapshot.t_s


def test_both_stand_at_the_aligned_moment_at_once(pair: Pair, clock: FakeClock) -> None:
    """B begins 6 s before its preheat, A 1 s: the axis begins with B."""
    shown = pair.snapshot()
    assert shown.at_s == -(PREHEAT_S + LATE_S)
    assert (shown.from_s, shown.to_s) == (-6.0, 129.0)
    clock.to(1000.6)
    assert pair.snapshot().at_s == pytest.approx(0.0)
    assert _sessions_s(pair) == pytest.approx((1.0, 6.0))
    assert [side.snapshot.state.phase for side in pair.snapshot().sides] == [Phase.PREHEAT] * 2


def test_a_recording_stands_still_outside_its_time(pair: Pair, clock: FakeClock) -> None:
    """Before A began and after B has ended: its first and its last moment."""
    assert _sessions_s(pair) == (0.0, 0.0)
    clock.to(1020)
    a, b = pair.snapshot().sides
    assert (pair.snapshot().at_s, pair.snapshot().over) == (129.0, True)
    assert (a.snapshot.t_s, b.snapshot.t_s) == (130.0, 120.0)
    assert (a.last_s, b.last_s) == (129.0, 114.0)


def test_it_plays_backwards_to_the_beginning(pair: Pair, clock: FakeClock) -> None:
    """Both together, and stands there."""
    pair.pace("end")
    pair.pace("turn")
    clock.to(1001)
    assert pair.snapshot().at_s == 119.0
    assert _sessions_s(pair) == (120.0, 120.0)
    clock.to(1100)
    shown = pair.snapshot()
    assert (shown.at_s, shown.backwards, shown.over) == (-6.0, True, True)


@pytest.mark.parametrize("speed", [1.0, 1000.0])
def test_both_run_at_one_pace(films: tuple[Film, Film], clock: FakeClock, speed: float) -> None:
    """The slowest and the fastest there are."""
    pair = Pair(films, clock, align=Phase.PREHEAT, speed=speed)
    clock.to(1000 + 100 / speed)
    assert _sessions_s(pair) == pytest.approx((95.0, 100.0))
    pair.pace("pause")
    clock.to(2000)
    assert _sessions_s(pair) == pytest.approx((95.0, 100.0))


def test_another_alignment_leaves_a_where_it_is(pair: Pair) -> None:
    """At the beginnings B lags by what it began later: five seconds less."""
    pair.pace("pause")
    for _ in ("A's prepare", "both's preheat", "both's soak"):
        pair.pace("next phase")
    before = _sessions_s(pair)
    assert before == (SOAK_S, SOAK_S + LATE_S)
    assert pair.snapshot().at_s == SOAK_S - PREHEAT_S
    pair.align_at("start")
    assert _sessions_s(pair) == (SOAK_S, SOAK_S)
    assert pair.snapshot().at_s == SOAK_S
    assert (pair.snapshot().from_s, pair.snapshot().to_s) == (0.0, 130.0)
    assert pair.snapshot().sides[1].points[0][0] == 0.0
    # What keys jump to moves along: B's soak comes next.
    pair.pace("next cue")
    assert pair.snapshot().at_s == SOAK_S + LATE_S


def test_a_key_goes_through_all_alignments_and_round(pair: Pair, films: tuple[Film, Film]) -> None:
    """In the order in which A entered the phases; the start comes last."""
    seen = []
    for _ in shared(films):
        seen.append(pair.snapshot().aligned)
        pair.align()
    assert seen[:5] == [Phase.PREHEAT, Phase.SOAK, Phase.READY, Phase.BEAD, Phase.PEEN]
    assert seen[-2:] == ["start", Phase.PREPARE]
    assert pair.snapshot().aligned == Phase.PREHEAT


def test_the_next_cue_is_that_of_either(hot_job: Job, tmp_path: Path, clock: FakeClock) -> None:
    """A soaks 1 s longer: aligned at preheat its READY comes a second after B's."""
    soak = msgspec.structs.replace(hot_job.band, soak_s=hot_job.band.soak_s + 1.0)
    longer = msgspec.structs.replace(hot_job, band=soak)
    films = (
        film(tmp_path / "a.jsonl", longer, hot_events(80)),
        film(tmp_path / "b.jsonl", hot_job, hot_events(80, LATE_S)),
    )
    pair = Pair(films, clock, align=Phase.PREHEAT)
    pair.pace("pause")
    stops = []
    for _ in range(5):
        pair.pace("next cue")
        stops.append(pair.snapshot().at_s)
    ready_s = READY_S - PREHEAT_S
    assert stops == [-1.0, 0.0, SOAK_S - PREHEAT_S, ready_s, ready_s + 1.0]


def test_the_next_excursion_is_that_of_either(pair: Pair, films: tuple[Film, Film]) -> None:
    """Only B falls below the floor: 262 °C less 2.5 K a second after 88 s, some 25 s later."""
    assert films[0].excursions == ()
    ((from_s, _, kind),) = films[1].excursions
    assert kind == "below the floor"
    assert 113 + LATE_S <= from_s <= 116 + LATE_S
    pair.pace("pause")
    pair.pace("next excursion")
    assert pair.snapshot().sides[1].snapshot.t_s == from_s
    pair.pace("back a minute")
    before_s = pair.snapshot().at_s
    pair.pace("previous excursion")
    assert pair.snapshot().at_s == before_s


def test_a_step_goes_to_the_next_record_of_either(
    hot_job: Job, tmp_path: Path, clock: FakeClock
) -> None:
    """A speaks at whole seconds, B half a second later: steps of a half, forwards and back."""
    shifted = [
        msgspec.structs.replace(event, t_ms=event.t_ms + 500)
        if isinstance(event, Reading | Act)
        else event
        for event in hot_events(20)
    ]
    films = (
        film(tmp_path / "a.jsonl", hot_job, hot_events(20)),
        film(tmp_path / "b.jsonl", hot_job, shifted),
    )
    pair = Pair(films, clock, align="start")
    walked = []
    for _ in range(4):
        pair.pace("next record")
        walked.append(pair.snapshot().at_s)
    assert walked == [0.5, 1.0, 1.5, 2.0]
    assert pair.snapshot().paused
    for _ in range(2):
        pair.pace("previous record")
    assert pair.snapshot().at_s == 1.0


@pytest.mark.slow
def test_a_shorter_stretch_is_drawn_around_the_moment(
    hot_job: Job, tmp_path: Path, clock: FakeClock
) -> None:
    """Of 10 min: 5 min, then all again; the window keeps inside the axis."""
    long = film(tmp_path / "a.jsonl", hot_job, hot_events(600))
    pair = Pair((long, long), clock, align="start")
    pair.pace("pause")
    assert (pair.snapshot().from_s, pair.snapshot().to_s) == (0.0, 600.0)
    pair.zoom()
    assert (pair.snapshot().from_s, pair.snapshot().to_s) == (0.0, 300.0)
    for _ in range(5):
        pair.pace("on a minute")
    shown = pair.snapshot()
    assert shown.to_s - shown.from_s == 300.0
    assert shown.from_s < shown.at_s < shown.to_s
    pair.pace("end")
    assert (pair.snapshot().from_s, pair.snapshot().to_s) == (300.0, 600.0)
    pair.zoom()
    assert (pair.snapshot().from_s, pair.snapshot().to_s) == (0.0, 600.0)


def test_it_is_aligned_at_preheat_if_both_have_one(
    films: tuple[Film, Film], cold_job: Job, tmp_path: Path
) -> None:
    """A cold repair has none: then both start together."""
    cold = film(tmp_path / "c.jsonl", cold_job, [Reading(t_ms=0, raw=(20.0,), status="ok")])
    assert alignment(films, None) is Phase.PREHEAT
    assert alignment((films[0], cold), None) == "start"
    assert alignment(films, "bead") is Phase.BEAD


def test_a_phase_that_one_never_entered_is_refused_with_those_it_has(
    films: tuple[Film, Film],
) -> None:
    """Which of the two, and what it has instead; and a word that is no phase at all."""
    with pytest.raises(UserInputError) as refused:
        alignment(films, "cool-down")
    assert str(refused.value).startswith(
        "--align cool-down: A (a.jsonl) never entered cool-down; it has: prepare, preheat, soak,"
    )
    with pytest.raises(UserInputError, match='--align "mid�dle": expected one of prepare, tack,'):
        alignment(films, "mid\x1bdle")


def test_the_cues_of_both_come_in_the_order_of_the_axis(films: tuple[Film, Film]) -> None:
    """Aligned at the first bead, A's start comes 5 s after B's; at once, A comes first."""
    rows = [(t_s, letter, str(cue.kind)) for t_s, letter, cue in told(films, Phase.BEAD)]
    assert rows[:2] == [(-BEAD_S - LATE_S, "B", "PREPARE"), (-BEAD_S, "A", "PREPARE")]
    assert rows[2:4] == [(-73.0, "A", "PREHEAT"), (-73.0, "B", "PREHEAT")]
    assert len(rows) == len(films[0].cues) + len(films[1].cues)


def test_a_replay_of_two_only_reads(hot_job: Job, tmp_path: Path, clock: FakeClock) -> None:
    """Neither file is changed, and no other is made."""
    films = tuple(film(tmp_path / f"{name}.jsonl", hot_job, hot_events(20)) for name in "ab")
    before = {path: path.read_bytes() for path in tmp_path.iterdir()}
    pair = Pair((films[0], films[1]), clock, align="start")
    pair.pace("next cue")
    pair.align()
    pair.snapshot()
    assert {path: path.read_bytes() for path in tmp_path.iterdir()} == before


def test_a_damaged_recording_is_marked_and_the_other_is_not(
    hot_job: Job, tmp_path: Path, clock: FakeClock
) -> None:
    """One byte of B flipped near its end: its sound records are shown all the same."""
    whole = recorded(tmp_path / "a.jsonl", hot_job, hot_events(20))
    bad = bytearray(whole.read_bytes())
    bad[-300] ^= 1
    (tmp_path / "b.jsonl").write_bytes(bad)
    films = (Film(Recording(whole)), Film(Recording(tmp_path / "b.jsonl")))
    a, b = Pair(films, clock, align=Phase.PREHEAT).snapshot().sides
    assert (a.recorded.damaged, b.recorded.damaged) == (False, True)
    assert b.recorded.end_s == a.recorded.end_s == 20.0
